"""A short shift played through the real screens by simulated touches, on its own clock."""
