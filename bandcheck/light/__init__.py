"""The light of walls and lamps as it pulses."""
