"""What reports read of a log."""
