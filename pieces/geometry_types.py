"""Names for the plain coordinate values that all rooms exchange."""

Point = tuple[float, float]
"""x, y in mm."""

Ring = tuple[Point, ...]
"""A closed outline in mm: counter-clockwise, the first point not repeated at the end."""
