"""Readers of garment files: one module for each format."""
