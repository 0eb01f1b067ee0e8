"""What else an opening could have: the kits worth seeing beside the one as quoted.

A choice is kept as what was wished for, never as lines: the kit follows from opening, wish,
catalogues and rules, and is built anew by the same search as any other.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog import Body, Catalog, Item, Role, item_key
from wholekit.domain.kits.finish import look_alike
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.shelf import OnHand, Policy, Shelf
from wholekit.domain.openings import OpeningType
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE

AS_QUOTED = "as-quoted"
NEXT_SIZE = "next-size"
ADJUSTABLE, FIXED = "adjustable", "fixed"
PAINTED, PLATED = "painted", "plated"
COVER, NO_COVER = "cover", "no-cover"
FROM_STOCK, TO_ORDER = "from-stock", "to-order"
# The least price of all that keep finish and cover: a second name, and no wish of its own.
CHEAPEST = "cheapest"
WORDS = (
    AS_QUOTED, CHEAPEST, NEXT_SIZE, ADJUSTABLE, FIXED, PAINTED, PLATED, COVER, NO_COVER,
    FROM_STOCK, TO_ORDER,
)  # fmt: skip
# Shelves kept beside one: some for its suppliers, some for quantities from stock.
MOST_VARIANTS = 24


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wished of a kit beside the opening's own facts, under the word it was chosen by.

    supplier: catalogue id, empty = any. size: at least [class]; finish: a code; adjustable: the
    body; cover: with one or without; None = as it comes. on_hand: only items of which the shelf
    has so many [packs]. to_order: what is on hand does not count.
    """

    word: str
    supplier: str = ""
    size: int | None = None
    finish: str | None = None
    adjustable: bool | None = None
    cover: bool | None = None
    on_hand: int = 0
    to_order: bool = False

    def kept_by(self, kit: Kit, quantity: int, stock: OnHand) -> bool:
        """Whether a kit built for it is what its word says, for so many openings [count]."""
        return (
            (self.size is None or (kit.spring_size or 0) >= self.size)
            and self.finish in (None, kit.finish)
            and (not self.on_hand or is_stocked(kit, quantity, stock))
        )


def wishes_beside(kit: Kit, quantity: int, shelf: Shelf, rules: RuleBook) -> Iterator[Wish]:
    """What is worth a look beside a kit for so many openings [count], in the order of showing.

    Whether each can be had, and differs, is seen when it is built.
    """
    for catalog in shelf.catalogs:
        yield supplier_wish(catalog.id)
    if kit.spring_size is not None and kit.spring_size < LARGEST_SIZE:
        yield Wish(NEXT_SIZE, size=kit.spring_size + 1)
    turned = kit.body is not None and kit.body.adjustable
    yield Wish(FIXED if turned else ADJUSTABLE, adjustable=not turned)
    match = _match(kit.finish, shelf, rules)
    if match is not None:
        yield match
    covered = has_cover(kit)
    yield Wish(NO_COVER if covered else COVER, cover=not covered)
    yield Wish(FROM_STOCK, on_hand=quantity)
    if shelf.policy.stock_first:
        yield Wish(TO_ORDER, to_order=True)


def supplier_wish(supplier: str) -> Wish:
    """The wish for the goods of one supplier (catalogue id), under its id."""
    # No word may mean two things, whatever a supplier calls its catalogue.
    return Wish(f"supplier-{supplier}" if supplier in WORDS else supplier, supplier=supplier)


def with_wish(opening_type: OpeningType, wish: Wish) -> OpeningType:
    """The opening as a wish has it, whatever the shelf."""
    facts = {
        name: value
        for name, value in (("spring_size", wish.size), ("finish", wish.finish))
        if value is not None
    }
    return replace(opening_type, **facts) if facts else opening_type  # type: ignore[arg-type]  # the fields' own kinds


def wished(opening_type: OpeningType, wish: Wish, shelf: Shelf) -> tuple[OpeningType, Shelf]:
    """The opening and the shelf as a wish has them; the supplier must be one of the shelf's."""
    asked = with_wish(opening_type, wish)
    key = (wish.supplier, wish.adjustable, wish.cover, wish.on_hand, wish.to_order)
    if key == ("", None, None, 0, False):
        return asked, shelf
    known = shelf.variants.get(key)
    if known is None:
        # One of each supplier is asked for with every look at the choices; together they are no
        # larger than the shelf.
        while len(shelf.variants) >= MOST_VARIANTS + len(shelf.catalogs):
            shelf.variants.pop(next(iter(shelf.variants)))
        known = _varied(wish, shelf)
        known.kits, known.offered = shelf.kits.within(key), shelf.offered.within(key)
        shelf.variants[key] = known
    return asked, known


def has_cover(kit: Kit) -> bool:
    """Whether its body is under a cover."""
    return any(use.role is Role.COVER for line in kit.lines for use in line.uses)


def is_stocked(kit: Kit, quantity: int, stock: OnHand) -> bool:
    """Whether the shelf has all of so many kits [count], if nobody else takes of it."""
    return not _short(kit, quantity, stock)


def lead_days(kit: Kit, quantity: int, stock: OnHand) -> int:
    """The longest lead of what is short for so many kits [d]; 0 where nothing is."""
    return max((item.lead_days for item in _short(kit, quantity, stock)), default=0)


def waits(kit: Kit, quantity: int, stock: OnHand) -> int | None:
    """Working days until so many kits can be whole [d], 0 where nothing is short; None where nobody
    states the lead of something that is."""
    short = _short(kit, quantity, stock)
    return None if any(not item.lead_days for item in short) else lead_days(kit, quantity, stock)


def is_same(kit: Kit, other: Kit) -> bool:
    """Whether two kits are the same goods, fixed and set alike."""
    return _goods(kit) == _goods(other)


def _short(kit: Kit, quantity: int, stock: OnHand) -> list[Item]:
    return [
        line.item
        for line in kit.lines
        if stock.get(item_key(line.item), 0) < line.quantity * quantity
    ]


def _goods(kit: Kit) -> tuple[object, ...]:
    lines = sorted((line.item.supplier, line.item.sku, line.quantity) for line in kit.lines)
    return kit.mount, kit.spring_size, kit.finish, tuple(lines)


def _match(finish: str, shelf: Shelf, rules: RuleBook) -> Wish | None:
    """Paint for a plated finish, plating for a painted one: the nearest in look that is sold."""
    is_painted, near = look_alike(finish, shelf, rules)
    return None if near is None else Wish(PLATED if is_painted else PAINTED, finish=near)


def _varied(wish: Wish, shelf: Shelf) -> Shelf:
    catalogs: Sequence[Catalog] = [
        catalog for catalog in shelf.catalogs if wish.supplier in ("", catalog.id)
    ]
    if wish.adjustable is not None:
        catalogs = [
            _with_bodies(catalog, lambda body: body if body.adjustable == wish.adjustable else None)
            for catalog in catalogs
        ]
    if wish.cover is not None:
        catalogs = [_covered(catalog, wish.cover, shelf) for catalog in catalogs]
    if wish.on_hand:
        catalogs = [
            replace(
                catalog,
                items=tuple(item for item in catalog.items if shelf.on_hand(item) >= wish.on_hand),
            )
            for catalog in catalogs
        ]
    policy = Policy(shelf.policy.prefer) if wish.to_order else shelf.policy
    return Shelf(catalogs, policy, shelf.stock)


def _covered(catalog: Catalog, cover: bool, shelf: Shelf) -> Catalog:
    """A catalogue with no bodies but those that may have a cover, or those that may go without."""
    if not cover:
        return _with_bodies(catalog, lambda body: None if body.cover_required else body)
    fitting = {
        body.id
        for group in shelf.groups
        if group.catalog is catalog and group.fitting[Role.COVER]
        for body in group.bodies
    }
    # Where the maker leaves it open a cover is now asked for.
    return _with_bodies(
        catalog, lambda body: replace(body, cover_required=True) if body.id in fitting else None
    )


def _with_bodies(catalog: Catalog, change: Callable[[Body], Body | None]) -> Catalog:
    """A catalogue with each body as `change` has it; the goods of those it drops are gone too."""
    gone: set[str] = set()
    series = []
    for each in catalog.series:
        kept = []
        for body in each.bodies:
            new = change(body)
            if new is None:
                gone.update(body.pieces.values())
            else:
                kept.append(new)
        series.append(replace(each, bodies=tuple(kept)))
    # Left in, a box would be opened for its arms and screws, and its body thrown away.
    items = tuple(
        item for item in catalog.items if not any(supply.piece in gone for supply in item.supplies)
    )
    return replace(catalog, series=tuple(series), items=items)
