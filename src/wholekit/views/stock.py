"""Stock as data: no cost and no price is in any of it."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.stock import Account, Balance, Movement
from wholekit.services.stock import ItemStock, Moved
from wholekit.services.stock_port import StockRow


@dataclass(frozen=True, slots=True)
class BinAnswer:
    """Packs in a bin; bin empty: those without one."""

    bin: str
    on_hand: int


@dataclass(frozen=True, slots=True)
class StockRowAnswer:
    """An item at a branch [packs]."""

    sku: str
    supplier: str
    description: str
    branch: str
    on_hand: int
    promised: int
    free: int
    bins: tuple[BinAnswer, ...]


@dataclass(frozen=True, slots=True)
class StockListAnswer:
    """A page of the list; count: the rows found in all."""

    items: tuple[StockRowAnswer, ...]
    count: int
    page: int
    page_size: int


@dataclass(frozen=True, slots=True)
class MovementAnswer:
    """One movement. source, target: a shelf as `branch/bin`, a bag by its id, else a word."""

    key: str
    at: str
    who: str
    kind: str
    sku: str
    supplier: str
    packs: int
    source: str
    target: str
    reason: str


@dataclass(frozen=True, slots=True)
class StockHistoryAnswer:
    """A page of movements, the latest first; count: those there are in all."""

    movements: tuple[MovementAnswer, ...]
    count: int
    page: int
    page_size: int


@dataclass(frozen=True, slots=True)
class WaitingBagAnswer:
    """A bag that waits again for so many packs."""

    bag: str
    packs: int


@dataclass(frozen=True, slots=True)
class MovedAnswer:
    """What was written down, and the item at every branch then. completed: bags that waited and are
    whole by it."""

    movements: tuple[MovementAnswer, ...]
    items: tuple[StockRowAnswer, ...]
    waiting: tuple[WaitingBagAnswer, ...]
    completed: tuple[str, ...]


def row_answer(row: StockRow) -> StockRowAnswer:
    """A row of the list."""
    return _row(row.item, row.description, row.branch, row.balance, row.bins)


def item_answers(stock: ItemStock) -> tuple[StockRowAnswer, ...]:
    """An item, a row for each branch."""
    return tuple(
        _row(
            stock.item,
            stock.description,
            branch,
            balance,
            [(place.bin, packs) for place, packs in stock.bins.items() if place.branch == branch],
        )
        for branch, balance in sorted(stock.balances.items())
    )


def movement_answer(movement: Movement) -> MovementAnswer:
    """One movement."""
    supplier, sku = movement.item
    return MovementAnswer(
        movement.key,
        movement.at.isoformat(),
        movement.who,
        movement.kind.value,
        sku,
        supplier,
        movement.packs,
        _side(movement.source),
        _side(movement.target),
        movement.reason,
    )


def moved_answer(moved: Moved) -> MovedAnswer:
    """What a deed wrote down."""
    return MovedAnswer(
        tuple(map(movement_answer, moved.movements)),
        item_answers(moved.stock),
        tuple(WaitingBagAnswer(bag, packs) for bag, packs in moved.waiting),
        moved.completed,
    )


def _row(
    item: tuple[str, str],
    description: str,
    branch: str,
    balance: Balance,
    bins: Sequence[tuple[str, int]],
) -> StockRowAnswer:
    supplier, sku = item
    return StockRowAnswer(
        sku,
        supplier,
        description,
        branch,
        balance.on_hand,
        balance.promised,
        balance.free,
        tuple(BinAnswer(name, packs) for name, packs in bins),
    )


def _side(account: Account) -> str:
    if account.bag:
        return f"{account.side.value} {account.bag}"
    if account.place.bin:
        return f"{account.place.branch}/{account.place.bin}"
    return account.place.branch or account.side.value
