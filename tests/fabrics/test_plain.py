"""Plain widths with properties, and prices as they are typed."""

from __future__ import annotations

import pytest

from fabrics.plain import plain_fabric
from fabrics.price import PriceError, parse_price
from fabrics.shelf import find_fabric
from pieces.findings import InputError
from pieces.lengths import YARD_MM, LengthError


def test_properties_follow_a_width() -> None:
    """Selvage, shrinkage along x across, nap, in any order."""
    cloth = plain_fabric("140cm,selvage=0,shrinkage=4%x2%,nap")
    assert (cloth.width, cloth.selvage) == (1400.0, 0.0)
    assert (cloth.shrink_along, cloth.shrink_across) == pytest.approx((0.04, 0.02))
    assert cloth.one_way
    assert cloth.shrinkage_known
    other = plain_fabric("60 in, washed, grainless, reversible, selvage=1/2in, step=1/4yd")
    assert other.washed
    assert other.grainless
    assert other.faces_alike
    assert other.selvage == pytest.approx(12.7)
    assert other.step == pytest.approx(YARD_MM / 4.0)
    priced = plain_fabric("140cm,price=12.50 EUR/m")
    assert (priced.price, priced.currency, priced.price_unit) == (12.5, "EUR", 1000.0)


def test_a_decimal_comma_parts_no_properties() -> None:
    """1,5 cm is one and a half centimetres."""
    cloth = plain_fabric("137,5cm,selvage=1,5cm,shrinkage=2,5%")
    assert (cloth.width, cloth.selvage) == (1375.0, 15.0)
    assert cloth.shrink_along == cloth.shrink_across == pytest.approx(0.025)


def test_without_properties_nobody_stated_a_shrinkage() -> None:
    """0 % is then nobody's figure, and what it is sold in is asked for."""
    assert not plain_fabric("140cm").shrinkage_known
    assert not plain_fabric("140cm").own_step
    assert plain_fabric("60in").own_step
    assert plain_fabric("54½ in").own_step
    assert plain_fabric("140cm,shrinkage=0%").shrinkage_known


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("140cm,napp", "did you mean nap"),
        ("140cm,shrink=4%", "did you mean shrinkage"),
        ("140cm,nap=yes", "takes no value"),
        ("140cm,selvage", "write selvage=1.5cm"),
        ("140cm,shrinkage=lots", "write 4%x2%"),
        ("140cm,shrinkage=60%", "below 50 %"),
        ("140cm,shrinkage=-3%", "write 4%x2%"),
        ("140cm,selvage=-1cm", "negative"),
        ("140cm,selvage=70cm", "take 140 cm of it"),
        ("60in,selvage=30in", "take 60 in of it"),
        ("140cm,price=12", "12/m or 12/yd"),
        ("140cm,step=0", "no length to cut"),
        ("140", "no unit"),
    ],
)
def test_slips_in_properties_say_what_would_be_right(text: str, part: str) -> None:
    """Each names what stands there."""
    with pytest.raises(LengthError, match=r".") as caught:
        plain_fabric(text)
    assert part in str(caught.value)
    with pytest.raises(InputError):
        find_fabric(text)


def test_a_price_carries_its_unit() -> None:
    """Metres, yards, any length; a bare number only where something says what it is for."""
    assert parse_price("12/m").unit == 1000.0
    assert parse_price("11.90 EUR/yd") == parse_price("11,90EUR/1 yd")
    assert parse_price("3/0.5m").unit == 500.0
    assert parse_price("12", YARD_MM).unit == YARD_MM
    for text in ("12", "abc", "-3/m", "12/furlong", "12/0m", ""):
        with pytest.raises(PriceError):
            parse_price(text)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("140cm,selvage=1cm,selvage=2cm", "says selvage twice"),
        ("140cm,nap,NAP", "says nap twice"),
        ("140cm,", "nothing follows its last comma"),
        ("140cm,shrinkage=-0%", "write 4%x2%"),
    ],
)
def test_properties_are_said_once_and_wholly(text: str, part: str) -> None:
    """Twice, half or with a minus is a slip; capitals are none."""
    with pytest.raises(LengthError) as caught:
        plain_fabric(text)
    assert part in str(caught.value)
    assert plain_fabric("140cm,Nap").one_way


def test_a_currency_may_lead() -> None:
    """As most people write it."""
    assert parse_price("€12/m") == parse_price("12 €/m")
    assert parse_price("$ 11.50/yd").currency == "$"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("nan/m", "nan is no number"),
        ("inf/m", "inf is endless"),
        ("1e308/m", "1e308 has an exponent; write the figure out"),
        ("9" * 400 + "/m", "more than any price"),
        ("12/1e3m", "1e3 has an exponent"),
    ],
)
def test_what_is_no_amount_is_told_for_what_it_is(text: str, told: str) -> None:
    """No number, an endless one, one with an exponent, one too large."""
    with pytest.raises(PriceError, match=told):
        parse_price(text)
