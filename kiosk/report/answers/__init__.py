"""The answers, a file a question."""
