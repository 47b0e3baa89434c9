"""A folder of order files, planned one and all, with one table of what came of them."""
