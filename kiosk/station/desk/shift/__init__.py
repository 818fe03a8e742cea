"""Around the garments: hand-over, the supervisor, the shop's files, what becomes of names."""
