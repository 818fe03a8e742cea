"""What the shop owns and knows, read from its files."""
