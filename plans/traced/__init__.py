"""From photographs of paper pieces to a garment file, pictures of what was found and a table."""
