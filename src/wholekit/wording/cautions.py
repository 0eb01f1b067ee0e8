"""Cautions, terms and standing sentences of the papers."""

from collections.abc import Sequence

from wholekit.domain.kits import Kit
from wholekit.domain.openings import LeafDanger, OpeningType
from wholekit.wording.speech import tr

PROPOSAL = (
    "This is a proposal worked out from the schedule and the catalogs. Local codes, the listing "
    "of door, frame and closer, and licensed people decide what may be installed."
)
CALCULATED = (
    "Forces, angles and estimated weights are calculated. Check them with a gauge and a scale on "
    "site before the opening is handed over."
)
TEMPLATE = "Follow the maker's own template in the box; where it differs from this paper, it holds."
INJURY = (
    "A loaded spring and a heavy leaf can injure: never open a closer body, and support the leaf "
    "while working on it."
)
ALWAYS = (PROPOSAL, CALCULATED, TEMPLATE, INJURY)
# Common practice, no source.
DRILLING = (
    "Drilling overhead: wear eye protection, stand on secure footing, and keep others out of the "
    "opening."
)
# By what the schedule says of the leaf; a card frames them (common practice, no source).
LEAD_LINED = (
    "LEAD LINING, by the schedule: no drilling without the site's own lead procedure and whoever "
    "answers for the shielding. Ask the office."
)
OLD_LEAF = (
    "OLD LEAF OR FRAME, by the schedule: paint may hold lead, and the core may hold asbestos or be "
    "a fire door's. Make no dust before the site's procedure and local rules are kept; if in "
    "doubt, ask the office."
)
BY_GLASS = (
    "GLASS may stand in or under an aluminum rail, stile or head: find its pocket first, drill "
    "with a depth stop, and use no longer screws than the maker's sheet allows."
)
DANGERS = {LeafDanger.LEAD: LEAD_LINED, LeafDanger.OLD: OLD_LEAF}
FIRE = (
    "Fire doors: the closer alone does not make a fire door. Latch, hinges, frame, seals and label "
    "must agree with the door's listing, and the door must close and latch by itself from any "
    "position. The authority having jurisdiction decides."
)
ACCESSIBLE = (
    "Accessible openings: a closer set to the opening-force limit may not latch against draft or "
    "seals. Both must be tried on site."
)
RECEIVED = (
    "Count the bags before you sign, and write down what is damaged or missing. Keep each bag with "
    "its opening and closed until it is fitted."
)
EGRESS = (
    "Exits: the force to unlatch, set in motion and swing a door is limited by the building code "
    "in force; it is to be measured on the hung door."
)
PRICES_HOLD = (
    "Prices hold to the date above and for the quantities stated; freight and taxes are not "
    "included."
)
TERMS = (
    PRICES_HOLD,
    "Pieces that come in boxed sets and are not needed are supplied with the kit.",
    "Changes to the openings after acceptance are quoted anew.",
)


def cautions_for(kits: Sequence[Kit]) -> tuple[str, ...]:
    """The cautions that apply to a job's openings, general ones first."""
    found = list(ALWAYS)
    if any(kit.type.fire_minutes for kit in kits):
        found.append(FIRE)
    if any(kit.type.accessible for kit in kits):
        found.append(ACCESSIBLE)
    # Always, since a schedule seldom says which openings are exits.
    found.append(EGRESS)
    return tuple(tr(caution) for caution in found)


def cautions_for_fitters(kind: OpeningType, limited: bool) -> tuple[str, ...]:
    """The cautions a fitter needs at one opening; the card itself says what is calculated.

    limited: a force limit binds, and the card does not warn of it elsewhere.
    """
    found = [TEMPLATE, INJURY, DRILLING]
    if kind.fire_minutes:
        found.append(FIRE)
    if limited and kind.accessible:
        found.append(ACCESSIBLE)
    return tuple(tr(caution) for caution in found)


def cautions_for_receivers(*, fire: bool) -> tuple[str, ...]:
    """The few cautions of a packing slip. fire: a fire door is among the openings."""
    found = (RECEIVED, INJURY, TEMPLATE, *((FIRE,) if fire else ()))
    return tuple(tr(caution) for caution in found)
