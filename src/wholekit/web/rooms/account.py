"""One's own account: the one-time codes that are asked for at the door."""

import re
from typing import Annotated

import segno
from fastapi import APIRouter, Depends, Request
from markupsafe import Markup
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import Seated, asks_codes, set_codes
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, page
from wholekit.web.seats import deed_of, posted, sits, text_of

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Keeps = Annotated[Seated, sits(Action.KEEP_ACCOUNT)]
GROUP = 4
SECRET = re.compile("[A-Z2-7]{32}")


@room.get("/account/codes")
def codes(request: Request, seated: Keeps) -> Response:
    """One-time codes: on with a new secret to be read by a telephone, or off."""
    return _codes(request, seated)


@room.post("/account/codes")
def change(request: Request, seated: Keeps, form: Form) -> Response:
    """Ask for codes once one was shown to work, or no longer."""
    place, deed = place_of(request), deed_of(request)
    on = text_of(form, "deed") != "off"
    secret = text_of(form, "secret") if on else ""
    try:
        if on and not SECRET.fullmatch(secret):
            raise CallError("one-time-code-wrong")
        password = str(form.get("password", ""))[:1_000]
        set_codes(place.desk, deed, place.keys, password, secret, text_of(form, "code"))
    except CallError as error:
        return _codes(request, seated, sentences(error), status_of(error), secret)
    return go("/account/codes")


def _codes(
    request: Request,
    seated: Seated,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
    secret: str = "",
) -> Response:
    place = place_of(request)
    asked = asks_codes(place.desk, deed_of(request))
    # The same one while a code of it is tried: the telephone has read it already.
    shown = secret if SECRET.fullmatch(secret) else place.keys.secret()
    return page(
        request,
        "codes.html",
        status,
        asked=asked,
        secret="" if asked else shown,
        groups=[shown[at : at + GROUP] for at in range(0, len(shown), GROUP)],
        picture=""
        if asked
        else _picture(place.keys.address(shown, seated.person.name, place.style().card.name)),
        said=said,
    )


def _picture(text: str) -> Markup:
    """A code to be read by a telephone, as a drawing of the page: dark on light in any scheme."""
    drawn = segno.make_qr(text, error="m").svg_inline(
        scale=5, border=4, dark="#000", light="#fff", svgclass="qr", lineclass=None
    )
    return Markup(drawn)  # noqa: S704  # drawn here, without a text in it
