"""Jobs: which there are, setting them up, beginning them, predicting their end."""
