"""What a viewer would see."""
