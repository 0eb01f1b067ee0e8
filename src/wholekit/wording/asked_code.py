"""Whose force limits a quote was worked out by, where its customer is of another country."""

from wholekit.domain.quotes.offer import Offer
from wholekit.wording.amounts import read_locale
from wholekit.wording.front_question import FrontQuestion
from wholekit.wording.questions import BOX, stated_value
from wholekit.wording.speech import tr

FIELD = "jurisdiction"
# The country of a profile of limits, by the letters it begins with (ISO 3166); of others, which
# are of no one country, nothing is asked.
COUNTRIES = {"us": "US", "ada": "US", "ibc": "US", "uk": "GB"}
TAKEN = "Force limits are taken from {limits}, since nobody stated which apply."
ELSEWHERE = "The job seems to be elsewhere ({country}), and the local code governs."
WHOSE = "Which country's code holds?"
OTHER = "another, with its limits:"


def elsewhere_text(offer: Offer) -> str:
    """That limits which were assumed are of another country than the customer; empty where they are
    not, or where the job states its own.

    By the territory of the customer's locale; one without a territory says nothing.
    """
    locale = read_locale(offer.customer.locale)
    countries = {COUNTRIES.get(code.partition("-")[0]) for code in _assumed(offer)} - {None}
    if locale.territory is None or not countries - {locale.territory}:
        return ""
    where = locale.territories.get(locale.territory, locale.territory)
    return tr(ELSEWHERE).format(country=where)


def whose_code(offer: Offer) -> str:
    """The question whose code holds, with why; empty where nothing of the kind is to be asked."""
    elsewhere = elsewhere_text(offer)
    if not elsewhere:
        return ""
    taken = [stated_value(FIELD, code) for code in _assumed(offer)]
    return f"{tr(TAKEN).format(limits=', '.join(taken))} {elsewhere} {tr(WHOSE)}"


def code_question(offer: Offer) -> FrontQuestion | None:
    """Whose code holds, of the whole job, where the limits are of another country."""
    text = whose_code(offer)
    if not text:
        return None
    taken = [stated_value(FIELD, code) for code in _assumed(offer)]
    boxes = ((BOX.join(taken), ""), ("", f"{BOX.strip()} {tr(OTHER)}"))
    return FrontQuestion(text, (), boxes)


def _assumed(offer: Offer) -> list[str]:
    """The profiles of limits that nobody stated."""
    return sorted({each.text for kit in offer.kits for each in kit.assumed if each.field == FIELD})
