"""Who is at the station, and how they want it."""
