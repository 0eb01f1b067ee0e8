"""Which bodies may serve an opening, how well their size suits, and to what they are set."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from wholekit.domain.catalog import Body
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.shelf import BodyGroup, Eligible, Shelf, SizeAsked
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.rules import RuleBook

OVER_LIMIT_TIER = 10


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
    that can meet it with a better efficiency; a body that can do neither is the last resort (tier
    10 and up) and over the limit.
    """
    if asked.setting_most is not None:
        under = _fit_limited(body, asked, next_allowed)
        if under is not None:
            return under
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
    for tier, setting in ((0, asked.setting_best), (2, most)):
        if setting is None:
            continue
        wanted = min(asked.target, setting)
        if body.size_from <= wanted <= body.size_to:
            return Fit(tier if body.size_to >= asked.target else tier + 1, wanted)
    if asked.target < body.size_from <= min(most, asked.target + next_allowed):
        return Fit(3, body.size_from)
    return None


def eligible_bodies(
    facts: Facts,
    mount: Mount,
    asked: SizeAsked,
    shelf: Shelf,
    rules: RuleBook,
    findings: list[Finding],
) -> list[Eligible]:
    """All bodies that may serve, in groups of equal tier, best first.

    The conditions, in the order in which a finding names the first that leaves nothing: the
    series asked for; the mount; the fire listing; the size. A feature asked for (delayed action,
    backcheck) that no body left has is given up with a stop. Kept on the shelf: kinds of opening
    that ask alike share the answer.
    """
    key = (
        rules.version,
        facts.type.series,
        mount,
        facts.fire_minutes,
        asked,
        facts.type.delayed_action,
        facts.type.backcheck,
    )
    known = shelf.eligible.get(key)
    if known is None:
        told: list[Finding] = []
        known = shelf.eligible[key] = (_eligible(facts, mount, asked, shelf, rules, told), told)
    findings += known[1]
    return known[0]


def _eligible(
    facts: Facts,
    mount: Mount,
    asked: SizeAsked,
    shelf: Shelf,
    rules: RuleBook,
    findings: list[Finding],
) -> list[Eligible]:
    groups = [(group, list(group.bodies)) for group in shelf.groups if mount in group.templates]
    wanted_series = facts.type.series
    if wanted_series is not None:
        known = shelf.series.get(wanted_series.strip().lower())
        if known is None:
            findings.append(
                Finding(
                    "series-unknown",
                    Severity.STOP,
                    {"series": wanted_series, "known": sorted(shelf.series.values())},
                    None,
                    Hint("choose-series"),
                )
            )
            return []
        groups = _keep(groups, lambda body: body.series == known)
    groups = _keep(groups, lambda body: mount in body.mounts)
    if not groups:
        findings.append(
            Finding("no-body-for-mount", Severity.STOP, {"mount": mount}, None, Hint("other-mount"))
        )
        return []
    if facts.fire_minutes:
        groups = _keep(groups, lambda body: body.fire_listed)
        if not groups:
            findings.append(
                Finding(
                    "not-fire-listed",
                    Severity.STOP,
                    {"minutes": facts.fire_minutes},
                    "fire-listed-closer",
                    Hint("choose-series"),
                )
            )
            return []
    next_allowed = rules.whole("fixed-size-next")
    sized = _keep(groups, lambda body: fit_of(body, asked, next_allowed) is not None)
    if not sized:
        findings.append(
            Finding(
                "size-too-small",
                Severity.STOP,
                {
                    "wanted": asked.target,
                    "largest": max(body.size_to for _, bodies in groups for body in bodies),
                },
                None,
                Hint("choose-series"),
            )
        )
        return []
    for name, asked_for in (
        ("delayed_action", facts.type.delayed_action),
        ("backcheck", facts.type.backcheck),
    ):
        if asked_for:
            sized = _with_feature(sized, name, findings)
    return _by_tier(sized, asked, next_allowed)


def _with_feature(
    groups: list[tuple[BodyGroup, list[Body]]], name: str, findings: list[Finding]
) -> list[tuple[BodyGroup, list[Body]]]:
    having = _keep(groups, lambda body: bool(getattr(body, name)))
    if having:
        return having
    findings.append(
        Finding(
            "feature-unavailable", Severity.STOP, {"feature": name}, None, Hint("choose-series")
        )
    )
    return groups


def _keep(
    groups: Sequence[tuple[BodyGroup, list[Body]]], wanted: Callable[[Body], bool]
) -> list[tuple[BodyGroup, list[Body]]]:
    kept = [(group, [body for body in bodies if wanted(body)]) for group, bodies in groups]
    return [(group, bodies) for group, bodies in kept if bodies]


def _by_tier(
    groups: Sequence[tuple[BodyGroup, list[Body]]], asked: SizeAsked, next_allowed: int
) -> list[Eligible]:
    found: list[Eligible] = []
    for group, bodies in groups:
        tiers: dict[int, list[tuple[Body, int]]] = {}
        for body in bodies:
            fit = fit_of(body, asked, next_allowed)
            if fit is not None:
                tiers.setdefault(fit.tier, []).append((body, fit.setting))
        found += [Eligible(group, tier, tuple(chosen)) for tier, chosen in tiers.items()]
    return sorted(found, key=lambda one: (one.tier, one.group.preference))
