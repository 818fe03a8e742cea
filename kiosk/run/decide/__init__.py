"""May this be done now: the table, what the bar means, the clock, and a file a subject."""
