"""One module for each thing that can go wrong in the picture."""
