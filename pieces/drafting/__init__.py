"""Drafting: outlines with their allowances, pieces derived from others, strips, garments."""
