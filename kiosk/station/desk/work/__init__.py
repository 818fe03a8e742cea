"""What is asked at the press beside the work screen: checks, first garments, trials, holds."""
