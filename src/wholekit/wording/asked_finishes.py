"""The finish of a quote as questions for the job: where the one asked for is not made, and where a
painted match costs much less."""

from collections.abc import Iterator, Sequence

from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferFinding, OfferOpening
from wholekit.wording.amounts import say_money
from wholekit.wording.front_question import FrontQuestion
from wholekit.wording.questions import BOX, ranges_text
from wholekit.wording.speech import tr, trn

SWAPPED = "finish-unavailable"
DEARER = "finish-dearer"
# What one question is of: the finish asked for (empty where it is made) and the one quoted.
Finishes = tuple[str, str]


def finish_questions(offer: Offer) -> Iterator[tuple[FrontQuestion, frozenset[str]]]:
    """One question for each finish asked for and the one quoted in its place, with its places."""
    every = [opening.place for opening in offer.openings]
    found: dict[Finishes, list[OfferOpening]] = {}
    for opening in offer.openings:
        if (of := _finishes(offer, opening)) is not None:
            found.setdefault(of, []).append(opening)
    for (asked, quoted), openings in found.items():
        text = tr("Finish {finish} stands in the quote. A painted match costs much less. Which?")
        if asked:
            text = tr(
                "Finish {asked} is not made for these kits; quoted in {finish}, {look}. Which?"
            )
            swaps = [swap for each in openings if (swap := _swap(offer, each)) is not None]
            alike = all(swap.fields.get("alike") == "True" for swap in swaps)
            look = tr("the same look on another base metal") if alike else tr("of another look")
            text = text.format(asked=asked, finish=quoted, look=look)
        else:
            text = text.format(finish=quoted)
        places = [each.place for each in openings]
        asked_of = FrontQuestion(
            text,
            (ranges_text(places, every, offer.not_quoted),),
            tuple(_answers(offer, quoted, openings)),
        )
        yield asked_of, frozenset(places)


def asks_finish(offer: Offer, opening: OfferOpening) -> bool:
    """Whether a question is put about its finish, so that nothing need be said of it beside."""
    return _finishes(offer, opening) is not None


def _finishes(offer: Offer, opening: OfferOpening) -> Finishes | None:
    swap, dearer = _swap(offer, opening), _dearer(offer, opening)
    if swap is not None:
        return swap.fields["finish"], swap.fields["nearest"]
    return None if dearer is None else ("", dearer.fields["finish"])


def _swap(offer: Offer, opening: OfferOpening) -> OfferFinding | None:
    """What says that its finish is another; None where nothing does, or it was released by name."""
    found = _finding(offer, opening, SWAPPED)
    if found is None or (found.code, found.about) in opening.released:
        return None
    return found


def _dearer(offer: Offer, opening: OfferOpening) -> OfferFinding | None:
    found = _finding(offer, opening, DEARER)
    return None if found is None or found.difference is None else found


def _finding(offer: Offer, opening: OfferOpening, code: str) -> OfferFinding | None:
    return next((each for each in offer.kit_of(opening).findings if each.code == code), None)


def _answers(
    offer: Offer, quoted: str, openings: Sequence[OfferOpening]
) -> Iterator[tuple[str, str]]:
    """The finish quoted, each painted match with what it saves, and a blank."""
    yield quoted, tr("price and kit as quoted")
    matches: dict[str, list[tuple[OfferOpening, OfferFinding]]] = {}
    for opening in openings:
        if (dearer := _dearer(offer, opening)) is not None:
            matches.setdefault(dearer.fields["match"], []).append((opening, dearer))
    for match, each in matches.items():
        yield tr("{finish} (painted)").format(finish=match), _saving(offer, each, len(openings))
    said = tr("another, or by mark:") if len(openings) > 1 else tr("another:")
    yield "", f"{BOX.strip()} {said}"


def _saving(offer: Offer, each: Sequence[tuple[OfferOpening, OfferFinding]], asked: int) -> str:
    def said(minor: int) -> str:
        amount = say_money(Money(abs(minor), offer.currency), offer.customer.locale)
        return f"{'−' if minor < 0 else '+'}{amount}"

    amounts = [finding.difference.minor for _, finding in each if finding.difference is not None]
    counts = [opening.quantity for opening, _ in each]
    least, most = min(amounts, key=abs), max(amounts, key=abs)
    amount = said(least)
    if least != most:
        amount = tr("from {least} to {most}").format(least=amount, most=said(most))
    count = sum(counts)
    openings = trn("{count} opening", "{count} openings", count).format(count=count)
    text = tr("{amount} each, {openings}").format(amount=amount, openings=openings)
    if count > 1:
        whole = sum(one * many for one, many in zip(amounts, counts, strict=True))
        text = tr("{effect}, together {amount}").format(effect=text, amount=said(whole))
    if len(each) < asked:
        every = [opening.place for opening in offer.openings]
        marks = ranges_text([opening.place for opening, _ in each], every, offer.not_quoted)
        text = tr("{effect} ({marks})").format(effect=text, marks=marks)
    return text
