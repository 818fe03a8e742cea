"""The page and its charts."""
