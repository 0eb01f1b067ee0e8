"""Bags of the sample catalogues' kits, and invented ones, for tests of picking."""

from collections.abc import Mapping
from datetime import datetime, timedelta, timezone
from functools import cache
from itertools import count
from typing import Any

from tests.support.house import SAMPLES, opening, sample, shelf
from tests.support.offers import offered

from wholekit.domain.openings import Core, Door, Hand, Location, Opening
from wholekit.domain.picking import (
    Bag,
    BagDemand,
    BagEvent,
    BagLine,
    BagOpened,
    CodeScan,
    EventStamp,
    NeededPiece,
    PieceCount,
    ScanRefused,
    Ware,
    demand_of,
    ware_of,
)
from wholekit.domain.quotes.bag_id import BagId

START = datetime(2026, 11, 26, 9, 0, tzinfo=timezone(timedelta(hours=-5)))
_IDS = count(1)


def stamp(name: str = "", who: str = "pia") -> EventStamp:
    return EventStamp(name or f"e{next(_IDS)}", who, START)


def opened(demand: BagDemand, name: str = "opened") -> Bag:
    return Bag(demand).after(BagOpened(stamp(name)))


def after(bag: Bag, answer: BagEvent | ScanRefused) -> Bag:
    """The bag with the event that was answered, which must be one."""
    assert not isinstance(answer, ScanRefused), answer
    return bag.after(answer)


def scan(code: str, packs: int = 1) -> CodeScan:
    return CodeScan(code, packs)


@cache
def wares(*names: str) -> Mapping[tuple[str, str], Ware]:
    found = {}
    for name in names or SAMPLES:
        catalog = sample(name)
        for item in catalog.items:
            ware = ware_of(catalog, item)
            found[ware.key] = ware
    return found


@cache
def sample_kits():
    """Kits of several openings, screws and boxed sets among them."""
    types = [
        opening(series="granite"),
        opening("3070", door=Door.WOOD, core=Core.MINERAL),
        opening("3670", location=Location.EXTERIOR, fire_minutes=90),
        opening("3070", leaves=2, hand=Hand.LH),
        opening("3070", series="harbor"),
        opening("3070", series="slate", finish="690", leaves=2, hand=Hand.RH),
    ]
    openings = [Opening(f"10{at}", one) for at, one in enumerate(types)]
    return tuple(offered(openings, shelf()).offer.kits)


def sample_demand(at: int, bag: int = 1) -> BagDemand:
    return demand_of(BagId(12, 1, at + 1, bag), f"10{at}", sample_kits()[at], wares())


def ware(sku: str, finish: str = "", **more: Any) -> Ware:
    """An invented item: pieces by name and count, such as `arm=1`; hand, substitutes, breakable."""
    known = {name: more.pop(name) for name in ("substitutes", "breakable", "gtin") if name in more}
    hand = more.pop("hand", None)
    return Ware(
        ("acme", sku),
        f"{sku} title",
        finish,
        holds=tuple(
            PieceCount(("acme", name), many, name.split("_")[0], "s", hand, bool(finish))
            for name, many in more.items()
        ),
        **known,
    )


def demand(lines, needed, place=1, *, held=False) -> BagDemand:
    """lines: (ware, packs); needed: (piece, finish) or piece to count."""
    return BagDemand(
        BagId(7, 2, place, 1),
        f"10{place}",
        tuple(BagLine(one, packs) for one, packs in lines),
        tuple(
            NeededPiece(("acme", name), finish, name.split("_")[0], many)
            for (name, finish), many in needed.items()
        ),
        held,
    )
