"""Stock looked up and moved by hand: received, moved, adjusted, thrown away. No money is in it."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import (
    LONGEST_CODE,
    MAIN,
    Balance,
    Movement,
    Slips,
    StockPlace,
)
from wholekit.services.allocating import complete_waiting, hold_for_waiting, hold_lacking
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, need_line, need_reason
from wholekit.services.paging import Page
from wholekit.services.ports import UnitOfWork
from wholekit.services.promises import hold_giving, promises_giving_way
from wholekit.services.rights import needs
from wholekit.services.stock_port import Branch, StockFilter, StockRow

MOST_PACKS = 1_000_000


@dataclass(frozen=True, slots=True)
class ToldItem:
    """An item as it is asked for: its SKU, and the supplier where two sell under one SKU."""

    sku: str
    supplier: str = ""


@dataclass(frozen=True, slots=True)
class ToldPlace:
    """A place as it is told: bin None = the one bin of that branch that the item lies in."""

    branch: str = MAIN
    bin: str | None = None


@dataclass(frozen=True, slots=True)
class ItemStock:
    """An item with its balance at each branch and the packs in each bin."""

    item: ItemKey
    description: str
    balances: Mapping[str, Balance]
    bins: Mapping[StockPlace, int]


@dataclass(frozen=True, slots=True)
class Moved:
    """What was written down, and the stock of the item then.

    waiting: bags whose promises gave way, with the packs that each waits for again; completed:
    bags that waited and are whole by it.
    """

    movements: tuple[Movement, ...]
    stock: ItemStock
    waiting: tuple[tuple[str, int], ...] = ()
    completed: tuple[str, ...] = ()


@needs(Action.SEE_STOCK)
def list_stock(
    desk: Desk, deed: Deed, wanted: StockFilter, page: Page
) -> tuple[Sequence[StockRow], int]:
    """Items by SKU and branch, and how many there are in all. Raises CallError."""
    with desk.store.reading() as uow:
        if wanted.branch:
            branch_of(uow, wanted.branch)
        return uow.stock.page(wanted, page)


@needs(Action.SEE_STOCK)
def show_stock(desk: Desk, deed: Deed, which: ToldItem) -> ItemStock:
    """One item: by branch and by bin. Raises CallError."""
    with desk.store.reading() as uow:
        return _stock_of(uow, *item_of(uow, which))


@needs(Action.SEE_STOCK)
def stock_history(
    desk: Desk, deed: Deed, which: ToldItem, page: Page
) -> tuple[Sequence[Movement], int]:
    """Movements of an item, the latest first, and how many there are in all. Raises CallError."""
    with desk.store.reading() as uow:
        return uow.stock.history(page, item_of(uow, which)[0])


@needs(Action.SEE_STOCK)
def list_branches(desk: Desk, deed: Deed) -> Sequence[Branch]:
    """The branches, the main one first."""
    with desk.store.reading() as uow:
        return uow.stock.branches()


@needs(Action.CHANGE_SETTINGS)
def add_branch(desk: Desk, deed: Deed, branch: Branch) -> Sequence[Branch]:
    """A branch more; all of them then. Raises CallError, ConflictError."""
    code = code_of(branch.code, "branch")
    if not code:
        raise CallError("branch-code-needed")
    name = need_line(" ".join(branch.name.split()), "name", LONGEST_NAME)
    with desk.store.writing() as uow:
        uow.stock.add_branch(Branch(code, name))
        found = uow.stock.branches()
        uow.commit()
    return found


@needs(Action.RECEIVE_STOCK)
def receive_stock(
    desk: Desk, deed: Deed, which: ToldItem, packs: int, to: ToldPlace, reason: str = ""
) -> Moved:
    """Packs that came in; bags that waited for them are promised what makes them whole. Raises
    CallError."""
    need_packs(packs)
    with desk.store.writing() as uow:
        item, description = item_of(uow, which)
        place = place_of(uow, item, to)
        hold_lacking(uow)
        held = hold_for_waiting(uow, [item])
        slips = _slips(desk, deed)
        new = uow.stock.move([slips.receipt(item, packs, place, _said(reason))])
        whole = complete_waiting(uow, desk, deed, slips, held).ready
        found = _stock_of(uow, item, description)
        uow.commit()
        return Moved(tuple(new), found, completed=tuple(bag.id for bag in whole))


@needs(Action.RECEIVE_STOCK)
def move_stock(
    desk: Desk,
    deed: Deed,
    which: ToldItem,
    packs: int,
    of: ToldPlace,
    to: ToldPlace,
    reason: str = "",
) -> Moved:
    """Packs from one bin to another, of the same branch or not. Raises CallError."""
    need_packs(packs)
    with desk.store.writing() as uow:
        item, description = item_of(uow, which)
        places = place_of(uow, item, of), place_of(uow, item, to)
        if places[0] == places[1]:
            raise CallError("move-nowhere", sku=item[1])
        made = _slips(desk, deed).transfer(item, packs, *places, _said(reason))
        return written(uow, item, description, [made])


@needs(Action.ADJUST_STOCK)
def adjust_stock(
    desk: Desk, deed: Deed, which: ToldItem, packs: int, at: ToldPlace, reason: str
) -> Moved:
    """Packs more than the books say, or fewer (below zero), for a reason.

    Where what is left does not cover what is promised, the latest promises go back to waiting.
    Raises CallError.
    """
    why = need_reason(reason, "adjustment")
    need_packs(abs(packs))
    with desk.store.writing() as uow:
        item, description = item_of(uow, which)
        slips = _slips(desk, deed)
        made = slips.adjust(item, packs, place_of(uow, item, at), why)
        return written(uow, item, description, [made], slips)


@needs(Action.ADJUST_STOCK)
def scrap_stock(
    desk: Desk, deed: Deed, which: ToldItem, packs: int, of: ToldPlace, reason: str
) -> Moved:
    """Packs thrown away, for a reason; promises give way as in an adjustment. Raises CallError."""
    why = need_reason(reason, "scrap")
    need_packs(packs)
    with desk.store.writing() as uow:
        item, description = item_of(uow, which)
        slips = _slips(desk, deed)
        made = slips.scrap(item, packs, place_of(uow, item, of), why)
        return written(uow, item, description, [made], slips)


def written(
    uow: UnitOfWork,
    item: ItemKey,
    description: str,
    made: list[Movement],
    giving: Slips | None = None,
) -> Moved:
    """Movements of an item written down and committed. giving: promises give way to the first of
    them. Raises CallError."""
    waiting: tuple[tuple[str, int], ...] = ()
    if giving is not None:
        hold_giving(uow, [item], made[0].source.place.branch)
        back, given = promises_giving_way(uow, giving, made[:1])
        waiting = tuple((bag, packs) for _, bag, packs in given)
        made = [*back, *made]
    new = uow.stock.move(made)
    found = _stock_of(uow, item, description)
    uow.commit()
    return Moved(tuple(new), found, waiting)


def _stock_of(uow: UnitOfWork, item: ItemKey, description: str) -> ItemStock:
    balances = uow.stock.balances([item]).get(item, {})
    return ItemStock(item, description, balances, uow.stock.bins_of([item]).get(item, {}))


def _slips(desk: Desk, deed: Deed) -> Slips:
    return Slips(desk.ids.new(), deed.at, deed.who)


def item_of(uow: UnitOfWork, which: ToldItem) -> tuple[ItemKey, str]:
    """The item and its description. Raises CallError where there is none, or several."""
    sku = which.sku.strip()
    found = uow.stock.of_sku(sku) or uow.stock.of_sku(sku.upper())
    if not found:
        raise CallError("stock-item-unknown", sku=need_line(sku, "SKU", LONGEST_NAME))
    suppliers = [supplier for (supplier, _), _ in found]
    if which.supplier:
        low = which.supplier.strip().casefold()
        found = [each for each in found if each[0][0].casefold() == low]
        if not found:
            raise CallError(
                "stock-supplier-unknown", sku=sku, supplier=which.supplier, known=suppliers
            )
    if len(found) > 1:
        raise CallError("stock-supplier-needed", sku=sku, known=suppliers)
    return found[0]


def place_of(uow: UnitOfWork, item: ItemKey, where: ToldPlace) -> StockPlace:
    """The place told; without a bin the only one of the item. Raises CallError."""
    return places_of(uow, [item], where)[item]


def places_of(
    uow: UnitOfWork, items: Collection[ItemKey], where: ToldPlace
) -> Mapping[ItemKey, StockPlace]:
    """The place told for each of some items, in as many questions however many they are.

    Without a bin: the only one that the item lies in at the branch; at the main branch, where it
    lies in none, the one its price book names. Raises CallError.
    """
    branch = branch_of(uow, where.branch)
    if where.bin is not None:
        return dict.fromkeys(items, StockPlace(branch, code_of(where.bin, "bin")))
    lying = uow.stock.bins_of(items)
    # A price book's bins are those of the main branch, as its opening is.
    named = uow.wares.bins(items) if branch == MAIN else {}
    found = {}
    for item in items:
        places = [place for place in lying.get(item, {}) if place.branch == branch]
        if len(places) > 1:
            known = [place.bin or "''" for place in places]
            raise CallError("bin-needed", sku=item[1], branch=branch, known=known)
        found[item] = places[0] if places else StockPlace(branch, named.get(item, ""))
    return found


def branch_of(uow: UnitOfWork, code: str) -> str:
    """The branch of a code. Raises CallError where there is none."""
    known = [each.code for each in uow.stock.branches()]
    if code.strip() not in known:
        raise CallError("branch-unknown", name=code, known=known)
    return code.strip()


def code_of(text: str, what: str) -> str:
    """The code of a branch or a bin, trimmed. Raises CallError."""
    return need_line(text.strip(), what, LONGEST_CODE)


def _said(reason: str) -> str:
    return need_line(" ".join(reason.split()), "reason")


def need_packs(packs: int) -> None:
    """Raises CallError unless so many can be moved at once."""
    if not 0 < packs <= MOST_PACKS:
        raise CallError("packs-out-of-range", given=packs, most=MOST_PACKS)
