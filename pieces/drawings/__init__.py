"""Drawings, whatever their format: read into drawn pieces, and from those into a garment."""
