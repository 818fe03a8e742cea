"""Settings, procedure, placement: what will be done; pure."""
