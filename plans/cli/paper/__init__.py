"""Commands about paper: drawings that come in, pieces at full size, photographs of pieces."""
