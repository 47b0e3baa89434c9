"""A plan changed by hand: pieces moved, judged at once, kept while the rest is laid again."""
