"""What a pass does with heat: stacks, waits, curves, what is told of it."""
