"""What to cut it from."""
