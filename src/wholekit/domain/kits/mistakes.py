"""What is wrong with a hand-made kit, whatever its size: body, screws, pieces, finish."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from wholekit.domain.catalog import Body, Piece, Role
from wholekit.domain.catalog.words import FASTENER_ROLES
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.counting import Brought, spare_of
from wholekit.domain.kits.demand import hand_told
from wholekit.domain.kits.duty import EN, duty_asked
from wholekit.domain.kits.kit import Missing, Need
from wholekit.domain.kits.made import missing_finding, told_on_site
from wholekit.domain.kits.reading import Reading, hands_brought, hands_of
from wholekit.domain.kits.shelf import BodyGroup
from wholekit.domain.openings import Facts
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import cited

# Why a piece is lacking that the kit brings.
UNLISTED = "piece-unlisted"


def body_mistakes(
    reading: Reading, brought: Brought, facts: Facts, rules: RuleBook
) -> tuple[Finding, ...]:
    """What is wrong with the body, apart from its size. Raises RuleError."""
    return (
        *_unlisted_told(reading, brought, facts, rules),
        *_of_body(reading, brought, facts, rules),
    )


def unlisted_pieces(reading: Reading, brought: Brought, facts: Facts) -> dict[Role, str]:
    """Roles a fire door lacks though the kit brings their pieces, unlisted; and by which SKU."""
    if not facts.fire_minutes:
        return {}
    found: dict[Role, str] = {}
    for need in [shortage.need for shortage in reading.tally.short]:
        for line, left in zip(brought.lines, reading.tally.left, strict=True):
            if any(
                count and _unlisted_for(need, brought.shelf.pieces[key], reading)
                for key, count in left.items()
            ):
                found.setdefault(need.role, line.item.sku)
    return found


def lacking(
    reading: Reading, brought: Brought, facts: Facts, rules: RuleBook
) -> tuple[Missing, ...]:
    """What the kit lacks; of what it brings unlisted, that this is why. Raises RuleError."""
    rule = cited("fire-listed-closer", facts, rules)
    unlisted = unlisted_pieces(reading, brought, facts)
    return tuple(
        replace(
            shortage.missing,
            because=Reason(UNLISTED, {"sku": unlisted[shortage.need.role]}, (rule,)),
        )
        if shortage.need.role in unlisted
        else shortage.missing
        for shortage in reading.tally.short
    )


def piece_mistakes(
    reading: Reading, brought: Brought, facts: Facts, of_body: Sequence[Finding]
) -> tuple[Finding, ...]:
    """Screws for another host, what is missing, what is wrong or too much.

    of_body: what is told of the body, which need not be told again.
    """
    unlisted = unlisted_pieces(reading, brought, facts)
    screws = (*_wrong_screws(reading, brought),)
    exchanged = tuple(screw for screw in screws if screw.severity is Severity.STOP)
    return (
        *screws,
        # A wrong piece and the missing one in its place are one mistake: told twice it would look
        # like two.
        *_missing(
            reading, {*unlisted, *(finding.fields["role"] for finding in exchanged)}, of_body
        ),
        *_surplus(reading, brought, (*of_body, *exchanged)),
    )


def shown_finishes(reading: Reading, brought: Brought) -> tuple[str, ...]:
    """The finishes of what shows once the kit is mounted."""
    shelf = brought.shelf
    return tuple(
        sorted(
            {
                line.item.finish
                for line, uses in zip(brought.lines, reading.tally.uses, strict=True)
                if line.item.finish
                and any(shelf.pieces[shelf.key(line.catalog, use.piece)].shows for use, _ in uses)
            }
        )
    )


def finish_mistakes(finishes: Sequence[str], facts: Facts) -> tuple[Finding, ...]:
    """More than one finish on what shows."""
    if len(finishes) < 2:
        return ()
    asked = facts.type.finish
    hint = Hint("any-one-finish") if asked is None else Hint("one-finish", {"finish": asked})
    return (stop("finish-mixed", {"finishes": tuple(finishes)}, hint),)


def stop(code: str, fields: Mapping[str, object], hint: Hint, rule: str | None = None) -> Finding:
    """A finding that somebody must decide on."""
    return Finding(code, Severity.STOP, fields, rule, hint)


def _unlisted_for(need: Need, piece: Piece, reading: Reading) -> bool:
    """Whether only a listing keeps a piece from meeting a need."""
    return (
        piece.role is need.role
        and not piece.fire_listed
        and (not need.kinds or piece.kind in need.kinds)
        and (not piece.mounts or reading.choice.mount in piece.mounts)
    )


def _unlisted_told(
    reading: Reading, brought: Brought, facts: Facts, rules: RuleBook
) -> Iterator[Finding]:
    """All of a fire door's kit that is not listed, in one finding."""
    body = reading.body
    if not facts.fire_minutes:
        return
    skus = [*unlisted_pieces(reading, brought, facts).values()]
    fields: dict[str, object] = {"minutes": facts.fire_minutes}
    if body is not None and not body.fire_listed:
        skus.insert(0, brought.sku_with(Role.BODY))
        fields["series"] = body.series
    if skus:
        fields["skus"] = tuple(dict.fromkeys(skus))
        # Whoever asked for the series must choose another one; else the set alone is exchanged.
        hint = "exchange-listed" if facts.type.series is None else "choose-series"
        rule = cited("fire-listed-closer", facts, rules)
        yield stop("not-fire-listed", fields, Hint(hint), rule)


def _of_body(
    reading: Reading, brought: Brought, facts: Facts, rules: RuleBook
) -> Iterator[Finding]:
    """What is wrong with the body, apart from its size."""
    group, body = reading.group, reading.body
    if group is None or body is None:
        return
    sku = brought.sku_with(Role.BODY)
    if reading.template is None:
        yield stop("piece-wrong", {"sku": sku, "role": Role.BODY}, Hint("other-mount"))
    # Only EN 1154 shuts a body out, as when a kit is built (see bodies.suited).
    place = duty_asked(facts, rules)
    if place.standard == EN and not place.claimed_by(body):
        yield stop(
            "standard-not-claimed",
            {"standard": place.standard},
            Hint("choose-series"),
            "en-basis-jurisdictions",
        )
    series = facts.type.series
    if series is not None and brought.shelf.series.get(series.strip().lower()) != body.series:
        fields = {"series": series, "brought": body.series}
        yield stop("series-wrong", fields, Hint("one-series", {"series": series}))
    if body.handed:
        yield from _of_hands(group, body, brought, facts)


def _of_hands(group: BodyGroup, body: Body, brought: Brought, facts: Facts) -> Iterator[Finding]:
    """A body of the wrong hand; it is counted as what it is for. An unknown hand is asked."""
    asking = hand_told(True, facts)
    if asking:
        # The hand brought may be right: nobody can say, so it is asked and not judged.
        yield from asking
        return
    held = hands_brought(body, group, brought)
    wanted = hands_of(body, group, facts, brought)
    for hand, count in wanted.items():
        other = hand.other
        # Wrong only if the other hand is there in excess; else the body is merely missing.
        if held[hand] < count and held[other] > wanted.get(other, 0):
            fields = {"sku": brought.sku_with(Role.BODY), "brought": other, "needed": hand}
            yield stop("hand-wrong", fields, Hint("exchange-hand", {"needed": hand}))


def _wrong_screws(reading: Reading, brought: Brought) -> Iterator[Finding]:
    """Loose screws for another host than the one that lacks them.

    A stop in place of the missing ones where nothing else of the line is of use: it was bought
    for this. Else a warning beside them, since a set may hold screws for both its joints.
    Boxed sets hold screws for every host, so theirs say nothing.
    """
    seen: set[str] = set()
    plate_lacking = any(shortage.need.role is Role.PLATE for shortage in reading.tally.short)
    for need in [shortage.need for shortage in reading.tally.short]:
        if need.role not in FASTENER_ROLES:
            continue
        for position, line in enumerate(brought.lines):
            pieces = brought.pieces_of(position)
            kinds = [
                piece.kind
                for piece in pieces
                if piece.role is need.role and piece.kind not in need.kinds
            ]
            boxed = any(piece.role is Role.BODY for piece in pieces)
            if not kinds or boxed or line.item.sku in seen:
                continue
            fields = {
                "sku": line.item.sku,
                "kind": kinds[0],
                "kinds": need.kinds,
                "part": need.reason.fields.get("host", ""),
                "role": need.role,
            }
            idle = not reading.tally.uses[position]
            serving = any(use.role is need.role for use, _ in reading.tally.uses[position])
            if serving or (not idle and plate_lacking and fields["part"] == "plate"):
                # In use for such a joint elsewhere, or the screws a plate brings lack with it.
                continue
            seen.add(line.item.sku)
            yield Finding(
                "fastener-wrong-host",
                Severity.STOP if idle else Severity.WARN,
                fields,
                "fasteners-by-host",
                Hint("match-host", {"kinds": need.kinds}) if idle else None,
            )


def _missing(
    reading: Reading, exchanged: set[object], of_body: Sequence[Finding]
) -> Iterator[Finding]:
    """What is lacking, but for what another finding has told already."""
    # Either is told of the body already: missing besides, one mistake would count twice.
    body_wrong = any(finding.code in ("hand-wrong", "piece-wrong") for finding in of_body)
    for short in reading.tally.short:
        role = short.need.role
        if role in exchanged or (role is Role.BODY and body_wrong):
            continue
        # What nobody makes cannot be added; where the site has said why, that is enough.
        if short.need.pieces or role is Role.BODY:
            hint = Hint("add-piece", {"role": role, "quantity": short.quantity})
            yield missing_finding(short.missing, hint)
        elif not told_on_site(role, reading.demand.findings):
            yield missing_finding(short.missing, Hint("add-to-catalog", {"role": role}))


def _surplus(reading: Reading, brought: Brought, findings: Sequence[Finding]) -> Iterator[Finding]:
    """Whole items the opening does not use; in place of a missing piece, a wrong one."""
    wrong = {finding.fields.get("sku") for finding in findings}
    for finding in findings:
        several = finding.fields.get("skus")
        wrong |= {*several} if isinstance(several, tuple) else set()
    # Screws that do not fit have been told by their host already.
    lacking = {shortage.need.role for shortage in reading.tally.short} - FASTENER_ROLES
    for position, line in enumerate(brought.lines):
        # Whole items only: what is left over in a pack is no mistake, since packs are not split.
        spare = spare_of(brought, reading.tally, position)
        if not spare or line.item.sku in wrong:
            continue
        roles = [piece.role for piece in brought.pieces_of(position)]
        misfit = next((role for role in roles if role in lacking), None)
        # A line of which something is used was not bought in place of what is lacking.
        if misfit is not None and not reading.tally.uses[position]:
            wrong_piece = {"sku": line.item.sku, "role": misfit}
            yield stop("piece-wrong", wrong_piece, Hint("remove-piece"))
        else:
            spares = {"sku": line.item.sku, "quantity": spare}
            yield Finding("piece-surplus", Severity.WARN, spares, None, Hint("remove-piece"))
