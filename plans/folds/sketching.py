"""A sketch of a layout while the search goes on."""

from __future__ import annotations

from layout.layout import posed
from plans.folds.job import FabricJob
from plans.folds.outcome import FoldResult
from plans.sketch import Sketch, SketchSection


def sketch_of(job: FabricJob, result: FoldResult) -> Sketch:
    """Draw outlines of what a result puts down; sections without anything are left out."""
    built, layout = result.built, result.layout
    problem = built.problem
    pieces: dict[int, list[tuple[str, tuple[tuple[float, float], ...]]]] = {}
    for placement in layout.placements:
        item = problem.items[placement.item]
        slot = item.slots[placement.slot]
        points = posed(item.shapes[slot.shape], placement.pose, placement.x, placement.y)
        outline = tuple((float(x), float(y)) for x, y in points.tolist())
        name = built.origins[placement.item].key
        pieces.setdefault(slot.section, []).append((name, outline))
    spans = problem.spans(layout.extents)
    sections = []
    for k, laid in sorted(pieces.items()):
        spread = result.sections[k].spread
        length = spans[k].lay_length + (job.ends if k == 0 else 0.0)
        folds = tuple((edge.along, edge.at) for edge in spread.fold_edges)
        sections.append(SketchSection(length, spread.lay_height, tuple(laid), folds))
    return Sketch(tuple(sections))
