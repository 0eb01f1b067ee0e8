"""Whether a job still asks for what was ordered. No kit is worked out: what the shelf would give
today, and what it costs, is no part of what is asked.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from wholekit.domain.findings import Severity
from wholekit.domain.kits.choices import with_wish
from wholekit.domain.openings import OpeningType
from wholekit.domain.quotes.job import (
    BASE,
    Alternate,
    ExtraLine,
    JobContents,
    JobOpening,
    Override,
    OverrideKind,
)
from wholekit.domain.quotes.offer import Offer, OfferExtra, OfferOpening
from wholekit.domain.quotes.worked import standing

Key = tuple[str, str]


def asks_the_same(
    ordered: Offer,
    alternates: Sequence[str],
    hands: Mapping[Key, frozenset[str]] | None,
    now: JobContents,
    set_now: Mapping[Key, frozenset[str]],
) -> bool:
    """Whether a job asks for the same openings, conditions and hands on them, and the same extra
    lines, as were ordered with some alternates.

    hands, set_now: by alternate and mark what was set by hand then and is now, prices aside, in
    words; hands None where that was not kept. What was left out of the order is news only where it
    is asked otherwise now, or its stops were let go.
    """
    chosen = ordered.chosen(alternates)
    then = {(each.alternate, each.mark): each for each in chosen.openings}
    here = {
        (each.alternate, each.mark): each
        for each in _had(now.openings, now.job.alternates, alternates)
    }
    gone = {(each.alternate, each.mark): each for each in ordered.left_out or ()}
    if then.keys() - here.keys():
        return False
    for key, entry in here.items():
        if key in then:
            same_hands = hands is None or hands.get(key, frozenset()) == set_now.get(
                key, frozenset()
            )
            if not same_hands or not _same_opening(ordered, then[key], entry):
                return False
        elif key not in gone or _is_news(ordered, gone[key], entry):
            return False
    return _extras_of(chosen.extras, alternates) == _extras_of(now.extras, alternates)


def not_prices(overrides: Sequence[Override]) -> tuple[Override, ...]:
    """The overrides that stand and set more than a price."""
    return tuple(each for each in standing(overrides) if each.kind is not OverrideKind.PRICE)


def _had(
    openings: Iterable[JobOpening], every: Iterable[Alternate], taken: Sequence[str]
) -> Iterator[JobOpening]:
    """The openings had with some alternates; see `Offer.chosen`."""
    out = {mark for each in every if each.code in taken for mark in each.deducts}
    for opening in openings:
        if opening.alternate in taken or (not opening.alternate and opening.mark not in out):
            yield opening


def _same_opening(offer: Offer, then: OfferOpening, now: JobOpening) -> bool:
    return (then.quantity, then.note, then.room, offer.kit_of(then).type) == (
        now.opening.quantity,
        now.opening.note,
        now.opening.room,
        asked_type(now),
    )


def asked_type(entry: JobOpening) -> OpeningType:
    """The opening with what hands set of its conditions, as its kit is built for."""
    kind = entry.opening.type
    for override in sorted(standing(entry.overrides), key=lambda each: each.at):
        if override.kind is OverrideKind.SIZE:
            kind = replace(kind, spring_size=override.size)
        elif override.wish is not None:
            kind = with_wish(kind, override.wish)
    return kind


def _is_news(offer: Offer, left: OfferOpening, now: JobOpening) -> bool:
    """Whether one that was left out is asked otherwise now, or could go out."""
    if not _same_opening(offer, left, now):
        return True
    kit = offer.kit_of(left)
    let_go = {(each.code, each.about) for each in now.releases}
    open_stops = [
        each
        for each in kit.findings
        if each.severity is Severity.STOP and (each.code, each.about) not in let_go
    ]
    return not kit.missing and not open_stops


def _extras_of(
    extras: Iterable[OfferExtra | ExtraLine], taken: Sequence[str]
) -> Counter[tuple[object, ...]]:
    return Counter(
        (each.kind, each.description, each.quantity, each.alternate)
        for each in extras
        if each.alternate in (BASE, *taken)
    )
