"""Loading catalogues: all of those given become new revisions together, or none does."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from hashlib import sha256

from wholekit.domain.catalog import Catalog
from wholekit.domain.catalog.changes import CatalogChanges, catalog_changes
from wholekit.domain.catalog.price_sheet import PriceSheet
from wholekit.domain.catalog.rises import PriceRise, raised
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.plain import to_plain
from wholekit.domain.quotes import AuditEntry, CatalogRef
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed
from wholekit.services.ports import Store, UnitOfWork
from wholekit.services.price_sheets import put_told
from wholekit.services.progress import Progress, untold
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class Plan:
    """What a load would change. revision: the one in the store it was compared with, 0 if none.

    told: how the supplier's price sheet was read, to be kept with the load. rise: by what prices
    were raised; planned: the id of the planned rise that is loaded with it.
    """

    catalog: Catalog
    revision: int
    changes: CatalogChanges
    told: PriceSheet | None = None
    rise: PriceRise | None = None
    planned: str = ""

    @property
    def seal(self) -> str:
        """What tells this plan from every other: the revision it was compared with, and all that
        would be in the store after it."""
        # Where the files lay says nothing about what is in them.
        after = to_plain(replace(self.catalog, folder=""))
        told = None if self.told is None else to_plain(self.told)
        whole = json.dumps([self.revision, after, told, self.planned], sort_keys=True)
        return sha256(whole.encode()).hexdigest()

    @property
    def older(self) -> bool:
        """Whether this edition is older than the one in the store."""
        before = self.changes.before
        return before is not None and self.catalog.edition < before.edition


@needs(Action.LOAD_CATALOGS)
def plan_loads(
    store: Store, deed: Deed, catalogs: Sequence[Catalog], progress: Progress = untold
) -> list[Plan]:
    """What loading these catalogues would change, cost with it. Raises CallError."""
    plans = []
    with store.reading() as work:
        for number, catalog in enumerate(catalogs):
            progress(f"comparing {catalog.id}", number, len(catalogs))
            plans.append(_plan(work, catalog))
    return plans


@needs(Action.LOAD_CATALOGS)
def plan_sheet(store: Store, deed: Deed, catalog: Catalog, told: PriceSheet) -> Plan:
    """What a supplier's price sheet would change, and what is kept of how it was read. Raises
    CallError for one that is of a later day: what is loaded holds at once."""
    if catalog.edition > deed.day:
        raise CallError("price-sheet-ahead", day=catalog.edition.isoformat())
    (plan,) = plan_loads(store, deed, [catalog])
    return replace(plan, told=told)


@needs(Action.LOAD_CATALOGS)
def plan_rise(store: Store, deed: Deed, catalog: str, rise: PriceRise, planned: str = "") -> Plan:
    """What a supplier's rise would change. Raises CallError."""
    with store.reading() as work:
        stored = work.catalogs.revisions(catalog)
        if not stored:
            known = [each.catalog_id for each in work.catalogs.current()]
            raise CallError("catalog-not-loaded", id=catalog, known=known or "none")
        before = work.catalogs.load(CatalogRef(catalog, stored[-1].revision))
    known = [series.id for series in before.series]
    if rise.series and rise.series not in known:
        raise CallError("rise-series-unknown", given=rise.series, id=catalog, known=known)
    after = raised(before, rise)
    return Plan(
        after, stored[-1].revision, catalog_changes(before, after), rise=rise, planned=planned
    )


@needs(Action.LOAD_CATALOGS)
def load_shown(
    store: Store, deed: Deed, plan: Plan, seal: str, *, older_edition: bool = False
) -> CatalogRef:
    """Load one plan, if it is the one that somebody has looked over and agreed to.

    seal: of the plan that was shown. Raises ConflictError where this one is another, since
    somebody has loaded or the files were exchanged; CallError.
    """
    if plan.seal != seal:
        raise ConflictError("catalog-other-than-shown", id=plan.catalog.id)
    if plan.changes.nothing:
        raise CallError("catalog-load-of-nothing", id=plan.catalog.id)
    if plan.older and not older_edition:
        raise CallError("catalog-edition-older", id=plan.catalog.id)
    if plan.rise is not None and plan.rise.day > deed.day:
        raise CallError("rise-not-yet", day=plan.rise.day.isoformat())
    return load(store, deed, [plan])[0]


@needs(Action.LOAD_CATALOGS)
def load(
    store: Store, deed: Deed, plans: Sequence[Plan], progress: Progress = untold
) -> list[CatalogRef]:
    """Load what was planned; those that would change nothing are passed over.

    Raises CallError; ConflictError if another revision was loaded since the plan was made.
    """
    loaded = []
    with store.writing() as work:
        # In one order, so that two who load the same catalogues wait and do not block each other.
        for plan in sorted(plans, key=lambda plan: plan.catalog.id):
            if plan.changes.nothing:
                continue
            ref = work.catalogs.put(plan.catalog, deed.at, deed.who, progress)
            # Judged by the number that was taken, which stays locked: nobody can load in between.
            if ref.revision != plan.revision + 1:
                raise ConflictError(
                    "version-stale",
                    what="catalog",
                    id=plan.catalog.id,
                    expected=plan.revision,
                    found=ref.revision - 1,
                )
            work.audit.add(_entry(plan, ref, deed))
            if plan.told is not None:
                put_told(work, deed, plan.catalog.id, plan.told)
            if plan.planned and not work.planned_rises.remove(plan.planned):
                raise ConflictError("rise-gone", id=plan.catalog.id)
            loaded.append(ref)
        if loaded:
            work.commit()
    return loaded


def _plan(work: UnitOfWork, catalog: Catalog) -> Plan:
    stored = work.catalogs.revisions(catalog.id)
    if not stored:
        return Plan(catalog, 0, catalog_changes(None, catalog))
    last = stored[-1].revision
    before = work.catalogs.load(CatalogRef(catalog.id, last), like=catalog)
    return Plan(catalog, last, catalog_changes(before, catalog))


def _entry(plan: Plan, ref: CatalogRef, deed: Deed) -> AuditEntry:
    before = plan.changes.before
    return AuditEntry(
        deed.at,
        deed.who,
        "catalog-loaded",
        "catalog",
        ref.catalog_id,
        before=None
        if before is None
        else {
            "revision": plan.revision,
            "edition": before.edition.isoformat(),
            "items": len(before.items),
        },
        after={
            "revision": ref.revision,
            "edition": plan.catalog.edition.isoformat(),
            "items": len(plan.catalog.items),
            "new": len(plan.changes.new),
            "gone": len(plan.changes.gone),
            "changed": len(plan.changes.changed),
            **({} if plan.rise is None else {"rise": to_plain(plan.rise)}),
        },
    )
