"""The file: SQLite, its lock, its chain, events as rows."""
