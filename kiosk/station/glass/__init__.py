"""The window: what is touched, heard and painted."""
