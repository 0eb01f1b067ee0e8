"""Rises that suppliers tell of ahead: noted until their day, then looked over and loaded."""

from collections.abc import Sequence
from fractions import Fraction

from wholekit.domain.catalog.rises import PlannedRise, PriceRise
from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.services.catalog_loads import plan_rise
from wholekit.services.desk import Deed, Desk, note
from wholekit.services.ports import Store
from wholekit.services.rights import needs

# A 6 that was meant as 6 % is six times the price, and refused.
MOST_RISE = Fraction(1, 2)
# Six decimals of a per cent; what has more is no rise that anybody told of.
DECIMALS = 10**8


def need_rise(share: Fraction) -> Fraction:
    """The share, if it is one. Raises CallError.

    >>> need_rise(Fraction(6, 100))
    Fraction(3, 50)
    """
    if not share or abs(share) > MOST_RISE or DECIMALS % share.denominator:
        raise CallError("rise-share-wrong", given=f"{float(share) * 100:g}%")
    return share


@needs(Action.LOAD_CATALOGS)
def planned_rises(store: Store, deed: Deed) -> Sequence[PlannedRise]:
    """What is noted and not loaded yet, by day."""
    with store.reading() as uow:
        return uow.planned_rises.all()


@needs(Action.LOAD_CATALOGS)
def planned_like(store: Store, deed: Deed, catalog: str, rise: PriceRise) -> str:
    """The id of the rise that is noted like this one; empty where there is none."""
    with store.reading() as uow:
        found = (
            each.id
            for each in uow.planned_rises.all()
            if (each.catalog, each.rise) == (catalog, rise)
        )
        return next(found, "")


@needs(Action.LOAD_CATALOGS)
def note_rise(desk: Desk, deed: Deed, catalog: str, rise: PriceRise) -> PlannedRise:
    """Note a rise; no price changes before it is loaded. Raises CallError."""
    need_rise(rise.share)
    # Refuses what there is not: the catalogue, the series.
    plan_rise(desk.store, deed, catalog, rise)
    planned = PlannedRise(desk.ids.new(), catalog, rise, deed.at, deed.who)
    with desk.store.writing() as uow:
        if any((each.catalog, each.rise) == (catalog, rise) for each in uow.planned_rises.all()):
            raise CallError("rise-noted-already", id=catalog, day=rise.day.isoformat())
        uow.planned_rises.add(planned)
        note(uow, deed, "rise-noted", "catalog", catalog, after=rise)
        uow.commit()
    return planned


@needs(Action.LOAD_CATALOGS)
def drop_rise(store: Store, deed: Deed, rise_id: str) -> None:
    """Take a noted rise out; nothing is loaded. Raises CallError."""
    with store.writing() as uow:
        planned = {each.id: each for each in uow.planned_rises.all()}.get(rise_id)
        if planned is None or not uow.planned_rises.remove(rise_id):
            raise CallError("rise-unknown")
        note(uow, deed, "rise-dropped", "catalog", planned.catalog, before=planned.rise)
        uow.commit()
