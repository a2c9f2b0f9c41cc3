"""Says whether a camera setting will show bands, tears, flicker or moire on a filmed LED wall."""
