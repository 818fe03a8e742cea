"""The plain pages: each says as data what stands on it; one widget draws them all."""
