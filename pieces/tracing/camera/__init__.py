"""Where the camera stood, what its lens bends, and how well that is known."""
