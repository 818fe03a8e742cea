"""From a command to the file and the state, and back again at a start."""
