"""A finish by its code, with the words of the customer's sheet where it has others."""

from collections.abc import Iterable, Sequence

from wholekit.domain.quotes.offer import Offer, OfferOpening
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import tr


def finish_as_written(
    code: str, written: Sequence[tuple[str, str]], every: Sequence[str], beyond: Sequence[str] = ()
) -> str:
    """With the sheet's words, and of which openings where they are not all of one.

    written: each opening's name and the sheet's word, empty where that is the code; every, beyond:
    as in `ranges_text`.

    >>> finish_as_written("626", [("101", "US26D"), ("102", "US26D")], ["101", "102"])
    '626 (your US26D)'
    >>> finish_as_written("626", [("101", "US26D"), ("102", "")], ["101", "102"])
    '626 (your US26D: 101)'
    """
    words: dict[str, list[str]] = {}
    for name, word in written:
        if word:
            words.setdefault(word, []).append(name)
    if not code or not words:
        return code
    if len(words) == 1 and sum(map(len, words.values())) == len(written):
        said = "".join(words)
    else:
        told = tr("{name}: {marks}")
        said = "; ".join(
            told.format(name=word, marks=ranges_text(marks, every, beyond))
            for word, marks in words.items()
        )
    return tr("{finish} (your {written})").format(finish=code, written=said)


def asked_otherwise(offer: Offer, opening: OfferOpening) -> str:
    """What the customer asks for where the quoted finish is not called so: the sheet's own word,
    else the code that another stands in for; empty where it is what was asked."""
    kit = offer.kit_of(opening)
    return opening.finish_written or (
        "" if kit.type.finish == kit.finish else kit.type.finish or ""
    )


def finishes_in_other_words(
    offer: Offer, openings: Iterable[OfferOpening], every: Sequence[str]
) -> str:
    """The finishes of the openings that the customer asks for otherwise, with their marks; empty
    where there are none."""
    alike: dict[tuple[str, str], list[str]] = {}
    for each in openings:
        code = offer.kit_of(each).finish
        if code and (word := asked_otherwise(offer, each)):
            alike.setdefault((code, word), []).append(each.mark)
    finish, told = tr("{finish} (your {written})"), tr("{name}: {marks}")
    return "; ".join(
        told.format(
            name=finish.format(finish=code, written=word),
            marks=ranges_text(marks, every, offer.not_quoted),
        )
        for (code, word), marks in alike.items()
    )
