"""Live estimates of when garments can be peeled, and what a station learns from its peels."""
