"""Screws of a kit with what is drilled for them, and how near an edge its holes come."""

from collections.abc import Iterator

from wholekit.documents.card_placing import assumed_value
from wholekit.documents.setting_card import Screws
from wholekit.domain.catalog import Role
from wholekit.domain.catalog.drills import Bore, HoleMade, drilled_for
from wholekit.domain.catalog.screws import wood_screw_diameter
from wholekit.domain.kits import Use, foot_on_plate, hole_edge, host_field
from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length
from wholekit.domain.quotes.offer import KitWords, OfferKit, OfferLine
from wholekit.domain.rules import RuleBook
from wholekit.wording import drilling as words
from wholekit.wording.hole_edges import at_least, lead_of, without_grounds
from wholekit.wording.openings import piece_text
from wholekit.wording.speech import tr
from wholekit.wording.to_fitters import ASK
from wholekit.wording.units import measure

# Whose screws go into a plate where one lies under it.
_FEET = frozenset({Role.SHOE_FASTENER, Role.BRACKET_FASTENER})


def screws_of(kit: OfferKit, rules: RuleBook, *, on_plate: bool, metric: bool) -> Iterator[Screws]:
    """Each of a kit's screws with its drill, those of the drawn holes first, and that a spacer has
    none. Raises RuleError."""
    every = [
        _screws(kit, line, use, rules, on_plate=on_plate, metric=metric)
        for line in kit.lines
        for use in line.uses
        if use.kind is not None
    ]
    yield from sorted(every, key=lambda screws: not screws.drawn)
    if any(use.role is Role.SPACER for line in kit.lines for use in line.uses):
        yield Screws(tr(words.SPACER_SCREWS))


def _screws(
    kit: OfferKit, line: OfferLine, use: Use, rules: RuleBook, *, on_plate: bool, metric: bool
) -> Screws:
    """`4 wood screws for the body, No. 14 (.242 in)`, and whether a plate brings them."""
    size = ""
    if use.screw_number is not None:
        inches = wood_screw_diameter(use.screw_number, rules)
        size = f", {words.screw_size(use.screw_number, inches, metric)}"
    elif use.size:
        size = f", {words.catalogued_size(use.size, metric)}"
    from_plate = use.role is not Role.PLATE_FASTENER and any(
        other.role is Role.PLATE for other in line.uses
    )

    def counted(quantity: int) -> str:
        # As the label of the bag names it, so that each pack is found.
        text = f"{piece_text(use.role, use.kind, quantity)} ({line.sku}){size}"
        return tr("{pieces}, from the plate's box").format(pieces=text) if from_plate else text

    into_plate = (
        from_plate
        or (on_plate and use.role is Role.BODY_FASTENER)
        or (use.role in _FEET and foot_on_plate(kit))
    )
    drilled = (
        Bore(HoleMade.IN_PLATE)
        if into_plate
        else drilled_for(use.kind, use.screw_number, use.size, rules)
    )
    drawn = use.role is (Role.PLATE_FASTENER if on_plate else Role.BODY_FASTENER)
    half = kit.type.leaves == 2 and use.quantity % 2 == 0
    return Screws(
        counted(use.quantity),
        words.drill_text(drilled, metric),
        drawn,
        counted(use.quantity // 2) if half else "",
    )


def stated_host(kit: OfferKit) -> Length | None:
    """The height of what the holes lie in [Length], where the schedule states it."""
    return kit.type.head_face if kit.mount is Mount.TOP_JAMB else kit.type.top_rail


def host_text(kit: OfferKit, rules: RuleBook, metric: bool) -> str:
    """The height of rail or head as it is stated, or that it is to be measured, and what the holes
    need; empty where none is known of, as of the rail of a leaf without glass. Raises RuleError."""
    stated, field = stated_host(kit), host_field(kit.mount)
    assumed = assumed_value(kit, field)
    said = {
        (True, "top_rail"): words.RAIL_STATED, (False, "top_rail"): words.RAIL_ASSUMED,
        (True, "head_face"): words.HEAD_STATED, (False, "head_face"): words.HEAD_ASSUMED,
    }[stated is not None, field]  # fmt: skip
    height = stated or assumed
    if not isinstance(height, Length):
        return ""
    text = tr(said).format(height=measure(height, metric))
    edge = hole_edge(kit, rules)
    if edge is None:
        return text
    return f"{text} {tr(words.AT_LEAST).format(least=at_least(edge.needed, metric))}"


def edge_text(kit: OfferKit, said: KitWords, *, grounds: bool = True) -> str:
    """The kit's warning that its holes come too near an edge, as a fitter reads it; empty where
    there is none. grounds: with on what it is reckoned."""
    for finding, (text, *_) in zip(kit.findings, said.findings, strict=True):
        if finding.code == NEAR_EDGE:
            text = text if grounds else without_grounds(text)
            return f"{lead_of(finding.fields)} {text} {tr(ASK)}"
    return ""
