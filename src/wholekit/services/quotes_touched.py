"""Open quotes that a load would touch: what they would cost then, what is left of the margin."""

from collections.abc import Mapping
from dataclasses import dataclass

from wholekit.domain.catalog.changes import CatalogChanges
from wholekit.domain.catalog.model import Item
from wholekit.domain.earnings import Drift
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import BASE, Snapshot, State
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk
from wholekit.services.margin_reports import cost_drift
from wholekit.services.ports import RevisionFilter, snapshot_of
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class QuoteTouched:
    """An open quote. lines: those of changed items [count]; dearer: by how much the same goods
    would be dearer, quoted anew at the same multipliers [Money]; now, then: at present cost and
    after the load; gone: its SKUs that the load takes out."""

    quote: str
    job: str
    lines: int
    dearer: Money
    now: Drift
    then: Drift
    gone: tuple[str, ...]


@needs(Action.SEE_COST)
def quotes_touched(desk: Desk, deed: Deed, changes: CatalogChanges) -> tuple[QuoteTouched, ...]:
    """The open quotes with anything that a load changes, those that then lack most first.

    What was quoted stays quoted: a customer pays it, and the margin bears the rise. Base bids.
    """
    after = changes.after
    moved = {each.after.sku: (each.before, each.after) for each in changes.changed}
    gone = {item.sku for item in changes.gone}
    with desk.store.reading() as uow:
        wanted = RevisionFilter(states=frozenset({State.ISSUED}))
        snapshots = {
            snapshot.offer.label: snapshot
            for revision in uow.revisions.matching(wanted)
            if revision.state_on(deed.day) is State.ISSUED
            for snapshot in (snapshot_of(revision),)
        }
    before = {drift.quote: drift for drift in cost_drift(desk, deed)}
    found = []
    for drift in cost_drift(desk, deed, instead={after.id: after}):
        snapshot = snapshots.get(drift.quote)
        if snapshot is None or drift.quote not in before:
            continue
        lines, dearer, lost = _touched(snapshot, after.id, moved, gone)
        if lines or lost:
            now = before[drift.quote]
            found.append(
                QuoteTouched(drift.quote, drift.job, lines, dearer, now, drift, tuple(sorted(lost)))
            )
    return tuple(found)


def _touched(
    snapshot: Snapshot, catalog: str, moved: Mapping[str, tuple[Item, Item]], gone: set[str]
) -> tuple[int, Money, set[str]]:
    offer = snapshot.offer
    lines, dearer = 0, Money.zero(offer.currency)
    lost: set[str] = set()
    for opening in offer.openings:
        if opening.alternate != BASE:
            continue
        own = snapshot.own_kit(opening)
        for line, mine in zip(offer.kit_of(opening).lines, own.lines, strict=True):
            if line.catalog_id != catalog:
                continue
            if line.sku in gone:
                lost.add(line.sku)
            if line.sku not in moved:
                continue
            was, now = moved[line.sku]
            if (was.list_price, was.cost) == (now.list_price, now.cost):
                continue
            lines += 1
            if now.list_price.currency == offer.currency == was.list_price.currency:
                unit = now.list_price.scaled(mine.multiplier) - was.list_price.scaled(
                    mine.multiplier
                )
                dearer += unit.times(line.quantity * opening.quantity)
    return lines, dearer, lost
