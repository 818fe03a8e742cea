"""What is done about a file that is damaged, moved or gone."""
