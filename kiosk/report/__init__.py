"""Rows in; counts, ratios and pages out; pure."""
