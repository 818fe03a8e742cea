"""What people do at the station and what stands on its plain pages: needs no window."""
