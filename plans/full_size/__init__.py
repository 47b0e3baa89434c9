"""Drawings at full size: pieces of a garment and lays of a plan, for SVG and DXF files."""
