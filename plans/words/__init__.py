"""The facts of a plan in words and figures, as rows that every output renders alike."""
