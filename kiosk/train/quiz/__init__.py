"""Questions made from the catalog itself."""
