"""The application: every view, behind the one door."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import ClientDisconnect
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from fabrics.folds.errors import FabricError
from layout.errors import LayoutError
from pieces.errors import PieceError
from plans.errors import PlansError
from plans.page.cloth.routes import ROUTES as CLOTH
from plans.page.comparing.views import ROUTES as COMPARING
from plans.page.cutting.views import ROUTES as CUTTING
from plans.page.failures import answer_error
from plans.page.front import start
from plans.page.garments import routes as garments
from plans.page.guard.keys import Keys
from plans.page.guard.safety import Safety
from plans.page.moving import answers as moving
from plans.page.planning import routes as planning
from plans.page.surroundings import Surroundings
from plans.page.work import streams
from plans.page.work.jobs import Jobs

ANSWERED = (
    PieceError, FabricError, LayoutError, PlansError, OSError, HTTPException, ClientDisconnect,
    Exception,
)  # fmt: skip
"""Errors that are put into words. The last one is a fault of ours, which the server tells of, too;
the others would be, were they not named."""

STATIC = Path(__file__).parents[1] / "static"


def make_app(surroundings: Surroundings, keys: Keys, port: int) -> Starlette:
    """Make the application that answers on a port of this machine."""
    jobs = Jobs()

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        jobs.listen()
        yield
        jobs.ask_all_to_end()
        await jobs.ended()

    app = Starlette(
        routes=[
            *start.ROUTES,
            *moving.ROUTES,
            *garments.ROUTES,
            *streams.ROUTES,
            *planning.ROUTES,
            *CLOTH,
            *CUTTING,
            *COMPARING,
            Mount("/static", StaticFiles(directory=STATIC)),
        ],
        middleware=[Middleware(Safety, keys=keys, port=port)],
        exception_handlers=dict.fromkeys(ANSWERED, answer_error),
        lifespan=lifespan,
    )
    app.state.surroundings = surroundings
    app.state.jobs = jobs
    return app
