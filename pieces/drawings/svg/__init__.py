"""SVG drawings: the document, the walk over it, and what its lines and texts mean."""
