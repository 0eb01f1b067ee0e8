"""The application: rooms put together."""

import gc
import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import cache

from fastapi import FastAPI
from starlette.responses import FileResponse, Response
from starlette.staticfiles import StaticFiles

from wholekit import bootstrap
from wholekit.documents.press import house_font
from wholekit.settings import BEHIND_TLS
from wholekit.web.api import machines_door
from wholekit.web.faults import add_faults
from wholekit.web.guards import Guard, Measures
from wholekit.web.paper_worker import PaperWorker
from wholekit.web.place import WebPlace
from wholekit.web.rooms import (
    account,
    alternates,
    asked,
    bags,
    buying,
    cart,
    catalog_loads,
    catalogs,
    customers,
    door,
    exports,
    find,
    health,
    house,
    job_page,
    jobs,
    opening,
    owner,
    owner_stock,
    papers,
    people,
    picking,
    quotes,
    receiving,
    sheet,
    ship_tos,
    shipping,
    start,
    stuck,
    terms,
)
from wholekit.web.screens import looks, statics

ROOMS = (
    health,
    door,
    account,
    start,
    find,
    customers,
    ship_tos,
    jobs,
    asked,
    sheet,
    papers,
    quotes,
    exports,
    alternates,
    opening,
    terms,
    job_page,
    catalogs,
    catalog_loads,
    picking,
    cart,
    bags,
    shipping,
    receiving,
    buying,
    owner,
    owner_stock,
    stuck,
    people,
    house,
)


def make_app() -> FastAPI:
    """The application over the store of the settings; what the server calls in each process.

    Raises StoreError, CallError, InputError.
    """
    style = cache(bootstrap.house_style)
    desk = bootstrap.open_desk(style=style())
    return app_of(
        WebPlace(
            desk,
            bootstrap.house_keys(),
            looks(),
            statics(),
            style,
            # Beside the store, so that they are there when the server has started again.
            bootstrap.settings().papers_folder,
            works=True,
            secure=os.environ.get(BEHIND_TLS, "") == "1",
        )
    )


def app_of(place: WebPlace) -> FastAPI:
    """The application over a place at hand."""

    @asynccontextmanager
    async def life(_app: FastAPI) -> AsyncIterator[None]:
        # What was loaded stays: the collector need not look at it with every page.
        gc.collect()
        gc.freeze()
        worker = PaperWorker(place) if place.works else None
        if worker:
            worker.start()
        yield
        if worker:
            worker.stop()
        bootstrap.close_desk(place.desk)

    app = FastAPI(title="wholekit", lifespan=life, docs_url=None, redoc_url=None, openapi_url=None)
    app.state.place = place
    machines = machines_door()
    machines.state.place = place
    app.mount("/api", machines)
    app.state.measures = measures = Measures()
    add_faults(app)
    app.add_middleware(Guard, measures=measures, secure=place.secure)
    for room in ROOMS:
        app.include_router(room.room)

    @app.get("/static-font/upright.ttf")
    def font() -> Response:
        return FileResponse(
            house_font(), media_type="font/ttf", headers={"cache-control": "max-age=604800"}
        )

    app.mount("/static", StaticFiles(directory=place.statics), name="static")
    return app
