"""From signal to light and to code values."""
