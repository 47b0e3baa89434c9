"""DXF drawings: the document, the walk over its blocks, and what its layers and texts mean."""
