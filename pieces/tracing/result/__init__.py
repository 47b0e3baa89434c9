"""From traced pieces to a garment file, a picture and a table."""
