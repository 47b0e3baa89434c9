"""A plan as JSON, and back, every field checked."""
