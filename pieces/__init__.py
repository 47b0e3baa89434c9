"""What is cut: lengths and units, outlines, pieces, edits, garments and their files."""
