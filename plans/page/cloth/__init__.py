"""Cloth: what is on the shelf and on hand, putting in, correcting, taking out, finding."""
