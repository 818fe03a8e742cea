"""What the shop owns and knows, as values."""
