"""All views of plans; `/plans/new` comes before a plan of any name."""

from __future__ import annotations

from plans.page.planning import form, keeping, listing, refolding, showing

ROUTES = [
    *form.ROUTES,
    *listing.ROUTES,
    *keeping.ROUTES,
    *refolding.ROUTES,
    *showing.ROUTES,
]
