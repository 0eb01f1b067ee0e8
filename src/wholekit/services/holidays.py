"""The house's holidays: days without work, from which no lead day is counted."""

from collections.abc import Sequence
from dataclasses import replace

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import HousePolicy
from wholekit.domain.quotes.roles import Action
from wholekit.domain.working_days import Holiday
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, check_version, need_line, note
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs


@needs(Action.SEE_HOLIDAYS)
def list_holidays(desk: Desk, deed: Deed) -> Sequence[Holiday]:
    """The holidays in the store, by day."""
    with desk.store.reading() as uow:
        return uow.policy.get().holidays


@needs(Action.CHANGE_SETTINGS)
def add_holiday(
    desk: Desk, deed: Deed, holiday: Holiday, expected: int | None = None
) -> Sequence[Holiday]:
    """A holiday more; all of them then. Raises CallError (no name, day taken), ConflictError."""
    name = " ".join(holiday.name.split())
    if not name:
        raise CallError("holiday-name-needed", day=f"{holiday.day}")
    new = Holiday(holiday.day, need_line(name, "name", LONGEST_NAME))
    with desk.store.writing() as uow:
        old = uow.policy.get()
        check_version("policy", "policy", expected, old.version)
        for known in old.holidays:
            if known.day == new.day:
                raise CallError("holiday-there", day=f"{known.day}", name=known.name)
        changed = _saved(uow, old, (*old.holidays, new))
        note(uow, deed, "holiday-added", "policy", "policy", before=old, after=changed)
        uow.commit()
    return changed.holidays


@needs(Action.CHANGE_SETTINGS)
def remove_holiday(
    desk: Desk, deed: Deed, holiday: Holiday, expected: int | None = None
) -> Sequence[Holiday]:
    """A holiday fewer, by its day; the rest of them. A name that is given must be that of the day.

    Raises CallError, ConflictError.
    """
    name = " ".join(holiday.name.split())
    with desk.store.writing() as uow:
        old = uow.policy.get()
        check_version("policy", "policy", expected, old.version)
        found = {known.day: known for known in old.holidays}.get(holiday.day)
        if found is None:
            near = sorted(old.holidays, key=lambda known: abs(known.day - holiday.day))
            days = [f"{known.day} {known.name}" for known in near[:5]]
            raise CallError("holiday-unknown", day=f"{holiday.day}", known=days)
        if name and name.casefold() != found.name.casefold():
            raise CallError("holiday-other", day=f"{found.day}", name=found.name, given=name)
        left = tuple(known for known in old.holidays if known is not found)
        changed = _saved(uow, old, left)
        note(uow, deed, "holiday-removed", "policy", "policy", before=old, after=changed)
        uow.commit()
    return changed.holidays


def _saved(uow: UnitOfWork, old: HousePolicy, holidays: tuple[Holiday, ...]) -> HousePolicy:
    by_day = tuple(sorted(holidays, key=lambda holiday: holiday.day))
    new = replace(old, holidays=by_day, version=old.version + 1)
    uow.policy.save(new, old.version)
    return new
