"""The window: what is touched, heard and drawn."""
