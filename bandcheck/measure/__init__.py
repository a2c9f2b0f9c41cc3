"""A frame grab back into numbers: bands, readout, source frequency, contrast."""
