"""Heat conduction in the pressed stack. Pure code."""
