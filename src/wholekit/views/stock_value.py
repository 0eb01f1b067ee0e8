"""What stock is worth, as data: the owner's."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from wholekit.domain.quantities import Money
from wholekit.services.stock_value import ValuedItem


@dataclass(frozen=True, slots=True)
class ValuedItemAnswer:
    """An item [packs], the cost of a pack and of all; None where no price book has it."""

    sku: str
    supplier: str
    packs: int
    cost: str | None
    value: str | None


@dataclass(frozen=True, slots=True)
class ValueTotal:
    """The values in one currency together."""

    currency: str
    amount: str


@dataclass(frozen=True, slots=True)
class StockValueAnswer:
    """Stock on a day, at the cost of the newest price books."""

    on: str
    items: tuple[ValuedItemAnswer, ...]
    totals: tuple[ValueTotal, ...]


def value_answer(day: date, found: Sequence[ValuedItem]) -> StockValueAnswer:
    """Stock on a day; the totals are the sums of the values as shown."""
    items = []
    sums: dict[str, Money] = {}
    for each in found:
        cost, value = each.cost, None
        if cost is not None:
            money = cost.times(each.packs).as_money
            sums[cost.currency] = sums.get(cost.currency, Money.zero(cost.currency)) + money
            value = money.decimal_text
        supplier, sku = each.item
        text = None if cost is None else cost.decimal_text
        items.append(ValuedItemAnswer(sku, supplier, each.packs, text, value))
    totals = (ValueTotal(code, money.decimal_text) for code, money in sorted(sums.items()))
    return StockValueAnswer(day.isoformat(), tuple(items), tuple(totals))
