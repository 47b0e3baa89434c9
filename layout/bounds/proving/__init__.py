"""A search that proves where pieces can begin along the cloth; needs OR-tools."""
