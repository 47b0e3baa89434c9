"""The picture of seams: every seam numbered on its pieces, every fault with a cross."""

from __future__ import annotations

import re
from pathlib import Path

from click.testing import CliRunner

from pieces.readers.garment_toml import load_garment
from pieces.readers.shelf import find_garment
from plans.cli.check import command
from plans.drawing.garment.seam_picture import write_seam_picture


def test_every_seam_bears_its_number_on_both_pieces(tmp_path: Path) -> None:
    """Texts of the SVG: the trousers' two seams stand twice each, and once in the list."""
    path = tmp_path / "seams.svg"
    write_seam_picture(load_garment(find_garment("trousers")), path)
    texts = re.findall(r"<!-- (.*?) -->", path.read_text(encoding="utf-8"))
    assert texts.count("1") == texts.count("2") == 2
    assert len([text for text in texts if text.endswith("they meet")]) == 2


def test_faults_are_lettered_where_they_lie(tmp_path: Path) -> None:
    """A side made longer by 3 cm: A on both pieces and in the list."""
    text = find_garment("trousers").read_text(encoding="utf-8").replace("[28, 99.9]", "[28, 96.9]")
    garment = tmp_path / "trousers.toml"
    garment.write_text(text, encoding="utf-8")
    path = tmp_path / "seams.svg"
    result = CliRunner().invoke(
        command, [str(garment), "--picture", str(path)], standalone_mode=False
    )
    assert result.exit_code == 0
    assert "'back leg.side'" in result.output
    texts = re.findall(r"<!-- (.*?) -->", path.read_text(encoding="utf-8"))
    assert len([text for text in texts if text.split()[0] == "A"]) >= 2


def test_a_fabric_has_no_seams_to_draw(tmp_path: Path) -> None:
    """It is refused before anything is written."""
    path = tmp_path / "x.png"
    result = CliRunner().invoke(command, ["demo-check", "--picture", str(path)])
    assert result.exit_code == 2
    assert not path.exists()
