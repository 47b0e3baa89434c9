"""Prices as they are typed: an amount, perhaps a currency, and the length that it is for."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fabrics.folds.errors import FabricError
from pieces.files.kinds import in_hundredths
from pieces.lengths import MOST, LengthError, parse_length, unfit_figure

_PRICE = re.compile(
    r"^(?P<sign>[^\d\s/.,+-]{0,8})\s*(?P<amount>\d+(?:[.,]\d+)?)"
    r"\s*(?P<currency>[^\d\s/.,]{0,8})\s*(?:/\s*(?P<per>.+))?$"
)


class PriceError(FabricError):
    """A price that cannot be read; the message says what would be right."""


@dataclass(frozen=True)
class Price:
    """An amount of a currency (perhaps not named) for `unit` mm of cloth."""

    amount: float
    currency: str
    unit: float


def money(amount: float) -> str:
    """Print an amount in hundredths, rounded as a till does."""
    return f"{in_hundredths(amount):.2f}"


def parse_price(text: str, default_unit: float | None = None) -> Price:
    """Read `12/m`, `12.50 EUR/yd`, `3/0.5m`; without a length it is for `default_unit` mm.

    Raises
    ------
    PriceError
        If there is no amount, it is negative, or nothing says what length it is for.
    """
    unfit = unfit_figure(text)
    if unfit:
        raise PriceError(f"'{text}' is no price: {unfit}")
    match = _PRICE.match(text.strip())
    if match is None:
        raise PriceError(f"'{text}' is no price; write 12/m, 12.50/yd or '12.50 EUR/m'")
    if match["per"] is None:
        if default_unit is None:
            raise PriceError(f"'{text}' for how much cloth? Write {text}/m or {text}/yd")
        unit = default_unit
    else:
        per = match["per"].strip()
        try:
            unit = parse_length(per if per[:1].isdigit() else f"1 {per}")
        except LengthError as error:
            raise PriceError(f"'{text}': {error}") from error
    amount = float(match["amount"].replace(",", "."))
    if amount > MOST:
        raise PriceError(f"'{text[:20]}...' is more than any price; write 12/m or 12.50/yd")
    if unit <= 0.0:
        raise PriceError(f"'{text}' is no price; write 12/m or 12.50/yd")
    return Price(amount, match["currency"] or match["sign"], unit)
