"""The answers, one file per subject."""
