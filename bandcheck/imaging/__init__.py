"""How a camera's rows and optics sample a wall."""
