"""Whether the program answers, and what it tells of its work."""

from fastapi import APIRouter, Request
from prometheus_client import CONTENT_TYPE_LATEST, generate_latest
from starlette.responses import PlainTextResponse, Response

from wholekit.services.accounts import has_accounts
from wholekit.web.place import place_of

room = APIRouter()
LOOPBACK = frozenset({"127.0.0.1", "::1"})


@room.get("/health")
def health(request: Request) -> Response:
    """`well` where the store can be read; any fault of it is told by status 503."""
    has_accounts(place_of(request).desk.store)
    return PlainTextResponse("well\n")


@room.get("/metrics")
def metrics(request: Request) -> Response:
    """Counts and times, to whoever asks from this machine; nothing of what they are about."""
    if request.client is None or request.client.host not in LOOPBACK:
        return PlainTextResponse("", 404)
    text = generate_latest(request.app.state.measures.registry)
    return Response(text, media_type=CONTENT_TYPE_LATEST)
