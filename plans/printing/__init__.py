"""Printing at full size: pieces or lays in tiles for a printer at home, or on a roll."""
