"""Who sits at the browser: the cookie, the right to a page, the key of its forms."""

from collections.abc import AsyncIterator, Callable
from secrets import compare_digest
from typing import Any

from fastapi import Depends, Request, Response
from starlette.datastructures import FormData, UploadFile

from wholekit.domain.quotes.roles import Action, may
from wholekit.services.accounts import Seated, TakenSeat, seated
from wholekit.services.desk import Deed
from wholekit.services.rights import need_right
from wholekit.web.place import WebPlace, place_of

COOKIE = "seat"
# A browser keeps such a cookie only from a host reached by TLS, and sends it to that host alone.
SAFE_COOKIE = "__Host-seat"
DOOR_KEY = "door"
FORM_KEY = "form_key"
MOST_FIELDS, MOST_FILES = 2_000, 4
# A sheet comes back as a field, a third longer than its file.
MOST_IN_FIELD = 9 * 1024 * 1024


class SignInAskedError(Exception):
    """Nobody sits there."""


class PasswordAskedError(Exception):
    """Somebody does, with a password that an owner gave and that is to be changed first."""


class FormKeyError(Exception):
    """A form came that was not of a page of ours, or of one from before signing in."""


class Seating:
    """Asks who sits there and whether they may; what a page depends on.

    action: that the page is for; None for whoever has signed in. changing: also while a password
    is still to be changed.
    """

    def __init__(self, action: Action | None, *, changing: bool = False) -> None:
        self.action = action
        self.changing = changing

    def __call__(self, request: Request) -> Seated:
        """Who sits there. Raises SignInAskedError, PasswordAskedError, CallError."""
        place = place_of(request)
        now = place.clock()
        found = seated(
            place.desk.store, place.keys, now, request.cookies.get(cookie_name(place), "")
        )
        if found is None or found.seat.label:
            raise SignInAskedError
        request.state.seated = found
        if found.must_change and not self.changing:
            raise PasswordAskedError
        if self.action is not None and not may(found.person.role, self.action):
            # Told in the words of the table of rights.
            with place.desk.store.reading() as uow:
                need_right(uow, found.deed(now), self.action)
        return found


def sits(action: Action | None = None, *, changing: bool = False) -> Any:  # noqa: ANN401  # as the framework has it
    """Who sits there, for a page's signature."""
    return Depends(Seating(action, changing=changing))


async def posted(request: Request) -> AsyncIterator[FormData]:
    """The form that was posted, once it is known to be one of ours.

    A page depends on it behind who sits there. Raises FormKeyError.
    """
    known: Seated | None = getattr(request.state, "seated", None)
    expected = request.cookies.get(DOOR_KEY, "") if known is None else known.seat.form_key
    # Files that came with it are let go of when the page was answered.
    async with request.form(
        max_files=MOST_FILES, max_fields=MOST_FIELDS, max_part_size=MOST_IN_FIELD
    ) as form:
        _need_key(form, expected)
        yield form


def _need_key(form: FormData, expected: str) -> None:
    given = form.get(FORM_KEY)
    if (
        not isinstance(given, str)
        or not expected
        or not compare_digest(given.encode(errors="replace"), expected.encode())
    ):
        raise FormKeyError


def text_of(form: FormData, name: str) -> str:
    """A field of a form, as one that was left empty where it is missing."""
    given = form.get(name)
    return given.strip() if isinstance(given, str) else ""


def texts_of(form: FormData, name: str) -> list[str]:
    """All values of a field."""
    return [given.strip() for given in form.getlist(name) if isinstance(given, str)]


def file_of(form: FormData, name: str) -> UploadFile | None:
    """A file of a form; None where none was chosen."""
    given = form.get(name)
    return given if isinstance(given, UploadFile) and given.filename else None


def deed_of(request: Request) -> Deed:
    """What whoever sits there does or asks, now."""
    known: Seated = request.state.seated
    return known.deed(place_of(request).clock())


def cookie_name(place: WebPlace) -> str:
    """The name of the seat's cookie."""
    return SAFE_COOKIE if place.secure else COOKIE


def seat_cookie(response: Response, place: WebPlace, taken: TakenSeat) -> None:
    """Give the browser its seat."""
    response.set_cookie(
        cookie_name(place),
        taken.token,
        httponly=True,
        samesite="strict",
        secure=place.secure,
        path="/",
    )


def actions_of(dependant: Any) -> list[Seating]:  # noqa: ANN401  # the framework's
    """The seatings that a route asks for, wherever they stand in it."""
    found: list[Seating] = [dependant.call] if isinstance(dependant.call, Seating) else []
    for inner in dependant.dependencies:
        found += actions_of(inner)
    return found


Page = Callable[..., Response]
