"""An opening and its kit in a sentence or two, as a customer or fitter reads them."""

from collections.abc import Iterator, Sequence

from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.kits import Kit, KitLine, Unused
from wholekit.domain.openings import HoldOpen, OpeningType
from wholekit.domain.quantities import Length
from wholekit.domain.reasons import Reason
from wholekit.wording.reasons import say_reason
from wholekit.wording.words import KINDS, MATERIALS, ROLES, listed, plural


def size_text(opening_type: OpeningType) -> str:
    """One leaf's width and height: `3'-0" × 7'-0"`, `914 × 2134 mm`."""
    width, height = opening_type.width, opening_type.height
    if width.unit in ("in", "ft"):
        return f"{feet_inches(width)} × {feet_inches(height)}"
    if width.unit == height.unit:
        return f"{str(width).removesuffix(f' {width.unit}')} × {height}"
    return f"{width} × {height}"


def feet_inches(length: Length) -> str:
    """Feet and inches as drawings write them.

    >>> print(feet_inches(Length.inches(36)), feet_inches(Length.inches(80, 1, 2)))
    3'-0" 6'-8-1/2"
    """
    feet, rest = divmod(length.nm, 12 * 25_400_000)
    inches = str(Length(rest, "in")).removesuffix(" in")
    return f"{feet}'-{inches}\""


def summary(opening_type: OpeningType) -> str:
    """What the schedule says of the opening, in one line; nothing assumed."""
    parts: list[str] = []
    if opening_type.location:
        parts.append(opening_type.location.value)
    if opening_type.door:
        leaf = MATERIALS.get(opening_type.door, opening_type.door.value)
        core = f" ({opening_type.core} core)" if opening_type.core else ""
        frame = ""
        if opening_type.frame:
            frame = f" in {MATERIALS.get(opening_type.frame, opening_type.frame.value)} frame"
        parts.append(f"{leaf} leaf{core}{frame}")
    if opening_type.weight:
        parts.append(f"leaf of {opening_type.weight}")
    if opening_type.swing:
        parts.append(f"swings {opening_type.swing}")
    if opening_type.hand:
        parts.append(opening_type.hand.value)
    if opening_type.fire_minutes:
        parts.append(f"{opening_type.fire_minutes} min fire label")
    if opening_type.accessible:
        parts.append("accessible route")
    if opening_type.hold_open not in (None, HoldOpen.NONE):
        parts.append(
            "hold-open arm" if opening_type.hold_open is HoldOpen.ARM else "held open by release"
        )
    if opening_type.delayed_action:
        parts.append("delayed action")
    if opening_type.opening_degrees is not None:
        parts.append(f"opens to {opening_type.opening_degrees:g}°")
    text = ", ".join(parts)
    return text[:1].upper() + text[1:]


def why_size(kit: Kit) -> str:
    """The step of the sizing that decided, in one sentence."""
    top = kit.why[0]
    required = top.fields.get("size")
    deciding = next((part for part in top.because if part.fields.get("size") == required), top)
    return sentence(say_reason(deciding))


def why_mount(kit: Kit) -> str:
    """Why this mount, in one sentence."""
    reason = kit.why[1]
    below = next((part for part in reason.because if part.code == "side-by-room"), None)
    return sentence(_joined(reason, below))


def serves(line: KitLine) -> str:
    """What a line is for in the opening: `closer body, main arm, 4 wood screws for the body`."""
    return listed([piece_text(use.role, use.kind, use.quantity) for use in line.uses])


def left_over(unused: Sequence[Unused]) -> Iterator[tuple[str, str]]:
    """What is left over of each item: SKU, and `2 shoes and 4 wood screws for the body`."""
    by_sku: dict[str, list[Unused]] = {}
    for one in unused:
        by_sku.setdefault(one.item.sku, []).append(one)
    for sku, found in by_sku.items():
        yield (
            sku,
            listed([piece_text(one.role, one.kind, one.quantity) for one in found]),
        )


def piece_text(role: Role, kind: FastenerKind | None, quantity: int) -> str:
    """Pieces in words: `main arm`, `2 shoes`, `4 wood screws for the body`."""
    if kind is None:
        return plural(quantity, ROLES[role]) if quantity > 1 else ROLES[role]
    return f"{plural(quantity, KINDS[kind])} {ROLES[role].removeprefix('fastener ')}"


def sentence(text: str) -> str:
    """First letter large, a full stop at the end.

    >>> sentence("size 3 for a leaf of 100 lb")
    'Size 3 for a leaf of 100 lb.'
    """
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def _joined(reason: Reason, below: Reason | None) -> str:
    return say_reason(reason) if below is None else f"{say_reason(reason)}; {say_reason(below)}"
