"""What the station is, what is asked of it and what happened: values only."""
