"""A customer's standing terms: the multiplier and tiers an owner last agreed to.

A limit that looked at the terms of the day alone would be walked round by cutting them first.
"""

from dataclasses import replace

from wholekit.domain.customers import Customer, PriceTerms
from wholekit.domain.plain import from_plain, to_plain
from wholekit.domain.quotes.people import PersonRole
from wholekit.services.ports import UnitOfWork

TERMS_AGREED = "terms-agreed"


def agreed_customer(uow: UnitOfWork, customer: Customer) -> Customer:
    """The customer on their standing terms, whatever hands without an owner's word did since.

    Followed back through the audit log, multiplier and tiers each by itself: what an owner set or
    agreed to stands, as does what was set by somebody the house never entered, from the time when
    all was open. A customer whose terms no owner has seen stands at list.
    """
    others = {person.name for person in uow.people.all() if person.role is not PersonRole.OWNER}
    terms = to_plain(customer.price_terms)
    unsettled = set(terms)
    for entry in reversed(uow.audit.of_subject("customer", customer.code)):
        if entry.action == TERMS_AGREED:
            break
        touched = unsettled & set(entry.after or {})
        if entry.who not in others:
            unsettled -= touched
        elif entry.before is None:
            terms |= {name: to_plain(PriceTerms())[name] for name in touched}
            unsettled -= touched
        else:
            terms |= {name: entry.before[name] for name in touched}
    agreed = from_plain(PriceTerms, terms)
    return replace(customer, multiplier=agreed.multiplier, tiers=agreed.tiers)
