"""The order of work, handling times, the finish."""
