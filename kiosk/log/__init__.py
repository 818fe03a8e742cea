"""The append-only event store."""
