"""How drawings look: colours, hatches and line widths.

Roles differ in lightness as well as in hue, and everything that matters is also told by hatch,
line style or words, so that drawings work for colour-blind readers and in black and white. The hues
follow Okabe and Ito, Color universal design, 2008 (lightened).
"""

from __future__ import annotations

ROLE_FILLS = ("#e3eff8", "#efd388", "#a9cfa6", "#d4977c", "#9c8cba")
"""Each darker than the one before by a step that a grey print keeps."""

INK = "#1b1b1b"
QUIET = "#5c5c5c"
CLOTH = "#fbfaf7"
SINGLE = "#f1eee6"
DEAD = "#d9d4c8"
LEFTOVER = "#6a6a6a"
LEFTOVER_STYLE = (0, (5, 3))
LOWER_LEFTOVER_STYLE = (0, (1, 2.4))
REPEAT = "#8a93a8"
REPEAT_STYLE = (0, (1, 2))
FLAW = "#b03a2e"
FACE_DOWN_HATCH = "////"
DEAD_HATCH = "xxx"
FOLD_WIDTH = 2.2
FOLD_STYLE = (0, (7, 2, 1.5, 2))
OUTLINE_WIDTH = 0.9
"""Line widths in points."""

LINE_SPACING = 1.2
"""Of labels in several lines, in heights of a line."""

SMALLEST_TEXT = 4.6
LARGEST_TEXT = 9.0
PIN_TEXT = 5.0
"""Sizes of piece labels, and of the figures at the ends of arrows, points."""


def role_fill(roles: tuple[str, ...], role: str) -> str:
    """Fill of a role's pieces."""
    index = roles.index(role) if role in roles else 0
    return ROLE_FILLS[index % len(ROLE_FILLS)]


def lightness(colour: str) -> float:
    """Relative luminance of a "#rrggbb" colour, 0 to 1 (ITU-R BT.709 weights, gamma 2.2)."""
    red, green, blue = (int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5))
    return float(0.2126 * red**2.2 + 0.7152 * green**2.2 + 0.0722 * blue**2.2)
