"""Which bodies may serve an opening, how well their size suits, and to what they are set."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from wholekit.domain.catalog import Body
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.duty import EN, DutyAsked, duty_asked
from wholekit.domain.kits.settings import asked_within, left_by
from wholekit.domain.kits.shelf import OVER_LIMIT_TIER, BodyGroup, Eligible, Shelf, SizeAsked
from wholekit.domain.linkage import Shares
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import Sizing, cited

# A tier is read in decimal places: how the size fits (units, from five on with delayed action on a
# fire door that nobody asked for), how far the body is too weak for its place (tens), and over a
# force limit (from OVER_LIMIT_TIER on), which is the last resort.
UNASKED_TIER = 5
WEAK_TIER = 10
Groups = list[tuple[BodyGroup, list[Body]]]


@dataclass(frozen=True, slots=True)
class Fit:
    """How a body suits: tier (0 best), and its setting or fixed size [class]."""

    tier: int
    setting: int


def fit_of(body: Body, asked: SizeAsked, next_allowed: int) -> Fit | None:
    """How a body's sizes suit what is asked, or None where it may not be used.

    Without a force limit: an adjustable body whose range holds the target is set to it; a fixed
    body must equal it (tier 0) or be the next the rule book allows (tier 1, rule fixed-size-next).
    With a limit: a body that can be set within it at the least efficiency comes first, then one
    that can meet it with a better efficiency; a body that can do neither is the last resort (from
    OVER_LIMIT_TIER up) and over the limit.
    """
    if asked.setting_most is not None:
        under = _fit_limited(body, asked, next_allowed)
        if under is not None:
            return under
    # Over the limit a body still serves where nothing else is sold: the kit is then stopped, and
    # not empty.
    plain = _fit_plain(body, asked.target, next_allowed)
    if plain is None or asked.setting_most is None:
        return plain
    return Fit(plain.tier + OVER_LIMIT_TIER, plain.setting)


def _fit_plain(body: Body, target: int, next_allowed: int) -> Fit | None:
    if body.size_from <= target <= body.size_to:
        return Fit(0, target)
    above = body.size_from - target
    return Fit(1, body.size_from) if 0 < above <= next_allowed else None


def _fit_limited(body: Body, asked: SizeAsked, next_allowed: int) -> Fit | None:
    most = asked.setting_most
    if most is None:
        return None
    # The size asked for may be less: under a recommendation, or by the nominal share of the mount.
    # No body is refused for that.
    least = min(asked.setting_least, asked.target)
    for tier, setting in ((0, asked.setting_best), (2, most)):
        if setting is None or setting < least:
            continue
        # A fire door is not set by an efficiency that nobody has stated: it gets its least size
        # below.
        if tier and asked.setting_least > 1:
            break
        wanted = min(asked.target, setting)
        if body.size_from <= wanted <= body.size_to:
            # A body that reaches the size required can be turned up to it where the limit turns
            # out not to bind; one that does not can never.
            return Fit(tier if body.size_to >= asked.target else tier + 1, wanted)
    if asked.setting_least > 1 and body.size_from <= least <= body.size_to:
        # A fire door's closer keeps its least size beside a limit it does not meet. A stated
        # efficiency is nearer to it than one nobody knows.
        return Fit(2 if body.efficiency is not None else 3, least)
    # The next size up, as without a limit, but only while the limit still allows it.
    if asked.target < body.size_from <= min(most, asked.target + next_allowed):
        return Fit(3, body.size_from)
    return None


def eligible_bodies(
    facts: Facts,
    mount: Mount,
    sizing: Sizing,
    asked: SizeAsked,
    shelf: Shelf,
    rules: RuleBook,
    *,
    adjustable: bool = False,
) -> tuple[list[Eligible], tuple[Finding, ...]]:
    """All bodies that may serve, in groups of equal tier, best first; and why there are none.

    The conditions, in the order in which a finding names the first that leaves nothing: the
    series asked for; the mount; the standard of the place; the fire listing; the size. A feature
    asked for (delayed action, backcheck) that no body left has is given up with a stop. A body too
    weak for its place comes after every one that is fit. adjustable: no body of fixed size may.
    Kept on the shelf: kinds of opening that ask alike share the answer.
    """
    place = duty_asked(facts, rules)
    # What a limit allows depends on the leaf and the template too.
    limit = (
        (facts.type.width, facts.jurisdiction, facts.location, facts.accessible, facts.type.egress,
         facts.opening_degrees, facts.type.reveal, sizing.setting_most)
        if asked.limited
        else ()
    )  # fmt: skip
    key = (
        rules.version,
        facts.type.series,
        mount,
        facts.fire_minutes,
        asked,
        facts.type.delayed_action,
        facts.type.backcheck,
        place,
        limit,
        adjustable,
    )
    known = shelf.eligible.get(key)
    if known is None:
        groups, findings = suited(facts, mount, place, shelf, rules, adjustable=adjustable)
        if not findings:
            entries, findings = _sized(groups, facts, mount, sizing, asked, place, shelf, rules)
        else:
            entries = []
        known = shelf.eligible[key] = (entries, findings)
    return known


def suited(
    facts: Facts,
    mount: Mount,
    place: DutyAsked,
    shelf: Shelf,
    rules: RuleBook,
    *,
    adjustable: bool = False,
) -> tuple[Groups, tuple[Finding, ...]]:
    """The bodies of any size that may serve, or the finding that says why there are none.

    adjustable: no body of fixed size may. Kept on the shelf.
    """
    key = (rules.version, facts.type.series, mount, facts.fire_minutes, place, adjustable)
    known = shelf.suited.get(key)
    if known is None:
        known = _suited(facts, mount, place, shelf, rules, adjustable)
        shelf.suited[key] = known
    return known


def _suited(
    facts: Facts, mount: Mount, place: DutyAsked, shelf: Shelf, rules: RuleBook, adjustable: bool
) -> tuple[Groups, tuple[Finding, ...]]:
    groups: Groups = [
        (group, list(group.bodies)) for group in shelf.groups if mount in group.templates
    ]
    wanted_series = facts.type.series
    if wanted_series is not None:
        known = shelf.series.get(wanted_series.strip().lower())
        if known is None:
            fields = {"series": wanted_series, "known": sorted(shelf.series.values())}
            return [], (_none_left("series-unknown", fields, None),)
        groups = _keep(groups, lambda body: body.series == known)
    groups = _keep(
        groups, lambda body: mount in body.mounts and (body.adjustable or not adjustable)
    )
    if not groups:
        return [], (_none_left("no-body-for-mount", {"mount": mount}, None, "other-mount"),)
    # Sizes there are EN 1154's own, declared by the maker: a body that does not claim it has none.
    # In US practice another standard only comes later in the order.
    if place.standard == EN:
        groups = _keep(groups, place.claimed_by)
        if not groups:
            fields = {"standard": place.standard}
            return [], (_none_left("standard-not-claimed", fields, "en-basis-jurisdictions"),)
    if facts.fire_minutes:
        groups = _keep(groups, lambda body: body.fire_listed)
        if not groups:
            rule = cited("fire-listed-closer", facts, rules)
            return [], (_none_left("not-fire-listed", {"minutes": facts.fire_minutes}, rule),)
    return groups, ()


def _none_left(
    code: str, fields: Mapping[str, object], rule: str | None, hint: str = "choose-series"
) -> Finding:
    return Finding(code, Severity.STOP, fields, rule, Hint(hint))


def _sized(
    groups: Groups,
    facts: Facts,
    mount: Mount,
    sizing: Sizing,
    asked: SizeAsked,
    place: DutyAsked,
    shelf: Shelf,
    rules: RuleBook,
) -> tuple[list[Eligible], tuple[Finding, ...]]:
    fits = _fits(groups, facts, mount, sizing, asked, shelf, rules)
    sized = [
        (group, [body for body in bodies if (id(group), body.id) in fits])
        for group, bodies in groups
    ]
    sized = [(group, bodies) for group, bodies in sized if bodies]
    if not sized:
        largest = max(body.size_to for _, bodies in groups for body in bodies)
        fields = {"wanted": asked.target, "largest": largest}
        return [], (_none_left("size-too-small", fields, None),)
    findings: list[Finding] = []
    # After the size, so that a feature never makes a kit too weak: it is given up, with a stop.
    for name, asked_for in (
        ("delayed_action", facts.type.delayed_action),
        ("backcheck", facts.type.backcheck),
    ):
        having = _keep(sized, lambda body, name=name: bool(getattr(body, name)))  # type: ignore[misc]  # bound now
        if asked_for and having:
            sized = having
        elif asked_for:
            findings.append(_none_left("feature-unavailable", {"feature": name}, None))
    return _by_tier(sized, fits, place, facts, shelf), tuple(findings)


def _fits(
    groups: Groups,
    facts: Facts,
    mount: Mount,
    sizing: Sizing,
    asked: SizeAsked,
    shelf: Shelf,
    rules: RuleBook,
) -> dict[tuple[int, str], Fit]:
    """How each body that may be used suits, by its group's identity and its id."""
    next_allowed = rules.whole("fixed-size-next")
    # By arms, efficiency and sizes, not body by body: nothing else of a body moves how it suits.
    known: dict[Shares | None, dict[tuple[float | None, int, int], Fit | None]] = {}
    # By identity: a group holds mappings, which have no hash; the shelf keeps groups alive.
    fits: dict[tuple[int, str], Fit] = {}
    for group, bodies in groups:
        left = left_by(asked, facts, group, mount, shelf, rules)
        alike = known.setdefault(left, {})
        for body in bodies:
            key = (body.efficiency, body.size_from, body.size_to)
            if key not in alike:
                allowed = asked_within(asked, facts, sizing, left, body.efficiency, shelf, rules)
                alike[key] = fit_of(body, allowed, next_allowed)
            fit = alike[key]
            if fit is not None:
                fits[id(group), body.id] = fit
    return fits


def _keep(groups: Groups, wanted: Callable[[Body], bool]) -> Groups:
    kept = [(group, [body for body in bodies if wanted(body)]) for group, bodies in groups]
    return [(group, bodies) for group, bodies in kept if bodies]


def _by_tier(
    groups: Groups, fits: dict[tuple[int, str], Fit], place: DutyAsked, facts: Facts, shelf: Shelf
) -> list[Eligible]:
    """Entries of equal tier in the order in which they are tried (see Eligible.order)."""
    found: list[Eligible] = []
    weakness = shelf.weakness.setdefault(place, {})
    fire_unasked = bool(facts.fire_minutes) and not facts.type.delayed_action
    for group, bodies in groups:
        tiers: dict[int, list[tuple[Body, int]]] = {}
        for body in bodies:
            key = (id(group), body.id)
            fit = fits[key]
            weak = weakness.get(key)
            if weak is None:
                weak = weakness[key] = place.weakness(body)
            # Strength before price: a weak body is taken only where no fit one is sold.
            tier = fit.tier + WEAK_TIER * weak
            # Delayed action on a fire door needs somebody's say (rule fire-delayed-action):
            # unasked, it comes after the bodies without.
            if fire_unasked and body.delayed_action:
                tier += UNASKED_TIER
            tiers.setdefault(tier, []).append((body, fit.setting))
        foreign = not group.preferred and not place.claimed_by(bodies[0])
        found += [Eligible(group, tier, tuple(chosen), foreign) for tier, chosen in tiers.items()]
    return sorted(found, key=lambda eligible: eligible.order)
