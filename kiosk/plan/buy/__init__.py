"""What a job takes from the drawers, and what to buy for it."""
