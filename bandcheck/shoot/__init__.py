"""What is on the stage: walls, cameras, lamps and the shot that joins them."""
