"""Purchase orders in memory."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from wholekit.domain.buying import (
    SCANNED,
    UNDONE,
    GoodsExpected,
    GoodsReceipt,
    Purchase,
    PurchaseState,
)
from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.services.paging import Page
from wholekit.services.purchase_port import PurchaseFilter


@dataclass
class FakePurchases:
    """The orders of one unit of work over a copy."""

    orders: dict[int, Purchase] = field(default_factory=dict)
    came: dict[tuple[int, str, int], GoodsReceipt] = field(default_factory=dict)

    def copied(self) -> "FakePurchases":
        return FakePurchases(dict(self.orders), dict(self.came))

    def add(self, purchase: Purchase) -> None:
        assert purchase.number not in self.orders
        self.orders[purchase.number] = purchase

    def get(self, number: int) -> Purchase | None:
        found = self.orders.get(number)
        if found is None:
            return None
        came = [
            sum(each.counts for each in self.receipts(number) if each.line == at)
            for at in range(len(found.order.lines))
        ]
        return replace(found, received=tuple(came))

    def for_change(self, number: int) -> Purchase | None:
        return self.get(number)

    def save(self, purchase: Purchase, expected: int) -> None:
        there = self.orders.get(purchase.number)
        found = None if there is None else there.version
        if there is None or found != expected:
            name = str(purchase.number)
            raise ConflictError(
                "version-stale", what="purchase", id=name, expected=expected, found=found
            )
        self.orders[purchase.number] = replace(purchase, order=there.order)

    def page(self, wanted: PurchaseFilter, page: Page) -> tuple[Sequence[Purchase], int]:
        found = [
            one
            for number in sorted(self.orders, reverse=True)
            if (one := self.get(number)) is not None
            and (not wanted.states or one.state in wanted.states)
            and wanted.supplier in ("", one.order.supplier)
            and wanted.branch in ("", one.order.branch)
        ]
        return tuple(found[page.offset : page.offset + page.limit]), len(found)

    def receive(self, number: int, receipts: Sequence[GoodsReceipt]) -> None:
        for each in receipts:
            key = number, each.delivery, each.line
            if key in self.came:
                raise ConflictError(
                    "delivery-taken", order=self.orders[number].label, note=each.note
                )
            self.came[key] = each

    def receipts(self, number: int, deliveries: Collection[str] = ()) -> Sequence[GoodsReceipt]:
        found = [
            each
            for (order, delivery, _), each in self.came.items()
            if order == number and (not deliveries or delivery in deliveries)
        ]
        return sorted(found, key=lambda each: (each.at, each.delivery, each.line))

    def last_scans(self, numbers: Collection[int]) -> Mapping[int, datetime]:
        found = {}
        for number in numbers:
            came = self.receipts(number)
            gone = {each.delivery.removeprefix(UNDONE) for each in came}
            times = [
                each.at
                for each in came
                if each.delivery.startswith(SCANNED)
                and each.delivery.removeprefix(SCANNED) not in gone
            ]
            if times:
                found[number] = max(times)
        return found

    def coming(
        self, states: Collection[PurchaseState], items: Collection[ItemKey] | None, branch: str
    ) -> Sequence[GoodsExpected]:
        found = []
        for number in self.orders:
            one = self.get(number)
            assert one is not None
            if one.state not in states or branch not in ("", one.order.branch):
                continue
            for at, line in enumerate(one.order.lines):
                left = line.packs - one.received[at]
                if left > 0 and (items is None or one.item(at) in items):
                    found.append(
                        GoodsExpected(
                            one.item(at), left, line.expected, one.label, one.order.branch
                        )
                    )
        return sorted(found, key=lambda each: (each.day or date.max, each.order, each.item))
