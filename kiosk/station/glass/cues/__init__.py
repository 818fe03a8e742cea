"""What is to be heard."""
