"""Cloth with flaws that is folded across: where its fold lies."""
