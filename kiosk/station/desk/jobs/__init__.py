"""Jobs: which there are, how they are set up, begun and foreseen."""
