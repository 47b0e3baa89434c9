"""Before buying: widths, folds, nap and prices side by side, filled while one looks."""
