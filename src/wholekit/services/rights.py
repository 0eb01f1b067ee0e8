"""Who asks, held against the table of rights: every action and every read begins here."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import wraps
from typing import Any, TypeVar, cast

from wholekit.domain.errors import CallError
from wholekit.domain.quotes.people import PersonRole
from wholekit.domain.quotes.roles import BY_NAME_ALONE, BY_NOBODY, RIGHTS, Action, may
from wholekit.services.desk import Deed, Desk
from wholekit.services.ports import Store, UnitOfWork

Service = TypeVar("Service", bound=Callable[..., Any])
# The action of every function that asks for one, by its full name.
ASKED: dict[str, Action] = {}


def needs(action: Action, *, once: bool = False) -> Callable[[Service], Service]:
    """For a function of (desk or store, deed, …): refused before it looks at anything else, and
    asked again in the transaction that it writes in.

    once: it opens one transaction before anything else, whatever it is given, and is asked in that.

    The wrapped function raises CallError (`person-unknown`, `owner-needed`, `right-needed`,
    `name-asked`) where the deed's name has no right to the action.
    """

    def wrap(service: Service) -> Service:
        @wraps(service)
        def asked(place: Desk | Store, deed: Deed, *given: Any, **named: Any) -> Any:  # noqa: ANN401
            store = place.store if isinstance(place, Desk) else place
            if not once:
                with store.reading() as uow:
                    need_right(uow, deed, action)
            asking = _AskingStore(store, deed, action, once)
            at = replace(place, store=asking) if isinstance(place, Desk) else asking
            return service(at, deed, *given, **named)

        ASKED[f"{service.__module__}.{service.__qualname__}"] = action
        return cast("Service", asked)

    return wrap


@dataclass(frozen=True, slots=True)
class _AskingStore:
    """A store in which nobody writes who has lost the right since it was first asked for. once: it
    was not asked for before, and nobody reads without it either."""

    store: Store
    deed: Deed
    action: Action
    once: bool

    @contextmanager
    def reading(self) -> Iterator[UnitOfWork]:
        with self.store.reading() as uow:
            if self.once:
                need_right(uow, self.deed, self.action)
            yield uow

    @contextmanager
    def writing(self) -> Iterator[UnitOfWork]:
        with self.store.writing() as uow:
            # Before anything else is held: whoever restores a backup waits in the same order.
            need_right(uow, self.deed, self.action, held=True)
            yield uow


def need_right(uow: UnitOfWork, deed: Deed, action: Action, *, held: bool = False) -> None:
    """Raises CallError unless the deed's name may do this, or the house has entered nobody.

    Where anybody has an account, a name that was not shown by signing in is nobody's. held: whoever
    it is keeps the right until the unit of work ends. One question, for somebody who is known.
    """
    found = uow.people.standing(deed.who, held=held)
    known = [] if found else sorted(each.name for each in uow.people.all())
    if not found and not known:
        return
    person, accounts = found or (None, uow.accounts.any())
    if not deed.proven and accounts:
        raise CallError("sign-in-needed", what=action)
    if action in BY_NAME_ALONE and not deed.named:
        raise CallError("name-asked", what=action)
    if person is None and not deed.named and action in BY_NOBODY:
        return
    if person is None:
        raise CallError("person-unknown", who=deed.who, what=action, known=known)
    if may(person.role, action):
        return
    having = RIGHTS.get(action, frozenset())
    if having == {PersonRole.OWNER}:
        raise CallError("owner-needed", who=deed.who, what=action)
    raise CallError(
        "right-needed",
        who=deed.who,
        role=person.role.value,
        what=action,
        having=[role.value for role in PersonRole if role in having],
    )


def has_right(place: Desk | Store, deed: Deed, action: Action) -> bool:
    """Whether the deed's name may do this."""
    store = place.store if isinstance(place, Desk) else place
    with store.reading() as uow:
        try:
            need_right(uow, deed, action)
        except CallError:
            return False
    return True


def role_of(uow: UnitOfWork, who: str) -> PersonRole:
    """The role of a name; an owner's while the house has entered nobody, and the least for
    somebody it does not know."""
    person = uow.people.get(who)
    if person is not None:
        return person.role
    return PersonRole.COUNTER if uow.people.all() else PersonRole.OWNER
