"""Every kind of fold, each with all that the program knows about it.

Reading this package makes the kinds known; :class:`fabrics.folds.fold.Fold` lists them.
"""

from __future__ import annotations

# In the order in which they are taught.
from fabrics.folds import lengthwise, crosswise, sectioned  # isort: skip

__all__ = ["crosswise", "lengthwise", "sectioned"]
