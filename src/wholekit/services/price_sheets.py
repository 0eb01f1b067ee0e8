"""What was told of suppliers' price sheets: kept with a load, offered the next time, taken back."""

from wholekit.domain.catalog.price_sheet import KeptPriceSheet, PriceSheet
from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, need_line, note
from wholekit.services.ports import Store, UnitOfWork
from wholekit.services.rights import needs

MOST_HEADINGS = 400


@needs(Action.LOAD_CATALOGS)
def kept_price_sheet(store: Store, deed: Deed, catalog: str) -> KeptPriceSheet | None:
    """What is kept for a catalogue, with when and by whom; None where nothing ever was."""
    with store.reading() as uow:
        return uow.price_sheets.get(catalog)


@needs(Action.LOAD_CATALOGS)
def clear_price_sheet(store: Store, deed: Deed, catalog: str) -> None:
    """Take back all that was told of a supplier's sheets. Raises CallError, ConflictError."""
    with store.writing() as uow:
        old = uow.price_sheets.get(catalog)
        if old is None or old.told == PriceSheet():
            raise CallError("price-sheet-none", id=catalog)
        kept = KeptPriceSheet(catalog, PriceSheet(), deed.at, deed.who, old.version + 1)
        uow.price_sheets.save(kept, old.version)
        note(uow, deed, "price-sheet-cleared", "catalog", catalog, before=old.told)
        uow.commit()


def put_told(uow: UnitOfWork, deed: Deed, catalog: str, told: PriceSheet) -> None:
    """Keep what was told, beside the headings of older sheets; nothing where it is known already.

    Raises CallError, ConflictError.
    """
    _check(told, catalog)
    old = uow.price_sheets.get(catalog)
    if old is None:
        uow.price_sheets.add(KeptPriceSheet(catalog, told, deed.at, deed.who))
        note(uow, deed, "price-sheet-kept", "catalog", catalog, after=told)
        return
    now = PriceSheet(told.sheet, {**old.told.columns, **told.columns}, told.whole)
    _check(now, catalog)
    if now == old.told:
        return
    kept = KeptPriceSheet(catalog, now, deed.at, deed.who, old.version + 1)
    uow.price_sheets.save(kept, old.version)
    note(uow, deed, "price-sheet-kept", "catalog", catalog, before=old.told, after=now)


def _check(told: PriceSheet, catalog: str) -> None:
    for text in (told.sheet, *told.columns, *told.columns.values()):
        need_line(text, "heading")
    if len(told.columns) > MOST_HEADINGS:
        raise CallError("price-sheet-over-limit", most=MOST_HEADINGS, id=catalog)
