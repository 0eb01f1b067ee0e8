"""The kit that a finding offers instead of the one at hand, and what it costs beside it."""

import re
from collections.abc import Iterator, Mapping

from wholekit.domain.quantities import Money
from wholekit.wording.makers import series_title
from wholekit.wording.speech import amounts_locale, tr

# What a finding offers instead of the kit at hand, and what is said where none is to be had.
OFFERED = {
    "adjustable": "A body that can be turned down to the limit: {price}.",
    "fire-size": "In size {size}: {price}.",
    "next-size": "In size {size}: {price}.",
    "painted": "In the match: {price}.",
    "turned-down": "An adjustable body: {price}.",
}
NOT_OFFERED = {
    "adjustable": "No body that can be turned down to the limit is sold for it.",
    "fire-size": "That size cannot be furnished for this opening without another decision.",
    "next-size": "The next size cannot be furnished for this opening without another decision.",
    "painted": "The match is not to be had for this opening.",
    "turned-down": "No adjustable body is to be had for this opening.",
}
SAME_PRICE = "the same price"
# Where CLDR writes dollars of the United States by their sign alone: worded without Babel, which
# takes longer to load than a kit to build.
DOLLARS_PLAIN = ("en", "en_US")


def offered_text(fields: Mapping[str, object]) -> str:
    """What the kit offered instead costs beside this one; nothing while nobody has priced it."""
    if "sold" not in fields:
        return ""
    difference = fields.get("difference")
    if not isinstance(difference, Money):
        return " " + tr(NOT_OFFERED[str(fields["offer"])])
    price = f"{'−' if difference.minor < 0 else '+'}{amount_text(difference)}"
    if not difference.minor:
        price = tr(SAME_PRICE)
    price = ", ".join((price, *_other_closer(fields)))
    size = fields.get("advised", fields.get("size"))
    if fields["offer"] == "next-size" and isinstance(size, int):
        size += 1
    return " " + tr(OFFERED[str(fields["offer"])]).format(size=size, price=price)


def _other_closer(fields: Mapping[str, object]) -> Iterator[str]:
    """What the closer offered is otherwise than the one at hand, beside a size that is named."""
    if "series_then" in fields:
        said = tr("series {new} in place of {old}")
        new, old = (series_title(str(fields[name])) for name in ("series_then", "series_now"))
        yield said.format(new=new, old=old)
    if "maker_then" in fields:
        yield tr("a closer of another maker")
    if "size_then" in fields and "{size}" not in OFFERED[str(fields["offer"])]:
        yield tr("spring size {size}").format(size=fields["size_then"])


def without_price(fields: Mapping[str, object], text: str) -> str:
    """A finding's sentence without what the kit offered instead costs, which ends it.

    Empty where it tells a price that is not found there, as words of an older edition may.
    """
    if "sold" not in fields or fields.get("difference", "None") in (None, "None"):
        return text
    said = re.escape(" " + tr(OFFERED[str(fields["offer"])]))
    ending = said.replace(r"\{size\}", ".+?").replace(r"\{price\}", ".+")
    found = re.search(f"{ending}$", text)
    return text[: found.start()] if found else ""


def amount_text(difference: Money) -> str:
    """The size of a difference as the language at hand writes money.

    >>> amount_text(Money(-123450, "USD"))
    '$1,234.50'
    """
    size = Money(abs(difference.minor), difference.currency)
    locale = amounts_locale()
    if size.currency == "USD" and locale in DOLLARS_PLAIN:
        return f"${size.decimal:,.2f}"
    # Late, as Babel is wanted for other locales and currencies only.
    from wholekit.wording.amounts import say_money

    return say_money(size, locale)
