"""From rims to outlines with corners, straight edges and curves through few points."""
