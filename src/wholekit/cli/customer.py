"""`wholekit customer`: customers, their price tiers and tax status, ship-to places with rates."""

from collections.abc import Iterator
from dataclasses import replace

import typer

from wholekit.cli import options
from wholekit.cli.console import page_count, page_line, print_json, say, table, tell, wrapped
from wholekit.cli.customer_sheet import sheet
from wholekit.cli.desk import (
    By,
    IfVersion,
    PageNumber,
    PageSize,
    Reason,
    SignedArguments,
    deed,
    desk,
    given,
    now,
    read_day,
)
from wholekit.cli.job_history import print_events
from wholekit.domain.customers import Customer, PaymentTerms, PriceTier, TaxStatus
from wholekit.domain.errors import CallError
from wholekit.domain.pricing import parse_multiplier
from wholekit.domain.tax import Rounding, ShipTo
from wholekit.intake.rates import read_freights, read_tax
from wholekit.services import customers
from wholekit.services.ports import Page
from wholekit.views.customers import customer_answer, freight_words, ship_to_answer
from wholekit.views.history import entry_answers
from wholekit.wording.amounts import read_locale
from wholekit.wording.speech import LANGUAGES, has_words
from wholekit.wording.words import listed

Code = typer.Argument(..., help="The customer's code.", metavar="CODE", callback=options.small)
Terms = typer.Option(None, "--terms", help="Terms of payment, as printed.")
Days = typer.Option(None, "--days", min=0, max=365, help="Days to pay [d].")
Certificate = typer.Option(None, "--certificate", help="Exemption certificate; empty: none.")
Expires = typer.Option(None, "--certificate-until", help="Its last day.", metavar="DATE")

LOCALE_HELP = (
    "Language, figures and dates of the customer's papers, as a CLDR locale: es_MX or es_US for "
    "Spanish, fr_CA for French, en_US for English."
)


def register(app: typer.Typer) -> None:
    """Put the commands on the application."""
    group = typer.Typer(
        help="Customers, price tiers, ship-to places with taxes and freight.",
        no_args_is_help=True,
        rich_markup_mode=None,
    )
    group.command("add")(add)
    group.command("set")(set_fields)
    group.command("list")(list_customers)
    group.command("show")(show)
    group.command("history")(history)
    group.command("agree")(agree)
    group.command("tier", cls=SignedArguments)(tier)
    group.command("end-tier")(end_tier)
    group.command("sheet")(sheet)
    group.command("ship-to")(ship_to)
    group.command("ship-tos")(ship_tos)
    app.add_typer(group, name="customer")


def add(
    code: str = Code,
    name: str = typer.Argument(..., help="The customer's name."),
    currency: str = typer.Option("USD", "--currency", help="ISO 4217."),
    multiplier: options.Multiplier = "1",
    address: list[str] | None = typer.Option(
        None, "--address", help="A line of the address; may be given again."
    ),
    contact: str = typer.Option("", "--contact", help="Whom to ask."),
    email: str = typer.Option("", "--email"),
    phone: str = typer.Option("", "--phone"),
    locale: str = typer.Option("en_US", "--locale", help=LOCALE_HELP),
    terms: str | None = Terms,
    days: int | None = Days,
    certificate: str | None = Certificate,
    certificate_until: str | None = Expires,
    place: str = typer.Option(
        "", "--ship-to", help="Usual ship-to code.", metavar="CODE", callback=options.small
    ),
    note: str = typer.Option("", "--note", help="A note for the house."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """A new customer."""
    new = Customer(
        code=code,
        name=name,
        address=tuple(address or ()),
        contact=contact,
        email=email,
        phone=phone,
        currency=currency.upper(),
        locale=_locale(locale),
        multiplier=parse_multiplier(multiplier),
        tax=_tax(TaxStatus(), certificate, certificate_until),
        terms=_terms(PaymentTerms(), days, terms),
        ship_to=place,
        note=note,
    )
    _print(customers.add_customer(desk(), deed(by), new), json)


def set_fields(
    code: str = Code,
    name: str | None = typer.Option(None, "--name", help="The customer's name."),
    multiplier: str | None = typer.Option(
        None, "--multiplier", help="On list where no tier holds: 0.55 or 55%.", metavar="X"
    ),
    address: list[str] | None = typer.Option(
        None, "--address", help="A line of the address; may be given again."
    ),
    contact: str | None = typer.Option(None, "--contact", help="Whom to ask."),
    email: str | None = typer.Option(None, "--email"),
    phone: str | None = typer.Option(None, "--phone"),
    locale: str | None = typer.Option(None, "--locale", help=LOCALE_HELP),
    terms: str | None = Terms,
    days: int | None = Days,
    certificate: str | None = Certificate,
    certificate_until: str | None = Expires,
    place: str | None = typer.Option(
        None, "--ship-to", help="Usual ship-to.", metavar="CODE", callback=options.small
    ),
    note: str | None = typer.Option(None, "--note", help="A note for the house."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Change a customer; an empty text clears a field. Jobs keep what was issued."""
    changes: dict[str, object] = given(
        name=name, contact=contact, email=email, phone=phone, ship_to=place, note=note,
    )  # fmt: skip
    if locale is not None:
        changes["locale"] = _locale(locale)
    if address is not None:
        changes["address"] = tuple(line for line in address if line)
    if multiplier is not None:
        changes["multiplier"] = parse_multiplier(multiplier)
    others = (terms, days, certificate, certificate_until)
    if not changes and all(other is None for other in others):
        raise CallError("one-change-needed", right="--name, --multiplier, --terms, …")

    def change(old: Customer) -> Customer:
        return replace(
            old,
            **changes,  # type: ignore[arg-type]  # read by field above
            tax=_tax(old.tax, certificate, certificate_until),
            terms=_terms(old.terms, days, terms),
        )

    _print(customers.edit_customer(desk(), deed(by), code, change, if_version), json)


def list_customers(
    text: str = typer.Option("", "--text", help="Found in code or name."),
    page: PageNumber = 1,
    page_size: PageSize = 50,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Customers by code."""
    found, count = customers.list_customers(desk(), deed(by), text, Page.numbered(page, page_size))
    answers = [customer_answer(customer, now().date()) for customer in found]
    if json:
        pages = page_count(count, page_size)
        print_json({"customers": answers, "count": count, "page": page, "pages": pages,
                    "page_size": page_size})  # fmt: skip
        return
    rows = (
        (
            answer.code,
            answer.name,
            answer.currency,
            answer.multiplier,
            str(len(answer.tiers)),
            answer.ship_to,
        )
        for answer in answers
    )
    heads = ("code", "name", "currency", "multiplier", "tiers", "ship to")
    for line in table(rows, heads, frozenset({3, 4}), (0, 1, 5)):
        say(line)
    say(page_line(len(answers), count, page, page_size))


def show(code: str = Code, by: By = "", json: options.Json = False) -> None:
    """A customer with their price tiers."""
    _print(customers.customer_of(desk(), deed(by), code), json)


def history(code: str = Code, by: By = "", json: options.Json = False) -> None:
    """All that was changed on a customer: when, by whom, from what to what, and why."""
    print_events(entry_answers(customers.customer_history(desk(), deed(by), code)), json)


def agree(code: str = Code, reason: Reason = "", by: By = "", json: options.Json = False) -> None:
    """An owner agrees to a customer's multiplier and tiers as they stand.

    Discounts count from there; until then what others set counts as discount.
    """
    _print(customers.agree_terms(desk(), deed(by), code, reason), json)


def tier(
    code: str = Code,
    multiplier: str = typer.Argument(..., help="On list: 0.55 or 55%."),
    supplier: str | None = typer.Option(None, "--supplier", help="Catalogue id.", metavar="ID"),
    series: str | None = typer.Option(None, "--series", help="Series id.", metavar="ID"),
    kind: str | None = typer.Option(
        None, "--kind", help="A role such as body or cover, or boxed-set.", metavar="KIND"
    ),
    first: str = typer.Option("", "--from", help="First day.", metavar="DATE"),
    last: str = typer.Option("", "--to", help="Last day.", metavar="DATE"),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Give a customer a price tier; of those that hold for an item the most specific wins."""
    new = PriceTier(
        parse_multiplier(multiplier), supplier, series, kind, read_day(first), read_day(last)
    )
    place = desk()
    done = customers.set_tier(place, deed(by), code, new, if_version)
    if (supplier or series) and not customers.catalogs_there(place, deed(by)):
        tell("No catalogue is in the store: supplier and series could not be checked.")
    _print(done, json)


def end_tier(
    code: str = Code,
    place: int = typer.Argument(..., help="The tier's place, as customer show tells it."),
    last: str = typer.Option(..., "--to", help="Its last day.", metavar="DATE"),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Let a price tier end with a day."""
    day = read_day(last)
    if day is None:
        raise CallError("date-unreadable", given=last or "nothing")
    _print(customers.end_tier(desk(), deed(by), code, place, day, if_version), json)


def ship_to(
    code: str = typer.Argument(
        ..., help="The place's code.", metavar="CODE", callback=options.small
    ),
    name: str = typer.Argument(..., help="The place's name."),
    address: list[str] | None = typer.Option(
        None, "--address", help="A line of the address; may be given again."
    ),
    tax: list[str] | None = typer.Option(
        None,
        "--tax",
        help="NAME=RATE, or NAME=RATE:KINDS (hardware, freight, labour, other); may be given "
        "again.",
    ),
    since: str = typer.Option("", "--from", help="First day of the taxes.", metavar="DATE"),
    freight: list[str] | None = typer.Option(
        None,
        "--freight",
        help="AMOUNT, or a named rate: 'dock truck=45.00+3%, free from 2000' (an amount, a share "
        "of the hardware, or both); may be given again, the usual rate first.",
        metavar="[NAME=]CHARGE",
    ),
    freight_share: str | None = typer.Option(
        None, "--freight-share", help="With one plain amount: of the hardware, 3%."
    ),
    freight_free: str | None = typer.Option(
        None,
        "--freight-free-from",
        help="With one plain amount: hardware from which there is none.",
        metavar="AMOUNT",
    ),
    currency: str = typer.Option("USD", "--currency", help="Of the freight, ISO 4217."),
    inclusive: bool = typer.Option(False, "--inclusive", help="Prices contain the tax."),
    rounding: Rounding = typer.Option(Rounding.DOCUMENT, "--rounding", help="Where tax rounds."),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Set a ship-to place with its named taxes and freight, whole: what is not given is gone."""
    new = ShipTo(
        code,
        name,
        tuple(address or ()),
        tuple(read_tax(rate, read_day(since)) for rate in tax or ()),
        read_freights(freight or (), currency.upper(), freight_share, freight_free),
        inclusive,
        rounding,
    )
    place = customers.set_ship_to(desk(), deed(by), new, if_version)
    if json:
        print_json(ship_to_answer(place))
        return
    say(f"{place.code}  {place.name}  version {place.version}")
    answer = ship_to_answer(place)
    for text in answer.taxes:
        say(f"    tax {text}{' in the prices' if answer.inclusive else ''}")
    for rate in answer.freights:
        for line in wrapped(freight_words(rate), "    "):
            say(line)


def ship_tos(by: By = "", json: options.Json = False) -> None:
    """Every ship-to place with its rates."""
    answers = [ship_to_answer(place) for place in customers.list_ship_tos(desk(), deed(by))]
    if json:
        print_json(answers)
        return
    rows = (
        (
            answer.code,
            answer.name,
            "; ".join((*answer.taxes, "in the prices"))
            if answer.inclusive
            else "; ".join(answer.taxes),
            "; ".join(f"{rate.name}: {rate.text}" for rate in answer.freights),
            answer.rounding,
        )
        for answer in answers
    )
    heads = ("code", "name", "taxes", "freight", "rounding")
    for line in table(rows, heads, frozenset(), (0, 1, 2, 3)):
        say(line)


def _locale(name: str) -> str:
    """The locale, if there is one of that name; tells where its language has no words here."""
    read_locale(name)
    if not has_words(name):
        known = listed(LANGUAGES.values())
        tell(
            f"Papers for {name} will be in English, with its figures and dates: there are words in "
            f"{known}."
        )
    return name


def _tax(old: TaxStatus, certificate: str | None, until: str | None) -> TaxStatus:
    return TaxStatus(
        old.certificate if certificate is None else certificate.strip(),
        old.expires if until is None else read_day(until),
    )


def _terms(old: PaymentTerms, days: int | None, text: str | None) -> PaymentTerms:
    return PaymentTerms(old.days if days is None else days, old.text if text is None else text)


def _print(customer: Customer, json: bool) -> None:
    if json:
        print_json(customer_answer(customer, now().date()))
        return
    for line in _text(customer):
        say(line)


def _text(customer: Customer) -> Iterator[str]:
    answer = customer_answer(customer, now().date())
    yield from wrapped(f"{answer.code}  {answer.name}   (version {answer.version})", "", "    ")
    yield from wrapped(f"{answer.currency}, list × {answer.multiplier}, {answer.terms}", "    ")
    yield f"    papers in {LANGUAGES[answer.language]}, figures and dates of {answer.locale}"
    if answer.certificate:
        until = f" until {answer.certificate_until}" if answer.certificate_until else ""
        yield from wrapped(f"exemption certificate {answer.certificate}{until}", "    ")
    for note in answer.notes:
        yield from wrapped(note, "    NOTE  ")
    facts = (
        ", ".join(answer.address),
        f"contact {answer.contact}" if answer.contact else "",
        answer.email,
        answer.phone,
        f"ships to {answer.ship_to}" if answer.ship_to else "",
    )
    if any(facts):
        yield from wrapped("; ".join(fact for fact in facts if fact), "    ")
    if answer.note:
        yield from wrapped(f"note: {answer.note}", "    ")
    if answer.tiers:
        rows = (
            (
                str(place),
                row.multiplier,
                row.supplier or "any",
                row.series or "any",
                row.kind or "any",
                row.valid_from or "",
                row.valid_to or "",
            )
            for place, row in enumerate(answer.tiers, start=1)
        )
        heads = ("tier", "multiplier", "supplier", "series", "kind", "from", "to")
        yield from table(rows, heads, frozenset({0, 1}), (2, 3, 4))
