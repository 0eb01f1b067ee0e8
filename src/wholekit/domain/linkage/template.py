"""A catalogue's templates as linkages: which arms to use, and whether a template is sound."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from wholekit.domain.catalog import Piece, Template
from wholekit.domain.errors import Problem, RuleError
from wholekit.domain.linkage.arms import Arms
from wholekit.domain.linkage.swing import (
    ArmsSwing,
    closing_moment_most,
    greatest_moment,
    power_share,
    swing,
)
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook

# Angles [°] of a second force limit, read from 30° on.
BEYOND = (30.0, 60.0)
# The usual commercial leaf (common practice, no source).
STANDARD_LEAF = Length.inches(1, 3, 4)
# A forearm's setting or a preload nearer than this to what is asked counts as reached.
SETTING_SLACK = 0.0015
PRELOAD_SLACK = 2.0
NO_REVEAL = Length.inches(0)


@dataclass(frozen=True, slots=True)
class Shares:
    """What a mount leaves of the regular arm's closing moment with the same spring [fraction].

    closing: the mean at 0 to 4°, which latches; felt: the greatest there, which a hand opens
    against; beyond: the greatest from 30° to 60°, None where the arms have no lengths.
    """

    closing: float
    felt: float
    beyond: float | None = None


def arms_of(
    template: Template,
    main_arm: Piece,
    forearm: Piece,
    reveal: Length,
    rules: RuleBook,
    leaf: Length = STANDARD_LEAF,
) -> Arms | None:
    """One template with one main arm and one forearm; None where either has no length.

    reveal, leaf: depth from frame face to leaf, and the leaf's thickness [Length]. Raises
    CallError for lengths without physical meaning, RuleError.
    """
    if main_arm.length is None or forearm.length is None:
        return None
    longest = forearm.length_to or forearm.length
    return Arms(
        mount=template.mount,
        main_arm=main_arm.length.in_metres,
        forearm_from=forearm.length.in_metres,
        forearm_to=longest.in_metres,
        pinion_along=template.pinion_from_hinge.in_metres,
        pinion_proud=template.pinion_from_face.in_metres,
        anchor_along=template.anchor_from_hinge.in_metres,
        anchor_proud=template.anchor_from_face.in_metres,
        hinge_offset=template.hinge_offset.in_metres,
        leaf=leaf.in_metres,
        # A regular arm never sees the reveal; left in, it would make unlike keys of like swings.
        reveal=0.0 if template.mount is Mount.REGULAR else reveal.in_metres,
        preload=template.preload,
        spring_set=rules.number("linkage-spring-set"),
        # Inches in the rule book, as the trade gives a stop; the model's own widths below are in
        # millimetres.
        stop=rules.number("stop-height") * 0.0254,
        half_width=rules.number("linkage-arm-half-width") / 1000,
        edge_gap=rules.number("linkage-edge-gap") / 1000,
    )


def best_arms(
    template: Template,
    pieces: Mapping[str, Piece],
    reveal: Length,
    rules: RuleBook,
    leaf: Length = STANDARD_LEAF,
) -> Arms | None:
    """The pair of arms of a template that suits a reveal best: it can be set, and opens widest.

    None where no pair has lengths. Raises CallError, RuleError.
    """
    pairs = [
        arms
        for main_arm in _known(template.main_arms, pieces)
        for forearm in _known(template.forearms, pieces)
        if template.mount is not Mount.TOP_JAMB or _serves(forearm, reveal)
        if (arms := arms_of(template, main_arm, forearm, reveal, rules, leaf)) is not None
    ]
    # What can be set first: arms that open wider at a preload they cannot take are of no use.
    return max(pairs, key=lambda arms: (can_be_set(arms), swing(arms).reached), default=None)


def reference_arms(
    templates: Iterable[Template], family: str, pieces: Mapping[str, Piece], rules: RuleBook
) -> Arms | None:
    """The regular arm on which a body family's size is declared; None if it has none.

    Of several regular templates, the one with the least greatest angle. Raises CallError,
    RuleError.
    """
    regular = [
        template
        for template in templates
        if template.mount is Mount.REGULAR and family in template.families
    ]
    # A template for a greater angle takes power from the closing end; a size is taken to be
    # declared on the strongest (common practice, no source).
    for template in sorted(regular, key=lambda template: (template.greatest_angle, template.id)):
        arms = best_arms(template, pieces, NO_REVEAL, rules)
        if arms is not None:
            return arms
    return None


def share_of(arms: Arms, reference: Arms | None, rules: RuleBook) -> float:
    """Closing power at 0 to 4° in this mount over the regular arm's [fraction].

    Without a regular template to hold it against, the rule book's share of the mount stands in.
    Raises RuleError.
    """
    return nominal_share(arms.mount, rules) if reference is None else power_share(arms, reference)


def shares_of(arms: Arms | None, reference: Arms | None, mount: Mount, rules: RuleBook) -> Shares:
    """All of a template's shares; the mount's nominal one where its arms have no lengths.

    Raises RuleError.
    """
    if arms is None:
        nominal = nominal_share(mount, rules)
        return Shares(nominal, nominal)
    return _shares(arms, reference, share_of(arms, reference, rules))


@lru_cache(maxsize=1024)
def _shares(arms: Arms, reference: Arms | None, share: float) -> Shares:
    """By geometry alone, so that families with like arms share one answer."""
    # Without a regular arm to hold it against, the arms' own mean is what the share is of.
    base, whole = (arms, share) if reference is None else (reference, 1.0)
    felt = closing_moment_most(arms, base, whole)
    beyond = greatest_moment(arms, base, whole, *BEYOND)
    # The greatest of some readings is never under their mean; where it is not known the mean
    # stands in.
    return Shares(share, max(share, felt or 0.0), None if beyond is None else max(0.0, beyond))


def nominal_share(mount: Mount, rules: RuleBook) -> float:
    """Closing power a mount leaves before a body is known [fraction] (rule mount-share).

    Raises RuleError.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> nominal_share(Mount.PARALLEL, load_rulebook())
    0.75
    """
    share = rules.mapping("mount-share").get(mount.value)
    # A house may set it anew: a share of nothing would let no size latch, one in percent every
    # one.
    if isinstance(share, bool) or not isinstance(share, int | float) or not 0 < share <= 10:
        raise RuleError("rule-not-a-number", rule="mount-share")
    return float(share)


@lru_cache(maxsize=1024)
def can_be_set(arms: Arms) -> bool:
    """Whether the forearm's range and the arms give the stated preload with the leaf closed."""
    worked = swing(arms)
    return (
        worked.ended != "never"
        and abs(arms.forearm - arms.forearm_wanted) <= SETTING_SLACK
        and abs(worked.preload - arms.preload) <= PRELOAD_SLACK
    )


def check_template(
    template: Template, pieces: Mapping[str, Piece], rules: RuleBook, where: str = ""
) -> list[Problem]:
    """Faults of one template: arms that cannot be set or cannot close, or fall short, or strike.

    A regular or parallel arm is tried at the reveal assumed where a schedule is silent; a top
    jamb at no reveal and at its deepest. At each reveal one pair of arms must do. Raises
    RuleError.
    """
    problems = _unusable(template, pieces, where)
    if problems:
        return problems
    for reveal in _reveals(template):
        arms = best_arms(template, pieces, reveal, rules)
        if arms is None:
            fields: dict[str, object] = {"reveal": f"{reveal.in_millimetres:.0f}"}
            problems.append(_problem("template-reveal-unserved", fields, template, where))
        elif (fault := _fault(template, arms)) is not None:
            problems.append(_problem(fault[0], fault[1], template, where))
    return problems


def _fault(template: Template, arms: Arms) -> tuple[str, dict[str, object]] | None:
    worked: ArmsSwing = swing(arms)
    fields: dict[str, object] = {
        "stated": f"{template.greatest_angle:g}",
        "reached": f"{worked.reached:g}",
        "reveal": f"{arms.reveal * 1000:.0f}",
        "preload": f"{arms.preload:g}",
        "needed": f"{arms.forearm_wanted * 1000:.1f}",
        "shortest": f"{arms.forearm_from * 1000:.1f}",
        "longest": f"{arms.forearm_to * 1000:.1f}",
        "angle": f"{worked.reached:g}",
        "struck": worked.ended.removeprefix("strikes-"),
    }
    # First: where the forearm cannot be set, every other figure is of arms nobody can mount.
    if not can_be_set(arms):
        return "template-arms-cannot-meet", fields
    if worked.reached >= template.greatest_angle:
        return None
    if worked.ended == "dead-centre":
        return "template-cannot-close", fields
    if worked.ended.startswith("strikes"):
        return "template-strikes", fields
    return "template-angle-not-reached", fields


def _unusable(template: Template, pieces: Mapping[str, Piece], where: str) -> list[Problem]:
    problems = []
    for part, names in (("main arm", template.main_arms), ("forearm", template.forearms)):
        for name in names:
            piece = pieces.get(name)
            if piece is None:
                fields: dict[str, object] = {"part": part, "piece": name}
                problems.append(_problem("template-arm-unknown", fields, template, where))
            elif piece.length is None:
                fields = {"part": part, "piece": name}
                problems.append(_problem("template-arm-without-length", fields, template, where))
    return problems


def _reveals(template: Template) -> list[Length]:
    if template.mount is Mount.TOP_JAMB:
        deepest = template.reveal_max or NO_REVEAL
        # The two ends of what the forearm must span, since its setting grows with the reveal.
        return [NO_REVEAL, deepest] if deepest.nm else [NO_REVEAL]
    return [Length.inches(4)]


def _known(names: Iterable[str], pieces: Mapping[str, Piece]) -> list[Piece]:
    return [pieces[name] for name in names if name in pieces]


def _serves(forearm: Piece, reveal: Length) -> bool:
    return forearm.reveal_max is None or reveal <= forearm.reveal_max


def _problem(code: str, fields: dict[str, object], template: Template, where: str) -> Problem:
    return Problem(code, fields, where, column=f"template {template.id}")
