"""What a kit costs the customer: list price, multiplier, and one order of rounding.

The order: each item's net price is its list price times the multiplier, rounded half up to the
currency's minor unit; a line is its net price times its quantity; an opening is the sum of its
lines; a job is the sum over openings of quantity times the opening's price. Nothing else rounds.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction

from wholekit.domain.kits import Kit
from wholekit.domain.kits.outcome import outcome_of
from wholekit.domain.quantities import Money, QuantityError, parse_share

# Below a thousandth of list nothing is sold: prices would be rounded to nothing.
LEAST_MULTIPLIER = Fraction(1, 1000)
MOST_MULTIPLIER = 10


def tell_offers(
    kit: Kit, price: Money, price_of: Callable[[Kit], Money], titles: Mapping[str, str]
) -> Kit:
    """The kit whose findings say what each of its offers costs beside it.

    price: the kit's own; price_of: another kit's, at the same asker's prices [Money]; titles: of
    series, by their names. A finding's
    `difference` is then the offer's price less the kit's, and `sold` whether it is to be had;
    `series_then`, `maker_then` and `size_then` tell where its closer is of another series, maker or
    size [class].
    """
    if not any("offer" in finding.fields for finding in kit.findings):
        return kit
    differences = {offer.code: price_of(offer.kit) - price for offer in kit.offers}
    others = {offer.code: _other_closer(offer.kit, kit, titles) for offer in kit.offers}
    findings = tuple(
        replace(
            finding,
            fields={
                **finding.fields,
                "sold": finding.fields["offer"] in differences,
                "difference": differences.get(str(finding.fields["offer"])),
                **others.get(str(finding.fields["offer"]), {}),
            },
        )
        if "offer" in finding.fields
        else finding
        for finding in kit.findings
    )
    return replace(kit, findings=findings)


def _other_closer(other: Kit, kit: Kit, titles: Mapping[str, str]) -> dict[str, object]:
    """What the closer of another kit is otherwise than that of the kit at hand."""
    then, now = outcome_of(other), outcome_of(kit)
    found: dict[str, object] = {}
    if then.series != now.series:
        found |= {
            "series_then": titles.get(then.series, then.series),
            "series_now": titles.get(now.series, now.series),
        }
    if then.closer and now.closer and then.closer[0] != now.closer[0]:
        found["maker_then"] = True
    if then.spring_size != now.spring_size:
        found["size_then"] = then.spring_size
    return found


def parse_multiplier(text: str) -> Fraction:
    """Read a customer multiplier: `0.55`, `55%`. From 0.001 to 10. Raises QuantityError.

    >>> parse_multiplier("55%")
    Fraction(11, 20)
    """
    value = parse_share(text, "multiplier-unreadable")
    if not LEAST_MULTIPLIER <= value <= MOST_MULTIPLIER:
        raise QuantityError("multiplier-unreadable", text)
    return value
