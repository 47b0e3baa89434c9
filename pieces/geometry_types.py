"""Names for the plain coordinate values and arrays that all rooms exchange."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Point = tuple[float, float]
"""x, y in mm."""

Ring = tuple[Point, ...]
"""A closed outline in mm: counter-clockwise, the first point not repeated at the end."""

FloatArray = NDArray[np.float64]
"""Coordinates or other measures; which, and of what shape, says whoever takes or gives one."""

IntArray = NDArray[np.int32]
"""Indices, as the kernels take them."""
