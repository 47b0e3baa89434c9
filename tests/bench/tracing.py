"""Photographs with known truth, good and bad: errors, coverage of what is stated, wrong scales.

    python tests/bench/tracing.py [good [bad]]

200 good and 100 bad ones unless told; also time and memory of a photograph of 12 megapixels.
"""

from __future__ import annotations

import resource
import sys
import time
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np

from pieces.findings import InputError
from pieces.tracing.picture.photo import read_photo
from pieces.tracing.refusal import UntraceableError
from pieces.tracing.result.tracing import trace_photo
from tests.pieces.tracing.bad_scenes import KINDS, bad
from tests.pieces.tracing.measuring import lengths_off, matched
from tests.pieces.tracing.photographs import photo_of
from tests.pieces.tracing.rendering import jpeg
from tests.pieces.tracing.scenes import Known, good, with_marks

FIRST_SEED = 1000
WRONG = 1.5
"""A length that is off by more than so many times its stated error is a wrong scale."""


def measure(known: Known, paper: str | None) -> tuple[list[float], list[float]]:
    """Outline errors of the pieces (mm), and all lengths off as shares of their stated error."""
    found = trace_photo(photo_of(known.scene), paper)
    outlines, shares = [], []
    for true, piece, off in matched([p.outline for p in found.pieces], known.rings):
        outlines.append(off)
        off_by = np.abs(lengths_off(found.pieces[piece].outline, known.rings[true]))
        shares += (off_by / found.pieces[piece].error).tolist()
    return outlines, shares


def run_good(name: str, scenes: list[Known]) -> None:
    """Print what good photographs gave."""
    outlines, shares, refused = [], [], 0
    for known in scenes:
        try:
            found = measure(known, "A4")
        except UntraceableError as error:
            refused += 1
            print(f"  refused: {error}")
            continue
        outlines += found[0]
        shares += found[1]
    print(
        f"{name}: {len(scenes)} photographs, {refused} refused; outline error of {len(outlines)} "
        f"pieces: median {np.median(outlines):.2f} mm, 95th percentile "
        f"{np.percentile(outlines, 95):.2f}, greatest {max(outlines):.2f}; lengths within the "
        f"stated error: {100 * np.mean(np.array(shares) <= 1.0):.1f} %",
        flush=True,
    )


def run_bad(count: int) -> None:
    """Print what became of bad photographs."""
    refused: Counter[str] = Counter()
    within: Counter[str] = Counter()
    wrong: Counter[str] = Counter()
    for k in range(count):
        kind = KINDS[k % len(KINDS)]
        known = bad(FIRST_SEED + k, kind)
        try:
            _, shares = measure(known.known, known.paper)
        except (UntraceableError, InputError):
            refused[kind] += 1
            continue
        (wrong if max(shares) > WRONG else within)[kind] += 1
        if max(shares) > WRONG:
            print(f"  wrong: {kind} {FIRST_SEED + k}, {max(shares):.1f} times the stated error")
    print(f"bad: {count}, refused {refused.total()}, measured within the stated error "
          f"{dict(within)}, wrong scale accepted {dict(wrong)}", flush=True)  # fmt: skip


def run_large() -> None:
    """Print time and memory of a photograph of 12 megapixels."""
    known = good(FIRST_SEED, size=(4000, 3000))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "floor.jpg"
        path.write_bytes(jpeg(known.scene))
        start, begin = time.perf_counter(), time.process_time()
        found = trace_photo(read_photo(path))
        print(
            f"12 megapixels: {time.perf_counter() - start:.1f} s, processor "
            f"{time.process_time() - begin:.1f} s; {len(found.pieces)} pieces, a metre within "
            f"{found.metre_error:.1f} mm; largest memory, drawing the scene included: "
            f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB"
        )


def main() -> None:
    """Run all."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    run_bad(int(sys.argv[2]) if len(sys.argv) > 2 else 100)
    seeds = range(FIRST_SEED, FIRST_SEED + count)
    run_good("four sheets", [good(seed) for seed in seeds if seed % 4 < 2])
    run_good("marks", [with_marks(seed) for seed in seeds if seed % 4 == 2])
    run_good("one sheet", [good(seed, sheets=1) for seed in seeds if seed % 4 == 3])
    run_large()


if __name__ == "__main__":
    main()
