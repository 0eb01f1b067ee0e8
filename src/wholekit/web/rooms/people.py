"""People of the house: who may sign in, in what role."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.quotes import Person, PersonRole
from wholekit.domain.quotes.roles import Action
from wholekit.services.accounts import (
    Seated,
    account_names,
    coded_names,
    end_account,
    end_codes,
    end_seats,
    give_account,
)
from wholekit.services.customers import list_people, set_person
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import page
from wholekit.web.seats import deed_of, posted, sits, text_of

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Owner = Annotated[Seated, sits(Action.ENTER_PEOPLE)]


@room.get("/people")
def people(request: Request, _seated: Owner) -> Response:
    """Everybody of the house."""
    return _people(request)


@room.post("/people")
def change(request: Request, _seated: Owner, form: Form) -> Response:
    """Enter somebody, change a role, give a password anew, end where they are signed in, or end
    the account itself."""
    place, deed = place_of(request), deed_of(request)
    name, told = text_of(form, "name").casefold(), ""
    try:
        what = text_of(form, "deed")
        if what in ("enter", "role"):
            roles = {role.value: role for role in PersonRole}
            role = roles.get(text_of(form, "role"))
            if role is None:
                raise CallError("role-wanted", known=list(roles))
            old = next((each for each in list_people(place.desk, deed) if each.name == name), None)
            # Who is entered already keeps the name they go by, unless another is told.
            full = text_of(form, "full_name") or ("" if old is None else old.full_name)
            set_person(place.desk, deed, Person(name, role, full))
        elif what == "password":
            told = give_account(place.desk, deed, place.keys, name)
        elif what == "codes":
            end_codes(place.desk, deed, name)
        elif what == "end":
            end_seats(place.desk, deed, name)
        elif what == "close":
            if not text_of(form, "sure"):
                raise CallError("account-end-sure", name=name)
            end_account(place.desk, deed, name)
    except WholekitError as error:
        return _people(request, sentences(error), status_of(error))
    # Not by reading anew: the password is told this once.
    return _people(request, told=(name, told) if told else ())


def _people(
    request: Request,
    said: tuple[str, ...] | list[str] = (),
    status: int = 200,
    told: tuple[str, ...] = (),
) -> Response:
    place, deed = place_of(request), deed_of(request)
    return page(
        request,
        "people.html",
        status,
        people=list_people(place.desk, deed),
        accounts=account_names(place.desk, deed),
        coded=coded_names(place.desk, deed),
        roles=[role.value for role in PersonRole],
        said=said,
        told=told,
    )
