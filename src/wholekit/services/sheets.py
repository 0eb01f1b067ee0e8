"""What was chosen of a customer's sheets: kept, offered the next time, taken back."""

from dataclasses import replace

from wholekit.domain.errors import CallError
from wholekit.domain.openings.sheet import KeptChoices, SheetChoices
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk, need_line, note
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs

MOST_KEPT = 2_000


@needs(Action.SEE_CUSTOMERS)
def kept_sheet(desk: Desk, deed: Deed, customer: str) -> KeptChoices | None:
    """What is kept for a customer, with when and by whom; None where nothing ever was.

    Raises CallError (`customer-unknown`).
    """
    with desk.store.reading() as uow:
        _need_customer(uow, customer)
        return uow.sheets.get(customer)


@needs(Action.SEE_CUSTOMERS)
def kept_choices(desk: Desk, deed: Deed, customer: str) -> SheetChoices:
    """The choices to offer for a customer's next sheet. Raises CallError."""
    with desk.store.reading() as uow:
        _need_customer(uow, customer)
        kept = uow.sheets.get(customer)
    return SheetChoices() if kept is None else kept.choices


@needs(Action.EDIT_CUSTOMERS)
def keep_choices(desk: Desk, deed: Deed, customer: str, choices: SheetChoices) -> KeptChoices:
    """Keep choices beside those that are there; what was chosen anew goes before.

    Raises CallError (also past two thousand of them), ConflictError.
    """
    with desk.store.writing() as uow:
        old, new = _put(uow, deed, customer, choices)
        note(uow, deed, "sheet-choices-kept", "customer", customer, before=old, after=new.choices)
        uow.commit()
    return new


@needs(Action.EDIT_CUSTOMERS)
def clear_choices(desk: Desk, deed: Deed, customer: str) -> KeptChoices:
    """Take back all that was kept for a customer. Raises CallError, ConflictError."""
    with desk.store.writing() as uow:
        old, new = _put(uow, deed, customer, None)
        note(uow, deed, "sheet-choices-cleared", "customer", customer, before=old)
        uow.commit()
    return new


def _put(
    uow: UnitOfWork, deed: Deed, customer: str, choices: SheetChoices | None
) -> tuple[SheetChoices | None, KeptChoices]:
    """Writes choices over those that are there, or none at all: those before, and what is now."""
    _need_customer(uow, customer)
    old = uow.sheets.get(customer)
    if choices is None:
        now = SheetChoices()
    else:
        now = choices if old is None else choices.over(old.choices)
    _check(now)
    if old is None:
        new = KeptChoices(customer, now, deed.at, deed.who)
        uow.sheets.add(new)
        return None, new
    new = replace(old, choices=now, at=deed.at, by=deed.who, version=old.version + 1)
    uow.sheets.save(new, old.version)
    return old.choices, new


def _check(choices: SheetChoices) -> None:
    """Raises CallError for texts that cannot be printed in a line, and for too many."""
    cells = [text for given in choices.values.values() for pair in given.items() for text in pair]
    for text in (choices.sheet, *choices.columns, *choices.columns.values(), *cells):
        need_line(text, "choice")
    if len(choices.columns) + len(cells) // 2 > MOST_KEPT:
        raise CallError("sheet-choices-over-limit", most=MOST_KEPT)


def _need_customer(uow: UnitOfWork, customer: str) -> None:
    if uow.customers.get(customer) is None:
        raise CallError("customer-unknown", name=customer)
