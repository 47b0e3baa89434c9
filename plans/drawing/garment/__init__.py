"""Drawings of a garment by itself: its pieces, its seams, and how they came about."""
