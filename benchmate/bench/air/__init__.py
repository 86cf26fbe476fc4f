"""The service's dealings with the air: recording it, what it moves, what if it were warmer."""
