"""The history of a job, a customer or the house in words: what was changed from what to what.

No cost appears in it, and no margin.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime
from enum import Enum
from fractions import Fraction
from typing import Any, get_type_hints

from wholekit.domain.customers import Customer, PaymentTerms, PriceTier, TaxStatus
from wholekit.domain.openings import OpeningType, UnaskedDoor
from wholekit.domain.plain import from_plain
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import (
    Alternate,
    Approval,
    AuditEntry,
    CatalogRef,
    DiscountLimit,
    ExtraLine,
    HousePolicy,
    Job,
    JobOpening,
    Override,
    Person,
    Release,
    Request,
    Revision,
    quote_label,
)
from wholekit.domain.quotes.sending import Sending
from wholekit.domain.working_days import Holiday
from wholekit.services.house_log import LogEntry
from wholekit.services.job_history import JobEvent
from wholekit.wording.job_sentences import ACTIONS, LOST
from wholekit.wording.offers import say_left_out, say_override, say_seen
from wholekit.wording.openings import size_text, stated
from wholekit.wording.rates import percent
from wholekit.wording.unasked import unasked_reason
from wholekit.wording.words import field_name, plural

MOST_MARKS = 12
SUBJECTS: dict[str, type] = {
    "job": Job,
    "opening": JobOpening,
    "extra": ExtraLine,
    "revision": Revision,
    "customer": Customer,
    "policy": HousePolicy,
    "person": Person,
}
# What a field is called; one that is not here follows from the entry itself, or means nothing to
# a reader.
NAMES: dict[str, dict[str, str]] = {
    "job": {
        "name": "name", "customer": "customer", "site": "site", "site_address": "address",
        "contact": "contact", "ship_to": "ship to", "freight": "freight rate",
        "bids_due": "bids due", "salesperson": "salesperson", "note": "note",
        "discount": "discount", "catalogs": "priced on", "prefer": "preferred suppliers",
        "stock_first": "stock first", "alternates": "alternates",
        "unasked": "not in the quote", "not_used": "columns not used",
    },
    "opening": {"opening": "opening", "overrides": "by hand", "releases": "releases"},
    "extra": {
        "kind": "kind", "description": "description", "quantity": "quantity",
        "unit": "price each", "cost": "own cost each",
    },
    "revision": {
        "state": "state", "valid_days": "days to hold", "cover_note": "cover note",
        "quote_number": "quote", "valid_until": "holds until", "approvals": "approved",
        "accepted": "alternates taken", "order_number": "order", "accepted_on": "accepted on",
         "note": "remark", "request": "approval",
    },
    "customer": {
        "name": "name", "address": "address", "contact": "contact", "email": "mail",
        "phone": "telephone", "currency": "currency", "locale": "locale",
        "multiplier": "list ×", "tiers": "price tiers", "tax": "exemption", "terms": "payment",
        "ship_to": "ship to", "note": "note",
    },
    "policy": {
        "house_name": "house", "floor": "margin floor", "valid_days": "days quotes hold",
        "limits": "limits", "holidays": "holidays", "dates_on_quote": "dates on quotes",
        "one_supplier": "one supplier",
    },
    "person": {"role": "role", "full_name": "name"},
}  # fmt: skip
# Of what was made or removed these say nothing new.
_UNSAID = frozenset({"description", "state", "quote_number"})
SENT = "quote-sent"
# Digits of a digest that a person compares; the answer of --json has them all.
DIGITS = 12
BOOKS = ("books-corrected", "books-restored")
ADDED = ("openings-added", "opening-copied", "opening-split-off")


@dataclass(frozen=True, slots=True)
class EventAnswer:
    """One entry of the audit log. about: mark, line or revision; changes: in words, a sentence
    without its full stop each; before, after: the same as plain data, without costs."""

    at: str
    who: str
    action: str
    about: str
    changes: tuple[str, ...]
    subject: str
    subject_id: str
    before: object
    after: object
    reason: str


def entry_answers(entries: Iterable[AuditEntry]) -> list[EventAnswer]:
    """Entries of a customer or of the house as data and in words, each about its subject."""
    return [
        _answer(entry, entry.subject_id if entry.subject == "person" else "") for entry in entries
    ]


def event_answers(events: Iterable[JobEvent]) -> list[EventAnswer]:
    """Entries of the audit log as data and in words."""
    return [_answer(event.entry, event.about) for event in events]


def log_answers(entries: Iterable[LogEntry]) -> list[tuple[str, EventAnswer]]:
    """Entries of the house's log in words, each with the label of its job."""
    return [(each.job, _answer(each.entry, each.about)) for each in entries]


def _answer(entry: AuditEntry, about: str) -> EventAnswer:
    return EventAnswer(
        entry.at.isoformat(),
        entry.who,
        ACTIONS.get(entry.action, entry.action),
        about,
        tuple(say_changes(entry)),
        entry.subject,
        entry.subject_id,
        _without_cost(entry.before),
        _without_cost(entry.after),
        LOST.get(entry.reason, entry.reason) if entry.subject == "revision" else entry.reason,
    )


def say_changes(entry: AuditEntry) -> Iterator[str]:
    """What an entry changed, in words; of what was made or removed, what it was."""
    try:
        said = list(_changes(entry))
    except (KeyError, TypeError, ValueError, IndexError):
        # Written by a program that knew other fields; the plain data are there all the same.
        said = ["details cannot be put into words; they stand in the answer of --json"]
    # With both sides and no difference in words, somebody set again what was there.
    both = entry.before is not None and entry.after is not None
    yield from said or (["as it was"] if both else [])


def _changes(entry: AuditEntry) -> Iterator[str]:
    if entry.action == SENT and entry.after is not None:
        yield sending_text(from_plain(Sending, entry.after))
        return
    if entry.action in ADDED and entry.after is not None:
        yield from _added(entry.after)
        return
    if entry.action in BOOKS and entry.after is not None:
        yield from _books(entry.after)
        return
    if entry.subject == "purchase" and entry.before is not None and entry.after is not None:
        yield from _purchase(entry.before, entry.after)
        return
    was, now = _read(entry.subject, entry.before), _read(entry.subject, entry.after)
    if entry.before is not None and entry.after is not None:
        for name in NAMES.get(entry.subject, {}):
            if name in was or name in now:
                yield from _change(entry.subject, name, was.get(name), now.get(name))
        return
    facts = _facts(entry.subject, now if entry.before is None else was)
    if facts:
        yield "; ".join(facts)


def _books(after: Mapping[str, Any]) -> Iterator[str]:
    for name, was, now in after["bins"]:
        yield f"bin {name or '(none)'}: {after['sku']} {was} → {now}"


def _purchase(was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    if "state" in now:
        yield f"{was['state']} → {now['state']}"
    if "received" in now:
        came = sum(now["received"]) - sum(was["received"])
        yield f"{plural(came, 'pack')} more on the shelf"


def _read(subject: str, plain: Mapping[str, Any] | None) -> dict[str, Any]:
    """The fields of an entry as domain objects, in the order of their class."""
    kind = SUBJECTS.get(subject)
    if kind is None or plain is None:
        return {}
    hints = get_type_hints(kind)
    return {
        field.name: None
        if plain[field.name] is None
        else from_plain(hints[field.name], plain[field.name])
        for field in fields(kind)
        if field.name in plain
    }


def sending_text(sending: Sending) -> str:
    """To whom a quote was sent, and what."""
    files = "".join(f"; {file.name} (SHA-256 {file.digest[:DIGITS]})" for file in sending.files)
    return f"to {', '.join(sending.to)}, as frozen {sending.revision_digest[:DIGITS]}{files}"


def _facts(subject: str, values: Mapping[str, Any]) -> list[str]:
    """What is said of a thing that was made or removed."""
    found: list[str] = []
    for name, called in NAMES.get(subject, {}).items():
        value = values.get(name)
        if name in _UNSAID:
            continue
        if name == "opening" and value is not None:
            found.append(f"{value.quantity} × {size_text(value.type)}")
        elif isinstance(value, Cost):
            found.append("own cost entered")
        elif value or value == 0:
            said = _say(value)
            if said and said not in ("0%", "no", "none"):
                found.append(f"{called} {said}")
    return found


def _change(subject: str, name: str, was: Any, now: Any) -> Iterator[str]:  # noqa: ANN401  # a field
    special = _SPECIAL.get(name)
    if special is not None:
        yield from special(was, now)
    elif name == "request" and now is None:
        # The approval that answers it says who and when; a draft that is issued asks no more.
        return
    elif name == "quote_number":
        yield f"quote {quote_label(now)}"
    else:
        called = NAMES[subject][name]
        yield f"{called} {_say(was)} → {_say(now)}"


def _say(value: Any) -> str:  # noqa: ANN401  # the value of any field
    match value:
        case None | "" | ():
            return "none"
        case bool():
            return "yes" if value else "no"
        case Money():
            return f"{value.decimal_text} {value.currency}"
        case Fraction():
            return percent(value)
        case datetime():
            return value.isoformat(" ", "minutes")
        case date():
            return value.isoformat()
        case PriceTier():
            return _tier(value)
        case TaxStatus():
            until = f" until {value.expires.isoformat()}" if value.expires else ""
            return f"certificate {value.certificate}{until}" if value.certificate else "none"
        case PaymentTerms():
            return value.text or plural(value.days, "day")
        case DiscountLimit():
            return (
                f"{value.role.value} {percent(value.most_discount)} off at most, margin "
                f"{percent(value.least_margin)} at least"
            )
        case Holiday():
            return f"{value.day.isoformat()} {value.name}"
        case Request():
            return _request(value)
        case CatalogRef():
            return f"{value.catalog_id} revision {value.revision}"
        case Override():
            return say_override(value)
        case Release():
            return value.code
        case Alternate():
            return _alternate(value)
        case UnaskedDoor():
            return f"{value.place} ({unasked_reason(value.why)})"
        case Approval():
            return "; ".join((*map(say_seen, value.parts), *say_left_out(value)))
        case Enum():
            return str(value.value)
        case tuple():
            return ", ".join(_say(part) for part in value)
    return str(value)


def _opening(was: Any, now: Any) -> Iterator[str]:  # noqa: ANN401  # an opening or none
    for name in ("mark", "quantity", "room", "note"):
        before, after = getattr(was, name), getattr(now, name)
        if before != after:
            yield f"{name} {_say(before)} → {_say(after)}"
    old, new = dict(stated(was.type)), dict(stated(now.type))
    order = ["size", *map(field_name, OpeningType.__dataclass_fields__)]
    for name in order:
        if old.get(name) != new.get(name):
            yield f"{name} {old.get(name, 'not stated')} → {new.get(name, 'not stated')}"


def _listed(
    what: str, key: Callable[[Any], object]
) -> Callable[[Sequence[Any], Sequence[Any]], Iterator[str]]:
    """How a list changed, entry by entry: those of one key are one thing before and after."""

    def said(was: Sequence[Any], now: Sequence[Any]) -> Iterator[str]:
        old = {key(entry): entry for entry in was or ()}
        new = {key(entry): entry for entry in now or ()}
        for name in dict.fromkeys([*old, *new]):
            before, after = old.get(name), new.get(name)
            if before == after:
                continue
            if before is None:
                yield f"{what}{_say(after)}"
            elif after is None:
                yield f"{what}{_say(before)}: taken back"
            else:
                yield f"{what}{_say(before)} → {_say(after)}"

    return said


def _tier(tier: PriceTier) -> str:
    about = (
        f"supplier {tier.supplier}" if tier.supplier else "",
        f"series {tier.series}" if tier.series else "",
        f"kind {tier.kind}" if tier.kind else "",
        f"from {tier.valid_from.isoformat()}" if tier.valid_from else "",
        f"to {tier.valid_to.isoformat()}" if tier.valid_to else "",
    )
    return " ".join((f"list × {percent(tier.multiplier)}", *filter(None, about)))


def _request(request: Request) -> str:
    of = " without what is stopped" if request.leave_stopped else ""
    if request.waiting:
        why = f": {request.reason}" if request.reason else ""
        return f"asked for by {request.by}{of}{why}"
    return f"refused to {request.by}{of} by {request.refused_by}: {request.refusal}"


def _freight(was: str, now: str) -> Iterator[str]:
    yield f"freight rate {was or 'the usual one'} → {now or 'the usual one'}"


def _cost(was: Cost | None, now: Cost | None) -> Iterator[str]:
    if was is None or now is None:
        yield "own cost taken away" if now is None else "own cost entered"
    else:
        yield "own cost changed"


def _alternate(alternate: Alternate) -> str:
    out = f", without {', '.join(alternate.deducts)}" if alternate.deducts else ""
    return f"{alternate.code} {alternate.title}{out}"


_SPECIAL: dict[str, Callable[[Any, Any], Iterator[str]]] = {
    "opening": _opening,
    "overrides": _listed("", lambda override: override.about),
    # By its moment too: the same stop may be released, come back and be released again.
    "releases": _listed("released: ", lambda release: (release.code, release.about, release.at)),
    "alternates": _listed("alternate ", lambda alternate: alternate.code),
    "unasked": _listed("not in the quote: ", lambda door: door.at),
    "tiers": _listed(
        "tier ", lambda tier: (tier.supplier, tier.series, tier.kind, tier.valid_from)
    ),
    "limits": _listed("", lambda limit: limit.role),
    "holidays": _listed("holiday ", lambda holiday: holiday.day),
    "catalogs": _listed("priced on ", lambda catalog: catalog.catalog_id),
    "approvals": _listed("", lambda approval: approval.at),
    "cost": _cost,
    "freight": _freight,
}


def _added(after: Mapping[str, Any]) -> Iterator[str]:
    """Openings added together, the marks of each kind in a row."""
    kinds = [from_plain(OpeningType, kind) for kind in after["kinds"]]
    where = f" in alternate {after['alternate']}" if after["alternate"] else ""
    marks: dict[str, list[str]] = {}
    for mark, quantity, kind, _ in after["openings"]:
        times = f" (× {quantity})" if quantity > 1 else ""
        marks.setdefault(size_text(kinds[kind]), []).append(f"{mark}{times}")
    yield f"{plural(len(after['openings']), 'mark')}{where}"
    for size, found in marks.items():
        more = len(found) - MOST_MARKS
        rest = f" and {more} more" if more > 0 else ""
        yield f"{size}: {', '.join(found[:MOST_MARKS])}{rest}"


def _without_cost(plain: Mapping[str, Any] | None) -> object:
    """Without own costs, and without the margins an owner approved."""
    if plain is None:
        return None
    kept = {name: value for name, value in plain.items() if name != "cost"}
    if kept.get("approvals"):
        kept["approvals"] = [
            {**approval, "parts": [_without_margin(part) for part in approval.get("parts", ())]}
            for approval in kept["approvals"]
        ]
    return kept


def _without_margin(part: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in part.items() if name != "margin"}
