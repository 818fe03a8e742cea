"""What an event makes of a state, a file a subject; `fold` is the way in."""
