"""Rows of jobs and of people the house deals with as domain objects, and back."""

from collections.abc import Sequence
from datetime import date, datetime
from fractions import Fraction
from typing import Any

from sqlalchemy import Row

from wholekit.domain.customers import Customer, PaymentTerms, PriceTier, TaxStatus
from wholekit.domain.openings import Opening, OpeningType, UnaskedDoor
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import (
    Alternate,
    CatalogRef,
    ExtraLine,
    Job,
    JobOpening,
    Override,
    Person,
    PersonRole,
    Release,
)
from wholekit.domain.tax import FreightRate, LineKind, Rounding, ShipTo, TaxRate
from wholekit.store.plain_text import from_text, shared, to_text

Values = dict[str, object]
AnyRow = Row[Any]
OPENING_COLUMNS = (
    "id", "job_id", "alternate", "position", "mark", "quantity", "width", "height", "leaves",
    "kind", "note", "room", "finish_written", "overrides", "releases", "version",
)  # fmt: skip


def folded(*texts: str) -> str:
    """Texts to be searched, case aside, each on a line of its own."""
    return "\n".join(text.casefold() for text in texts)


def day_text(day: date | None) -> str | None:
    """A date as a column keeps it."""
    return None if day is None else day.isoformat()


def day_of(text: str | None) -> date | None:
    """A date of a column."""
    return None if text is None else date.fromisoformat(text)


def moment_text(moment: datetime | None) -> str | None:
    """A moment as a column keeps it, with its own offset."""
    return None if moment is None else moment.isoformat()


def moment_of(text: str | None) -> datetime | None:
    """A moment of a column."""
    return None if text is None else datetime.fromisoformat(text)


def job_values(job: Job) -> Values:
    """The columns of a job's header; its catalogues have a table of their own."""
    return {
        "id": job.id,
        "number": job.number,
        "name": job.name,
        "customer": job.customer,
        "currency": job.currency,
        "created_at": job.created_at.isoformat(),
        "created_by": job.created_by,
        "site": job.site,
        "site_address": to_text(job.site_address),
        "contact": job.contact,
        "ship_to": job.ship_to,
        "freight": job.freight,
        "bids_due": day_text(job.bids_due),
        "salesperson": job.salesperson,
        "note": job.note,
        "discount": to_text(job.discount),
        "discount_reason": job.discount_reason,
        "prefer": to_text(job.prefer),
        "stock_first": int(job.stock_first),
        "alternates": to_text(job.alternates),
        "unasked": to_text(job.unasked),
        "not_used": to_text(job.not_used),
        "folded": folded(job.name, job.site),
        "version": job.version,
    }


def job_of(row: AnyRow, catalogs: Sequence[CatalogRef]) -> Job:
    """A job's header."""
    return Job(
        id=row.id,
        number=row.number,
        name=row.name,
        customer=row.customer,
        currency=row.currency,
        created_at=datetime.fromisoformat(row.created_at),
        created_by=row.created_by,
        site=row.site,
        site_address=shared(tuple[str, ...], row.site_address),
        contact=row.contact,
        ship_to=row.ship_to,
        freight=row.freight,
        bids_due=day_of(row.bids_due),
        salesperson=row.salesperson,
        note=row.note,
        discount=shared(Fraction, row.discount),
        discount_reason=row.discount_reason,
        catalogs=tuple(catalogs),
        prefer=shared(tuple[str, ...], row.prefer),
        stock_first=bool(row.stock_first),
        alternates=from_text(tuple[Alternate, ...], row.alternates),
        version=row.version,
        unasked=from_text(tuple[UnaskedDoor, ...], row.unasked),
        not_used=shared(tuple[str, ...], row.not_used),
    )


class OpeningWriter:
    """Rows of many openings: kinds that are one object are put into words once."""

    def __init__(self) -> None:
        self._kinds: dict[int, tuple[OpeningType, str]] = {}

    def row(self, entry: JobOpening) -> tuple[object, ...]:
        """The values in the order of OPENING_COLUMNS."""
        kind = entry.opening.type
        known = self._kinds.get(id(kind))
        if known is None:
            # The kind is kept beside its text so that its identity is not given to another.
            known = self._kinds[id(kind)] = (kind, to_text(kind))
        # Width, height and leaves stand in the kind already; in columns of their own the database
        # can hold them to its rules.
        return (
            entry.id, entry.job_id, entry.alternate, entry.position, entry.opening.mark,
            entry.opening.quantity, kind.width.nm, kind.height.nm, kind.leaves, known[1],
            entry.opening.note, entry.opening.room, entry.opening.finish_written,
            to_text(entry.overrides), to_text(entry.releases), entry.version,
        )  # fmt: skip

    def values(self, opening: JobOpening) -> Values:
        """The same by column."""
        return dict(zip(OPENING_COLUMNS, self.row(opening), strict=True))


def opening_of(row: AnyRow) -> JobOpening:
    """One mark of a job; openings alike share their kind."""
    return JobOpening(
        id=row.id,
        job_id=row.job_id,
        position=row.position,
        opening=Opening(
            row.mark,
            shared(OpeningType, row.kind),
            row.quantity,
            row.note,
            row.room,
            row.finish_written,
        ),
        alternate=row.alternate,
        overrides=shared(tuple[Override, ...], row.overrides),
        releases=shared(tuple[Release, ...], row.releases),
        version=row.version,
    )


def extra_values(extra: ExtraLine) -> Values:
    """The columns of an extra line. Raises ValueError for a price and cost in two currencies."""
    currencies = {amount.currency for amount in (extra.unit, extra.cost) if amount is not None}
    if len(currencies) > 1:
        raise ValueError(f"extra line {extra.id}: price and cost in two currencies")
    return {
        "id": extra.id,
        "job_id": extra.job_id,
        "alternate": extra.alternate,
        "position": extra.position,
        "kind": extra.kind.value,
        "description": extra.description,
        "quantity": extra.quantity,
        "currency": next(iter(currencies), None),
        "unit": None if extra.unit is None else extra.unit.minor,
        "cost": None if extra.cost is None else extra.cost.units,
        "version": extra.version,
    }


def extra_of(row: AnyRow) -> ExtraLine:
    """An extra line."""
    return ExtraLine(
        id=row.id,
        job_id=row.job_id,
        position=row.position,
        kind=LineKind(row.kind),
        description=row.description,
        quantity=row.quantity,
        unit=None if row.unit is None else Money(row.unit, row.currency),
        cost=None if row.cost is None else Cost(row.cost, row.currency),
        alternate=row.alternate,
        version=row.version,
    )


def customer_values(customer: Customer) -> Values:
    """The columns of a customer."""
    return {
        "code": customer.code,
        "name": customer.name,
        "address": to_text(customer.address),
        "contact": customer.contact,
        "email": customer.email,
        "phone": customer.phone,
        "currency": customer.currency,
        "locale": customer.locale,
        # An exact fraction as text, such as 31/50: no amount is ever reckoned with a float.
        "multiplier": to_text(customer.multiplier),
        "tiers": to_text(customer.tiers),
        "tax_certificate": customer.tax.certificate,
        "tax_expires": day_text(customer.tax.expires),
        "terms_days": customer.terms.days,
        "terms_text": customer.terms.text,
        "ship_to": customer.ship_to,
        "note": customer.note,
        "folded": folded(customer.code, customer.name),
        "version": customer.version,
    }


def customer_of(row: AnyRow) -> Customer:
    """A customer."""
    return Customer(
        code=row.code,
        name=row.name,
        address=from_text(tuple[str, ...], row.address),
        contact=row.contact,
        email=row.email,
        phone=row.phone,
        currency=row.currency,
        locale=row.locale,
        multiplier=shared(Fraction, row.multiplier),
        tiers=from_text(tuple[PriceTier, ...], row.tiers),
        tax=TaxStatus(row.tax_certificate, day_of(row.tax_expires)),
        terms=PaymentTerms(row.terms_days, row.terms_text),
        ship_to=row.ship_to,
        note=row.note,
        version=row.version,
    )


def ship_to_values(place: ShipTo) -> Values:
    """The columns of a ship-to place."""
    return {
        "code": place.code,
        "name": place.name,
        "address": to_text(place.address),
        "taxes": to_text(place.taxes),
        "freights": to_text(place.freights),
        "inclusive": int(place.inclusive),
        "rounding": place.rounding.value,
        "version": place.version,
    }


def ship_to_of(row: AnyRow) -> ShipTo:
    """A ship-to place."""
    return ShipTo(
        code=row.code,
        name=row.name,
        address=from_text(tuple[str, ...], row.address),
        taxes=from_text(tuple[TaxRate, ...], row.taxes),
        freights=from_text(tuple[FreightRate, ...], row.freights),
        inclusive=bool(row.inclusive),
        rounding=Rounding(row.rounding),
        version=row.version,
    )


def person_values(person: Person) -> Values:
    """The columns of somebody of the house."""
    return {
        "name": person.name,
        "role": person.role.value,
        "full_name": person.full_name,
        "version": person.version,
    }


def person_of(row: AnyRow) -> Person:
    """Somebody of the house."""
    return Person(row.name, PersonRole(row.role), row.full_name, row.version)
