"""Stock in memory: a list of movements, added up anew for every answer."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from wholekit.domain.catalog import Catalog, ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.domain.stock import (
    MAIN,
    Balance,
    InBag,
    Kind,
    Movement,
    ShelfMoves,
    Side,
    Slips,
    StockPlace,
    Sums,
    deltas_of,
    require_sound,
    sums_of,
)
from wholekit.services.paging import Page
from wholekit.services.stock_port import AtHand, Branch, ShelfRow, StockFilter, StockRow


@dataclass
class FakeStock:
    """The ledger of one unit of work over a copy."""

    moved: dict[str, Movement] = field(default_factory=dict)
    known: dict[ItemKey, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    _sums: Sums | None = field(default=None, compare=False)

    def copied(self) -> "FakeStock":
        return FakeStock(dict(self.moved), dict(self.known), dict(self.names), self._sums)

    @property
    def sums(self) -> Sums:
        if self._sums is None:
            self._sums = sums_of(self.moved.values())
        return self._sums

    def enter(self, catalog: Catalog, counts: Mapping[ItemKey, int], at: object, by: str) -> None:
        for item in catalog.items:
            key = item.supplier, item.sku
            if key not in self.known and counts.get(key, 0):
                slips = Slips(f"opening/{len(self.moved)}", at, by)  # type: ignore[arg-type]
                one = slips.opening(key, counts[key], StockPlace(MAIN, item.bin))
                self.moved[one.key] = one
            self.known[key] = item.description
        self._sums = None

    def move(self, movements: Sequence[Movement]) -> Sequence[Movement]:
        new: dict[str, Movement] = {}
        for one in movements:
            there = self.moved.get(one.key) or new.setdefault(one.key, one)
            if replace(there, at=one.at) != one:
                raise ConflictError("movement-differs", key=one.key)
        require_sound(self.sums, deltas_of(new.values()))
        self.moved |= new
        for one in new.values():
            self.known.setdefault(one.item, "")
        self._sums = None
        return tuple(new.values())

    def hold(self, items: Collection[ItemKey]) -> None:
        """One writer at a time: nobody else moves anything."""

    def take_turn(self) -> None:
        """One writer at a time."""

    def promised_to(self, items: Collection[ItemKey], branch: str) -> Collection[str]:
        return {
            bag
            for (item, at, bag), each in self.sums.bags.items()
            if item in items and at == branch and each.promised
        }

    def at_hand(self, item: ItemKey, branch: str, bag: str, keys: Sequence[str]) -> AtHand:
        due = self.bags([bag]).get(bag, {}).get((item, branch), InBag())
        places = self.bins_of([item]).get(item, {})
        return AtHand(
            self.free([item], branch).get(item, 0),
            due.promised,
            {place: packs for place, packs in places.items() if place.branch == branch},
        )

    def balances(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Mapping[str, Balance]]:
        found: dict[ItemKey, dict[str, Balance]] = {
            item: {MAIN: Balance()} for item in items if item in self.known
        }
        for (item, branch), balance in self.sums.branches.items():
            if item in found:
                found[item][branch] = balance
        return found

    def free(self, items: Collection[ItemKey], branch: str = "") -> Mapping[ItemKey, int]:
        return {
            item: sum(each.free for name, each in found.items() if branch in ("", name))
            for item, found in self.balances(items).items()
        }

    def every_free(self) -> Mapping[ItemKey, int]:
        return {item: free for item, free in self.free(list(self.known)).items() if free}

    def stamp(self) -> object:
        return tuple(self.moved), len(self.known)

    def bins_of(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Mapping[StockPlace, int]]:
        found: dict[ItemKey, dict[StockPlace, int]] = {}
        for (item, branch, name), packs in sorted(self.sums.bins.items()):
            if item in items and packs:
                found.setdefault(item, {})[StockPlace(branch, name)] = packs
        return found

    def bags(self, bags: Collection[str]) -> Mapping[str, Mapping[tuple[ItemKey, str], InBag]]:
        found: dict[str, dict[tuple[ItemKey, str], InBag]] = {}
        for (item, branch, bag), held in self.sums.bags.items():
            if bag in bags and (held.promised or held.picked):
                found.setdefault(bag, {})[item, branch] = held
        return found

    def latest_promises(self, item: ItemKey, branch: str) -> Sequence[tuple[str, int]]:
        latest: dict[str, int] = {}
        for at, one in enumerate(self.moved.values()):
            if (one.kind, one.item) == (Kind.RESERVE, item) and one.target.place.branch == branch:
                latest[one.bag] = at
        bags = sorted(latest, key=lambda bag: -latest[bag])
        held = ((bag, self.sums.bags[item, branch, bag].promised) for bag in bags)
        return [(bag, promised) for bag, promised in held if promised]

    def shipped(self, item: ItemKey, bags: Collection[str]) -> Mapping[str, int]:
        found: dict[str, int] = {}
        for one in self.moved.values():
            if (one.kind, one.item) == (Kind.SHIP, item) and one.bag in bags:
                found[one.bag] = found.get(one.bag, 0) + one.packs
        return found

    def history(
        self, page: Page, item: ItemKey | None = None, bag: str = ""
    ) -> tuple[Sequence[Movement], int]:
        found = [
            one
            for one in reversed(self.moved.values())
            if item in (None, one.item) and bag in ("", one.bag)
        ]
        return found[page.offset : page.offset + page.limit], len(found)

    def page(self, wanted: StockFilter, page: Page) -> tuple[Sequence[StockRow], int]:
        low = wanted.text.lower()
        found = []
        for item in sorted(self.known, key=lambda each: (each[1], each[0])):
            for branch, balance in sorted(self.balances([item])[item].items()):
                places = self.bins_of([item]).get(item, {})
                bins = tuple((at.bin, n) for at, n in places.items() if at.branch == branch)
                if (
                    wanted.branch in ("", branch)
                    and (not wanted.bin or wanted.bin in dict(bins))
                    and (low in item[1].lower() or low in self.known[item].lower())
                    and (not wanted.short or not balance.free)
                ):
                    found.append(StockRow(item, self.known[item], branch, balance, bins))
        return found[page.offset : page.offset + page.limit], len(found)

    def mark(self) -> int:
        return len(self.moved)

    def shelves(self, branch: str) -> Sequence[ShelfRow]:
        found = [
            ShelfRow(item, self.known[item], name, packs)
            for (item, at, name), packs in self.sums.bins.items()
            if at == branch
        ]
        return sorted(found, key=lambda row: (row.bin, row.item[1], row.item[0]))

    def moved_since(
        self, mark: int, items: Collection[ItemKey]
    ) -> Mapping[tuple[ItemKey, StockPlace], int]:
        later = (one for one in list(self.moved.values())[mark:] if one.item in items)
        bins = sums_of(later).bins
        return {(item, StockPlace(branch, name)): n for (item, branch, name), n in bins.items()}

    def on_hand_on(self, day: date) -> Mapping[ItemKey, int]:
        found: dict[ItemKey, int] = {}
        kept = sums_of(one for one in self.moved.values() if one.at.date() <= day)
        for (item, _), balance in kept.branches.items():
            found[item] = found.get(item, 0) + balance.on_hand
        return {item: packs for item, packs in found.items() if packs}

    def moved_over(self, since: date, branch: str) -> Sequence[ShelfMoves]:
        found = []
        for (item, at), now in self.sums.branches.items():
            if not now.on_hand or branch not in ("", at):
                continue
            of = [one for one in self.moved.values() if one.item == item]
            old = sums_of(one for one in of if one.at.date() < since).branches
            out = [one for one in of if one.kind is Kind.SHIP and one.source.place.branch == at]
            came = [one for one in of if one.target.side is Side.SHELF]
            came = [one for one in came if one.target.place.branch == at]
            back = [one for one in came if one.kind is Kind.RETURN]
            net = sum(one.packs for one in out if one.at.date() >= since) - sum(
                one.packs for one in back if one.at.date() >= since
            )
            found.append(
                ShelfMoves(
                    item,
                    self.known[item],
                    at,
                    now.on_hand,
                    now.promised,
                    old.get((item, at), Balance()).on_hand,
                    max(0, net),
                    min(one.at.date() for one in came),
                    max((one.at.date() for one in out), default=None),
                )
            )
        return sorted(found, key=lambda row: (row.item[::-1], row.branch))

    def of_sku(self, sku: str) -> Sequence[tuple[ItemKey, str]]:
        return [(item, said) for item, said in sorted(self.known.items()) if item[1] == sku]

    def branches(self) -> Sequence[Branch]:
        return [Branch(MAIN, ""), *(Branch(*each) for each in sorted(self.names.items()))]

    def add_branch(self, branch: Branch) -> None:
        if branch.code == MAIN or branch.code in self.names:
            raise ConflictError("branch-taken", name=branch.code)
        self.names[branch.code] = branch.name
