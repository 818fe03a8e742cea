"""Estimates of when a garment can be peeled, and what its peel teaches: heat for a station."""
