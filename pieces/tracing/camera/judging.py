"""Whether a fitted camera can be believed; what cannot is refused with the reason."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pieces.geometry_types import FloatArray
from pieces.tracing.camera.fitting import Fit
from pieces.tracing.camera.model import BEND
from pieces.tracing.picture.rims import Rim
from pieces.tracing.refusal import Place, UntraceableError

STEEPEST_DEGREES = 35.0
"""More tilt makes what stands off the floor by a hair count, and far edges too coarse."""

MOST_BOW_MM = 0.7
"""By how much the side of a sheet may bend; A4 from a pack lies straighter."""

MOST_BEND_MM = 0.9
"""By how much a sheet that lies alone may seem to bend. Its fit leans towards flat: of arches of
8 mm it tells 1.1 mm at least, of sheets that do lie flat a tenth of one."""

MOST_OFF_MM, MOST_OFF_PX = 0.25, 0.25
"""Root mean square of what is left over, of a body: the greater of the two."""

LEAST_PX_PER_MM = 0.5
"""With fewer, a piece is refused; with more, its stated error is a pixel at least."""

MOST_BLUR_MM = 1.3
"""Standard deviation of the step of light at a rim, on the floor."""

SHARP_PX = 1.6
"""The same in a coarse picture that is sharp: lens, sensor and JPEG spread a step over pixels."""


@dataclass(frozen=True)
class BodyCheck:
    """What is left over at one body: root mean square and greatest bow of a side, mm."""

    name: str
    off: float
    bow: float


def checks(fit: Fit) -> list[BodyCheck]:
    """Measure how well each body fits."""
    found = []
    for k, body in enumerate(fit.bodies):
        mine = fit.seen.body == k
        scale = px_per_mm(fit, body.corners).min()
        off = float(np.sqrt((fit.residuals[mine] ** 2).mean())) / scale
        bow = max(
            _bow(fit.residuals[fit.seen.side == side]) for side in np.unique(fit.seen.side[mine])
        )
        found.append(BodyCheck(body.name, off, bow / scale))
    return found


def judge(fit: Fit) -> None:
    """Refuse a camera that cannot be believed.

    Raises
    ------
    UntraceableError
    """
    tilt = fit.lens.tilt(fit.numbers)
    if tilt > STEEPEST_DEGREES:
        raise UntraceableError(
            f"the picture is taken {tilt:.0f} degrees from straight above; at most "
            f"{STEEPEST_DEGREES:.0f} can be measured: hold the camera level over the middle"
        )
    for check, body in zip(checks(fit), fit.bodies, strict=True):
        scale = float(px_per_mm(fit, body.corners).min())
        spot = _spot(body.corners)
        if check.bow > max(MOST_BOW_MM, 1.2 / scale):
            raise UntraceableError(
                f"{body.name} does not lie flat: a side of it is bent by {check.bow:.1f} mm; "
                "press it flat, or lay another one",
                (Place(spot, f"bent by {check.bow:.1f} mm"),),
            )
        if check.off > max(MOST_OFF_MM, MOST_OFF_PX / scale):
            raise UntraceableError(
                f"{body.name} does not fit the picture, by {check.off:.1f} mm in the mean: it is "
                "bent, of another size, or the picture was stretched or put together",
                (Place(spot, f"off by {check.off:.1f} mm"),),
            )


def judge_flatness(fit: Fit) -> None:
    """Refuse a body that lies alone and is bent: nothing else would tell of its wrong scale.

    Raises
    ------
    UntraceableError
    """
    if len(fit.bodies) > 1:
        return
    bend = float(np.abs(fit.numbers[BEND]).max())
    if bend > MOST_BEND_MM:
        (body,) = fit.bodies
        raise UntraceableError(
            f"{body.name} does not lie flat: it seems bent, by {bend:.0f} mm at least; press it "
            "flat, or lay four sheets, which can do with less",
            (Place(_spot(body.corners), "bent"),),
        )


def judge_sharpness(fit: Fit, rim: Rim, what: str, error: float = 0.0) -> None:
    """Refuse a rim that is blurred more widely than the error that is stated.

    Parameters
    ----------
    fit : Fit
    rim : Rim
    what : str
        What it belongs to, for the message.
    error : float
        Stated error of what is measured by it, mm; 0 of a reference, which has none of its own.

    Raises
    ------
    UntraceableError
    """
    scale = px_per_mm(fit, rim.points)
    known = np.isfinite(rim.blur)
    if not known.any():
        return
    parts = np.array_split(np.where(known, rim.blur / scale, np.nan), 12)
    widest = max(
        (float(np.nanmedian(part)) for part in parts if np.isfinite(part).sum() > len(part) / 2),
        default=0.0,
    )
    if widest > max(MOST_BLUR_MM, error, SHARP_PX / float(scale.min())):
        raise UntraceableError(
            f"the edges of {what} are blurred over {2.0 * widest:.1f} mm; hold the camera "
            "still, in more light, and focus on the paper",
            (Place(_spot(rim.points), "blurred"),),
        )


def widest_pixel(fit: Fit, spots: FloatArray, what: str) -> float:
    """How wide (mm) a pixel is around spots (px) at most: no finer error can be stated there.

    Raises
    ------
    UntraceableError
        If it is too wide for the corners of a piece to be found.
    """
    scale = float(px_per_mm(fit, spots).min())
    if scale < LEAST_PX_PER_MM:
        raise UntraceableError(
            f"{what} has too few pixels, {scale:.2f} per mm: no error finer than a pixel can be "
            f"stated, and from {1.0 / LEAST_PX_PER_MM:g} mm on corners are not found; go nearer, "
            "or take fewer pieces at a time",
            (Place(_spot(spots), "too coarse"),),
        )
    return 1.0 / scale


def px_per_mm(fit: Fit, spots: FloatArray) -> FloatArray:
    """Pixels per mm of floor around spots of the picture, in the direction where it is least."""
    step = 2.0
    there = fit.to_floor(spots)
    across = (fit.to_floor(spots + np.array([step, 0.0])) - there) / step
    down = (fit.to_floor(spots + np.array([0.0, step])) - there) / step
    matrices = np.stack([across, down], axis=2)
    return np.asarray(1.0 / np.linalg.norm(matrices, ord=2, axis=(1, 2)))


def _bow(residuals: FloatArray) -> float:
    """How far (px) the middle of a side stands off the line through its ends, by a parabola."""
    t = np.linspace(-1.0, 1.0, len(residuals))
    return abs(float(np.polyfit(t, residuals, 2)[0])) if len(residuals) > 4 else 0.0


def _spot(points: FloatArray) -> tuple[float, float]:
    x, y = points.mean(axis=0)
    return float(x), float(y)
