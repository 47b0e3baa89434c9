"""Polygon work of the solver: outward simplification, convex parts, no-fit polygons."""
