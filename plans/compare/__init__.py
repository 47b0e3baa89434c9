"""Comparing cloth before buying: widths, folds and nap side by side."""
