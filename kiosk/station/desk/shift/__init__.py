"""Around the garments: handing over, the supervisor, the shop's files, deleting names."""
