"""Bins counted: a sheet that does not tell what the books say, and what was found.

A count is judged by the books at the moment its sheet was made: whatever moved since is neither
missing nor too much. Without a sheet that moment is the one in which the count is entered.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import MAIN, Movement, Slips, StockPlace
from wholekit.services.desk import Deed, Desk, note
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import hold_giving, promised_beside, promises_giving_way
from wholekit.services.rights import needs
from wholekit.services.sheet_codes import sheet_code, sheet_code_from
from wholekit.services.stock import (
    MOST_PACKS,
    ToldItem,
    branch_of,
    code_of,
    item_of,
)
from wholekit.services.stock_port import ShelfRow

SUBJECT = "count"


@dataclass(frozen=True, slots=True)
class CountWhere:
    """What is counted at a branch: one bin ('' = what has none), the bins of a zone (what stands
    before the first hyphen), or all of it."""

    branch: str = MAIN
    bin: str | None = None
    zone: str = ""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """An item to be counted in a bin."""

    item: ItemKey
    description: str
    bin: str


@dataclass(frozen=True, slots=True)
class CountSheet:
    """What is to be counted, and no word of how many. code: says until which movement it knows."""

    code: str
    branch: str
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True, slots=True)
class CountedItem:
    """So many packs of an item found in a bin, 0 too."""

    item: ToldItem
    bin: str
    packs: int


@dataclass(frozen=True, slots=True)
class CountEntry:
    """What was counted. bins: those that were, beside the ones of `counted`; rest_zero: of the
    items that are not named in them there is none."""

    counted: tuple[CountedItem, ...]
    branch: str = MAIN
    sheet: str = ""
    bins: tuple[str, ...] = ()
    rest_zero: bool = False


@dataclass(frozen=True, slots=True)
class CountLine:
    """An item in a bin [packs]: by the books when the sheet was made, as counted, and by how much
    it moved since."""

    item: ItemKey
    place: StockPlace
    book: int
    counted: int
    moved: int

    @property
    def difference(self) -> int:
        """Packs more than the books said, fewer below zero."""
        return self.counted - self.book


@dataclass(frozen=True, slots=True)
class CountDone:
    """A count as it was entered. waiting: items and bags whose promises gave way, with their packs;
    again: bins that were entered from this sheet before, and of which nothing was written now."""

    sheet: str
    branch: str
    lines: tuple[CountLine, ...]
    movements: tuple[Movement, ...] = ()
    waiting: tuple[tuple[ItemKey, str, int], ...] = ()
    again: tuple[str, ...] = ()


@needs(Action.SEE_STOCK)
def count_sheet(desk: Desk, deed: Deed, where: CountWhere) -> CountSheet:
    """What lies, or has lain, where it is to be counted. Raises CallError."""
    with desk.store.reading() as uow:
        branch = branch_of(uow, where.branch)
        code = str(sheet_code(uow.stock.mark(), desk.ids.new()))
        rows = [
            SheetRow(row.item, row.description, row.bin)
            for row in uow.stock.shelves(branch)
            if _within(row.bin, where)
        ]
    return CountSheet(code, branch, tuple(rows))


@needs(Action.COUNT_STOCK)
def enter_count(desk: Desk, deed: Deed, entry: CountEntry) -> CountDone:
    """What was counted, written down whole in one step; a bin of a sheet counts once.

    Where what is left does not cover what is promised, the latest promises go back to waiting.
    Raises CallError; ConflictError (`count-differs`) for a bin that was entered otherwise.
    """
    with desk.store.writing() as uow:
        branch = branch_of(uow, entry.branch)
        sheet, mark = _mark_of(uow, desk, entry.sheet.strip())
        shelves = uow.stock.shelves(branch)
        found = _found(uow, entry, branch, shelves)
        bins = {place.bin for _, place in found} | {code_of(each, "bin") for each in entry.bins}
        if not bins:
            raise CallError("count-empty")
        items = {item for item, _ in found} | {row.item for row in shelves if row.bin in bins}
        hold_giving(uow, items, branch)
        # With all that may give way to what is missing: at once, so that nobody waits crosswise.
        uow.stock.hold(items | promised_beside(uow, items, branch))
        lines = _lines(uow, mark, items, branch, bins, found, entry.rest_zero)
        again = _entered_before(uow, sheet, branch, bins, lines)
        lines = [line for line in lines if line.place.bin not in again]
        done = _write(uow, deed, CountDone(sheet, branch, tuple(lines), again=again))
        for name in sorted(bins - set(again)):
            _note(uow, deed, done, name)
        uow.commit()
    return done


def _within(name: str, where: CountWhere) -> bool:
    if where.bin is not None:
        return name == where.bin.strip()
    return not where.zone or name.partition("-")[0] == where.zone.strip()


def _mark_of(uow: UnitOfWork, desk: Desk, sheet: str) -> tuple[str, int]:
    """The sheet's code and the last movement it knows of; those of now for none."""
    latest = uow.stock.mark()
    if not sheet:
        return str(sheet_code(latest, desk.ids.new())), latest
    code = sheet_code_from(sheet)
    if code is None or code.mark > latest:
        raise CallError("count-sheet-unknown", sheet=sheet[:60])
    return str(code), code.mark


def _found(
    uow: UnitOfWork, entry: CountEntry, branch: str, shelves: Sequence[ShelfRow]
) -> dict[tuple[ItemKey, StockPlace], int]:
    """What was counted, by item and place. Raises CallError."""
    there: dict[str, set[ItemKey]] = defaultdict(set)
    for row in shelves:
        there[row.item[1]].add(row.item)
    found: dict[tuple[ItemKey, StockPlace], int] = {}
    for each in entry.counted:
        known = there.get(each.item.sku.strip(), set())
        alone = len(known) == 1 and not each.item.supplier
        # Sold by another supplier too, it is that of the one that lies here.
        item = next(iter(known)) if alone else item_of(uow, each.item)[0]
        key = item, StockPlace(branch, code_of(each.bin, "bin"))
        if key in found:
            raise CallError("count-twice", sku=item[1], bin=key[1].bin)
        if not 0 <= each.packs <= MOST_PACKS:
            raise CallError("packs-out-of-range", given=each.packs, most=MOST_PACKS)
        found[key] = each.packs
    return found


def _lines(
    uow: UnitOfWork,
    mark: int,
    items: set[ItemKey],
    branch: str,
    bins: set[str],
    found: Mapping[tuple[ItemKey, StockPlace], int],
    rest_zero: bool,
) -> list[CountLine]:
    """Every item of the bins, held against the books of the mark. Raises CallError."""
    moved = uow.stock.moved_since(mark, items)
    now = {
        (item, place): packs
        for item, places in uow.stock.bins_of(items).items()
        for place, packs in places.items()
        if place.branch == branch and place.bin in bins
    }
    lines = []
    left: dict[str, list[str]] = defaultdict(list)
    for key in sorted({*now, *found, *(each for each in moved if each[1].bin in bins)}):
        item, place = key
        if place.branch != branch:
            continue
        since = moved.get(key, 0)
        book = now.get(key, 0) - since
        if key not in found and not book:
            # It came since.
            continue
        if key not in found and not rest_zero:
            left[place.bin].append(item[1])
        lines.append(CountLine(item, place, book, found.get(key, 0), since))
    for name, skus in sorted(left.items()):
        raise CallError("count-items-left", bin=name, branch=branch, skus=skus)
    return lines


def _entered_before(
    uow: UnitOfWork, sheet: str, branch: str, bins: set[str], lines: Sequence[CountLine]
) -> tuple[str, ...]:
    """The bins that this sheet was entered for already. Raises ConflictError."""
    again = []
    for name in sorted(bins):
        for entry in uow.audit.of_subject(SUBJECT, _subject(sheet, branch, name)):
            if dict(entry.after or {}).get("counted") != _told(lines, name):
                raise ConflictError("count-differs", sheet=sheet, branch=branch, bin=name)
            again.append(name)
    return tuple(again)


def _write(uow: UnitOfWork, deed: Deed, done: CountDone) -> CountDone:
    """The differences as movements, and the promises that give way to them. Raises CallError."""
    slips: dict[str, Slips] = {}
    made: list[Movement] = []
    net: dict[ItemKey, int] = defaultdict(int)
    losses: dict[ItemKey, Movement] = {}
    for line in done.lines:
        name = line.place.bin
        if line.counted + line.moved < 0:
            raise CallError(
                "count-overtaken",
                sku=line.item[1],
                bin=name,
                counted=line.counted,
                taken=-line.moved,
            )
        if not line.difference:
            continue
        key = f"{SUBJECT}/{_subject(done.sheet, done.branch, name)}"
        of_bin = slips.setdefault(name, Slips(key, deed.at, deed.who))
        one = of_bin.count(line.item, line.difference, line.place, done.sheet)
        made.append(one)
        net[line.item] += line.difference
        if line.difference < 0:
            losses[line.item] = one
    # What another bin has more of makes up for it.
    short = [replace(loss, packs=-net[item]) for item, loss in losses.items() if net[item] < 0]
    waiting: tuple[tuple[ItemKey, str, int], ...] = ()
    back: list[Movement] = []
    if short:
        first = _subject(done.sheet, done.branch, short[0].source.place.bin)
        giving = Slips(f"{SUBJECT}/{first}/giving", deed.at, deed.who)
        back, waiting = promises_giving_way(uow, giving, short)
    written = uow.stock.move([*back, *made])
    return replace(done, movements=tuple(written), waiting=waiting)


def _note(uow: UnitOfWork, deed: Deed, done: CountDone, name: str) -> None:
    after = {"counted": _told(done.lines, name)}
    note(uow, deed, "count-entered", SUBJECT, _subject(done.sheet, done.branch, name), after=after)


def _told(lines: Sequence[CountLine], name: str) -> dict[str, int]:
    return {"/".join(line.item): line.counted for line in lines if line.place.bin == name}


def _subject(sheet: str, branch: str, name: str) -> str:
    return f"{sheet}/{branch}/{name}"
