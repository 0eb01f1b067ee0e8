"""Goods scanned as they come, by processes that may be killed in the middle."""

import os
from datetime import date
from fractions import Fraction
from pathlib import Path
from uuid import uuid4

from tests.support.databases import copied_store
from tests.support.deeds import Address, Killing, address_of, desk_at, desk_on, seconds_of
from tests.support.house import sample
from tests.support.jobs import by, furnished

from wholekit.domain.buying import SCANNED, UNDONE, Purchase, Shortage
from wholekit.services import buying
from wholekit.services.buying import OrderWords
from wholekit.services.desk import Desk
from wholekit.services.goods_scans import scan_goods, undo_goods
from wholekit.services.receiving import ToldDelivery
from wholekit.store.check import check_store

BOOK = sample("tarrowby")
ITEM = next(item for item in BOOK.items if item.lead_days)
SCANS = 8  # a kill falls in the time of so many


def purchase_sent(desk: Desk, packs: int = 100_000) -> Purchase:
    """An order of so many packs of an item, sent to its supplier."""
    key = ITEM.supplier, ITEM.sku
    wanted = [Shortage(key, Fraction(packs), date(2026, 12, 8), "O-1", "O-1-101")]
    (order,) = buying.place_orders(desk, by("odo"), "main", wanted, [BOOK.supplier], OrderWords())
    return buying.send_order(desk, by("odo"), order.label)


def scan_and_note(address: Address, order: str, log: str, scans: int) -> None:
    """Scan so many packs, now and then taking one back; what was answered goes into a log."""
    desk = desk_at(address)
    noted = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    for number in range(scans):
        name = uuid4().hex
        scan_goods(desk, by("odo"), order, ITEM.sku, ToldDelivery((), bin="R-1"), name)
        os.write(noted, f"{SCANNED}{name}\n".encode())
        if number % 5 == 4:
            undo_goods(desk, by("odo"), order, name)
            os.write(noted, f"{UNDONE}{name}\n".encode())


def kills_during_receiving(engine: str, folder: Path, times: int) -> int:
    """Scans of goods killed so many times; how many were caught in the middle."""
    store = copied_store(engine, folder, furnished)
    order = purchase_sent(desk_on(store))
    address, log = address_of(store.place), folder / "answered"
    longest = seconds_of(scan_and_note, (address, order.label, str(log), SCANS))
    killing = Killing(longest, times, seed=6)
    for number in range(1, times + 1):
        given = (address, order.label, str(log), 50 * SCANS)
        killing.start_and_kill(scan_and_note, given)
        answered = set(log.read_text().split())
        with store.reading() as work:
            found = {each.delivery for each in work.purchases.receipts(order.number)}
            there = work.purchases.get(order.number)
        assert answered <= found, "what was answered is there"
        assert len(found - answered) <= number, "and at most what a kill kept from being answered"
        taken_back = sum(name.startswith(UNDONE) for name in found)
        assert there is not None
        assert sum(there.received) == len(found) - 2 * taken_back
    assert check_store(store.place).faults == ()
    store.close()
    return killing.caught
