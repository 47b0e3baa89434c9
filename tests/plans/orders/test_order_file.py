"""Order files: garments with sizes and counts, their cloth, and every fault at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from pieces.drafting.outfit import OutfitError
from pieces.findings import InputError
from pieces.lengths import System
from plans.data.plan_json import plan_to_json
from plans.errors import ContradictionError
from plans.orders.making import order_of, order_to_compare
from plans.orders.order_file import read_order_file, says_order
from plans.orders.planning import plan_order, plan_order_file
from plans.orders.request import GarmentAsked, Request
from plans.problem.demand import demands_for
from tests.plans.orders.aprons import write_apron

CLASS = """\
title = "Aprons for a class"
cloth = { main = "140cm" }
effort = "quick"
fold = "open"
gap = "5 mm"
seed = 3
figures = "imperial"

[[garment]]
name = "apron.toml"
size = "S"
count = 3

[[garment]]
name = "apron.toml"
size = "L"
count = 2
"""


def written(folder: Path, text: str, name: str = "order.toml") -> Path:
    """An order file beside the garment file of the aprons."""
    write_apron(folder)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_an_order_file_says_what_is_asked_for(tmp_path: Path) -> None:
    """Garments, sizes, counts, cloth and options; files are found from its own folder."""
    request = read_order_file(written(tmp_path, CLASS))
    apron = str(tmp_path / "apron.toml")
    assert request.garments == (
        GarmentAsked(apron, "S", 3),
        GarmentAsked(apron, "L", 2),
    )
    assert request.cloth == {"main": "140cm"}
    assert (request.fold, request.gap, request.seed) == ("open", 5.0, 3)
    assert request.system is System.IMPERIAL


def test_pieces_of_an_order_say_whose_they_are(tmp_path: Path) -> None:
    """Each size has its own pieces, as often as it is made; roles of one name share cloth."""
    order = order_of(read_order_file(written(tmp_path, CLASS)))
    assert order.garment.title == "Aprons for a class"
    assert order.garment.roles == ("main",)
    names = [piece.name for piece in order.garment.pieces]
    assert names[:3] == ["apron S: front", "apron S: pocket", "apron S: tie"]
    assert names[3:] == ["apron L: front", "apron L: pocket", "apron L: tie"]
    demands = demands_for(order.garment.pieces, ("main",), order.cloth["main"], order.makes)
    assert [demand.wanted.total for demand in demands] == [3, 3, 6, 2, 2, 4]


def test_equal_counts_are_an_order_made_so_often(tmp_path: Path) -> None:
    """Twice each of two is two of both, which lets a layout be repeated."""
    request = Request(
        (
            GarmentAsked(str(write_apron(tmp_path)), "S", 4),
            GarmentAsked(str(write_apron(tmp_path)), "M", 2),
        ),
        {"main": "140cm"},
    )
    order = order_of(request)
    assert order.makes == 2
    assert [piece.times for piece in order.garment.pieces] == [2, 2, 2, 1, 1, 1]


def test_the_file_gives_the_plan_of_the_same_request(tmp_path: Path) -> None:
    """To the byte, each time; a title of its own is all that differs."""
    path = written(tmp_path, CLASS.replace('title = "Aprons for a class"\n', ""))
    request = Request(
        (
            GarmentAsked(str(tmp_path / "apron.toml"), "S", 3),
            GarmentAsked(str(tmp_path / "apron.toml"), "L", 2),
        ),
        {"main": "140cm"},
        effort="quick",
        fold="open",
        gap=5.0,
        seed=3,
        system=System.IMPERIAL,
    )
    asked = plan_order(request, order_of(request))
    assert plan_to_json(plan_order_file(path)) == plan_to_json(asked)
    assert asked.title == "Apron, 3 x size S, 2 x size L"


def test_one_garment_may_have_cloth_of_its_own(tmp_path: Path) -> None:
    """In the garment's table or as ROLE@GARMENT at the head, which are one and the same."""
    inside = """\
cloth = { main = "140cm" }
[[garment]]
name = "apron.toml"
size = "S"
[[garment]]
name = "apron.toml"
size = "M"
cloth = { main = "demo-linen" }
"""
    head = inside.replace('cloth = { main = "demo-linen" }\n', "").replace(
        '"140cm" }', '"140cm", "main@apron:M" = "demo-linen" }'
    )
    orders = [order_of(read_order_file(written(tmp_path, text))) for text in (inside, head)]
    assert orders[0].garment.roles == ("main", "main of apron M")
    assert orders[0].cloth["main of apron M"].name == "demo-linen"
    assert orders[0] == orders[1]


def test_a_garment_alone_is_just_itself(tmp_path: Path) -> None:
    """Nothing is said of whose its pieces are, however many are made."""
    order = order_of(
        Request((GarmentAsked(str(write_apron(tmp_path)), "S", 3),), {"main": "140cm"})
    )
    assert order.makes == 3
    assert [piece.name for piece in order.garment.pieces] == ["front", "pocket", "tie"]
    assert {(piece.owner, piece.times) for piece in order.garment.pieces} == {("", 1)}


def test_the_title_says_how_many_of_what() -> None:
    """Before a garment of one size, else before each size."""
    order, _ = order_to_compare(
        Request(
            (
                GarmentAsked("wrap-skirt", "S"),
                GarmentAsked("pinafore", count=2),
                GarmentAsked("wrap-skirt", "L", 3),
            )
        ),
        (),
    )
    assert order.garment.title == (
        "Wrap skirt with long ties (demo), size S, 3 x size L; "
        "2 x Child's pinafore with two pockets (demo)"
    )
    assert order.garment.name == "wrap-skirt+pinafore"


def test_a_garment_alone_is_called_what_it_is_to_be_called(tmp_path: Path) -> None:
    """In the title; its pieces need no owner."""
    order = order_of(
        Request(
            (GarmentAsked(str(write_apron(tmp_path)), "S", called="apron of Ada"),),
            {"main": "140cm"},
        )
    )
    assert order.garment.title == "Apron, called apron of Ada"
    assert order.garment.pieces[0].name == "front"


def test_two_of_the_same_size_may_be_called_differently(tmp_path: Path) -> None:
    """Which is the way out where two garments would have one name."""
    text = """\
cloth = { main = "140cm" }
[[garment]]
name = "apron.toml"
size = "S"
called = "apron of Ada"
[[garment]]
name = "apron.toml"
size = "S"
called = "apron of Bea"
"""
    order = order_of(read_order_file(written(tmp_path, text)))
    assert order.garment.pieces[0].name == "apron of Ada: front"
    assert order.garment.pieces[3].name == "apron of Bea: front"


ONE = '[[garment]]\nname = "apron.toml"\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[garment]]\nname = "trosers"\n', "order.toml:2, garment[1].name: 'trosers'"),
        ('[[garment]]\nname = "trosers"\n', "did you mean 'trousers'"),
        ('[[garment]]\nname = "gone.toml"\n', "garment[1].name: there is no file"),
        (f"{ONE}count = 0\n", "order.toml:3, garment[1].count: 0 is no number of garments"),
        (f"{ONE}count = -2\n", "count: -2 is no number of garments (from 1 to 100)"),
        (f"{ONE}count = {10**30}\n", "... is no number of garments (from 1 to 100)"),
        (f"{ONE}count = true\n", "count: true is no number of garments"),
        (f'{ONE}count = "two"\n', 'count: "two" is no number of garments (write count = 2)'),
        (f"{ONE}count = 1.5\n", "count: 1.5 is no number of garments"),
        (f"{ONE}called = 'a+b'\n", "called: 'a+b' cannot stand before the names of pieces"),
        (f"{ONE}called = '{'long ' * 20}'\n", "called: 'long long"),
        (f"makes = 0\n{ONE}", "makes: 0 is no number of garments"),
        (f"{ONE}sise = 'S'\n", "unknown key 'sise' (did you mean 'size'?)"),
        (f"efort = 'quick'\n{ONE}", "order.toml:1, efort: unknown key 'efort'"),
        (f"effort = 'slow'\n{ONE}", "effort: 'slow' is not known"),
        (f"fold = 'doubel'\n{ONE}", "did you mean 'double'?"),
        (f"seed = 1.5\n{ONE}", "seed: 1.5 is no seed (a whole number from 0"),
        (f"seed = -7\n{ONE}", "seed: -7 is no seed"),
        (f"gap = 3\n{ONE}", "units: is missing"),
        (f'ends = "20000 m"\n{ONE}', "ends: is too much; at most 10 m"),
        (f'ends = "20 yd"\n{ONE}', "ends: is too much; at most 393 11/16 in"),
        (f'units = "in"\nends = 999\n{ONE}', "ends: is too much; at most 393 11/16 in"),
        (f'units = "in"\nends = "20 m"\n{ONE}', "ends: is too much; at most 10 m"),
        (f'units = "cm"\ngap = "500 ½ in"\n{ONE}', "gap: is too much; at most 393 11/16 in"),
        (f"makes = 0x{'f' * 5000}\n{ONE}", "makes: a huge number"),
        (f"leftover_size = '15 cm'\n{ONE}", "leftover_size: '15 cm' is not LONGxWIDE"),
        (f"on_hand = {{ main = 'much' }}\n{ONE}", "on_hand.main: 'much' is not a length"),
        (f"cloth = {{ main = '' }}\n{ONE}", "cloth.main: names no cloth"),
        (f"cloth = {{ 'a+b' = '90cm', b = '90cm' }}\n{ONE}", "role 'b' is given twice"),
        ("cloth = { main = '140cm' }\n", "garment: there is no garment"),
        ("garment = []\n", "garment: there is no garment"),
        ('[garment]\nname = "apron.toml"\n', "garment: is not a list of tables"),
        ("[[garment]]\nsize = 'S'\n", "garment[1].name: is missing"),
        ('[[garment]]\nname = "order.toml"\n', "'order.toml' is an order file"),
        ("", "order.toml: is empty"),
        ("[[garment]\nname = 'apron.toml'\n", "write [[garment]]"),
    ],
)
def test_faults_name_the_file_the_garment_and_the_field(
    tmp_path: Path, text: str, said: str
) -> None:
    """And say what would be right."""
    with pytest.raises(InputError) as caught:
        read_order_file(written(tmp_path, text))
    assert said in str(caught.value)


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    """In the order in which they stand."""
    text = "efort = 'quick'\n[[garment]]\nname = 'no-such'\ncount = 0\n"
    with pytest.raises(InputError) as caught:
        read_order_file(written(tmp_path, text))
    assert [finding.line for finding in caught.value.findings] == [1, 3, 4]


@pytest.mark.parametrize(
    ("text", "error", "said"),
    [
        (f"{ONE}size = 'Q'\n", InputError, "there is no size 'Q'"),
        (f"{ONE}size = 'Q'\n", InputError, "order.toml, garment[1]: "),
        (f"cloth = {{ main = 'demo-linnen' }}\n{ONE}", InputError, "did you mean 'demo-linen'"),
        (f"cloth = {{ main = 'demo-linnen' }}\n{ONE}", InputError, "order.toml, cloth.main"),
        (f"on_hand = {{ main = '2 m' }}\n{ONE}", ContradictionError, "role 'main' has no cloth"),
        (ONE, ContradictionError, "order.toml, cloth: garment 'apron': no cloth for role 'main'"),
        (
            f"cloth = {{ main = '90cm', lining = '90cm' }}\n{ONE}",
            ContradictionError,
            "cloth for role 'lining', which no piece is cut in; its roles are 'main'",
        ),
        (ONE + ONE, ContradictionError, "'apron M' is asked for twice"),
        (f"makes = 60\n{ONE}count = 2\n", ContradictionError, "120 garments in all"),
        (
            f"cloth = {{ 'main@aprn' = '90cm' }}\n{ONE}",
            ContradictionError,
            "no garment is called 'aprn'; there is 'apron M'",
        ),
        (
            f"cloth = {{ 'lining@apron' = '90cm' }}\n{ONE}",
            ContradictionError,
            "no piece of 'apron' is cut in 'lining'; its roles are 'main'",
        ),
    ],
)
def test_what_cannot_be_looked_up_is_told_with_its_place(
    tmp_path: Path, text: str, error: type[Exception], said: str
) -> None:
    """Sizes, fabrics and roles are only known once garments and cloth are read."""
    sized = (
        text.replace('"apron.toml"\n', '"apron.toml"\nsize = "M"\n') if "size" not in text else text
    )
    with pytest.raises(error) as caught:
        order_of(read_order_file(written(tmp_path, sized)))
    assert said in str(caught.value)


def test_two_garments_of_one_name_are_explained(tmp_path: Path) -> None:
    """Both files are named, and what to do."""
    first = write_apron(tmp_path)
    (tmp_path / "b").mkdir()
    second = write_apron(tmp_path / "b")
    request = Request((GarmentAsked(str(first)), GarmentAsked(str(second))), {"main": "140cm"})
    with pytest.raises(OutfitError, match="two garments are called 'apron S'") as caught:
        order_of(request)
    assert str(first) in str(caught.value)
    assert str(second) in str(caught.value)
    assert "called" in str(caught.value)


def test_an_order_file_is_told_by_what_it_says(tmp_path: Path) -> None:
    """Whatever it is called."""
    assert says_order(written(tmp_path, CLASS, "trousers.toml"))
    assert not says_order(tmp_path / "apron.toml")
    # A garment file with a word too many is still one; an order with pieces in it is none.
    assert not says_order(written(tmp_path, 'garment = "skirt"\n[[piece]]\nname = "front"\n'))
    assert says_order(written(tmp_path, f'{ONE}[[piece]]\nname = "front"\n'))
    assert not says_order(tmp_path / "nothing.toml")


def test_a_role_without_cloth_is_told_in_words_of_the_file(tmp_path: Path) -> None:
    """Whoever wrote a file has no options to add."""
    from plans.errors import ContradictionError
    from plans.orders.planning import plan_order_file

    path = tmp_path / "order.toml"
    path.write_text('cloth = { base = "140cm" }\n[[garment]]\nname = "layered-top"\n')
    with pytest.raises(ContradictionError, match="no cloth for role 'overlay'") as caught:
        plan_order_file(path)
    assert 'overlay = "FABRIC"' in str(caught.value)
    assert "--cloth" not in str(caught.value)
