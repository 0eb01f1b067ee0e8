"""The application of the screens, with one page more that is ready made: the yardstick."""

import sys

import uvicorn
from fastapi import FastAPI, Request
from starlette.responses import HTMLResponse, Response

from wholekit.web.app import make_app

BYTES = 46_000


def made() -> FastAPI:
    """The application, and a page that is as long as a job page of 50 openings."""
    app = make_app()
    page = b"<p>ready made</p>\n" * (BYTES // 18)

    async def ready(_request: Request) -> Response:
        return HTMLResponse(page)

    app.router.add_route("/ready-made", ready)
    return app


if __name__ == "__main__":
    uvicorn.run(made(), host="127.0.0.1", port=int(sys.argv[1]), log_level="warning")
