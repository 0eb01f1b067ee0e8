"""What went wrong, as a page in words."""

import logging
from collections.abc import Callable, Sequence
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from wholekit.domain.errors import CallError, ConflictError, InputError, WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.store.errors import StoreError
from wholekit.web.guards import HEADERS
from wholekit.web.screens import go, page
from wholekit.web.seats import FormKeyError, PasswordAskedError, SignInAskedError
from wholekit.wording.page_problems import say_error_on_page, say_on_page
from wholekit.wording.problems import say_quantity_error
from wholekit.wording.speech import tr

PROBLEMS_SHOWN = 50
_LOG = logging.getLogger("wholekit.web")
_REFUSED = frozenset({"owner-needed", "right-needed", "person-unknown", "name-asked"})
_NOWHERE = frozenset({"job-unknown", "quote-unknown", "bag-unknown", "wave-unknown",
                      "order-unknown", "customer-unknown", "ship-to-unknown",
                      "purchase-unknown", "catalog-not-loaded",
                      "catalog-item-unknown", "paper-unknown",
                      "asked-paper-unknown", "shipment-unknown", "labels-malformed",
                      "labels-nothing", "bag-id-malformed", "bag-id-misread"})  # fmt: skip


def add_faults(app: FastAPI) -> None:
    """Let the application tell them."""
    app.add_exception_handler(SignInAskedError, _sign_in_asked)
    app.add_exception_handler(PasswordAskedError, lambda _request, _error: go("/password"))
    app.add_exception_handler(FormKeyError, _told(403, _form_key))
    app.add_exception_handler(WholekitError, _wrong)
    app.add_exception_handler(QuantityError, _wrong)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _shape)
    app.add_exception_handler(Exception, _fault)


def sentences(error: WholekitError | QuantityError, lines: Sequence[str] = ()) -> list[str]:
    """What was wrong, each fault by itself. lines: of shorthand, as they were sent."""
    if isinstance(error, InputError):
        said = [say_on_page(problem, lines) for problem in error.problems[:PROBLEMS_SHOWN]]
        more = len(error.problems) - len(said)
        return [*said, tr("… and {count} more").format(count=more)] if more > 0 else said
    if isinstance(error, QuantityError):
        return [say_quantity_error(error)]
    return [say_error_on_page(error)]


def status_of(error: WholekitError | QuantityError) -> int:
    """The status of HTTP that an error is answered with.

    >>> status_of(CallError("job-unknown", job="9")), status_of(ConflictError("version-stale"))
    (404, 409)
    """
    if isinstance(error, ConflictError):
        return 409
    if isinstance(error, StoreError):
        return 503
    if isinstance(error, CallError) and error.code in _REFUSED:
        return 403
    return 404 if isinstance(error, CallError) and error.code in _NOWHERE else 422


def _sign_in_asked(request: Request, _error: Exception) -> Response:
    if request.headers.get("x-part"):
        return page(request, "parts/said.html", 401, said=[tr("Sign in again, in another window.")])
    path = request.url.path
    # What was posted is not done by signing in: it is said, and the page stands at its start.
    wanted = path if request.method == "GET" and path != "/" else ""
    return go(f"/sign-in?then={quote(wanted)}" if wanted else "/sign-in")


def _form_key(_request: Request, _error: Exception) -> list[str]:
    return [
        tr(
            "This page is from before you signed in, or it was sent from elsewhere. Nothing was "
            "changed. Go back, load the page anew, and do it again."
        )
    ]


def _wrong(request: Request, error: Exception) -> Response:
    if not isinstance(error, WholekitError | QuantityError):
        raise error
    template = "parts/said.html" if request.headers.get("x-part") else "wrong.html"
    return page(request, template, status_of(error), said=sentences(error))


def _http(request: Request, error: Exception) -> Response:
    if not isinstance(error, HTTPException):
        raise error
    said = {
        404: tr("There is no such page."),
        405: tr("This page is not there for that."),
        413: tr("That is too large to take; up to 25 MB can be sent."),
    }.get(error.status_code, tr("That could not be read; go back and try again."))
    if request.url.path.startswith("/api/"):
        # An address that no route can be of, such as one with a line break.
        return JSONResponse({"code": "no-such-thing", "said": [said]}, error.status_code)
    return page(request, "wrong.html", error.status_code, said=[said])


def _shape(request: Request, _error: Exception) -> Response:
    """An address with a word where a number belongs."""
    return _http(request, HTTPException(404))


def _fault(request: Request, error: Exception) -> Response:
    """A fault of the program: told so, and in its log."""
    said = [
        tr("The program failed here, by a fault of its own. What was confirmed before is there.")
    ]
    _LOG.error("%s %s", request.method, request.url.path, exc_info=error)
    template = "parts/said.html" if request.headers.get("x-part") else "wrong.html"
    answer = page(request, template, 500, said=said)
    # Made outside of what guards every other answer.
    answer.headers.update(HEADERS)
    return answer


def _told(
    status: int, said: Callable[[Request, Exception], list[str]]
) -> Callable[[Request, Exception], Response]:
    def tell(request: Request, error: Exception) -> Response:
        template = "parts/said.html" if request.headers.get("x-part") else "wrong.html"
        return page(request, template, status, said=said(request, error))

    return tell
