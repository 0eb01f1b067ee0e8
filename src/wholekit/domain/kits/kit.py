"""A kit: every piece one opening needs, the items that supply it, and the why of each."""

from dataclasses import dataclass, field

from wholekit.domain.catalog import Body, FastenerKind, Item, Piece, Role, Template
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.kits.proof import Proof
from wholekit.domain.openings import Assumption, BodySide, Mount, OpeningType
from wholekit.domain.plain import SPARSE
from wholekit.domain.quantities import Cost, Mass, Money
from wholekit.domain.reasons import Reason


@dataclass(frozen=True, slots=True)
class Need:
    """One joint's or place's demand: role, pieces that would do, how many [count], and why.

    onto_plate: screws that hold body, shoe or bracket on a plate; the plate's own come first.
    """

    role: Role
    quantity: int
    pieces: tuple[str, ...]
    reason: Reason
    kinds: tuple[FastenerKind, ...] = ()
    onto_plate: bool = False


@dataclass(frozen=True, slots=True)
class Use:
    """Pieces of a line that the opening uses [count].

    screw_number: of a wood screw; plate: the plate itself, for where it is drilled. size: of
    another screw, as the catalogue's title of the piece begins: `1/4-20 × 5/8 in`.
    """

    role: Role
    kind: FastenerKind | None
    piece: str
    quantity: int
    screw_number: int | None = None
    plate: Piece | None = None
    size: str = field(default="", metadata={SPARSE: True})


@dataclass(frozen=True, slots=True)
class KitLine:
    """So many [count] of one item for one opening, what it supplies, and why it is there."""

    item: Item
    quantity: int
    uses: tuple[Use, ...]
    because: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Unused:
    """Pieces that come in a line's boxes and this opening does not use [count]."""

    item: Item
    role: Role
    piece: str
    quantity: int
    kind: FastenerKind | None = None


@dataclass(frozen=True, slots=True)
class Missing:
    """What nobody in the catalogues sells for this opening [count], and why it is needed."""

    role: Role
    quantity: int
    kinds: tuple[FastenerKind, ...]
    because: Reason


@dataclass(frozen=True, slots=True)
class Kit:
    """One opening type's kit. quantities are for one opening (both leaves of a pair together).

    size_required: what the rules ask for [class]; spring_size: what the chosen body is set to or
    has; None where there is none. why: the trees behind size, mount and body. proof: forces as
    calculated for the chosen body, None without one. offers: other kits worth showing beside it.
    """

    type: OpeningType
    mount: Mount
    body_side: BodySide
    size_required: int | None
    spring_size: int | None
    body: Body | None
    template: Template | None
    finish: str
    weight: Mass
    assumed: tuple[Assumption, ...]
    lines: tuple[KitLine, ...]
    unused: tuple[Unused, ...]
    missing: tuple[Missing, ...]
    findings: tuple[Finding, ...]
    why: tuple[Reason, ...]
    proof: Proof | None
    list_price: Money
    cost: Cost
    offers: "tuple[KitOption, ...]" = ()

    @property
    def complete(self) -> bool:
        """Nothing is missing."""
        return not self.missing

    @property
    def idle_arms(self) -> tuple[str, ...]:
        """SKUs of hold-open arms in the kit that its opening does not use; one that is left over
        in a box of pieces that it does use is none."""
        used = {line.item.sku for line in self.lines if line.uses}
        arms = (left.item.sku for left in self.unused if left.role is Role.HOLD_OPEN_ARM)
        return tuple(sku for sku in dict.fromkeys(arms) if sku not in used)

    @property
    def stopped(self) -> bool:
        """Something must be decided or bought elsewhere before this kit goes out."""
        return bool(self.missing) or any(
            finding.severity is Severity.STOP for finding in self.findings
        )


@dataclass(frozen=True, slots=True)
class KitOption:
    """Another kit for the same opening: `fire-size`, `next-size`, `adjustable`,
    `turned-down` or `painted`."""

    code: str
    kit: Kit
