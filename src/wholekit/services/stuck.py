"""What is stuck: all that waits for somebody, since when, and until when where a day is known."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TypeVar

from wholekit.domain.buying import UNDER_WAY
from wholekit.domain.orders import Expected, LackingBag, Order
from wholekit.domain.quotes import Job, Revision, State
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk
from wholekit.services.lacks import lacking_bags, waits_of
from wholekit.services.order_port import BagFilter
from wholekit.services.paper_port import AskedPaper, PaperState
from wholekit.services.paper_queue import PAPERS
from wholekit.services.ports import RevisionFilter, UnitOfWork
from wholekit.services.rights import needs
from wholekit.services.waves import PICKABLE

# How far back acceptances are looked at that nobody released, and how many papers.
LOOKED_BACK = timedelta(days=365)
MOST_PAPERS = 60
# A wave is picked in one walk: one of the day before was left lying.
WAVE_DAYS = 1


@dataclass(frozen=True, slots=True)
class StuckQuote:
    """A draft that waits for an owner's word, or an accepted quote that nobody released. label: of
    the revision; days: since then."""

    job: Job
    label: str
    who: str
    days: int


@dataclass(frozen=True, slots=True)
class StuckOrder:
    """An order with bags that lack goods. marks: of those, in order; days: since its release;
    until: when the last of them can be whole, None where nobody knows; late: the working day
    promised is before that, or over; waits: of each bag, what it lacks."""

    order: Order
    job: Job
    marks: tuple[str, ...]
    bags: tuple[str, ...]
    days: int
    until: date | None
    late: bool
    waits: tuple[Expected, ...]


@dataclass(frozen=True, slots=True)
class StuckWave:
    """A wave that is not through. days: since its first scan; None where nobody began a bag."""

    number: int
    picker: str
    bags: int
    days: int | None


@dataclass(frozen=True, slots=True)
class StuckPaper:
    """A paper that could not be made. days: since it was asked for."""

    asked: AskedPaper
    days: int


@dataclass(frozen=True, slots=True)
class StuckPurchase:
    """An order to a supplier of which packs are overdue [count]. days: since the day they were
    due, of those that are longest."""

    label: str
    packs: int
    days: int


Thing = TypeVar("Thing", StuckQuote, StuckOrder, StuckWave, StuckPaper, StuckPurchase)


@dataclass(frozen=True, slots=True)
class Stuck:
    """All that is stuck, in each list the longest first."""

    approvals: tuple[StuckQuote, ...]
    unreleased: tuple[StuckQuote, ...]
    short: tuple[StuckOrder, ...]
    waves: tuple[StuckWave, ...]
    papers: tuple[StuckPaper, ...]
    purchases: tuple[StuckPurchase, ...]

    @property
    def count(self) -> int:
        """How much there is of it."""
        every: Iterable[Sequence[object]] = (
            self.approvals, self.unreleased, self.short, self.waves, self.papers, self.purchases,
        )  # fmt: skip
        return sum(map(len, every))


@needs(Action.SEE_REQUESTS)
def what_is_stuck(desk: Desk, deed: Deed) -> Stuck:
    """What waits for somebody, as it stands at the deed's time."""
    with desk.store.reading() as uow:
        drafts = uow.revisions.waiting()
        accepted = _unreleased(uow, deed)
        bags, orders = lacking_bags(uow)
        wanted = {each.job_id for each in (*drafts, *accepted)}
        wanted |= {order.job_id for order in orders.values()}
        jobs = {job.id: job for job in uow.jobs.several(wanted)}
        waits = waits_of(uow, desk, deed, bags, orders)
        return Stuck(
            _longest(
                StuckQuote(
                    jobs[each.job_id], each.label, each.request.by, _days(deed, each.request.at)
                )
                for each in drafts
                if each.request is not None
            ),
            _longest(
                StuckQuote(
                    jobs[each.job_id],
                    each.label,
                    each.closed_by,
                    _since(deed, each.accepted_on or _day_of(each)),
                )
                for each in accepted
            ),
            _longest(_short(deed, bags, orders, jobs, {each.bag: each for each in waits})),
            _longest(_waves(uow, deed)),
            _longest(
                StuckPaper(asked, _days(deed, asked.asked_at))
                for asked in uow.papers.latest(list(PAPERS), MOST_PAPERS)
                if asked.state is PaperState.FAILED
            ),
            _longest(_overdue(uow, deed)),
        )


def _unreleased(uow: UnitOfWork, deed: Deed) -> list[Revision]:
    """The newest accepted revision of each quote, where nobody sent it to the pick room."""
    states = frozenset({State.ACCEPTED})
    found = uow.revisions.matching(RevisionFilter(deed.day - LOOKED_BACK, states=states))
    newest = {each.quote_number: each for each in sorted(found, key=lambda each: each.number)}
    orders = uow.orders.several({each.id for each in newest.values()})
    return [each for each in newest.values() if each.id not in orders]


def _short(
    deed: Deed,
    bags: Sequence[LackingBag],
    orders: Mapping[str, Order],
    jobs: Mapping[str, Job],
    waits: Mapping[str, Expected],
) -> Iterable[StuckOrder]:
    of: dict[str, list[LackingBag]] = {}
    for bag in bags:
        of.setdefault(bag.bag.order, []).append(bag)
    for order_id, lacking in of.items():
        order = orders[order_id]
        days = [waits[bag.id].day if bag.id in waits else None for bag in lacking]
        known = [day for day in days if day is not None]
        until = max(known) if len(known) == len(days) else None
        promised = order.promised_on
        yield StuckOrder(
            order,
            jobs[order.job_id],
            tuple(dict.fromkeys(bag.bag.mark for bag in lacking)),
            tuple(bag.id for bag in lacking),
            _days(deed, order.released_at),
            until,
            promised is not None and (promised < deed.day or until is None or until > promised),
            tuple(waits[bag.id] for bag in lacking if bag.id in waits),
        )


def _waves(uow: UnitOfWork, deed: Deed) -> Iterable[StuckWave]:
    to_pick = uow.orders.bags(BagFilter(states=PICKABLE))
    left = Counter(bag.wave for bag in to_pick if bag.wave)
    # When it began is told by the first scan of any of its bags, also of those closed since.
    rows = uow.orders.bags(BagFilter(waves=frozenset(left))) if left else ()
    events = uow.orders.events_of([bag.id for bag in rows]) if rows else {}
    for number, bags in left.items():
        own = [bag for bag in rows if bag.wave == number]
        times = [event.stamp.when for bag in own for event in events.get(bag.id, ())]
        days = _days(deed, min(times)) if times else None
        if days is None or days >= WAVE_DAYS:
            yield StuckWave(number, own[0].picker, bags, days)


def _overdue(uow: UnitOfWork, deed: Deed) -> Iterable[StuckPurchase]:
    late: dict[str, list[tuple[date, int]]] = {}
    for each in uow.purchases.coming(UNDER_WAY, None, ""):
        if each.day is not None and each.day < deed.day:
            late.setdefault(each.order, []).append((each.day, each.packs))
    for label, lines in late.items():
        yield StuckPurchase(
            label, sum(packs for _, packs in lines), _since(deed, min(day for day, _ in lines))
        )


def _longest(found: Iterable[Thing]) -> tuple[Thing, ...]:
    return tuple(sorted(found, key=lambda each: -(each.days or 0)))


def _day_of(revision: Revision) -> date:
    return (revision.closed_at or revision.issued_at or revision.created_at).date()


def _days(deed: Deed, at: datetime) -> int:
    return _since(deed, at.date())


def _since(deed: Deed, day: date) -> int:
    return max((deed.day - day).days, 0)
