"""A customer's paper held against its language: what is neither data nor one of its words."""

import re
import string
from collections.abc import Iterator
from datetime import date
from functools import cache
from html import unescape
from xml.etree import ElementTree

from babel import Locale
from tests.support.house import RULES, SAMPLES, sample
from tests.support.messages import catalogue

from wholekit.documents.flow import Flow
from wholekit.domain.openings import Hand
from wholekit.domain.openings.notes import mentions
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.wording.amounts import say_date, say_money

LOCALES = {"es": "es_MX", "fr": "fr_CA"}
# With those that a schedule writes wind and pressure in: they stand as written.
UNITS = {"in", "mm", "lb", "kg", "lbf", "pa", "min", "mph", "inwg"}
WORD = re.compile(r"[^\W\d_]{2,}")
DAY = date(2026, 11, 25)


def texts(flow: Flow) -> list[str]:
    """Every text of a paper, and what its pages repeat."""
    said = [
        text
        for block in flow.blocks
        for text in ElementTree.fromstring(plain_of(block.html)).itertext()  # noqa: S314  # our own
    ]
    said += [flow.title, flow.running, flow.page_of]
    said += [title for block in flow.blocks for title in (block.title, *block.marks)]
    return [" ".join(text.split()) for text in said if text.strip()]


def words_of(flow: Flow) -> str:
    """All that a paper prints but its margins, as it is read; without laying it out."""
    html = " ".join(plain_of(block.html) for block in flow.blocks)
    # What stands in a line stays joined, all else is apart.
    apart = re.sub(r"<(?!/?(?:b|i|em|strong|span|small|sup)\b)[^>]*>", " ", html)
    return " ".join(unescape(re.sub(r"<[^>]*>", "", apart)).split())


def plain_of(html: str) -> str:
    """A block without what only keeps a code on its line."""
    return re.sub('<span class="c">(.*?)</span>', r"\1", html)


def data_of(offer: Offer) -> set[str]:
    """What is data in a quote: as it was typed, or as a catalogue has it."""
    lines = [line for kit in offer.kits for line in kit.lines]
    party = offer.customer
    return {
        *(line.description for line in lines), *(line.sku for line in lines),
        # As its catalogue says it in the customer's language, where it does.
        *(said for _, _, said in (offer.sent.items if offer.sent else ())),
        *(piece.sku for kit in offer.kits for piece in kit.unused),
        *(line.finish for line in lines), *(opening.mark for opening in offer.openings),
        *(text for opening in offer.openings for text in note_of(opening.note)),
        *(opening.finish_written for opening in offer.openings if opening.finish_written),
        *(extra.description for extra in offer.extras),
        *(alternate.code for alternate in offer.alternates),
        *(alternate.title for alternate in offer.alternates),
        *(catalog.supplier for catalog in offer.catalogs),
        *(tax.name for tax in offer.totals.taxes),
        party.name, *party.address, party.contact, offer.job_name, offer.site,
        offer.salesperson, offer.issued_by, offer.ship_to, offer.house_name,
        offer.job, offer.cover_note, offer.rules_version, offer.quote, offer.label,
        *offer.house_lines, *country_of(party.locale),
    }  # fmt: skip


def country_of(locale: str) -> set[str]:
    """The name that CLDR has of a locale's territory."""
    found = Locale.parse(locale.replace("-", "_"))
    return {found.territories[found.territory]} if found.territory else set()


def note_of(note: str) -> set[str]:
    """A note, and the words of it that a finding may quote."""
    parts = (" ".join(part.split()) for part in re.split(r"[;|\n]", note))
    return {note, *parts, *(mention.words for mention in mentions(note, RULES))}


def without(data: set[str], said: list[str]) -> str:
    """All texts, with a dot in place of what is data."""
    longest = sorted((" ".join(one.split()) for one in data if one), key=len, reverse=True)
    any_of = "|".join(re.escape(one) for one in longest)
    return re.sub(rf"(?<!\w)(?:{any_of})(?!\w)", "·", " \n ".join(said))


@cache
def translations(language: str) -> dict[str, str]:
    return {
        said: form
        for message in catalogue(language)
        if message.id
        for said, form in zip(
            (message.id,) if isinstance(message.id, str) else message.id,
            (message.string,) if isinstance(message.string, str) else message.string or (),
            strict=True,
        )
    }


@cache
def vocabulary(language: str) -> set[str]:
    """The words of a language's catalogue, its months, units, series and the trade's codes."""
    locale = Locale.parse(LOCALES[language])
    money = say_money(Money(1, "USD"), LOCALES[language])
    said = [*translations(language).values(), *locale.months["format"]["wide"].values(), money]
    codes = [f"{hand.value}{active}" for hand in Hand for active in ("", "A")]
    said += [say_date(DAY, LOCALES[language]), *codes]
    said += [str(name) for name in RULES.mapping("force-profiles")]
    said += [series.id for name in SAMPLES for series in sample(name).series]
    return {word.lower() for text in said for word in WORD.findall(text)} | UNITS


def fragments(message: str) -> Iterator[str]:
    """The parts of a message between its values that hold a word."""
    for part, _, _, _ in string.Formatter().parse(message):
        cleaned = part.strip(" .,;:()")
        if WORD.search(cleaned):
            yield cleaned


def check_language(language: str, said: list[str], data: set[str]) -> None:
    known = vocabulary(language)
    words = without(data, said)
    strange = {word for word in WORD.findall(words) if word.lower() not in known}
    assert not strange, sorted(strange)
    for part in english_only(language):
        if part in words:
            assert not re.search(rf"(?<!\w){re.escape(part)}(?!\w)", words), part


@cache
def english_only(language: str) -> tuple[str, ...]:
    """The parts of the messages that stand in no translation."""
    pairs = translations(language)
    same = " \n ".join(pairs.values())
    found = dict.fromkeys(part for message in pairs for part in fragments(message))
    return tuple(
        part
        for part in found
        if part not in UNITS
        and not (part in same and re.search(rf"(?<!\w){re.escape(part)}(?!\w)", same))
    )
