"""Other kits worth showing beside the chosen one: a larger size, an adjustable body, a paint.

The findings that speak of an offer name it in their field `offer`; what it costs beside the chosen
kit is told by whoever has the asker's prices (see `pricing.tell_offers`).
"""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.kits.build import as_written, build_kit
from wholekit.domain.kits.finish import look_alike
from wholekit.domain.kits.kit import Kit, KitOption
from wholekit.domain.kits.shelf import Shelf
from wholekit.domain.openings import OpeningType
from wholekit.domain.quantities import Money
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE


def with_offers(kit: Kit, shelf: Shelf, rules: RuleBook) -> Kit:
    """The kit with the kits its findings offer, each built by the same rules. Raises RuleError.

    An offer that cannot be had whole is left out, and its finding says so once it is priced. Kept
    beside a kit that the shelf keeps.
    """
    key = as_written(kit.type)
    if shelf.kits.get(key, rules) is not kit:
        return _with_offers(kit, shelf, rules)
    known: tuple[Kit, Kit] | None = shelf.offered.get(key, rules)
    if known is None or known[0] is not kit:
        known = kit, _with_offers(kit, shelf, rules)
        shelf.offered.put(key, rules, known)
    return known[1]


def _with_offers(kit: Kit, shelf: Shelf, rules: RuleBook) -> Kit:
    named = {str(finding.fields["offer"]) for finding in kit.findings if "offer" in finding.fields}
    built: dict[tuple[OpeningType, bool], Kit] = {}
    offers = []
    for code, asked in _asked(kit, named):
        # Two findings may offer the same kit: the size advised is mostly the next one.
        key = (asked, code == "turned-down")
        if key not in built:
            built[key] = build_kit(asked, shelf, rules, adjustable=key[1])
        other = built[key]
        # A kit of another size than the offer names would be priced under a false name.
        sized = asked.spring_size is None or other.spring_size == asked.spring_size
        if sized and _serves(other, kit):
            offers.append(KitOption(code, other))
    findings = kit.findings
    painted = _painted(kit, shelf, rules)
    if painted is not None:
        offers.append(KitOption("painted", painted))
        findings = in_order([*findings, _dearer(kit, painted)])
    return replace(kit, offers=tuple(offers), findings=findings)


def _asked(kit: Kit, named: set[str]) -> Iterator[tuple[str, OpeningType]]:
    """What to ask the shelf for each offer, in the mount of the kit at hand."""
    # The mount is held: settled anew it might differ, and with it what is compared.
    here = replace(kit.type, mount=kit.mount)
    if "fire-size" in named:
        advised = next(
            finding.fields["advised"]
            for finding in kit.findings
            if finding.code == "fire-size-recommended"
        )
        if isinstance(advised, int) and advised <= LARGEST_SIZE:
            yield "fire-size", replace(here, spring_size=advised)
    if "next-size" in named and kit.spring_size is not None and kit.spring_size < LARGEST_SIZE:
        yield "next-size", replace(here, spring_size=kit.spring_size + 1)
    if "adjustable" in named:
        # As an exit it must be a body that can be turned down to the limit.
        yield "adjustable", replace(here, egress=True)
    if "turned-down" in named:
        yield "turned-down", here


def _serves(other: Kit, kit: Kit) -> bool:
    """Whether it is whole, stopped by nothing the kit at hand is not, and another or set so."""
    # A fault of the opening, such as an unknown hand, stops both kits and speaks against neither.
    stops = {finding.code for finding in kit.findings if finding.severity is Severity.STOP}
    return other.complete and all(
        finding.code in stops for finding in other.findings if finding.severity is Severity.STOP
    )


def _painted(kit: Kit, shelf: Shelf, rules: RuleBook) -> Kit | None:
    """The same in the painted finish nearest in look, where the plated one is much dearer."""
    is_painted, match = look_alike(kit.finish, shelf, rules)
    if is_painted or match is None or not kit.complete:
        return None
    other = build_kit(replace(kit.type, mount=kit.mount, finish=match), shelf, rules)
    # Where the painted finish cannot be had whole the shelf gives the nearest, which is no offer.
    if other.finish != match or not _serves(other, kit):
        return None
    return other if is_much_dearer(kit.list_price, other.list_price, rules) else None


def is_much_dearer(price: Money, match: Money, rules: RuleBook) -> bool:
    """Whether a price passes its match's by more than rule finish-dearer allows."""
    return price.minor > match.minor * (1 + Fraction(str(rules.number("finish-dearer"))))


def _dearer(kit: Kit, painted: Kit) -> Finding:
    fields = {"finish": kit.finish, "match": painted.finish, "offer": "painted"}
    hint = Hint("accept-finish", {"nearest": painted.finish})
    return Finding("finish-dearer", Severity.NOTE, fields, "finish-dearer", hint)
