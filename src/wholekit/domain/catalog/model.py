"""The catalogue: series of pieces, bodies and templates, and the items that supply them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import TypeAlias

from wholekit.domain.catalog.terms import USUAL_TERMS, BuyingTerms
from wholekit.domain.catalog.words import Duty, FastenerKind, HolesRow, Role, claims
from wholekit.domain.openings.words import HingeSide, Mount
from wholekit.domain.plain import SPARSE
from wholekit.domain.quantities import Cost, Length, Money

# Supplier and SKU: two suppliers may sell under one SKU.
ItemKey: TypeAlias = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Piece:
    """A technical part with one role, as the engineering data describe it.

    fits: body families, or piece ids, this piece goes with; empty = everything in its series.
    mounts: where it is used; empty = all. hand: hinge side seen from the pull side, `left` or
    `right`; None = not handed. shows: its finish is seen, so it must match the kit's.
    holes: screws it takes into its host [count]; arm_screws: screws that join the forearm to a
    bracket [count]. screw_number: a wood screw's number. length: pivot to pivot of an arm, or of a
    fastener [Length]; length_to: the longest setting of an adjustable forearm. reveal_max: the
    deepest reveal a forearm, shoe or bracket serves. leaf_from, leaf_to: leaf thickness a
    through-bolt clamps [Length].
    sleeved: has a spacer sleeve. relieves: `rail` or `head`, what a plate makes up for, or `holes`
    of an old closer, with covers: the widest and highest pattern that it hides; needs: the
    height of rail or head the plate itself takes [Length]; takes_kinds: the screws by which body
    or foot is fixed to the plate, which a second set fixes to its host through its own holes.
    hole_pattern, holes_from_body, holes_down, holes_row: the plate's own drilling, all or none:
    along × across; its hole nearest the hinge from that of the body it carries, positive toward
    the latch; and as a template's [Length]. for_stop: the stop a spacer levels. stands_for: roles
    a hold-open arm takes over.
    """

    id: str
    role: Role
    series: str
    title: str
    kind: FastenerKind | None = None
    fits: frozenset[str] = frozenset()
    mounts: frozenset[Mount] = frozenset()
    hand: HingeSide | None = None
    fire_listed: bool = False
    shows: bool = False
    holes: int = 0
    arm_screws: int = 0
    screw_number: int | None = None
    length: Length | None = None
    length_to: Length | None = None
    reveal_max: Length | None = None
    leaf_from: Length | None = None
    leaf_to: Length | None = None
    sleeved: bool = False
    relieves: str | None = None
    needs: Length | None = None
    takes_kinds: frozenset[FastenerKind] = frozenset()
    hole_pattern: tuple[Length, Length] | None = None
    holes_from_body: Length | None = None
    holes_down: Length | None = None
    holes_row: HolesRow | None = None
    covers: tuple[Length, Length] | None = None
    for_stop: str | None = None
    stands_for: frozenset[Role] = frozenset()


@dataclass(frozen=True, slots=True)
class Body:
    """A closer body: spring size or range [class], fixings and features.

    pieces: piece id by hand (`left`, `right`), or under `any` for a body that is not handed.
    hole_pattern: along × across [Length]; fixing_holes, pinion_screws, pinion_caps [count].
    size_from == size_to and not adjustable: a fixed size. standards: those its series claims.
    grade: BHMA A156.4's, 1 the strongest. duty: where it may go; None = not told. corrosion: class
    of EN 1670, 0 to 5. durability: the digit of EN 1154's classification. efficiency: closing over
    opening moment at 0 to 4° [fraction], as efficiency_source tells.
    """

    id: str
    series: str
    family: str
    title: str
    size_from: int
    size_to: int
    adjustable: bool
    pieces: Mapping[HingeSide, str]
    mounts: frozenset[Mount]
    hole_pattern: tuple[Length, Length]
    fixing_holes: int = 4
    pinion_screws: int = 1
    pinion_caps: int = 0
    cover_required: bool = False
    fire_listed: bool = False
    delayed_action: bool = False
    backcheck: bool = False
    grade: int | None = None
    standards: frozenset[str] = frozenset()
    duty: Duty | None = None
    corrosion: int | None = None
    durability: int | None = None
    efficiency: float | None = None
    efficiency_source: str = ""

    @property
    def handed(self) -> bool:
        """Whether it is made for hinges at one side, a piece for each."""
        return HingeSide.ANY not in self.pieces

    def claims(self, word: str) -> bool:
        """Whether its series claims a standard, named by a word as `EN 1154` or `BHMA`."""
        return claims(self.standards, word)


@dataclass(frozen=True, slots=True)
class Template:
    """The maker's placing of body and arms for one mount, up to one greatest opening angle.

    Plan geometry, hinge centre line as origin, along the closed leaf and square to it [Length]:
    the body's pinion `pinion_from_hinge` along and `pinion_from_face` proud of the face it is
    fixed to (the leaf for regular and parallel, the frame's push-side face for top jamb); the
    anchor (shoe pivot, or bracket pivot for parallel arm) `anchor_from_hinge` along and
    `anchor_from_face` from a face: the frame face for regular, which lies in one plane with the
    leaf's pull face; the leaf's push face, leaf closed, for parallel and top jamb. Positive toward
    the room the closer is in. hinge_offset: hinge pin proud of the pull face of the leaf.
    preload: angle the main arm is turned from the spring's rest with the leaf closed [°]. At rest
    it stands square to the face its body is on, pointing into the room (regular, top jamb), and is
    turned toward the latch; or it lies along the leaf toward the latch (parallel), and is turned
    out into the room. The forearm's setting follows: it must lie between the forearm's length and
    length_to, and for top jamb it grows with the reveal. holes_from_hinge: hinge centre line to
    the body's hole nearest the hinge; holes_down: top of leaf downward, or for top jamb bottom of
    head upward, to the row of the body's holes that holes_row names [Length]. holes_row None: the
    maker's data do not say which, so no drilling dimension may be printed.
    main_arms, forearms, feet (shoes or brackets), hold_open_arms: piece ids that may be used.
    rail_needed, head_needed, ceiling_needed: height needed [Length]; reveal_max: deepest reveal.
    """

    id: str
    series: str
    mount: Mount
    families: frozenset[str]
    greatest_angle: float
    main_arms: tuple[str, ...]
    forearms: tuple[str, ...]
    feet: tuple[str, ...]
    pinion_from_hinge: Length
    pinion_from_face: Length
    anchor_from_hinge: Length
    anchor_from_face: Length
    hinge_offset: Length
    preload: float
    holes_from_hinge: Length
    holes_down: Length
    holes_row: HolesRow | None = None
    hold_open_arms: tuple[str, ...] = ()
    rail_needed: Length | None = None
    head_needed: Length | None = None
    ceiling_needed: Length | None = None
    reveal_max: Length | None = None


@dataclass(frozen=True, slots=True)
class Series:
    """One family of engineering data: what is entered once and priced many times over.

    phrases: by language [CLDR code], how parts of the book's descriptions are said in it.
    """

    id: str
    title: str
    standards: tuple[str, ...]
    bodies: tuple[Body, ...]
    pieces: tuple[Piece, ...]
    templates: tuple[Template, ...]
    phrases: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = field(
        default=(), metadata={SPARSE: True}
    )

    def claims(self, word: str) -> bool:
        """Whether it claims a standard, named by a word as `EN 1154` or `BHMA`."""
        return claims(self.standards, word)


@dataclass(frozen=True, slots=True)
class Supply:
    """So many of one piece in one item [count]."""

    piece: str
    quantity: int


@dataclass(frozen=True, slots=True)
class Item:
    """What is sold and stocked under one SKU: a loose piece, a pack or a boxed set.

    pack_size: how many times the listed pieces are in one pack [count]; supplies already counts
    the whole pack. lead_days [d]. row: its row in the price book.
    terms: how it is bought.
    """

    sku: str
    supplier: str
    description: str
    finish: str | None
    list_price: Money
    cost: Cost
    supplies: tuple[Supply, ...]
    pack_size: int = 1
    bin: str = ""
    lead_days: int = 0
    barcode: str = ""
    discontinued: bool = False
    replaced_by: str | None = None
    row: int = 0
    terms: BuyingTerms = USUAL_TERMS


def item_key(item: Item) -> ItemKey:
    """What an item is known by on the shelf."""
    return item.supplier, item.sku


@dataclass(frozen=True)
class Catalog:
    """One supplier's catalogue: engineering data and price book of one date, in one currency.

    counts: what the book says is on hand, by SKU [packs], those it says none of left out.
    """

    id: str
    supplier: str
    currency: str
    edition: date
    series: tuple[Series, ...]
    items: tuple[Item, ...]
    counts: Mapping[str, int] = field(default_factory=dict)
    folder: str = field(default="", compare=False)

    def description_in(self, language: str, description: str) -> str:
        """A description of its book in another language [CLDR code], put together of phrases for
        its parts between commas; empty where one of them has none: half a name is no name."""
        said = self._phrases.get(language, {})
        parts = [said.get(part, "") for part in description.split(", ")]
        return ", ".join(parts) if all(parts) else ""

    @cached_property
    def _phrases(self) -> Mapping[str, Mapping[str, str]]:
        found: dict[str, dict[str, str]] = {}
        for series in self.series:
            for language, phrases in series.phrases:
                found.setdefault(language, {}).update(phrases)
        return found

    @cached_property
    def pieces(self) -> Mapping[str, Piece]:
        """Every piece by id, bodies' own pieces among them."""
        return {piece.id: piece for series in self.series for piece in series.pieces}

    @cached_property
    def bodies(self) -> tuple[Body, ...]:
        """Every body of every series."""
        return tuple(body for series in self.series for body in series.bodies)

    @cached_property
    def items_by_sku(self) -> Mapping[str, Item]:
        """Every item by SKU."""
        return {item.sku: item for item in self.items}
