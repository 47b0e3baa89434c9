"""All views of plans."""

from __future__ import annotations

from plans.page.planning import form, keeping, listing, refolding, searching, showing

ROUTES = [
    *form.ROUTES,
    *listing.ROUTES,
    *keeping.ROUTES,
    *refolding.ROUTES,
    *searching.ROUTES,
    *showing.ROUTES,
]
