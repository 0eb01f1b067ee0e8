"""An opening and its kit in a sentence or two, as a customer or fitter reads them."""

import unicodedata
from collections.abc import Sequence
from functools import lru_cache

from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.kits import Kit, Use
from wholekit.domain.openings import (
    Hand,
    HoldOpen,
    OpeningType,
    Unclear,
    read_stated,
    stated_of,
    unclear_of,
)
from wholekit.domain.quantities import Length
from wholekit.domain.quotes.offer import OfferPiece
from wholekit.domain.reasons import Reason
from wholekit.wording.reasons import say_reason
from wholekit.wording.speech import figure, quoted, tr
from wholekit.wording.units import by, measure, measured
from wholekit.wording.words import (
    FASTENERS_FOR,
    HANDS_OF_LEAVES,
    KINDS,
    ROLES,
    SWINGS,
    field_name,
    listed,
    plural,
    value_text,
)


def fire_label_text(minutes: int) -> str:
    """A fire label of so many minutes, in the language in use."""
    return tr("{minutes} min fire label").format(minutes=minutes)


def size_text(opening_type: OpeningType) -> str:
    """One leaf's width and height: `3'-0" × 7'-0"`, `914 × 2134 mm`."""
    width, height = opening_type.width, opening_type.height
    if width.unit in ("in", "ft"):
        return f"{feet_inches(width)} × {feet_inches(height)}"
    return by([measure(width, metric=True), measured(height)])


def lacking_text(quantity: int, piece: str, because: str) -> tuple[str, str]:
    """What a kit lacks, and why; in one where the why names the piece.

    >>> lacking_text(1, "closer body", "a closer body for the parallel arm")
    ('a closer body for the parallel arm', '')
    >>> lacking_text(1, "forearm", "the second arm, long enough for a reveal of 9 in")
    ('1 × forearm', 'the second arm, long enough for a reveal of 9 in')
    """
    if quantity == 1 and piece and piece in because:
        return because, ""
    return f"{quantity} × {piece}", because


def plain_size(opening_type: OpeningType) -> str:
    """As it is read in again, whatever the language: `3'-0" × 7'-0"`, `914 mm × 2134 mm`."""
    width, height = opening_type.width, opening_type.height
    return size_text(opening_type) if width.unit in ("in", "ft") else f"{width} × {height}"


def leaf_text(opening_type: OpeningType) -> str:
    """One leaf's width and height, and whether there are two: `3'-0" × 7'-0" pair`."""
    size = size_text(opening_type)
    return tr("{size} pair").format(size=size) if opening_type.leaves == 2 else size


def feet_inches(length: Length) -> str:
    """Feet and inches as drawings write them.

    >>> print(feet_inches(Length.inches(36)), feet_inches(Length.inches(80, 1, 2)))
    3'-0" 6'-8-1/2"
    """
    return _feet_inches(length.nm)


@lru_cache(maxsize=4096)  # a page of openings says the same few sizes hundreds of times
def _feet_inches(nm: int) -> str:
    # An inch is 25.4 mm exactly (international yard and pound agreement of 1959).
    feet, rest = divmod(nm, 12 * 25_400_000)
    inches = str(Length(rest, "in")).removesuffix(" in")
    return f"{feet}'-{inches}\""


def summary(opening_type: OpeningType, *, arm_by_hand: bool = False) -> str:
    """What the schedule says of the opening, in one line; nothing assumed.

    arm_by_hand: its kit has a hold-open arm that only a hand can have put there.
    """
    parts: list[str] = []
    if opening_type.location:
        parts.append(value_text("location", opening_type.location))
    if opening_type.door:
        parts.append(_leaf(opening_type))
    if opening_type.weight:
        parts.append(tr("leaf of {weight}").format(weight=figure(str(opening_type.weight))))
    if opening_type.swing:
        parts.append(tr(SWINGS[opening_type.swing]))
    if opening_type.hand:
        parts.append(_hand(opening_type.hand, opening_type.leaves))
    if opening_type.fire_minutes:
        parts.append(fire_label_text(opening_type.fire_minutes))
    if opening_type.accessible:
        parts.append(tr("accessible route"))
    if opening_type.egress:
        parts.append(tr("exit (means of egress)"))
    if opening_type.hold_open is HoldOpen.RELEASE:
        parts.append(tr("held open by release"))
    if opening_type.fire_minutes and arm_by_hand:
        parts.append(tr("hold-open arm put in by hand"))
    elif opening_type.hold_open is HoldOpen.ARM and opening_type.fire_minutes:
        # No kit for a fire door holds one of itself, whoever lets the stop go.
        parts.append(tr("hold-open arm asked for and left out"))
    elif opening_type.hold_open is HoldOpen.ARM:
        parts.append(tr("hold-open arm"))
    if opening_type.delayed_action:
        parts.append(tr("delayed action"))
    if opening_type.opening_degrees is not None:
        angle = value_text("opening_degrees", opening_type.opening_degrees)
        parts.append(tr("opens to {angle}").format(angle=angle))
    if opening_type.existing_holes is not None:
        holes = value_text("existing_holes", opening_type.existing_holes)
        parts.append(tr("old holes {holes}").format(holes=holes))
    text = ", ".join(parts)
    # Not capitalize(), which would make LH and all that follows small.
    return text[:1].upper() + text[1:]


def _hand(hand: Hand, leaves: int) -> str:
    """`right hand reverse (RHR)`; a pair's is that of its active leaf, `RHRA`: common practice."""
    if leaves == 1:
        return f"{tr(HANDS_OF_LEAVES[hand])} ({hand.value})"
    return tr("active leaf {hand}").format(hand=f"{tr(HANDS_OF_LEAVES[hand])} ({hand.value}A)")


def _leaf(opening_type: OpeningType) -> str:
    """What leaf and frame are made of, as far as it is known."""
    words = {
        "door": value_text("door", opening_type.door),
        "core": "" if opening_type.core is None else value_text("core", opening_type.core),
        "frame": "" if opening_type.frame is None else value_text("frame", opening_type.frame),
    }
    if words["core"] and words["frame"]:
        return tr("{door} leaf ({core} core) in {frame} frame").format_map(words)
    if words["core"]:
        return tr("{door} leaf ({core} core)").format_map(words)
    if words["frame"]:
        return tr("{door} leaf in {frame} frame").format_map(words)
    return tr("{door} leaf").format_map(words)


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


def serves(uses: Sequence[Use]) -> str:
    """What a line is for in the opening: `closer body, main arm, 4 wood screws for the body`."""
    return listed([piece_text(use.role, use.kind, use.quantity) for use in uses])


def assumption_text(field: str, value: object) -> str:
    """A default that stands in: `reveal: 4 in`."""
    return tr("{field}: {value}").format(field=field_name(field), value=value_text(field, value))


def egress_unstated() -> str:
    """That nobody said whether an opening is an exit's: it is worked out as if it were none."""
    return tr("{field}: {value}").format(
        field=field_name("egress"), value=tr("not stated, worked out as none")
    )


def stated(opening_type: OpeningType) -> tuple[tuple[str, str], ...]:
    """What the schedule states of an opening: plain field name and value, in a schedule's order."""
    found = [(tr("size"), size_text(opening_type))]
    for name, value in stated_of(opening_type).items():
        unclear = unclear_of(opening_type, name)
        if unclear is not None:
            found.append((field_name(name), unclear_text(unclear)))
        elif name != "size":
            found.append((field_name(name), value_text(name, value)))
    return tuple(found)


def unclear_text(unclear: Unclear) -> str:
    """What an unclear field may be, and what was written: `60 min or 90 min (“B”)`."""
    said = [
        value_text(unclear.field, read_stated(unclear.field, text)) for text in unclear.candidates
    ]
    return f"{listed(said, 'or')} ({quoted(unclear.written)})"


def pieces_text(pieces: Sequence[OfferPiece]) -> str:
    """Pieces in a row: `2 shoes and 4 wood screws for the body`."""
    return listed(
        [piece_text(piece.role, next(iter(piece.kinds), None), piece.quantity) for piece in pieces]
    )


def piece_text(role: Role, kind: FastenerKind | None, quantity: int) -> str:
    """Pieces in words: `main arm`, `2 shoes`, `4 wood screws for the body`."""
    if kind is None:
        return plural(quantity, ROLES[role]) if quantity > 1 else tr(ROLES[role])
    return tr(FASTENERS_FOR[role]).format(pieces=plural(quantity, KINDS[kind]))


def say_look_alikes(marks: Sequence[str]) -> str:
    """That marks look alike, each with the signs that are not plain letters spelled out."""
    named = [
        "".join(
            sign if sign.isascii() else f"[{unicodedata.name(sign, f'U+{ord(sign):04X}').lower()}]"
            for sign in mark
        )
        for mark in marks
    ]
    return f"The marks {listed(named)} look alike but are kept apart; is one of them a slip?"


def sentence(text: str) -> str:
    """First letter large, a full stop at the end.

    >>> sentence("size 3 for a leaf of 100 lb")
    'Size 3 for a leaf of 100 lb.'
    """
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."


def _joined(reason: Reason, below: Reason | None) -> str:
    return say_reason(reason) if below is None else f"{say_reason(reason)}; {say_reason(below)}"
