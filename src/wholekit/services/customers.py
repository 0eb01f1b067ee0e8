"""Customers, ship-to places with their rates, people and the owner's settings."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from wholekit.domain.catalog import Role
from wholekit.domain.catalog.nearest_words import nearest_first
from wholekit.domain.customers import BOXED_SET, Customer, PriceTerms, PriceTier
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import currency_digits
from wholekit.domain.quotes import AuditEntry, CatalogRef, HousePolicy, Person, PersonRole
from wholekit.domain.quotes.roles import Action
from wholekit.domain.tax import FreightRate, ShipTo
from wholekit.services.desk import (
    Deed,
    Desk,
    check_version,
    need_plain,
    need_reason,
    note,
)
from wholekit.services.ports import Page, UnitOfWork
from wholekit.services.rights import need_right, needs

LONGEST_CODE = 40


@needs(Action.EDIT_CUSTOMERS)
def add_customer(desk: Desk, deed: Deed, customer: Customer) -> Customer:
    """A new customer. Raises CallError, ConflictError (code taken), QuantityError (currency)."""
    with desk.store.writing() as uow:
        _check_customer(uow, customer)
        if customer.price_terms != PriceTerms():
            need_right(uow, deed, Action.SET_TERMS)
        uow.customers.add(customer)
        note(uow, deed, "customer-added", "customer", customer.code, after=customer)
        uow.commit()
    return customer


@needs(Action.EDIT_CUSTOMERS)
def edit_customer(
    desk: Desk,
    deed: Deed,
    code: str,
    change: Callable[[Customer], Customer],
    expected: int | None = None,
) -> Customer:
    """A customer as `change` makes them of what is there. Code and currency stay.

    Raises CallError, ConflictError.
    """
    with desk.store.writing() as uow:
        old = _need_customer(uow, code)
        check_version("customer", code, expected, old.version)
        # Jobs know the customer by the code, and are in the currency.
        new = replace(change(old), code=old.code, currency=old.currency, version=old.version + 1)
        _check_customer(uow, new)
        if new.price_terms != old.price_terms:
            need_right(uow, deed, Action.SET_TERMS)
        uow.customers.save(new, old.version)
        note(uow, deed, "customer-edited", "customer", code, before=old, after=new)
        uow.commit()
    return new


@needs(Action.SET_TERMS)
def set_tier(
    desk: Desk, deed: Deed, code: str, tier: PriceTier, expected: int | None = None
) -> Customer:
    """Give a customer a price tier; one of the same scope and first day is replaced.

    Its supplier and series are those of a catalogue in the store; where there is none, they are
    taken as given. Raises CallError (also where it would count on no day from now on),
    ConflictError.
    """
    _check_days(tier)
    if tier.valid_to is not None and tier.valid_to < deed.day:
        raise CallError("tier-over", last=f"{tier.valid_to}")
    with desk.store.reading() as uow:
        _check_scope(uow, tier)

    def change(old: Customer) -> Customer:
        places = old.overruled_by(tier, deed.day)
        if places:
            first = old.tiers[places[0] - 1].valid_from
            raise CallError(
                "tier-overruled", customer=code, place=places[0], first=first, places=places
            )
        return old.with_tier(tier)

    return edit_customer(desk, deed, code, change, expected)


@needs(Action.AGREE_TERMS)
def agree_terms(desk: Desk, deed: Deed, code: str, reason: str) -> Customer:
    """An owner agrees to a customer's multiplier and tiers as they stand: discounts count from
    them. Raises CallError."""
    said = need_reason(reason, "agreement")
    with desk.store.writing() as uow:
        customer = _need_customer(uow, code)
        agreed = replace(customer, version=customer.version + 1)
        uow.customers.save(agreed, customer.version)
        note(uow, deed, "terms-agreed", "customer", code, after=customer.price_terms, reason=said)
        uow.commit()
    return agreed


@needs(Action.SEE_CUSTOMERS)
def customer_history(desk: Desk, deed: Deed, code: str) -> Sequence[AuditEntry]:
    """All that was changed on a customer, first to last. Raises CallError."""
    with desk.store.reading() as uow:
        _need_customer(uow, code)
        return uow.audit.of_subject("customer", code)


@needs(Action.SEE_CATALOGS)
def catalogs_there(desk: Desk, deed: Deed) -> bool:
    """Whether the store has any catalogue that a tier could be held against."""
    with desk.store.reading() as uow:
        return bool(uow.catalogs.current())


@needs(Action.SET_TERMS)
def end_tier(
    desk: Desk, deed: Deed, code: str, place: int, last: date, expected: int | None = None
) -> Customer:
    """Let a price tier, by its place from 1, end with a day. Raises CallError, ConflictError."""

    def change(old: Customer) -> Customer:
        if not 1 <= place <= len(old.tiers):
            raise CallError("tier-unknown", place=place, count=len(old.tiers))
        tiers = list(old.tiers)
        tiers[place - 1] = replace(tiers[place - 1], valid_to=last)
        _check_days(tiers[place - 1])
        return replace(old, tiers=tuple(tiers))

    return edit_customer(desk, deed, code, change, expected)


@needs(Action.SEE_CUSTOMERS)
def customer_of(desk: Desk, deed: Deed, code: str) -> Customer:
    """A customer by code. Raises CallError."""
    with desk.store.reading() as uow:
        return _need_customer(uow, code)


@needs(Action.SEE_CUSTOMERS)
def list_customers(desk: Desk, deed: Deed, text: str, page: Page) -> tuple[Sequence[Customer], int]:
    """Customers whose code or name holds the text, and how many there are."""
    with desk.store.reading() as uow:
        return uow.customers.page(text, page)


@needs(Action.SET_SHIP_TOS)
def set_ship_to(desk: Desk, deed: Deed, place: ShipTo, expected: int | None = None) -> ShipTo:
    """Add a ship-to place, or set one anew by its code. Raises CallError, ConflictError."""
    _check_code(place.code)
    need_plain(place)
    for rate in place.taxes:
        need_plain(rate)
    if any(rate.rate < 0 or rate.rate >= 1 for rate in place.taxes):
        raise CallError("tax-rate-out-of-range")
    # A tax may stand twice, with its rate of today and one to come.
    if len({(tax.name, tax.valid_from) for tax in place.taxes}) != len(place.taxes):
        raise CallError("tax-name-twice", name=place.code)
    _check_freights(place)
    with desk.store.writing() as uow:
        old = uow.ship_tos.get(place.code)
        # 0 is the version of a place that is not there yet.
        check_version("ship-to", place.code, expected, 0 if old is None else old.version)
        if old is None:
            new = replace(place, version=1)
            uow.ship_tos.add(new)
        else:
            new = replace(place, version=old.version + 1)
            uow.ship_tos.save(new, old.version)
        note(uow, deed, "ship-to-set", "ship-to", new.code, before=old, after=new)
        uow.commit()
    return new


@needs(Action.SEE_CUSTOMERS)
def list_ship_tos(desk: Desk, deed: Deed) -> Sequence[ShipTo]:
    """Every ship-to place by code."""
    with desk.store.reading() as uow:
        return uow.ship_tos.all()


@needs(Action.ENTER_PEOPLE)
def set_person(desk: Desk, deed: Deed, person: Person) -> Person:
    """Enter somebody of the house, or change their role. Raises CallError, ConflictError.

    The first to be entered must be an owner; from then on only an owner may, and the last owner
    stays one.
    """
    _check_code(person.name)
    need_plain(person)
    with desk.store.writing() as uow:
        everyone = uow.people.all()
        if not everyone and person.role is not PersonRole.OWNER:
            raise CallError("owner-first")
        owners = {each.name for each in everyone if each.role is PersonRole.OWNER}
        if owners == {person.name} and person.role is not PersonRole.OWNER:
            raise CallError("owner-last", who=person.name)
        old = uow.people.get(person.name)
        if old is None:
            new = replace(person, version=1)
            uow.people.add(new)
        else:
            new = replace(person, version=old.version + 1)
            uow.people.save(new, old.version)
        note(uow, deed, "person-set", "person", new.name, before=old, after=new)
        uow.commit()
    return new


@needs(Action.SEE_PEOPLE)
def list_people(desk: Desk, deed: Deed) -> Sequence[Person]:
    """Everybody by name."""
    with desk.store.reading() as uow:
        return uow.people.all()


@needs(Action.SEE_SETTINGS)
def house_policy(desk: Desk, deed: Deed) -> HousePolicy:
    """The owner's settings."""
    with desk.store.reading() as uow:
        return uow.policy.get()


@needs(Action.SEE_SETTINGS)
def house_history(desk: Desk, deed: Deed) -> Sequence[AuditEntry]:
    """All that was changed of the settings and of the people, first to last."""
    with desk.store.reading() as uow:
        entries = list(uow.audit.of_subject("policy", "policy"))
        names = [person.name for person in uow.people.all()]
        entries += uow.audit.of_subject("person", *names)
    return sorted(entries, key=lambda entry: entry.at)


@needs(Action.CHANGE_SETTINGS)
def set_policy(
    desk: Desk,
    deed: Deed,
    change: Callable[[HousePolicy], HousePolicy],
    expected: int | None = None,
) -> HousePolicy:
    """The owner's settings as `change` makes them. Raises CallError, ConflictError."""
    with desk.store.writing() as uow:
        old = uow.policy.get()
        check_version("policy", "policy", expected, old.version)
        new = replace(change(old), version=old.version + 1)
        need_plain(new)
        if new.one_supplier and new.one_supplier != old.one_supplier:
            known = [revision.catalog_id for revision in uow.catalogs.current()]
            if new.one_supplier not in known:
                raise CallError("supplier-not-in-store", supplier=new.one_supplier, known=known)
        uow.policy.save(new, old.version)
        note(uow, deed, "policy-set", "policy", "policy", before=old, after=new)
        uow.commit()
    return new


def _need_customer(uow: UnitOfWork, code: str) -> Customer:
    customer = uow.customers.get(code)
    if customer is None:
        raise CallError("customer-unknown", name=code)
    return customer


def _check_customer(uow: UnitOfWork, customer: Customer) -> None:
    need_plain(customer)
    _check_code(customer.code)
    currency_digits(customer.currency)
    if not customer.name.strip():
        raise CallError("customer-name-needed")
    if customer.ship_to and uow.ship_tos.get(customer.ship_to) is None:
        raise CallError("ship-to-unknown", name=customer.ship_to)


def _check_days(tier: PriceTier) -> None:
    if tier.valid_from and tier.valid_to and tier.valid_to < tier.valid_from:
        raise CallError("dates-reversed", first=f"{tier.valid_from}", last=f"{tier.valid_to}")


def _check_scope(uow: UnitOfWork, tier: PriceTier) -> None:
    """Raises CallError for a kind there is not, or a supplier or series of no catalogue."""
    kinds = [*(role.value for role in Role), BOXED_SET]
    if tier.kind is not None and tier.kind not in kinds:
        known = nearest_first(tier.kind, kinds)
        raise CallError("tier-kind-unknown", given=tier.kind, known=known)
    current = {revision.catalog_id: revision for revision in uow.catalogs.current()}
    # Tiers may be entered before any catalogue is there to hold them against.
    if not current:
        return
    if tier.supplier is not None and tier.supplier not in current:
        known = nearest_first(tier.supplier, current)
        raise CallError("tier-supplier-unknown", given=tier.supplier, known=known)
    if tier.series is None:
        return
    among = [
        revision for revision in current.values() if tier.supplier in (None, revision.catalog_id)
    ]
    loaded = [
        uow.catalogs.load(CatalogRef(revision.catalog_id, revision.revision)) for revision in among
    ]
    series = {each.id for catalog in loaded for each in catalog.series}
    if tier.series not in series:
        raise CallError(
            "tier-series-unknown",
            given=tier.series,
            among=[revision.catalog_id for revision in among],
            known=nearest_first(tier.series, series),
        )


def _check_freights(place: ShipTo) -> None:
    """Raises CallError unless names are there and differ, shares are under one and amounts are of
    one currency."""
    for rate in place.freights:
        need_plain(rate)
        if not rate.name.strip():
            raise CallError("freight-name-needed", name=place.code)
        if not 0 <= rate.share < 1:
            raise CallError("freight-share-out-of-range", freight=rate.name)
        _check_free_from(rate)
    if len({freight.name.casefold() for freight in place.freights}) != len(place.freights):
        raise CallError("freight-name-twice", name=place.code)


def _check_free_from(rate: FreightRate) -> None:
    if rate.free_from is not None and rate.free_from.currency != rate.flat.currency:
        raise CallError(
            "freight-currencies",
            freight=rate.name,
            currency=rate.flat.currency,
            other=rate.free_from.currency,
        )


def _check_code(code: str) -> None:
    """A code is short, in small letters, digits, points and hyphens. Raises CallError."""
    plain = code.replace("-", "").replace(".", "")
    if not (plain.isascii() and plain.isalnum() and code == code.lower()) or (
        len(code) > LONGEST_CODE
    ):
        raise CallError("code-wrong", given=code, most=LONGEST_CODE)
