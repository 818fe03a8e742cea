"""What the screen shows of a state at a moment, as plain values."""
