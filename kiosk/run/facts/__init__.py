"""What is true of a state: tickets, moves, peels, questions, checks, lots, trials."""
