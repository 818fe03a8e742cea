"""The answers, a file a subject."""
