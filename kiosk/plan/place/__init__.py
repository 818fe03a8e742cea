"""Where each element goes on the garment and on the platen."""
