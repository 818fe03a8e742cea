"""A short shift played through the real screens, by touches, on a clock of its own."""
