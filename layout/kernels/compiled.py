"""The one place that imports numba, and how kernels are compiled.

`_nrt=False` leaves out reference counting on array arguments, which would triple the cost of a
look-up (measured); it is not documented, so numba's version is pinned. Kernels therefore allocate
nothing. `error_model="numpy"` divides without checks.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from layout.kernels.cache import prepare_cache

prepare_cache()

from numba import njit  # noqa: E402

Kernel = Callable[..., Any]


_njit: Any = njit


def kernel(function: Kernel) -> Any:
    """Compile a kernel that allocates nothing."""
    return _njit(_nrt=False, cache=True, nogil=True, error_model="numpy")(function)


def allocating_kernel(function: Kernel) -> Any:
    """Compile a kernel that makes arrays."""
    return njit(cache=True, nogil=True, error_model="numpy")(function)
