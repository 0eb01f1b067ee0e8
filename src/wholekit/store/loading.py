"""Loading catalogues: all of those given become new revisions together, or none does."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.catalog import Catalog
from wholekit.domain.catalog.changes import CatalogChanges, catalog_changes
from wholekit.domain.errors import ConflictError
from wholekit.domain.quotes import AuditEntry, CatalogRef
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed
from wholekit.services.rights import needs
from wholekit.store.progress import Progress, untold
from wholekit.store.unit_of_work import SqlStore, SqlUnitOfWork


@dataclass(frozen=True, slots=True)
class Plan:
    """What a load would change. revision: the one in the store it was compared with, 0 if none."""

    catalog: Catalog
    revision: int
    changes: CatalogChanges

    @property
    def older(self) -> bool:
        """Whether this edition is older than the one in the store."""
        before = self.changes.before
        return before is not None and self.catalog.edition < before.edition


@needs(Action.LOAD_CATALOGS)
def plan_loads(
    store: SqlStore, deed: Deed, catalogs: Sequence[Catalog], progress: Progress = untold
) -> list[Plan]:
    """What loading these catalogues would change, cost with it. Raises CallError."""
    plans = []
    with store.reading() as work:
        for number, catalog in enumerate(catalogs):
            progress(f"comparing {catalog.id} with the store", number, len(catalogs))
            plans.append(_plan(work, catalog))
    return plans


@needs(Action.LOAD_CATALOGS)
def load(
    store: SqlStore, deed: Deed, plans: Sequence[Plan], progress: Progress = untold
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
            loaded.append(ref)
        if loaded:
            work.commit()
    return loaded


def _plan(work: SqlUnitOfWork, catalog: Catalog) -> Plan:
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
        },
    )
