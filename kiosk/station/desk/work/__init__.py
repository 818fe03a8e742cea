"""What is asked at the press besides the work screen: checks, first garments, trials, holds."""
