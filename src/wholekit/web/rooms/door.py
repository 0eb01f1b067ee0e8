"""In and out: signing in, signing out, one's own password."""

from secrets import token_urlsafe
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.accounts import SHORTEST_PASSWORD
from wholekit.domain.errors import CallError
from wholekit.services.accounts import Seated, ToldSignIn, change_password, sign_in, sign_out
from wholekit.web.faults import sentences
from wholekit.web.place import place_of
from wholekit.web.screens import LANGUAGE_COOKIE, go, page
from wholekit.web.seats import (
    DOOR_KEY,
    cookie_name,
    deed_of,
    posted,
    seat_cookie,
    sits,
    text_of,
)
from wholekit.wording.speech import LANGUAGES

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
AN_HOUR, A_YEAR = 3_600, 31_536_000


@room.get("/sign-in")
def door(request: Request, then: str = "") -> Response:
    """The page at the door."""
    return _door(request, then, (), 200)


@room.post("/sign-in")
def come_in(request: Request, form: Form) -> Response:
    """Let somebody in; wrong ones are told so, and nothing more."""
    place = place_of(request)
    told = ToldSignIn(
        text_of(form, "name")[:120],
        str(form.get("password", ""))[:1_000],
        text_of(form, "code"),
        "" if request.client is None else request.client.host,
    )
    try:
        taken = sign_in(place.desk.store, place.keys, place.clock(), told)
    except CallError as error:
        return _door(request, text_of(form, "then"), sentences(error), 401, told.name)
    response = go("/password" if taken.must_change else _inside(text_of(form, "then")))
    seat_cookie(response, place, taken)
    response.delete_cookie(DOOR_KEY)
    return response


@room.post("/sign-out")
def go_out(
    request: Request, seated: Annotated[Seated, sits(changing=True)], _form: Form
) -> Response:
    """Give the seat up."""
    place = place_of(request)
    sign_out(place.desk.store, place.clock(), seated.seat)
    response = go("/sign-in")
    response.delete_cookie(cookie_name(place), secure=place.secure, httponly=True)
    return response


@room.get("/password")
def password(request: Request, seated: Annotated[Seated, sits(changing=True)]) -> Response:
    """One's own password."""
    return page(
        request, "password.html", least=SHORTEST_PASSWORD, asked=seated.must_change, said=()
    )


@room.post("/password")
def set_password(
    request: Request, seated: Annotated[Seated, sits(changing=True)], form: Form
) -> Response:
    """Change it; every other seat of the same person ends."""
    place = place_of(request)
    new = str(form.get("new", ""))
    try:
        if new != str(form.get("again", "")):
            raise CallError("passwords-differ")
        old = str(form.get("old", ""))[:1_000]
        change_password(place.desk, deed_of(request), place.keys, old, new, seated.seat.digest)
    except CallError as error:
        return page(
            request,
            "password.html",
            422,
            least=SHORTEST_PASSWORD,
            asked=seated.must_change,
            said=sentences(error),
        )
    return go("/")


@room.post("/language")
def language(_seated: Annotated[Seated, sits(changing=True)], form: Form) -> Response:
    """The language of this browser's screens."""
    response = go(_inside(text_of(form, "then")))
    chosen = text_of(form, "language")
    if chosen in LANGUAGES:
        response.set_cookie(
            LANGUAGE_COOKIE, chosen, max_age=A_YEAR, httponly=True, samesite="strict"
        )
    return response


def _door(
    request: Request, then: str, said: tuple[str, ...] | list[str], status: int, name: str = ""
) -> Response:
    key = request.cookies.get(DOOR_KEY) or token_urlsafe(24)
    response = page(
        request, "door.html", status, then=_inside(then), said=said, name=name, door_key=key
    )
    # Shows that the form was of a page of ours, before anybody has a seat.
    response.set_cookie(
        DOOR_KEY,
        key,
        max_age=AN_HOUR,
        httponly=True,
        samesite="strict",
        secure=place_of(request).secure,
    )
    return response


def _inside(then: str) -> str:
    """A page of ours to go on to.

    >>> _inside("/jobs/3"), _inside("//elsewhere.example/"), _inside("https://elsewhere.example")
    ('/jobs/3', '/', '/')
    """
    inside = then.startswith("/") and not then.startswith(("//", "/\\")) and then.isprintable()
    return then if inside else "/"
