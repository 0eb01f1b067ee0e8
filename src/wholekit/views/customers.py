"""Customers, ship-to places, people and settings as data."""

from dataclasses import dataclass
from datetime import date

from wholekit.domain.customers import Customer
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import HousePolicy, Person
from wholekit.domain.tax import FreightRate, ShipTo, TaxRate
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.wording.amounts import say_multiplier
from wholekit.wording.job_notes import certificate_notes
from wholekit.wording.offers import payment_text
from wholekit.wording.rates import percent
from wholekit.wording.speech import language_of


@dataclass(frozen=True, slots=True)
class TierAnswer:
    """A price tier; None = any."""

    multiplier: str
    supplier: str | None
    series: str | None
    kind: str | None
    valid_from: str | None
    valid_to: str | None


@dataclass(frozen=True, slots=True)
class CustomerAnswer:
    """A customer. notes: what somebody should know, in sentences. language: CLDR's code of the
    language their papers come in."""

    code: str
    name: str
    address: tuple[str, ...]
    contact: str
    email: str
    phone: str
    currency: str
    locale: str
    language: str
    multiplier: str
    tiers: tuple[TierAnswer, ...]
    terms: str
    certificate: str
    certificate_until: str | None
    ship_to: str
    note: str
    notes: tuple[str, ...]
    version: int


@dataclass(frozen=True, slots=True)
class FreightAnswer:
    """A named freight rate: a flat amount and a share of the hardware; free_from None: never free.

    text: the same in words.
    """

    name: str
    flat: PriceAnswer
    share: str
    free_from: PriceAnswer | None
    text: str


@dataclass(frozen=True, slots=True)
class ShipToAnswer:
    """A ship-to place, its taxes in words; freights: the usual rate first."""

    code: str
    name: str
    address: tuple[str, ...]
    taxes: tuple[str, ...]
    freights: tuple[FreightAnswer, ...]
    inclusive: bool
    rounding: str
    version: int


@dataclass(frozen=True, slots=True)
class PersonAnswer:
    """Somebody of the house."""

    name: str
    role: str
    full_name: str
    version: int


@dataclass(frozen=True, slots=True)
class LimitAnswer:
    """How far a role may go alone."""

    role: str
    most_discount: str
    least_margin: str


@dataclass(frozen=True, slots=True)
class PolicyAnswer:
    """The owner's settings."""

    house_name: str
    floor: str
    valid_days: int
    limits: tuple[LimitAnswer, ...]
    version: int
    dates_on_quote: bool
    one_supplier: str = ""


def customer_answer(customer: Customer, day: date) -> CustomerAnswer:
    """A customer as data, as of a day."""
    return CustomerAnswer(
        customer.code,
        customer.name,
        customer.address,
        customer.contact,
        customer.email,
        customer.phone,
        customer.currency,
        customer.locale,
        language_of(customer.locale),
        # Data, so written one way whoever reads them.
        say_multiplier(customer.multiplier, "en_US"),
        tuple(
            TierAnswer(
                say_multiplier(tier.multiplier, "en_US"),
                tier.supplier,
                tier.series,
                tier.kind,
                None if tier.valid_from is None else tier.valid_from.isoformat(),
                None if tier.valid_to is None else tier.valid_to.isoformat(),
            )
            for tier in customer.tiers
        ),
        customer.terms.text or payment_text(customer.terms.days),
        customer.tax.certificate,
        None if customer.tax.expires is None else customer.tax.expires.isoformat(),
        customer.ship_to,
        customer.note,
        certificate_notes(customer, day),
        customer.version,
    )


def ship_to_answer(place: ShipTo) -> ShipToAnswer:
    """A ship-to place as data."""
    return ShipToAnswer(
        place.code,
        place.name,
        place.address,
        tuple(_rate(tax) for tax in place.taxes),
        tuple(freight_answer(freight) for freight in place.freights),
        place.inclusive,
        place.rounding.value,
        place.version,
    )


def freight_answer(rate: FreightRate) -> FreightAnswer:
    """A freight rate as data."""
    return FreightAnswer(
        rate.name,
        price_answer(rate.flat),
        percent(rate.share),
        None if rate.free_from is None else price_answer(rate.free_from),
        _freight(rate),
    )


def freight_words(rate: FreightAnswer) -> str:
    """A freight rate in a line: `freight dock truck: 45.00 USD + 3% of the hardware`."""
    name = "" if rate.name.casefold() == "freight" else f" {rate.name}"
    return f"freight{name}: {rate.text}"


def person_answer(person: Person) -> PersonAnswer:
    """A person as data."""
    return PersonAnswer(person.name, person.role.value, person.full_name, person.version)


def policy_answer(policy: HousePolicy) -> PolicyAnswer:
    """The settings as data."""
    return PolicyAnswer(
        policy.house_name,
        percent(policy.floor),
        policy.valid_days,
        tuple(
            LimitAnswer(limit.role.value, percent(limit.most_discount), percent(limit.least_margin))
            for limit in policy.limits
        ),
        policy.version,
        policy.dates_on_quote,
        policy.one_supplier,
    )


def _rate(rate: TaxRate) -> str:
    kinds = f" on {', '.join(sorted(rate.kinds))}" if rate.kinds else ""
    since = f" from {rate.valid_from}" if rate.valid_from else ""
    return f"{rate.name} {percent(rate.rate)}{kinds}{since}"


def _freight(rate: FreightRate) -> str:
    parts = []
    if rate.flat.minor:
        parts.append(_amount(rate.flat))
    if rate.share:
        parts.append(f"{percent(rate.share)} of the hardware")
    free = ""
    if rate.free_from is not None:
        free = f", free from {_amount(rate.free_from)}"
    return (" + ".join(parts) or "none") + free


def _amount(money: Money) -> str:
    """`20,000.00 USD`, as amounts stand everywhere on screens."""
    whole, point, decimals = money.decimal_text.partition(".")
    return f"{int(whole):,}{point}{decimals} {money.currency}"
