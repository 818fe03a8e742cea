"""What people do at the station and its plain pages; needs no window."""
