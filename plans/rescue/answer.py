"""The answer to an order for which cloth on hand is too short: every rescue, told and written."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plans.folds.on_hand import Shortage
from plans.rescue.data import rescues_to_data
from plans.rescue.folder import picture_names, write_shortage
from plans.rescue.rescue import OnStep, Rescue, rescue
from plans.rescue.words import rescue_text

HEAD = "no layout fits: "


@dataclass(frozen=True)
class Answer:
    """What would rescue a garment, fabric by fabric.

    Attributes
    ----------
    garment : str
    rescues : tuple of Rescue
    pictures : tuple of str
        Name of the picture of each in the folder that was written; empty for none.
    untried : tuple of Shortage
        What it was stopped before.
    folder : Path or None
    """

    garment: str
    rescues: tuple[Rescue, ...]
    pictures: tuple[str, ...]
    untried: tuple[Shortage, ...]
    folder: Path | None

    @property
    def interrupted(self) -> bool:
        """Whether the user ended it."""
        return any(one.interrupted for one in self.rescues)

    def texts(self) -> list[str]:
        """What to say of each fabric."""
        told = [
            rescue_text(one, str(self.folder / name) if self.folder and name else "", HEAD)
            for one, name in zip(self.rescues, self.pictures, strict=True)
        ]
        stopped = [f"{HEAD}{one.headline()}; stopped before it was tried" for one in self.untried]
        return told + stopped

    def data(self) -> dict[str, Any]:
        """The same as plain data."""
        return rescues_to_data(self.garment, list(self.rescues), list(self.pictures))


def answer_to(
    shortages: tuple[Shortage, ...],
    garment: str,
    folder: Path | None,
    steps: Callable[[], AbstractContextManager[OnStep]],
) -> Answer:
    """Work out what would help, and write it into a folder, beside a plan that may be there.

    Parameters
    ----------
    shortages : tuple of Shortage
    garment : str
    folder : Path or None
        None to write nothing.
    steps : callable
        Gives, for each fabric, whom to tell how far it is.

    Raises
    ------
    FolderError
        If the disk refuses.
    """
    rescues: list[Rescue] = []
    for shortage in shortages:
        with steps() as on_step:
            rescues.append(rescue(shortage, on_step))
        if rescues[-1].interrupted:
            break
    names = picture_names(rescues)
    if folder is not None:
        write_shortage(garment, rescues, names, folder)
    else:
        names = [""] * len(rescues)
    untried = tuple(shortages[len(rescues) :])
    return Answer(garment, tuple(rescues), tuple(names), untried, folder)
