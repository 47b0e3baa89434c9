"""How drawings look: colours, hatches and line widths.

Roles differ in lightness as well as in hue, and everything that matters is also told by hatch or
line style, so that drawings work for colour-blind readers and in black and white. The hues follow
Okabe and Ito, Color universal design, 2008 (lightened).
"""

from __future__ import annotations

ROLE_FILLS = ("#cfe3f2", "#f6e3b4", "#d5ecd4", "#f3d3c4", "#e4daf0")
INK = "#1b1b1b"
QUIET = "#6b6b6b"
CLOTH = "#fbfaf7"
SINGLE = "#f1eee6"
DEAD = "#d9d4c8"
LEFTOVER = "#7a7a7a"
FLAW = "#b03a2e"
FACE_DOWN_HATCH = "////"
DEAD_HATCH = "xxx"
FOLD_WIDTH = 2.2
FOLD_STYLE = (0, (7, 2, 1.5, 2))
OUTLINE_WIDTH = 0.9
"""Line widths in points."""

SMALLEST_TEXT = 4.6
LARGEST_TEXT = 9.0
"""Sizes of piece labels, points."""


def role_fill(roles: tuple[str, ...], role: str) -> str:
    """Fill of a role's pieces."""
    index = roles.index(role) if role in roles else 0
    return ROLE_FILLS[index % len(ROLE_FILLS)]
