"""To what a body may be set where a force limit binds, by its mount and its own efficiency."""

from dataclasses import replace

from wholekit.domain.catalog import Body
from wholekit.domain.forces import smallest_size_latching
from wholekit.domain.kits.proof import accessible_settings, limits_binding, shares
from wholekit.domain.kits.shelf import BodyGroup, Shelf, SizeAsked
from wholekit.domain.linkage import Shares
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE, Sizing, by_en

EGRESS_SETTING = "egress-setting"


def is_limited(facts: Facts, rules: RuleBook) -> bool:
    """Whether a force limit binds what the closer is set to: accessible, or an exit by house rule.

    Where the house has exits set to the required size, the limit stays and is told as passed.
    """
    limits = limits_binding(facts, rules)
    if rules[EGRESS_SETTING].value == "limit":
        return bool(limits)
    return any(limit.scope == "accessible" for limit in limits)


def asked_of_body(
    asked: SizeAsked,
    facts: Facts,
    sizing: Sizing,
    group: BodyGroup,
    body: Body,
    mount: Mount,
    shelf: Shelf,
    rules: RuleBook,
) -> SizeAsked:
    """The size asked, with what the limits allow this body on the template it would take.

    A fire door's closer keeps the least size its label needs on the fitted door, whatever a limit
    says (EN 1154: size 3 and its 18 N·m; the recommended least in the US). Raises RuleError.
    """
    left = left_by(asked, facts, group, mount, shelf, rules)
    return asked_within(asked, facts, sizing, left, body.efficiency, shelf, rules)


def left_by(
    asked: SizeAsked, facts: Facts, group: BodyGroup, mount: Mount, shelf: Shelf, rules: RuleBook
) -> Shares | None:
    """What the template that a group would take leaves of the power; None where no limit asks."""
    if not asked.limited or mount not in group.templates:
        return None
    templates = group.templates[mount]
    wanted = facts.opening_degrees
    # As the search chooses by angle. It may move on to a wider template where the site forbids
    # this one, which is not known here: the share is then of the narrower arms.
    template = next(
        (candidate for candidate in templates if candidate.greatest_angle >= wanted), templates[-1]
    )
    # All bodies of a group are of one family, which is all that is looked at here.
    return shares(facts, group.bodies[0], template, shelf, group.catalog, rules)


def asked_within(
    asked: SizeAsked,
    facts: Facts,
    sizing: Sizing,
    left: Shares | None,
    efficiency: float | None,
    shelf: Shelf,
    rules: RuleBook,
) -> SizeAsked:
    """The size asked, with what the limits allow bodies of an efficiency and what is left them."""
    if left is None:
        return asked
    most, best = _settings(facts, sizing, left, efficiency, shelf, rules)
    # The mean at 0 to 4° latches the leaf, so it decides the least; the greatest there is what a
    # hand feels, so it decided the most.
    least = fire_least(facts, left.closing, rules) if facts.fire_minutes else 1
    return replace(asked, setting_most=most, setting_best=best, setting_least=least)


def _settings(
    facts: Facts,
    sizing: Sizing,
    left: Shares,
    efficiency: float | None,
    shelf: Shelf,
    rules: RuleBook,
) -> tuple[int | None, int | None]:
    """The settings the limits allow; kept, since many bodies share arms and efficiency."""
    key = (
        rules.version,
        facts.type.width,
        facts.jurisdiction,
        facts.location,
        facts.fire_minutes,
        facts.accessible,
        facts.type.egress,
        sizing.setting_most,
        left.felt,
        left.beyond,
        efficiency,
    )
    known = shelf.settings.get(key)
    if known is None:
        known = shelf.settings[key] = accessible_settings(
            facts, sizing.setting_most, rules, left.felt, efficiency, left.beyond
        )
    return known


def fire_least(facts: Facts, share: float, rules: RuleBook) -> int:
    """The least size [class] a fire door's closer is set to, whatever a force limit says.

    EN 1154: size 3, and 18 N·m on the fitted door with the share of power its mount leaves; US: the
    least that NFPA 80's annex recommends. Raises RuleError.
    """
    if not by_en(facts, rules):
        return rules.whole("fire-size-advised-least")
    fitted = smallest_size_latching(rules.number("fire-moment-least"), rules, share)
    # Two conditions: the size by itself, and its moment with what arms and mount take from it.
    return max(rules.whole("fire-size-least"), fitted or LARGEST_SIZE)
