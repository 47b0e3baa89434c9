"""All views of cloth."""

from __future__ import annotations

from plans.page.cloth import fabrics, keeping, overview, uses

ROUTES = [*overview.ROUTES, *fabrics.ROUTES, *keeping.ROUTES, *uses.ROUTES]
