"""All ways of laying a few units, ruled out branch by branch.

A branch is a choice of poses for each unit (a set of them while it is open) and lines that places
must lie behind; how short a lay is at least there, a linear programme says (`vertices`). The branch
of the least bound is looked at first. If two units lie in a place where they must not, whatever
poses are left to them, a convex part of what is forbidden around it (`outside`) has a branch for
each of its sides: behind that side, but not behind those before. If they may, one unit's poses are
told apart. If nothing is in the way of anything, no bound is better than that of this branch.
"""

from __future__ import annotations

import math

from layout.kernels.branches.heap import pop, push
from layout.kernels.branches.outside import MOST_SIDES, depth_within, sides_around
from layout.kernels.branches.vertices import BEYOND, IMPOSSIBLE, climb, invert, locate
from layout.kernels.compiled import kernel

RULED_OUT, FITS, GOING_ON, REGION_WANTED, FULL = 0, 1, 2, 3, 4

MOST_LINES = 600
"""Lines of one branch; what has more is left as it is."""

RISEN_MM = 1e-6
"""A bound that is greater than was known by no more than this is the same."""

SCALE_SHARE = 0.1
"""A branch whose bound is nearer to the limit by so much of what is left counts for 1 / e."""


@kernel
def ranged(i, ranges, box):
    """Write the range of one unit's place."""
    box.low[2 * i], box.high[2 * i] = ranges[0], ranges[1]
    box.low[2 * i + 1], box.high[2 * i + 1] = ranges[2], ranges[3]
    box.reach[i] = ranges[4]


@kernel
def bounded(case, sets, asked, box):
    """Write the ranges of all unknowns where the units have these sets of poses."""
    cases, kinds = asked.cases, asked.kinds
    units = cases.kind.shape[1]
    for i in range(units):
        kind = cases.kind[case, i]
        if kind < 0:
            box.low[2 * i] = box.high[2 * i] = 0.0
            box.low[2 * i + 1] = box.high[2 * i + 1] = 0.0
            box.reach[i] = -1e9
            continue
        ranged(i, kinds.range[kind, sets[i]], box)
    box.low[2 * units] = 0.0
    box.high[2 * units] = 1e300


@kernel
def set_line(k, i, j, nx, ny, least, lines):
    """Write line k."""
    lines.first[k], lines.second[k] = i, j
    lines.normal[k, 0], lines.normal[k, 1] = nx, ny
    lines.least[k] = least


@kernel
def gathered(node, cases, tree, lines, path):
    """Write all lines of a branch, those of the first branch first; how many (-1: too many)."""
    depth = 0
    at = node
    while at >= 0:
        if depth == len(path):
            return -1
        path[depth] = at
        depth += 1
        at = tree.parent[at]
    case = tree.case[node]
    count = 0
    for k in range(cases.begin[case], cases.begin[case + 1]):
        given = cases.lines
        set_line(
            count, given.first[k], given.second[k], given.normal[k, 0], given.normal[k, 1],
            given.least[k], lines,
        )  # fmt: skip
        count += 1
    for step in range(depth - 1, -1, -1):
        at = path[step]
        side = tree.side[at]
        if side < 0:
            continue
        behind = tree.behind[at]
        if count + behind + MOST_SIDES + 1 >= len(lines.least):
            return -1
        for s in range(side, side + behind):
            set_line(
                count, tree.pair[s, 0], tree.pair[s, 1], -tree.normal[s, 0], -tree.normal[s, 1],
                -tree.least[s], lines,
            )  # fmt: skip
            count += 1
        s = side + behind
        set_line(
            count, tree.pair[s, 0], tree.pair[s, 1], tree.normal[s, 0], tree.normal[s, 1],
            tree.least[s], lines,
        )  # fmt: skip
        count += 1
    return count


@kernel
def copied(n, source, target):
    """Copy a corner."""
    for i in range(n):
        target.active[i] = source.active[i]
        target.dual[i] = source.dual[i]
        target.at[i] = source.at[i]
        for k in range(n):
            target.inverse[i, k] = source.inverse[i, k]


@kernel
def value_of(n, cost, at):
    """Value of the programme at a point."""
    value = 0.0
    for i in range(n):
        value += cost[i] * at[i]
    return value


@kernel
def added(parent, count, limit, asked, tree, room):
    """Solve a child whose corner to begin with is `room.child`; keep it if it is open.

    `room.step` says how it differs from its parent: the unit that has another set of poses (-1:
    none) and that set, where the sides begin that it comes of (-1: none) and which it is behind.
    """
    cost, step = asked.cost, room.step
    n = len(cost)
    ended = climb(n, count, limit, cost, room.box, room.lines, room.child, room.alpha)
    if ended in (IMPOSSIBLE, BEYOND):
        return
    node = tree.size[0]
    tree.size[0] += 1
    # Never below the parent's, but for rounding.
    tree.value[node] = max(value_of(n, cost, room.child.at), tree.value[parent])
    tree.parent[node] = parent
    tree.case[node] = tree.case[parent]
    for i in range(tree.sets.shape[1]):
        tree.sets[node, i] = tree.sets[parent, i]
    if step[0] >= 0:
        tree.sets[node, step[0]] = step[1]
    for i in range(n):
        tree.active[node, i] = room.child.active[i]
    tree.side[node] = step[2]
    tree.behind[node] = step[3]
    push(node, tree)


@kernel
def branch(steps, limit, accepted, asked, tree, room):
    """Look at up to so many branches; say how it ended.

    Parameters
    ----------
    steps : int
        Branches to look at.
    limit : float
        Value beyond which a branch is of no interest.
    accepted : float
        Depth (mm) in a no-go region that counts as outside of it.
    """
    cost, cases, kinds = asked.cost, asked.cases, asked.kinds
    units = cases.kind.shape[1]
    n = 2 * units + 1
    for _ in range(steps):
        if tree.size[1] == 0:
            return RULED_OUT
        if tree.size[0] + MOST_SIDES + 1 >= len(tree.value) or tree.size[2] + MOST_SIDES >= len(
            tree.least
        ):
            return FULL
        node = tree.heap[0]
        case = tree.case[node]
        sets = tree.sets[node]
        count = gathered(node, cases, tree, room.lines, room.path)
        tree.size[3] = node
        if count < 0:
            return FITS
        bounded(case, sets, asked, room.box)
        for i in range(n):
            room.corner.active[i] = tree.active[node, i]
        if not invert(n, cost, room.lines, room.corner, room.square):
            return FITS
        locate(n, room.box, room.lines, room.corner)
        at = room.corner.at
        # A first branch has its bound worked out here; others have theirs.
        ended = climb(n, count, limit, cost, room.box, room.lines, room.corner, room.alpha)
        if ended in (IMPOSSIBLE, BEYOND):
            pop(tree)
            continue
        value = value_of(n, cost, at)
        if value > tree.value[node] + RISEN_MM:
            pop(tree)
            tree.value[node] = value
            for i in range(n):
                tree.active[node, i] = room.corner.active[i]
            push(node, tree)
            continue
        found = overlapping(case, sets, at, accepted, asked, room)
        if found < 0:
            return REGION_WANTED
        if found > 0:
            pair = telling(found, node, count, limit, asked, room, tree) if found > 1 else 0
            first, second, where = room.worst[pair, 0], room.worst[pair, 1], room.worst[pair, 2]
            if not cut(node, first, second, where, count, limit, asked, tree, room):
                return FITS
            continue
        chosen, most = -1, 0
        for i in range(units):
            kind = cases.kind[case, i]
            if kind >= 0 and kinds.count[kind, sets[i]] > most:
                chosen, most = i, kinds.count[kind, sets[i]]
        if chosen < 0:
            return FITS
        pop(tree)
        kind = cases.kind[case, chosen]
        start = kinds.begin[kind, sets[chosen]]
        room.step[0], room.step[2], room.step[3] = chosen, -1, 0
        for to in range(start, start + most):
            copied(n, room.corner, room.child)
            bounded(case, sets, asked, room.box)
            ranged(chosen, kinds.range[kind, to], room.box)
            locate(n, room.box, room.lines, room.child)
            room.step[1] = to
            added(node, count, limit, asked, tree, room)
    return GOING_ON


@kernel
def overlapping(case, sets, at, accepted, asked, room):
    """Write the pairs that overlap most into `room.worst`; how many (-1: a region is wanted)."""
    cases, regions = asked.cases, asked.regions
    units = cases.kind.shape[1]
    most = len(room.worst)
    found = 0
    for i in range(units):
        a = cases.kind[case, i]
        if a < 0:
            continue
        for j in range(i + 1, units):
            b = cases.kind[case, j]
            if b < 0:
                continue
            region = regions.index[a, sets[i], b, sets[j]]
            if region < 0:
                room.asked[0], room.asked[1] = a, sets[i]
                room.asked[2], room.asked[3] = b, sets[j]
                return -1
            x, y = at[2 * j] - at[2 * i], at[2 * j + 1] - at[2 * i + 1]
            bounds = regions.bounds[region]
            if x <= bounds[0] or x >= bounds[1] or y <= bounds[2] or y >= bounds[3]:
                continue
            depth = depth_within(
                x, y, regions.first[region], regions.first[region + 1], regions.edges
            )
            if depth <= accepted or (found == most and depth <= room.depth[most - 1]):
                continue
            k = found if found < most else most - 1
            while k > 0 and room.depth[k - 1] < depth:
                room.depth[k] = room.depth[k - 1]
                for part in range(3):
                    room.worst[k, part] = room.worst[k - 1, part]
                k -= 1
            room.depth[k] = depth
            room.worst[k, 0], room.worst[k, 1], room.worst[k, 2] = i, j, region
            found = min(most, found + 1)
    return found


@kernel
def reachable(i, j, limit, box, reach):
    """Write the range that the place of unit j has beside unit i."""
    for axis in range(2):
        a, b = 2 * i + axis, 2 * j + axis
        most_a, most_b = box.high[a], box.high[b]
        if axis == 0:
            most_a = min(most_a, limit - box.reach[i])
            most_b = min(most_b, limit - box.reach[j])
        reach[2 * axis] = box.low[b] - most_a
        reach[2 * axis + 1] = most_b - box.low[a]


@kernel
def sides_of(i, j, region, count, limit, asked, room):
    """Write the sides around the place of unit j beside unit i; how many (see `sides_around`)."""
    regions, at = asked.regions, room.corner.at
    reachable(i, j, limit, room.box, room.reach)
    x, y = at[2 * j] - at[2 * i], at[2 * j + 1] - at[2 * i + 1]
    return sides_around(
        x, y, regions.first[region], regions.first[region + 1], regions.edges, room.reach,
        i, j, room.lines, count, room.left, room.normal, room.least,
    )  # fmt: skip


@kernel
def go_behind(s, i, j, count, room):
    """Begin a child behind side s, after those behind all sides before: not behind these."""
    normal, least = room.normal, room.least
    if s > 0:
        b = s - 1
        set_line(count + b, i, j, -normal[b, 0], -normal[b, 1], -least[b], room.lines)
    set_line(count + s, i, j, normal[s, 0], normal[s, 1], least[s], room.lines)
    copied(len(room.corner.at), room.corner, room.child)


@kernel
def telling(found, node, count, limit, asked, room, tree):
    """Which of the pairs in `room.worst` tells most if it is branched over.

    That with the fewest branches, of which each counts for less the greater its bound is.
    """
    cost, at = asked.cost, room.corner.at
    n = len(at)
    best, fewest = 0, 1e300
    base = value_of(n, cost, at)
    scale = SCALE_SHARE * max(1.0, limit - base)
    for pair in range(found):
        i, j, region = room.worst[pair, 0], room.worst[pair, 1], room.worst[pair, 2]
        sides = sides_of(i, j, region, count, limit, asked, room)
        if sides < 0:
            continue
        weight = 0.0
        for s in range(sides):
            go_behind(s, i, j, count, room)
            ended = climb(
                n, count + s + 1, limit, cost, room.box, room.lines, room.child, room.alpha
            )
            if ended not in (IMPOSSIBLE, BEYOND):
                weight += math.exp(-(value_of(n, cost, room.child.at) - base) / scale)
                if weight >= fewest:
                    break
        if weight < fewest:
            best, fewest = pair, weight
        if weight == 0.0:
            break
    return best


@kernel
def cut(node, i, j, region, count, limit, asked, tree, room):
    """Branch over the sides of a convex no-go part around the place of unit j beside unit i.

    False if such a part would have too many sides; then nothing is done.
    """
    sides = sides_of(i, j, region, count, limit, asked, room)
    if sides < 0:
        return False
    pop(tree)
    start = tree.size[2]
    for s in range(sides):
        tree.normal[start + s, 0], tree.normal[start + s, 1] = (
            room.normal[s, 0], room.normal[s, 1],
        )  # fmt: skip
        tree.least[start + s] = room.least[s]
        tree.pair[start + s, 0], tree.pair[start + s, 1] = i, j
    tree.size[2] += sides
    room.step[0], room.step[1], room.step[2] = -1, 0, start
    for s in range(sides):
        go_behind(s, i, j, count, room)
        room.step[3] = s
        added(node, count + s + 1, limit, asked, tree, room)
    return True
