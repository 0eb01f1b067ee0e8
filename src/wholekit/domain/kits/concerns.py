"""What a finished kit must be told about: fire, access, exits, duty, size, edges, old items."""

from dataclasses import replace

from wholekit.domain.findings import SEVERITY_ORDER, Finding, Hint, Severity
from wholekit.domain.kits.duty import duty_asked
from wholekit.domain.kits.edges import near_edge
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.labels import label_told
from wholekit.domain.kits.proof import Proof
from wholekit.domain.kits.shelf import Shelf, SizeAsked
from wholekit.domain.openings import Facts, HoldOpen, Location, Mount, Swing
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE, by_en, cited

# A closer set to this size or less may not latch reliably (rule accessible-may-not-latch).
LIGHT = 2


def concerns(
    kit: Kit,
    facts: Facts,
    asked: SizeAsked | None,
    over_limit: bool,
    shelf: Shelf,
    rules: RuleBook,
) -> list[Finding]:
    """Findings that follow from the opening and the chosen kit together."""
    found: list[Finding] = []
    if facts.fire_minutes:
        found += _fire(kit, facts, rules)
        found += _size_advised(kit, facts, rules)
        found += label_told(facts, rules)
        if asked is not None and not asked.limited:
            found += _fixed_on_accessible_fire(kit, facts, rules)
    # On a fire door the same is a warning, with the rule behind it (see _fire).
    elif facts.hold_open is HoldOpen.RELEASE:
        found.append(Finding("release-device-apart", Severity.NOTE, {}, None))
    if asked is not None and asked.limited:
        found += _limited(kit, facts, asked, over_limit, rules)
    found += _size(kit, asked, rules.whole("fixed-size-next"))
    found += _place(kit, facts, rules)
    found += _parallel_outside(kit, facts, asked)
    near = near_edge(kit, facts, rules)
    found += [near] if near else []
    found = _with_forces(found, kit, facts)
    found += [
        Finding(
            "discontinued",
            Severity.WARN,
            {
                "sku": line.item.sku,
                "replaced_by": line.item.replaced_by,
                "on_hand": shelf.on_hand(line.item),
            },
            None,
            Hint("replace-item", {"replaced_by": line.item.replaced_by}),
        )
        for line in kit.lines
        if line.item.discontinued
    ]
    return found


def binding_findings(proof: Proof, facts: Facts) -> list[Finding]:
    """What the calculation found, limits of exits as far as the opening is said to be one."""
    return [
        _as_binding(_open_here(finding, proof, facts), proof, facts)
        for finding in proof.verdict.findings
    ]


def _open_here(finding: Finding, proof: Proof, facts: Facts) -> Finding:
    """The finding with a way out that is open here.

    A larger size is none in a finished kit: no body of it is sold whole, or it brings a stop, or a
    limit forbids it.
    """
    if finding.hint is None or finding.hint.code != "larger-size":
        return finding
    stated = 0.0 if facts.type.pressure is None else facts.type.pressure.si
    most = proof.verdict.latches_to_pa
    # The pressure of a wind is no setting of the building: it can be screened, not lowered.
    if proof.pressure_pa > stated:
        hint = Hint("screen-wind")
    elif most:
        hint = Hint("lower-pressure", {"pressure_most_pa": f"{most:.0f}"})
    else:
        hint = Hint("ease-seals")
    return replace(finding, hint=hint)


def _is_exit(finding: Finding) -> bool:
    return str(finding.rule).startswith("limit-ibc")


def _as_binding(finding: Finding, proof: Proof, facts: Facts) -> Finding:
    """A limit of exits as it binds this opening: a warning that asks, unless it is said to be one.

    None is calculated for an opening that is said to be no exit.
    """
    asks = facts.type.egress is None and finding.code == "force-over-limit"
    if not asks or not _is_exit(finding):
        return finding
    phases = {result.limit.rule: result.limit.phase for result in proof.verdict.limits}
    fields = {**finding.fields, "phase": phases[str(finding.rule)]}
    # Only the 5 lbf of interior exits (IBC 1010.1.3) set a closer (see proof.limits_binding), so
    # only there a body to be turned down is worth an offer.
    if str(finding.rule).endswith("-interior"):
        fields["offer"] = "adjustable"
    return replace(
        finding,
        code="egress-force-limit",
        severity=Severity.WARN,
        fields=fields,
        hint=Hint("ask-egress"),
    )


def _with_forces(found: list[Finding], kit: Kit, facts: Facts) -> list[Finding]:
    """What the force calculation found, each concern told once: the stronger of two stands."""
    if kit.proof is None:
        return found
    calculated = binding_findings(kit.proof, facts)
    for code in ("force-over-limit", "latch-power-short"):
        tabled = [finding for finding in found if finding.code == code]
        proven = [finding for finding in calculated if finding.code == code]
        if not tabled or not proven:
            continue
        # Of equals the calculated one: it has figures.
        weaker = found if _strongest(proven) <= _strongest(tabled) else calculated
        for finding in [finding for finding in weaker if finding.code == code]:
            weaker.remove(finding)
    return [*found, *calculated]


def _strongest(findings: list[Finding]) -> int:
    return min(SEVERITY_ORDER[finding.severity] for finding in findings)


def _fire(kit: Kit, facts: Facts, rules: RuleBook) -> list[Finding]:
    minutes = facts.fire_minutes
    found = [
        Finding(
            "fire-door-needs-latching",
            Severity.WARN,
            {"minutes": minutes, "leaves": kit.type.leaves},
            cited("fire-self-closing-latching", facts, rules),
            Hint("check-latching"),
        )
    ]
    if kit.type.leaves == 2:
        rule = cited("pair-coordinator", facts, rules)
        found.append(
            Finding("pair-needs-coordinator", Severity.WARN, {}, rule, Hint("coordinator"))
        )
    # No kit of ours has one on a fire door; a hand may have put it in, asked for or not.
    arms = kit.idle_arms
    if facts.hold_open is HoldOpen.ARM or arms:
        fields: dict[str, object] = {
            "minutes": minutes,
            "beside": cited("fire-hold-open", facts, rules),
        }
        # Only then: a release goes by the fields, and one of an arm left out covers none put in.
        if arms:
            fields["skus"] = arms
        found.append(
            Finding(
                "hold-open-on-fire-door",
                Severity.STOP,
                fields,
                cited("fire-no-hold-open", facts, rules),
                Hint("use-release"),
            )
        )
    if facts.hold_open is HoldOpen.RELEASE:
        seconds = None if by_en(facts, rules) else rules.whole("fire-release-delay")
        found.append(
            Finding(
                "release-device-apart",
                Severity.WARN,
                {"seconds": seconds},
                cited("fire-hold-open", facts, rules),
                Hint("release"),
            )
        )
    if kit.type.delayed_action:
        automatic = facts.hold_open is HoldOpen.RELEASE
        found.append(
            Finding(
                "delayed-action-on-fire-door",
                Severity.STOP if automatic else Severity.WARN,
                {"automatic": automatic},
                cited("fire-delayed-action", facts, rules),
                Hint("no-delayed-action" if automatic else "ask-authority"),
            )
        )
    return found


def size_advised(kit: Kit, facts: Facts, rules: RuleBook) -> int | None:
    """The size [class] recommended for a US fire door, None elsewhere.

    NFPA 80, annex A.6.4.1.4, read at second hand: 4 outside and 3 inside; the next
    for a leaf over 38 in outside or 40 in inside, for a parallel arm, or for abnormal air pressure;
    two for a combination of these. A recommendation; the maker's advice prevails. Raises RuleError.
    """
    if not facts.fire_minutes or by_en(facts, rules):
        return None
    row = rules.mapping("fire-size-advised")
    place = facts.location.value
    # Over the width, not at it: the quotation says over.
    wide = facts.type.width.in_inches > float(str(row[f"wide_{place}"]))
    drawn = facts.type.pressure is not None or facts.type.wind is not None
    more = sum((wide, kit.mount is Mount.PARALLEL, drawn))
    added = 0 if not more else int(str(row["one_more" if more == 1 else "combination_more"]))
    return int(str(row[place])) + added


def _size_advised(kit: Kit, facts: Facts, rules: RuleBook) -> list[Finding]:
    advised = size_advised(kit, facts, rules)
    if advised is None or kit.spring_size is None or kit.spring_size >= advised:
        return []
    fields = {"advised": advised, "size": kit.spring_size, "offer": "fire-size"}
    hint = Hint("offer-size", {"size": advised})
    return [Finding("fire-size-recommended", Severity.WARN, fields, "fire-size-advised", hint)]


def _limited(
    kit: Kit, facts: Facts, asked: SizeAsked, over_limit: bool, rules: RuleBook
) -> list[Finding]:
    """What a force limit that binds the setting leaves to say."""
    # Nothing else needs saying then: the closer is not set by the limit, so it is not short of
    # power by it.
    if over_limit and asked.setting_most is not None:
        exit_door = not facts.accessible
        return [
            Finding(
                "force-over-limit",
                Severity.STOP,
                {"size": kit.spring_size, "most": asked.setting_most, "exit": exit_door},
                "limit-ibc-interior" if exit_door else "accessible-size-most",
                Hint("adjustable-body", {"most": asked.setting_most}),
            )
        ]
    if kit.spring_size is None:
        return []
    found: list[Finding] = []
    wanted = facts.type.spring_size
    if wanted is not None and wanted > kit.spring_size:
        fields: dict[str, object] = {"asked": wanted, "size": kit.spring_size}
        # What the leaf needs beside it is what it may then not latch for.
        if kit.size_required is not None and kit.size_required != wanted:
            fields["required"] = kit.size_required
        found.append(Finding("size-held-to-limit", Severity.WARN, fields, None))
    required = kit.size_required or asked.target
    short = required > kit.spring_size
    # Even at the size required a light spring may not latch (note of ANSI/BHMA A156.4, from
    # memory).
    if short or kit.spring_size <= LIGHT:
        fields = {"size": kit.spring_size, "required": required, "still_over": _still_over(kit)}
        found.append(
            Finding(
                "latch-power-short" if short else "accessible-may-not-latch",
                Severity.WARN if short else Severity.NOTE,
                fields,
                cited("accessible-may-not-latch", facts, rules),
                Hint("check-latching-gauge"),
            )
        )
    return found


def _still_over(kit: Kit) -> bool:
    """Whether even the setting taken passes a limit, by calculation."""
    findings = () if kit.proof is None else kit.proof.verdict.findings
    return any(finding.code == "force-over-limit" for finding in findings)


def _fixed_on_accessible_fire(kit: Kit, facts: Facts, rules: RuleBook) -> list[Finding]:
    """The least force an authority allows a fire door cannot be set on a body of fixed size."""
    fixed = kit.body is not None and not kit.body.adjustable
    if not fixed or not facts.accessible or by_en(facts, rules):
        return []
    fields = {"size": kit.spring_size, "offer": "turned-down"}
    return [Finding("fixed-size-accessible", Severity.WARN, fields, "limit-fire-least")]


def _size(kit: Kit, asked: SizeAsked | None, next_allowed: int) -> list[Finding]:
    """A body that starts above the size asked for; one set higher on purpose is none."""
    if kit.spring_size is None or asked is None or kit.body is None:
        return []
    starts_above = kit.body.size_from > asked.target
    # Further above is a fault of its own, and told as such.
    if starts_above and kit.spring_size - asked.target <= next_allowed:
        fields = {"size": kit.spring_size, "required": asked.target}
        return [Finding("size-next-used", Severity.NOTE, fields, "fixed-size-next")]
    return []


def _place(kit: Kit, facts: Facts, rules: RuleBook) -> list[Finding]:
    """Whether the body is strong enough for its place, made to its standard, and safe in wind."""
    body = kit.body
    if body is None:
        return []
    place = duty_asked(facts, rules)
    found: list[Finding] = []
    lacks = place.lacks(body)
    if lacks:
        # Without backcheck a strong body still serves: that alone never stops a kit.
        hard = set(lacks) - {"backcheck"}
        stated = place.grade_stated or place.traffic_stated
        fields = {
            "series": body.series,
            "lacks": lacks,
            "location": facts.location,
            "grade": place.grade,
            "corrosion": place.corrosion,
        }
        # What a place asks for is the house's common practice, without a source: it stops a kit
        # only where the schedule itself asked.
        severity = Severity.STOP if stated and hard else Severity.WARN
        hint = Hint("heavier-body")
        found.append(Finding("body-too-light", severity, fields, "duty-by-place", hint))
    if not place.claimed_by(body):
        fields = {"series": body.series, "standard": place.standard}
        found.append(Finding("standard-differs", Severity.NOTE, fields, None, Hint("ask-standard")))
    # Where the body falls short already, a heavier one is asked for anyway.
    if place.corrosion is not None and not lacks:
        coast = int(str(rules.mapping("corrosion-by-place")["coast_or_pool"]))
        if (body.corrosion or 0) < coast:
            fields = {"grade": body.corrosion, "wanted_grade": coast}
            found.append(Finding("corrosion-coast", Severity.NOTE, fields, "corrosion-by-place"))
    outside = facts.location is Location.EXTERIOR and facts.swing is Swing.OUT
    if outside and facts.type.wind is not None:
        found.append(
            Finding("wind-needs-stop", Severity.WARN, {}, "wind-needs-stop", Hint("ask-stop"))
        )
    return found


def _parallel_outside(kit: Kit, facts: Facts, asked: SizeAsked | None) -> list[Finding]:
    """A parallel arm outside: the leaf gets about a size less, so the next is worth offering.

    Not where a limit holds the setting, the schedule asks for a size, or there is no larger one.
    """
    outside = facts.location is Location.EXTERIOR and kit.mount is Mount.PARALLEL
    if not outside or kit.spring_size is None or kit.proof is None:
        return []
    fields: dict[str, object] = {
        "size": kit.spring_size,
        "share": f"{kit.proof.share * 100:.0f}",
    }
    limited = asked is not None and asked.limited
    if not limited and facts.type.spring_size is None and kit.spring_size < LARGEST_SIZE:
        fields["offer"] = "next-size"
    return [Finding("parallel-arm-loses", Severity.NOTE, fields)]
