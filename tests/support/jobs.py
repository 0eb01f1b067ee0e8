"""A house with sample catalogues, a customer and people, on whichever store a test is given."""

from datetime import datetime, timedelta, timezone
from fractions import Fraction
from typing import Any

from tests.support.fake_store import CountedIds
from tests.support.house import RULES, opening, sample

from wholekit.domain.catalog import Catalog, item_key
from wholekit.domain.customers import Customer
from wholekit.domain.openings import Opening
from wholekit.domain.quotes import Job, Person, PersonRole, Revision, Snapshot
from wholekit.domain.stock import Slips, StockPlace
from wholekit.services.customers import add_customer, set_person
from wholekit.services.desk import Deed, Desk
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.ports import Store
from wholekit.wording.offers import HouseWords

ZONE = timezone(timedelta(hours=-5))
START = datetime(2026, 11, 25, 9, 0, tzinfo=ZONE)


def by(who: str = "ines", days: int = 0) -> Deed:
    """A deed of somebody, so many days after the start."""
    return Deed(who, START + timedelta(days=days))


def desk_on(store: Store) -> Desk:
    return Desk(store, CountedIds(), RULES, HouseWords())


def put_catalog(store: Any, catalog: Catalog) -> None:
    with store.writing() as uow:
        uow.catalogs.put(catalog, START, "odo")
        uow.commit()


def set_stock(store: Store, catalog: Catalog, count: int) -> None:
    """So many free of each item of a catalogue, in the bins that the book says."""
    with store.writing() as uow:
        slips = Slips(f"counted-{uow.numbers.take('counted')}", START, "pim")
        free = uow.stock.free([item_key(item) for item in catalog.items])
        uow.stock.move(
            [
                slips.count(item_key(item), count - free[item_key(item)], StockPlace(bin=item.bin))
                for item in catalog.items
                if count != free[item_key(item)]
            ]
        )
        uow.commit()


def furnished(store: Store, *suppliers: str) -> Desk:
    """The house: tarrowby's catalogue (or those named), owner odo, counter ines, a customer."""
    desk = desk_on(store)
    for name in suppliers or ("tarrowby",):
        put_catalog(store, sample(name))
    set_person(desk, by("odo"), Person("odo", PersonRole.OWNER))
    set_person(desk, by("odo"), Person("ines", PersonRole.COUNTER))
    add_customer(
        desk,
        by("odo"),
        Customer("saltmarsh", "Saltmarsh Builders", multiplier=Fraction(70, 100)),
    )
    return desk


def a_job(
    desk: Desk,
    *marks: str,
    name: str = "Heron Quay School",
    deed: Deed | None = None,
    quantity: int = 1,
) -> Job:
    """A job of the customer with an interior opening of each mark."""
    job = create_job(desk, deed or by(), NewJob(name, "saltmarsh"))
    if marks:
        add_openings(desk, deed or by(), job.label, [plain(mark, quantity) for mark in marks])
    return job


def frozen(revision: Revision | None) -> Snapshot:
    """The snapshot of a revision that must have been issued."""
    assert revision is not None
    assert revision.snapshot is not None
    return revision.snapshot


def plain(mark: str, quantity: int = 1, size: str = "3070", **conditions: object) -> Opening:
    """An opening whose kit is complete and has no stop."""
    return Opening(mark, opening(size, finish="689", weight="100 lb", **conditions), quantity)
