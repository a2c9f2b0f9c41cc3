"""One small module for each command."""
