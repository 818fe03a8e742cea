"""Control charts, capability, ratios, learning curves: a few lines each, checked from outside."""
