"""Commands of the shelves: what is on them, and putting something there."""
