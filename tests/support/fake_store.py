"""A store in memory that satisfies the ports: each unit of work is a copy until it commits."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from tests.support.fake_accounts import FakeAccounts
from tests.support.fake_papers import FakePapers
from tests.support.fake_purchases import FakePurchases
from tests.support.fake_stock import FakeStock

from wholekit.domain.catalog import Catalog, ItemKey, item_key
from wholekit.domain.catalog.price_sheet import KeptPriceSheet
from wholekit.domain.catalog.rises import PlannedRise
from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.openings.sheet import KeptChoices
from wholekit.domain.orders import BagState, Order, ReleasedBag, Shipment
from wholekit.domain.picking import (
    BagDemand,
    BagEvent,
    BagRecord,
    BagUnpacked,
    CodeBook,
    PieceKey,
    ScanNotCounted,
    Ware,
    ware_of,
)
from wholekit.domain.quantities import Cost
from wholekit.domain.quotes import (
    AuditEntry,
    CatalogRef,
    ExtraLine,
    HousePolicy,
    Job,
    JobContents,
    JobOpening,
    Person,
    Revision,
    State,
)
from wholekit.domain.stock import Movement
from wholekit.domain.tax import ShipTo
from wholekit.services.catalog_port import BookItem, CatalogRevision, ItemFilter
from wholekit.services.order_port import BagFilter, OrderFilter, OrderSummary, WholeBag
from wholekit.services.ports import JobFilter, JobSummary, LogFilter, Page, RevisionFilter
from wholekit.services.progress import Progress, untold


class CountedIds:
    """Ids in a row: `id-1`, `id-2`, …"""

    def __init__(self, last: int = 0) -> None:
        self._last = last

    def copied(self) -> "CountedIds":
        return CountedIds(self._last)

    def new(self) -> str:
        self._last += 1
        return f"id-{self._last}"


COPIED = (FakeStock, FakePurchases, FakeAccounts, FakePapers)


@dataclass
class _State:
    jobs: dict[str, Job] = field(default_factory=dict)
    openings: dict[str, JobOpening] = field(default_factory=dict)
    extras: dict[str, ExtraLine] = field(default_factory=dict)
    revisions: dict[str, Revision] = field(default_factory=dict)
    customers: dict[str, Customer] = field(default_factory=dict)
    sheets: dict[str, KeptChoices] = field(default_factory=dict)
    price_sheets: dict[str, KeptPriceSheet] = field(default_factory=dict)
    planned_rises: dict[str, PlannedRise] = field(default_factory=dict)
    ship_tos: dict[str, ShipTo] = field(default_factory=dict)
    people: dict[str, Person] = field(default_factory=dict)
    policy: HousePolicy = field(default_factory=HousePolicy)
    catalogs: dict[tuple[str, int], tuple[CatalogRevision, Catalog]] = field(default_factory=dict)
    orders: dict[str, Order] = field(default_factory=dict)
    bags: dict[str, ReleasedBag] = field(default_factory=dict)
    unpacked: dict[str, int] = field(default_factory=dict)
    shipments: dict[int, Shipment] = field(default_factory=dict)
    demands: dict[str, BagDemand] = field(default_factory=dict)
    bag_events: tuple[tuple[str, BagRecord], ...] = ()
    audit: tuple[AuditEntry, ...] = ()
    numbers: dict[str, int] = field(default_factory=dict)
    stock: FakeStock = field(default_factory=FakeStock)
    purchases: FakePurchases = field(default_factory=FakePurchases)
    accounts: FakeAccounts = field(default_factory=FakeAccounts)
    papers: FakePapers = field(default_factory=FakePapers)

    def copied(self) -> "_State":
        values: dict[str, Any] = {}
        for name in self.__dataclass_fields__:
            one = getattr(self, name)
            copied = one.copied() if isinstance(one, COPIED) else one
            values[name] = dict(one) if isinstance(one, dict) else copied
        return _State(**values)


def _put(rows: dict[str, Any], key: str, new: Any, expected: int, what: str) -> None:
    there = rows.get(key)
    found = None if there is None else there.version
    if found != expected:
        raise ConflictError("version-stale", what=what, id=key, expected=expected, found=found)
    assert new.version == expected + 1
    rows[key] = new


def _take(rows: dict[str, Any], key: str, expected: int, what: str) -> None:
    there = rows.get(key)
    found = None if there is None else there.version
    if found != expected:
        raise ConflictError("version-stale", what=what, id=key, expected=expected, found=found)
    del rows[key]


def _order(one: Any) -> tuple[str, int, str]:
    return one.alternate, one.position, one.id


class _Jobs:
    def __init__(self, state: _State) -> None:
        self._state = state

    def add(self, job: Job) -> None:
        assert all(each.number != job.number for each in self._state.jobs.values())
        self._state.jobs[job.id] = job

    def get(self, job_id: str) -> Job | None:
        return self._state.jobs.get(job_id)

    def several(self, job_ids: Collection[str]) -> Sequence[Job]:
        return [self._state.jobs[each] for each in job_ids if each in self._state.jobs]

    def by_number(self, number: int) -> Job | None:
        return next((job for job in self._state.jobs.values() if job.number == number), None)

    def for_change(self, job_id: str) -> Job | None:
        return self.get(job_id)

    def save(self, job: Job, expected: int) -> None:
        _put(self._state.jobs, job.id, job, expected, "job")

    def contents(self, job_id: str) -> JobContents | None:
        job = self.get(job_id)
        if job is None:
            return None
        openings = [
            opening for opening in self._state.openings.values() if opening.job_id == job_id
        ]
        extras = [extra for extra in self._state.extras.values() if extra.job_id == job_id]
        return JobContents(
            job, tuple(sorted(openings, key=_order)), tuple(sorted(extras, key=_order))
        )

    def contents_under(self, job: Job) -> JobContents:
        found = self.contents(job.id)
        assert found is not None
        return found

    def contents_of(self, job_ids: Collection[str]) -> Mapping[str, JobContents]:
        found = {job_id: self.contents(job_id) for job_id in job_ids}
        return {job_id: each for job_id, each in found.items() if each}

    def page(self, wanted: JobFilter, page: Page) -> tuple[Sequence[JobSummary], int]:
        rows = [
            row
            for job in sorted(self._state.jobs.values(), key=lambda job: -job.number)
            if _wanted(row := self._row(job), job, wanted, self._named(job))
        ]
        return rows[page.offset : page.offset + page.limit], len(rows)

    def _named(self, job: Job) -> set[str]:
        """All that a job is found by as a whole, in small letters."""
        found = {f"j-{job.number:05d}", f"j-{job.number}", f"j{job.number}"}
        for entry in self._state.openings.values():
            if entry.job_id == job.id:
                found.add(entry.mark.lower())
        for revision in self._state.revisions.values():
            if revision.job_id != job.id:
                continue
            number = revision.quote_number
            for name in (f"q-{number:05d}", f"q-{number}", f"q{number}"):
                found |= {name, f"{name}/{revision.number}"}
            if revision.acceptance is not None:
                found.add(revision.acceptance.order_number.lower())
            if revision.snapshot is not None:
                kits = revision.snapshot.offer.kits
                found |= {line.sku.lower() for kit in kits for line in kit.lines}
        return found - {""}

    def _row(self, job: Job) -> JobSummary:
        revisions = sorted(
            (revision for revision in self._state.revisions.values() if revision.job_id == job.id),
            key=lambda revision: revision.number,
        )
        last = revisions[-1] if revisions else None
        issued = [
            revision.snapshot.offer.totals_with(revision.accepted)
            for revision in revisions
            if revision.snapshot is not None
        ]
        return JobSummary(
            job.id,
            job.number,
            job.name,
            job.customer,
            self._state.customers[job.customer].name,
            job.salesperson,
            job.bids_due,
            job.created_at,
            job.currency,
            sum(opening.job_id == job.id for opening in self._state.openings.values()),
            0 if last is None else last.quote_number,
            0 if last is None else last.number,
            None if last is None else last.state,
            issued[-1].net.minor if issued else None,
            None if last is None else last.valid_until,
        )

    def opening(self, job_id: str, alternate: str, mark: str) -> JobOpening | None:
        wanted = (job_id, alternate, mark)
        return next(
            (
                opening
                for opening in self._state.openings.values()
                if (opening.job_id, opening.alternate, opening.mark) == wanted
            ),
            None,
        )

    def marks(self, job_id: str) -> Mapping[tuple[str, str], int]:
        return {
            (opening.alternate, opening.mark): opening.position
            for opening in self._state.openings.values()
            if opening.job_id == job_id
        }

    def add_openings(self, openings: Sequence[JobOpening]) -> None:
        for opening in openings:
            self._mark_is_free(opening)
            self._state.openings[opening.id] = opening

    def save_opening(self, opening: JobOpening, expected: int) -> None:
        self._mark_is_free(opening)
        _put(self._state.openings, opening.id, opening, expected, "opening")

    def _mark_is_free(self, opening: JobOpening) -> None:
        there = self.opening(opening.job_id, opening.alternate, opening.mark)
        if there is not None and there.id != opening.id:
            raise ConflictError("mark-taken", mark=opening.mark, alternate=opening.alternate)

    def remove_opening(self, opening: JobOpening, expected: int) -> None:
        _take(self._state.openings, opening.id, expected, "opening")

    def extra(self, job_id: str, extra_id: str) -> ExtraLine | None:
        found = self._state.extras.get(extra_id)
        return found if found is not None and found.job_id == job_id else None

    def add_extra(self, extra: ExtraLine) -> None:
        self._state.extras[extra.id] = extra

    def save_extra(self, extra: ExtraLine, expected: int) -> None:
        _put(self._state.extras, extra.id, extra, expected, "extra")

    def remove_extra(self, extra: ExtraLine, expected: int) -> None:
        _take(self._state.extras, extra.id, expected, "extra")


def _wanted(row: JobSummary, job: Job, wanted: JobFilter, named: Collection[str]) -> bool:
    text = wanted.text.casefold()
    due = row.bids_due
    return (
        wanted.customer in ("", row.customer)
        and wanted.salesperson in ("", row.salesperson)
        and (
            any(text in one.casefold() for one in (row.name, job.site, row.customer_name))
            or text in named
        )
        and (wanted.due_from is None or (due is not None and wanted.due_from <= due))
        and (wanted.due_to is None or (due is not None and due <= wanted.due_to))
        and (row.state is not None or not wanted.quoted)
    )


class _Revisions:
    def __init__(self, state: _State) -> None:
        self._state = state

    def add(self, revision: Revision) -> None:
        for each in self._state.revisions.values():
            if (each.job_id, each.number) == (revision.job_id, revision.number):
                raise ConflictError("revision-taken", number=revision.number)
        self._state.revisions[revision.id] = revision

    def get(self, revision_id: str) -> Revision | None:
        return self._state.revisions.get(revision_id)

    def of_job(self, job_id: str) -> tuple[Revision, ...]:
        return self._bare(
            revision for revision in self._state.revisions.values() if revision.job_id == job_id
        )

    def by_quote(self, quote_number: int) -> tuple[Revision, ...]:
        return self._bare(
            revision
            for revision in self._state.revisions.values()
            if revision.quote_number == quote_number
        )

    @staticmethod
    def _bare(revisions: Iterator[Revision]) -> tuple[Revision, ...]:
        found = sorted(revisions, key=lambda revision: revision.number)
        return tuple(replace(revision, snapshot=None) for revision in found)

    def save(self, revision: Revision, expected: int) -> None:
        there = self._state.revisions.get(revision.id)
        if there is not None and there.snapshot is not None:
            if revision.snapshot not in (None, there.snapshot):
                raise CallError("snapshot-frozen", label=revision.label)
            revision = replace(
                revision, snapshot=there.snapshot, snapshot_digest=there.snapshot_digest
            )
        _put(self._state.revisions, revision.id, revision, expected, "revision")

    def remove(self, revision: Revision, expected: int) -> None:
        there = self._state.revisions.get(revision.id)
        if there is not None and there.state is not State.DRAFT:
            raise CallError("draft-only", label=there.label)
        _take(self._state.revisions, revision.id, expected, "revision")

    def waiting(self) -> Sequence[Revision]:
        asked = [
            (revision.request.at, revision.id, revision)
            for revision in self._state.revisions.values()
            if revision.state is State.DRAFT
            and revision.request is not None
            and revision.request.waiting
        ]
        return [one for _, _, one in sorted(asked, key=lambda row: row[:2])]

    def matching(self, wanted: RevisionFilter) -> Sequence[Revision]:
        found = [
            revision
            for revision in self._state.revisions.values()
            if self._matches(revision, wanted)
        ]
        return sorted(found, key=lambda revision: (revision.quote_number, revision.number))

    def _matches(self, revision: Revision, wanted: RevisionFilter) -> bool:
        job = self._state.jobs[revision.job_id]
        day = None if revision.issued_at is None else revision.issued_at.date()
        return (
            day is not None
            and (not wanted.states or revision.state in wanted.states)
            and (wanted.issued_from is None or wanted.issued_from <= day)
            and (wanted.issued_to is None or day <= wanted.issued_to)
            and wanted.customer in ("", job.customer)
            and wanted.salesperson in ("", job.salesperson)
            and wanted.job_id in ("", job.id)
        )


class _Named:
    """Things by code or name."""

    def __init__(self, rows: dict[str, Any], key: str, what: str) -> None:
        self._rows, self._key, self._what = rows, key, what

    def get(self, name: str) -> Any:
        return self._rows.get(name)

    def several(self, names: Collection[str]) -> Mapping[str, Any]:
        return {name: self._rows[name] for name in names if name in self._rows}

    def add(self, one: Any) -> None:
        name = getattr(one, self._key)
        if name in self._rows:
            raise ConflictError(f"{self._what}-taken", name=name)
        self._rows[name] = one

    def save(self, one: Any, expected: int) -> None:
        _put(self._rows, getattr(one, self._key), one, expected, self._what)

    def all(self) -> Sequence[Any]:
        return [self._rows[name] for name in sorted(self._rows)]

    def page(self, text: str, page: Page) -> tuple[Sequence[Any], int]:
        low = text.casefold()
        rows = [one for one in self.all() if low in one.code or low in one.name.casefold()]
        return rows[page.offset : page.offset + page.limit], len(rows)


class _Rises:
    def __init__(self, rows: dict[str, PlannedRise]) -> None:
        self._rows = rows

    def all(self) -> Sequence[PlannedRise]:
        return sorted(self._rows.values(), key=lambda one: (one.rise.day, one.catalog, one.id))

    def add(self, planned: PlannedRise) -> None:
        self._rows[planned.id] = planned

    def remove(self, rise_id: str) -> bool:
        return self._rows.pop(rise_id, None) is not None


class _People(_Named):
    def __init__(self, state: _State) -> None:
        super().__init__(state.people, "name", "person")
        self._accounts = state.accounts

    def standing(self, name: str, *, held: bool = False) -> tuple[Person, bool] | None:
        person = self.get(name)
        return None if person is None else (person, self._accounts.any())


class _Policy:
    def __init__(self, state: _State) -> None:
        self._state = state

    def get(self) -> HousePolicy:
        return self._state.policy

    def save(self, policy: HousePolicy, expected: int) -> None:
        rows = {"policy": self._state.policy}
        _put(rows, "policy", policy, expected, "policy")
        self._state.policy = policy


class _Catalogs:
    def __init__(self, state: _State) -> None:
        self._state = state

    def current(self) -> Sequence[CatalogRevision]:
        last = {revision.catalog_id: revision for revision, _ in self._state.catalogs.values()}
        return [last[name] for name in sorted(last)]

    def revisions(self, catalog_id: str) -> Sequence[CatalogRevision]:
        return [
            revision
            for revision, _ in self._state.catalogs.values()
            if revision.catalog_id == catalog_id
        ]

    def load(self, ref: CatalogRef, like: Catalog | None = None) -> Catalog:
        found = self._state.catalogs.get((ref.catalog_id, ref.revision))
        if found is None:
            raise CallError(
                "catalog-revision-unknown", catalog=ref.catalog_id, revision=ref.revision
            )
        return found[1]

    def costs(self) -> Mapping[ItemKey, Cost]:
        books = list(self._state.catalogs.values())
        last = {revision.catalog_id: number for number, (revision, _) in enumerate(books)}
        return {
            (item.supplier, item.sku): item.cost
            for number in sorted(last.values())
            for item in books[number][1].items
        }

    def without_book(self, ref: CatalogRef) -> Catalog:
        return replace(self.load(ref), items=(), counts={})

    def find_items(
        self, ref: CatalogRef, wanted: ItemFilter, page: Page
    ) -> tuple[Sequence[BookItem], int]:
        book, text = self.load(ref), wanted.text.casefold()
        found = [
            BookItem(item, book.counts.get(item.sku, 0))
            for item in book.items
            if (text in item.sku.casefold() or text in item.description.casefold())
            and wanted.sku in ("", item.sku)
            and (
                wanted.pieces is None
                or any(supply.piece in wanted.pieces for supply in item.supplies)
            )
        ]
        return found[page.offset : page.offset + page.limit], len(found)

    def put(
        self, catalog: Catalog, at: datetime, by: str, progress: Progress = untold
    ) -> CatalogRef:
        revision = len(self.revisions(catalog.id)) + 1
        row = CatalogRevision(
            catalog.id,
            revision,
            catalog.supplier,
            catalog.currency,
            catalog.edition,
            at,
            by,
            len(catalog.items),
        )
        self._state.catalogs[catalog.id, revision] = (row, catalog)
        counts = {(catalog.supplier, sku): packs for sku, packs in catalog.counts.items()}
        self._state.stock.enter(catalog, counts, at, by)
        return CatalogRef(catalog.id, revision)


class _Audit:
    def __init__(self, state: _State) -> None:
        self._state = state

    def add(self, entry: AuditEntry) -> None:
        self._state.audit = (*self._state.audit, entry)

    def of_job(self, job_id: str) -> Sequence[AuditEntry]:
        return [entry for entry in self._state.audit if entry.job_id == job_id]

    def count_of_job(self, job_id: str) -> int:
        return len(self.of_job(job_id))

    def of_subject(self, subject: str, *subject_ids: str) -> Sequence[AuditEntry]:
        of = (entry for entry in self._state.audit if entry.subject == subject)
        return [entry for entry in of if entry.subject_id in subject_ids]

    def page(self, wanted: LogFilter, page: Page) -> tuple[Sequence[AuditEntry], int]:
        found = [
            entry
            for entry in reversed(self._state.audit)
            if wanted.who in ("", entry.who)
            and wanted.day in (None, entry.at.date())
            and wanted.job_id in ("", entry.job_id)
        ]
        return found[page.offset : page.offset + page.limit], len(found)

    def names(self) -> Sequence[str]:
        return sorted({entry.who for entry in self._state.audit})


class _Numbers:
    def __init__(self, state: _State) -> None:
        self._state = state

    def take(self, series: str) -> int:
        number = self._state.numbers.get(series, 0) + 1
        self._state.numbers[series] = number
        return number

    def latest(self, series: str) -> int:
        return self._state.numbers.get(series, 0)


class _Wares:
    def __init__(self, state: _State) -> None:
        latest = {ref[0]: catalog for ref, (_, catalog) in sorted(state.catalogs.items())}
        self._catalogs = list(latest.values())
        self._wares = [
            ware_of(catalog, item) for catalog in self._catalogs for item in catalog.items
        ]

    def find(self, code: str) -> Sequence[Ware]:
        return CodeBook(self._wares).find(code)

    def of(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Ware]:
        return {ware.key: ware for ware in self._wares if ware.key in items}

    def holding(self, pieces: Collection[PieceKey]) -> Sequence[Ware]:
        found = (w for w in self._wares if w.holds and {p.piece for p in w.holds} <= set(pieces))
        return sorted(found, key=lambda ware: ware.key)

    def bins(self, items: Collection[ItemKey]) -> Mapping[ItemKey, str]:
        found = {item_key(item): item.bin for book in self._catalogs for item in book.items}
        return {key: found[key] for key in items if found.get(key)}

    def leads(self, items: Collection[ItemKey]) -> Mapping[ItemKey, int]:
        found = {item_key(item): item for catalog in self._catalogs for item in catalog.items}
        return {
            key: found[key].lead_days
            for key in items
            if key in found and found[key].lead_days and not found[key].discontinued
        }


class _Orders:
    def __init__(self, state: _State) -> None:
        self._state = state

    def add(self, order: Order) -> None:
        if order.id in self._state.orders:
            raise ConflictError("order-released", label=order.label)
        self._state.orders[order.id] = order

    def get(self, order_id: str) -> Order | None:
        return self._state.orders.get(order_id)

    def several(self, order_ids: Collection[str]) -> Mapping[str, Order]:
        return {each: self._state.orders[each] for each in order_ids if each in self._state.orders}

    def for_change(self, order_id: str) -> Order | None:
        return self.get(order_id)

    def of_job(self, job_id: str) -> Sequence[Order]:
        found = [order for order in self._state.orders.values() if order.job_id == job_id]
        return tuple(sorted(found, key=lambda order: (order.quote, order.revision)))

    def save(self, order: Order, expected: int) -> None:
        _put(self._state.orders, order.id, order, expected, "order")

    def page(self, wanted: OrderFilter, page: Page) -> tuple[Sequence[OrderSummary], int]:
        rows = []
        for order in self._state.orders.values():
            counts: dict[BagState, int] = {}
            for bag in self._state.bags.values():
                if bag.order == order.id:
                    counts[bag.state] = counts.get(bag.state, 0) + 1
            undone = set(counts) - {BagState.SHIPPED, BagState.CANCELLED}
            shown = not undone if wanted.gone else wanted.all or undone
            if order.cancelled_at or not shown:
                continue
            if wanted.branch in ("", order.branch):
                name = self._state.jobs[order.job_id].name
                rows.append(OrderSummary(order, name, counts))
        rows.sort(
            key=lambda row: (
                -row.order.priority,
                row.order.promised_on is None,
                str(row.order.promised_on),
                row.order.released_at.isoformat(),
                row.order.id,
            )
        )
        if wanted.gone:
            rows.sort(key=lambda row: row.order.released_at, reverse=True)
        return rows[page.offset : page.offset + page.limit], len(rows)

    def demands(self, bags: Collection[str]) -> Mapping[str, BagDemand]:
        return {bag: self._state.demands[bag] for bag in bags if bag in self._state.demands}

    def add_bags(self, bags: Sequence[ReleasedBag], demands: Mapping[str, BagDemand]) -> None:
        for bag in bags:
            if bag.id in self._state.bags:
                raise ConflictError("bag-there", bag=bag.id)
            self._state.bags[bag.id] = bag
            self._state.demands[bag.id] = demands[bag.id]

    def bag(self, bag_id: str) -> ReleasedBag | None:
        return self._state.bags.get(bag_id)

    def bag_for_change(self, bag_id: str) -> ReleasedBag | None:
        return self.bag(bag_id)

    def hold_bags(self, bags: Collection[str]) -> None:
        """One writer at a time: nobody else changes anything."""

    def bags(self, wanted: BagFilter) -> Sequence[ReleasedBag]:
        found = [
            bag
            for bag in self._state.bags.values()
            if wanted.order in ("", bag.order)
            and (not wanted.orders or bag.order in wanted.orders)
            and (not wanted.waves or bag.wave in wanted.waves)
            and (not wanted.states or bag.state in wanted.states)
            and wanted.branch in ("", bag.branch)
            and wanted.wave in (0, bag.wave)
            and wanted.shipment in (0, bag.shipment)
            and (not wanted.ids or bag.id in wanted.ids)
        ]
        return tuple(sorted(found, key=lambda bag: (bag.order, bag.place, bag.number)))

    def save_bag(self, bag: ReleasedBag, expected: int) -> None:
        needs = self._state.bags[bag.id].needs if bag.id in self._state.bags else bag.needs
        _put(self._state.bags, bag.id, replace(bag, needs=needs), expected, "bag")

    def save_needs(self, bag: ReleasedBag) -> None:
        there = self._state.bags[bag.id]
        self._state.bags[bag.id] = replace(there, needs=tuple(sorted(bag.needs)))

    def add_event(self, bag_id: str, event: BagEvent) -> bool:
        return self._add_record(bag_id, event)

    def whole(self, bag_id: str, *, held: bool = False, event: str = "") -> WholeBag | None:
        bag = self.bag(bag_id)
        if bag is None:
            return None
        events = self.events(bag_id)
        spent = any(
            each.stamp.id == event
            for _, each in self._state.bag_events
            if not isinstance(each, ScanNotCounted)
        )
        live = any(each.stamp.id == event for each in events)
        return WholeBag(bag, self._state.demands[bag_id], events, spent and not live)

    def events_of(self, bags: Collection[str]) -> Mapping[str, Sequence[BagEvent]]:
        return {bag: self.events(bag) for bag in bags}

    def events(self, bag_id: str) -> Sequence[BagEvent]:
        since = self._state.unpacked.get(bag_id, 0)
        events = enumerate(self._state.bag_events)
        return tuple(
            each
            for at, (bag, each) in events
            if bag == bag_id and at >= since and isinstance(each, BagEvent)
        )

    def add_unpacked(self, bag_id: str, unpacked: BagUnpacked) -> None:
        self._add_record(bag_id, unpacked)
        self._state.unpacked[bag_id] = len(self._state.bag_events)

    def add_refused(self, bag_id: str, refused: ScanNotCounted) -> None:
        self._add_record(bag_id, refused)

    def record(self, bag_id: str) -> Sequence[BagRecord]:
        return tuple(each for bag, each in self._state.bag_events if bag == bag_id)

    def _add_record(self, bag_id: str, record: BagRecord) -> bool:
        refused = isinstance(record, ScanNotCounted)
        if any(
            each.stamp.id == record.stamp.id and isinstance(each, ScanNotCounted) == refused
            for _, each in self._state.bag_events
        ):
            return False
        self._state.bag_events = (*self._state.bag_events, (bag_id, record))
        return True

    def add_shipment(self, shipment: Shipment) -> None:
        self._state.shipments[shipment.number] = shipment

    def shipment(self, number: int) -> Shipment | None:
        return self._state.shipments.get(number)

    def shipments(self, order_id: str) -> Sequence[Shipment]:
        found = sorted(self._state.shipments.items())
        return tuple(each for _, each in found if each.order == order_id)


class FakeUnitOfWork:
    """All repositories over one copy of the state."""

    def __init__(self, state: _State, writable: bool) -> None:
        self.state = state
        self.committed = False
        self._writable = writable
        self.jobs = _Jobs(state)
        self.revisions = _Revisions(state)
        self.customers = _Named(state.customers, "code", "customer")
        self.sheets = _Named(state.sheets, "customer", "sheet")
        self.price_sheets = _Named(state.price_sheets, "catalog", "price-sheet")
        self.planned_rises = _Rises(state.planned_rises)
        self.ship_tos = _Named(state.ship_tos, "code", "ship-to")
        self.people = _People(state)
        self.policy = _Policy(state)
        self.catalogs = _Catalogs(state)
        self.orders = _Orders(state)
        self.stock = state.stock
        self.purchases = state.purchases
        self.accounts = state.accounts
        self.accounts.people = state.people
        self.papers = state.papers
        self.audit = _Audit(state)
        self.numbers = _Numbers(state)

    @property
    def wares(self) -> _Wares:
        return _Wares(self.state)

    def count_scan(self, bag_id: str, event: BagEvent, movements: Sequence[Movement]) -> None:
        assert len(self.stock.move(movements)) == len(movements)
        assert self.orders.add_event(bag_id, event)

    def commit(self) -> None:
        assert self._writable, "a reading unit of work commits nothing"
        assert not self.committed, "committed twice"
        self.committed = True


class FakeStore:
    """Units of work over one state in memory, one writer at a time."""

    def __init__(self) -> None:
        self._state = _State()
        self._writing = False

    def copied(self) -> "FakeStore":
        """A store of its own that holds the same: what tests begin with is made but once."""
        made = FakeStore()
        made._state = self._state.copied()
        return made

    @contextmanager
    def reading(self) -> Iterator[FakeUnitOfWork]:
        yield FakeUnitOfWork(self._state.copied(), False)

    @contextmanager
    def writing(self) -> Iterator[FakeUnitOfWork]:
        assert not self._writing, "one unit of work inside another"
        self._writing = True
        try:
            uow = FakeUnitOfWork(self._state.copied(), True)
            yield uow
            if uow.committed:
                self._state = uow.state
        finally:
            self._writing = False
