"""From a shot to findings, sweeps and safe settings."""
