"""The finish of a quote as questions for the job: where the one asked for is not made, and where a
painted match costs much less."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wholekit.domain.findings import Severity
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.asking import Change, JobQuestion
from wholekit.domain.quotes.offer import OfferFinding, OfferOpening
from wholekit.wording.answers import LINE, Naming, answer_lines
from wholekit.wording.finishes_written import finish_as_written
from wholekit.wording.front_question import FrontQuestion
from wholekit.wording.mark_groups import MarkGroups
from wholekit.wording.questions import BOX, ranges_text
from wholekit.wording.speech import tr

SWAPPED = "finish-unavailable"
DEARER = "finish-dearer"
# What one question is of: the finish asked for (empty where it is made) and the one quoted.
Finishes = tuple[str, str]


def finish_questions(
    offer: Offer, named: MarkGroups
) -> Iterator[tuple[FrontQuestion, frozenset[str]]]:
    """One question for each finish asked for and the one quoted in its place, with its places.

    named: names openings.
    """
    every = [opening.place for opening in offer.openings]
    found: dict[Finishes, list[OfferOpening]] = {}
    for opening in offer.openings:
        if (of := _finishes(offer, opening)) is not None:
            found.setdefault(of, []).append(opening)
    for (asked, quoted), openings in found.items():
        written = [(each.place, each.finish_written) for each in openings]
        text = tr("Finish {finish} stands in the quote. A painted match costs much less. Which?")
        if asked:
            text = tr(
                "Finish {asked} is not made for these kits; quoted in {finish}, {look}. Which?"
            )
            swaps = [swap for each in openings if (swap := _swap(offer, each)) is not None]
            alike = all(swap.fields.get("alike") == "True" for swap in swaps)
            look = tr("the same look on another base metal") if alike else tr("of another look")
            wanted = finish_as_written(asked, written, every, offer.not_quoted)
            text = text.format(asked=wanted, finish=quoted, look=look)
        else:
            made = finish_as_written(quoted, written, every, offer.not_quoted)
            text = text.format(finish=made)
        places = [each.place for each in openings]
        answers = _Finish(offer, quoted, openings, named.of(places)).answers()
        marks = ranges_text(places, every, offer.not_quoted)
        asked_of = FrontQuestion(text, (marks,), tuple(answers))
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


class _Finish:
    """The answers to one question of a finish. where: names openings."""

    def __init__(
        self, offer: Offer, quoted: str, openings: Sequence[OfferOpening], where: Naming
    ) -> None:
        self._offer = offer
        self._quoted = quoted
        self._openings = openings
        self._where = where
        marks = tuple(each.place for each in openings)
        count = sum(each.quantity for each in openings)
        self._question = JobQuestion("finish", (), marks, count, ())

    def answers(self) -> Iterator[tuple[str, str]]:
        """The finish quoted, each painted match with what comes of it, and a blank."""
        yield self._quoted, self._text(self._quoted, [self._as_quoted(o) for o in self._openings])
        matches: dict[str, list[Change]] = {}
        for opening in self._openings:
            if (dearer := _dearer(self._offer, opening)) is not None:
                matches.setdefault(dearer.fields["match"], []).append(
                    self._matched(opening, dearer)
                )
        for match, changes in matches.items():
            yield tr("{finish} (painted)").format(finish=match), self._text(match, changes)
        several = len(self._openings) > 1
        said = tr("another, or by mark:") if several else tr("another:")
        yield "", f"{BOX.strip()} {said}"

    def _text(self, finish: str, changes: Sequence[Change]) -> str:
        return LINE.join(answer_lines(self._question, finish, changes, self._where))

    def _as_quoted(self, opening: OfferOpening) -> Change:
        """That a finish quoted in another's place is wanted: what it stops goes out."""
        swap = _swap(self._offer, opening)
        price = self._offer.kit_of(opening).price
        firm_then = self._firm_then(opening)
        return Change(
            (opening.place,),
            opening.quantity,
            Money.zero(price.currency),
            settled=(SWAPPED,) if swap is not None and swap.severity is Severity.STOP else (),
            alternate=opening.alternate,
            firm=self._offer.is_firm(opening),
            firm_then=firm_then,
            price=price,
        )

    def _matched(self, opening: OfferOpening, dearer: OfferFinding) -> Change:
        """The painted match in place of the finish quoted."""
        said, quoted = dearer.fields, self._as_quoted(opening)
        moved = dearer.difference or quoted.difference
        return replace(
            quoted,
            difference=moved,
            price=self._offer.kit_of(opening).price + moved,
            items=True,
            series=(said["series_then"], said["series_now"]) if "series_then" in said else None,
            maker="maker_then" in said,
            size=int(said["size_then"]) if said.get("size_then", "").isdecimal() else None,
        )

    def _firm_then(self, opening: OfferOpening) -> bool:
        """Whether it is firm once the finish is settled."""
        kit = self._offer.kit_of(opening)
        stops = (kit.findings[at].code for at in self._offer.open_stops(opening))
        return not kit.missing and all(code == SWAPPED for code in stops)
