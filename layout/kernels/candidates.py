"""Places that a unit might move to: the lowest of its relief, and some drawn at random."""

from __future__ import annotations

import math

from layout.kernels.compiled import kernel
from layout.kernels.overlap import overlap
from layout.kernels.ranges import position_range, random, snapped
from layout.kernels.relief import AT_EACH, AT_ONE, lowest, raise_ground


@kernel
def surveyed(i, length, work, units, ways, nofits, count):
    """Best of the lowest places in the reliefs of all ways of unit i: overlap, x, y, way.

    A lay with more places than there is room for is surveyed in a part drawn at random.
    """
    best = 1e300
    best_x = units.x[i]
    best_y = units.y[i]
    best_way = units.way[i]
    step = nofits.reliefs.step
    room = len(work.ground)
    kind = units.kind[i]
    for way in range(ways.first[kind], ways.first[kind + 1]):
        low_x, high_x, low_y, high_y = position_range(way, length, ways)
        if high_x < low_x - 1e-7 or high_y < low_y - 1e-7:
            continue
        columns = math.ceil((high_x - low_x) / step - 1e-9) + 1
        rows = min(room, math.ceil((high_y - low_y) / step - 1e-9) + 1)
        # The lattice is flush with one wall or the other, by chance.
        x = low_x if random(work.seed) < 0.5 else high_x - (columns - 1) * step
        y = low_y if random(work.seed) < 0.5 else high_y - (rows - 1) * step
        if rows * columns > room:
            part = room // rows
            x += int(random(work.seed) * (columns - part + 1)) * step
            columns = part
        shape = ways.shape[way]
        pitch = ways.pitch[way]
        added = raise_ground(i, shape, x, y, rows, columns, work.ground, count, units, nofits)
        work.done[0] += (added + 2 * rows * columns + AT_EACH * count) // AT_ONE
        for k in range(lowest(work.ground, rows, columns, work.found)):
            at_x = snapped(x + work.found[k, 2] * step, low_x, high_x, pitch[0], pitch[1])
            at_y = snapped(y + work.found[k, 1] * step, low_y, high_y, pitch[2], pitch[3])
            tried = overlap(
                i, shape, at_x, at_y, ways.extent[way], best, count, units, nofits, work.done
            )
            if tried < best:
                best = tried
                best_x = at_x
                best_y = at_y
                best_way = way
    return best, best_x, best_y, best_way


@kernel
def drawn(
    i, length, best, best_x, best_y, best_way, tunables, work, units, ways, nofits, count
):  # fmt: skip
    """Better of the best place so far and places drawn at random: overlap, x, y, way."""
    kind = units.kind[i]
    begin = ways.first[kind]
    options = ways.first[kind + 1] - begin
    size = units.reach[i]
    seed = work.seed
    for c in range(tunables.uniform + tunables.local + tunables.touching):
        if best == 0.0:
            break
        way = begin + int(random(seed) * options)
        low_x, high_x, low_y, high_y = position_range(way, length, ways)
        if high_x < low_x - 1e-7 or high_y < low_y - 1e-7:
            continue
        if c < tunables.uniform:
            x = low_x + random(seed) * (high_x - low_x)
            y = low_y + random(seed) * (high_y - low_y)
        elif c < tunables.uniform + tunables.local:
            x = units.x[i] + (random(seed) - 0.5) * size
            y = units.y[i] + (random(seed) - 0.5) * size
        else:
            # A corner of another unit's no-fit polygon: touching it.
            j = int(random(seed) * count)
            if j == i:
                continue
            q = nofits.pair[units.shape[j], ways.shape[way]]
            e = nofits.first[q] + int(random(seed) * (nofits.first[q + 1] - nofits.first[q]))
            x = units.x[j] + nofits.edges[e, 0]
            y = units.y[j] + nofits.edges[e, 1]
            off = 0.2 * size
            if x < low_x - off or x > high_x + off or y < low_y - off or y > high_y + off:
                continue
        x = snapped(x, low_x, high_x, ways.pitch[way, 0], ways.pitch[way, 1])
        y = snapped(y, low_y, high_y, ways.pitch[way, 2], ways.pitch[way, 3])
        tried = overlap(
            i, ways.shape[way], x, y, ways.extent[way], best, count, units, nofits, work.done
        )
        if tried < best:
            best = tried
            best_x = x
            best_y = y
            best_way = way
    return best, best_x, best_y, best_way
