"""The parts of the search: start, moves, separation, shrinking."""
