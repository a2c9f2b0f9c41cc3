"""Frame rates, shutters and genlock."""
