"""In which order a unit of work holds what others hold too: watched, and never crosswise."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any
from weakref import WeakKeyDictionary

import pytest
from sqlalchemy import Connection

from wholekit.domain.stock import Kind
from wholekit.store.orders import SqlOrders
from wholekit.store.stock import SqlStock
from wholekit.store.stock_moves import Moves


@dataclass
class Held:
    """What one unit of work holds. made: bags that nobody else can know of yet."""

    turn: bool = False
    bags: set[str] = field(default_factory=set)
    made: set[str] = field(default_factory=set)
    goods: set[Any] = field(default_factory=set)

    def takes_turn(self) -> None:
        assert self.turn or not (self.bags or self.goods), "the turn comes before bags and goods"
        self.turn = True

    def holds_bags(self, bags: Collection[str]) -> None:
        new = set(bags) - self.bags - self.made
        assert not (new and self.bags), f"bags are held in one go, not {new} after {self.bags}"
        assert not (new and self.goods), f"bags are held before goods, not {new} after {self.goods}"
        self.bags |= new

    def holds_goods(self, goods: Collection[Any]) -> None:
        new = set(goods) - self.goods
        assert not (new and self.goods), f"goods are held in one go, not {new} after {self.goods}"
        self.goods |= new

    def moves(self, movements: Collection[Any]) -> None:
        """A promise that outlasts its unit of work is made in a turn, and taken back in one."""
        taken = {(one.item, one.target.bag) for one in movements if one.kind is Kind.PICK}
        for one in movements:
            kept = one.kind is Kind.RESERVE and (one.item, one.target.bag) not in taken
            let_go = one.kind is Kind.UNRESERVE
            assert self.turn or not (kept or let_go), f"{one} out of turn"


@contextmanager
def watched(patch: pytest.MonkeyPatch) -> Iterator[list[Held]]:
    """Units of work in the order in which they first held something; each is judged as it goes."""
    found: list[Held] = []
    held: WeakKeyDictionary[Connection, Held] = WeakKeyDictionary()

    def of(connection: Connection) -> Held:
        if connection not in held:
            held[connection] = Held()
            found.append(held[connection])
        return held[connection]

    def before(kind: type, name: str, look: Any) -> None:
        plain = getattr(kind, name)

        def looked(self: Any, *given: Any, **named: Any) -> Any:
            look(of(self._connection), *given, **named)
            return plain(self, *given, **named)

        patch.setattr(kind, name, looked)

    before(SqlStock, "take_turn", lambda of: of.takes_turn())
    before(SqlOrders, "hold_bags", lambda of, bags: of.holds_bags(bags))
    before(
        SqlOrders,
        "whole",
        lambda of, bag, held=False, event="": of.holds_bags([bag] if held else []),
    )
    before(SqlOrders, "save_bag", lambda of, bag, expected: of.holds_bags([bag.id]))
    before(SqlOrders, "save_needs", lambda of, bag: of.holds_bags([bag.id]))
    before(SqlOrders, "add_bags", lambda of, bags, demands: of.made.update(bag.id for bag in bags))
    before(Moves, "_hold", lambda of, items: of.holds_goods(items))
    before(Moves, "_hold_and_look", lambda of, item, *_: of.holds_goods([item]))
    before(SqlStock, "move", lambda of, movements, *_: of.moves(movements))
    yield found
