"""The answer of `wholekit kit` as it is told on the phone: the price, the closer, what stops.

An opening takes one to three lines; what is said of several is told once, at the end.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from wholekit.cli.console import width, wrapped
from wholekit.domain.customers import LIST
from wholekit.domain.findings import SEVERITY_ORDER, Severity
from wholekit.domain.quantities import Length
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.filling import short_stock
from wholekit.domain.quotes.offer import OfferAssumption, OfferFinding, OfferKit, OfferOpening
from wholekit.domain.rules import RuleBook
from wholekit.wording.finding_words import all_in_short, in_short
from wholekit.wording.findings import say_finding
from wholekit.wording.openings import leaf_text, pieces_text
from wholekit.wording.questions import marks_text
from wholekit.wording.ready import say_job_ready
from wholekit.wording.units import measure
from wholekit.wording.words import MOUNTS, field_name, listed, plural, value_text

# Told once for the whole job, with its marks: nearly every interior door may be an exit.
JOB_WIDE = frozenset({"egress-force-limit"})
SAID_ELSEWHERE = JOB_WIDE | {"assumed"}
SEVERITY = {"stop": "STOP", "warn": "WARN", "note": "note"}
CAUTION = (
    "Proposed from the schedule and the catalogs. Local codes, the listing of door, frame and "
    "closer, and licensed people decide; the maker's template in the box holds."
)
# More marks, or more sentences about one thing, than anybody reads out.
MOST_MARKS = 8
MOST_ALIKE = 3
INDENT = "    "

# Text, way out and source of a finding, with the marks it is said of; by severity and code.
Said = dict[tuple[Severity, str], dict[tuple[str, str, str], list[str]]]


def short_text(offer: Offer, rules: RuleBook, multiplier: Fraction = LIST) -> Iterator[str]:
    """An offer in short: each opening's price, closer and what stops it; notes and totals once."""
    short = short_stock(offer)
    lacking = {mark for finding in short for mark in _marks_of(finding.fields["marks"])}
    for opening in offer.openings:
        yield from opening_in_short(offer, opening, short=opening.place in lacking)
    yield ""
    said = findings_said(offer)
    for finding in short:
        words = say_finding(finding, rules)
        alike = said.setdefault((finding.severity, finding.code), {})
        alike[words.text, words.hint, words.source] = _marks_of(finding.fields["marks"])
    alone = len(offer.openings) == 1
    for key in sorted(said, key=lambda key: (SEVERITY_ORDER[key[0]], key[1])):
        yield from _told_once(key[1], SEVERITY[key[0]], said[key], alone=alone)
    yield from _assumed_once(offer)
    if offer.ready is not None and offer.ready.kits:
        yield from wrapped(f"ready {say_job_ready(offer.ready)}; expected, not promised")
    yield from totals_in_short(offer, multiplier)
    yield from wrapped(CAUTION)


def opening_in_short(offer: Offer, opening: OfferOpening, *, short: bool = False) -> Iterator[str]:
    """One opening in one to three lines. short: the shelf lacks some of it."""
    kit = offer.kit_of(opening)
    head = f"{opening.place}  {opening.quantity} × {leaf_text(kit.type)}  {_closer(kit)}"
    price = f"{kit.price.decimal_text} {kit.price.currency}"
    if opening.quantity > 1:
        price = f"{kit.price.decimal_text} each, {opening.price.decimal_text} {kit.price.currency}"
    room = width() - len(price) - 2
    if len(head) <= room:
        yield f"{head.ljust(room)}  {price}"
    else:
        yield from wrapped(f"{head}  {price}", "", INDENT)
    stops, warns = _in_few_words(offer, opening, short=short)
    if stops:
        yield from wrapped(stops, f"{INDENT}STOP  ")
    if warns:
        yield from wrapped(warns, f"{INDENT}WARN  ")


def stopped_in_short(offer: Offer) -> Iterator[str]:
    """What stops openings, each reason once with its marks; nothing where none is stopped."""
    found: dict[str, list[str]] = {}
    for opening in offer.openings:
        stops, _ = _in_few_words(offer, opening, short=False)
        if stops:
            found.setdefault(stops, []).append(opening.place)
    every = [opening.place for opening in offer.openings]
    for stops, marks in found.items():
        yield from wrapped(f"{marks_text(marks, every) or listed(marks)}: {stops}", "STOP  ")


def findings_said(offer: Offer) -> Said:
    """Every finding of an offer's openings, each sentence once with its marks."""
    said: Said = {}
    for opening in offer.openings:
        worded: list[tuple[OfferFinding, tuple[str, str, str]]] = [
            *zip(offer.kit_of(opening).findings, offer.words.kits[opening.kit].findings,
                 strict=True),
            *zip(opening.of_note, offer.words.of_note(opening), strict=True),
        ]  # fmt: skip
        for finding, texts in worded:
            if finding.code != "assumed":
                alike = said.setdefault((finding.severity, finding.code), {})
                alike.setdefault(texts, []).append(opening.place)
    return said


def totals_in_short(offer: Offer, multiplier: Fraction) -> Iterator[str]:
    """How many, what they come to, and what of it is firm."""
    price = offer.totals.hardware
    firm = ""
    if offer.firm != price:
        firm = f"; firm, without what is stopped or not whole: {offer.firm.decimal_text}"
    yield from wrapped(
        f"{plural(offer.opening_count, 'opening')}, {plural(offer.leaf_count, 'leaf')}, "
        f"{priced_as(multiplier)}: {price.decimal_text} {price.currency}{firm}"
    )


def priced_as(multiplier: Fraction) -> str:
    """What the prices are: list, or net at a multiplier."""
    return "list" if multiplier == LIST else f"net at {float(multiplier):g} × list"


def assumed_value(assumed: OfferAssumption, size: Length) -> str:
    """What is assumed; of a length, in the units of the opening's own size."""
    if isinstance(assumed.value, Length):
        return measure(assumed.value, size.unit not in ("in", "ft"))
    return value_text(assumed.field, assumed.value)


def some_marks(marks: Sequence[str]) -> str:
    """Marks in a row, the first eight of many.

    >>> some_marks(["1", "2", "3"]), some_marks([str(number) for number in range(20)])
    ('1, 2 and 3', '0, 1, 2, 3, 4, 5, 6, 7 and 12 more')
    """
    if len(marks) > MOST_MARKS + 1:
        return f"{', '.join(marks[:MOST_MARKS])} and {len(marks) - MOST_MARKS} more"
    return listed(marks)


def _closer(kit: OfferKit) -> str:
    if kit.spring_size is None:
        size = "no size" if kit.size_required is None else f"size {kit.size_required} required"
    else:
        size = f"size {kit.spring_size}"
    return f"{MOUNTS[kit.mount]}, {size}, {kit.finish}"


def _in_few_words(offer: Offer, opening: OfferOpening, *, short: bool) -> tuple[str, str]:
    """What stops an opening and what else matters, in a few words each; empty if nothing does."""
    kit = offer.kit_of(opening)
    stops = [kit.findings[at].code for at in offer.open_stops(opening)]
    warns = [
        finding.code
        for finding in (*kit.findings, *opening.of_note)
        if finding.severity is Severity.WARN and finding.code not in JOB_WIDE
    ]
    lacks = f"lacks {pieces_text(kit.missing)}" if kit.missing else ""
    if lacks:
        stops = [code for code in stops if not code.endswith("-missing")]
    return (
        "; ".join(filter(None, (lacks, all_in_short(stops)))),
        all_in_short([*warns, *(["short-stock"] if short else [])]),
    )


def _told_once(
    code: str, word: str, alike: dict[tuple[str, str, str], list[str]], *, alone: bool
) -> Iterator[str]:
    """Each sentence with its marks; of many about one thing the first, then the marks.

    What only is to be known takes few lines: its sources stand in the long form.
    """
    shown, is_note = list(alike.items()), word == SEVERITY["note"]
    if len(shown) > (1 if is_note else MOST_ALIKE):
        marks = list(dict.fromkeys(mark for _, marks in shown for mark in marks))
        (text, hint, source), first = shown[0]
        text = f"{in_short(code)} at {some_marks(marks)}; at {first[0]}: {text}"
        yield from _finding(word, text, hint, "" if is_note else source)
        return
    for (text, hint, source), marks in shown:
        where = "" if alone else f"{some_marks(marks)}: "
        yield from _finding(word, f"{where}{text}", hint, "" if is_note else source)


def _finding(word: str, text: str, hint: str, source: str) -> Iterator[str]:
    cited = f" [{source}]" if source else ""
    way_out = f" -> {hint}" if hint else ""
    yield from wrapped(f"{text}{cited}{way_out}", f"{word:<9}")


def _assumed_once(offer: Offer) -> Iterator[str]:
    """What stands in for what is not known, each once, with its marks where not all have it."""
    found: dict[str, list[str]] = {}
    for opening in offer.openings:
        kit = offer.kit_of(opening)
        for assumed in kit.assumed:
            text = f"{field_name(assumed.field)}: {assumed_value(assumed, kit.type.width)}"
            found.setdefault(text, []).append(opening.place)
    every = len(offer.openings)
    parts = [
        text if len(marks) == every else f"{text} ({some_marks(marks)})"
        for text, marks in found.items()
    ]
    if parts:
        yield from wrapped("; ".join(parts), "assumed  ")


def _marks_of(marks: object) -> list[str]:
    return list(marks) if isinstance(marks, tuple | list) else []
