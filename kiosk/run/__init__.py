"""The state machine of the station; pure."""
