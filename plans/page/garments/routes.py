"""All views of garments."""

from __future__ import annotations

from plans.page.garments import beginning, drafting, drawn, listing, photographs, showing, text

ROUTES = [
    *listing.ROUTES,
    *beginning.ROUTES,
    *drawn.ROUTES,
    *photographs.ROUTES,
    *drafting.ROUTES,
    *text.ROUTES,
    *showing.ROUTES,
]
