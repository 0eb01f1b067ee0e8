"""Many jobs looked at together: what all of them ask of the store is asked once."""

from collections.abc import Collection, Mapping
from typing import Any, cast

from wholekit.domain.catalog import ItemKey
from wholekit.services.ports import UnitOfWork


def for_jobs(uow: UnitOfWork, job_ids: Collection[str]) -> UnitOfWork:
    """A unit of work to work these jobs up for their prices and limits, whose questions are as
    many however many jobs there are. What stock their kits may draw on is not asked: when they can
    be ready is another matter."""
    contents = uow.jobs.contents_of(job_ids)
    codes = sorted({each.job.customer for each in contents.values()})
    customers = uow.customers.several(codes)
    entries = uow.audit.of_subject("customer", *codes)
    jobs, parties, log = Once(uow.jobs), Once(uow.customers), Once(uow.audit)
    for job_id in job_ids:
        jobs.know(contents.get(job_id), "contents", job_id)
    for each in contents.values():
        jobs.know(each, "contents_under", each.job)
    for code in codes:
        parties.know(customers.get(code), "get", code)
        own = tuple(entry for entry in entries if entry.subject_id == code)
        log.know(own, "of_subject", "customer", code)
    ship_tos = Once(uow.ship_tos)
    if any(each.job.ship_to for each in contents.values()):
        for place in uow.ship_tos.all():
            ship_tos.know(place, "get", place.code)
    people = Once(uow.people)
    for person in people.all():
        people.know(person, "get", person.name)
    known = {
        "jobs": jobs,
        "customers": parties,
        "audit": log,
        "ship_tos": ship_tos,
        "people": people,
        "policy": Once(uow.policy),
        "catalogs": Once(uow.catalogs),
        "stock": _NoStock(uow.stock),
        "orders": _NoOrders(uow.orders),
    }
    return cast("UnitOfWork", Gathered(uow, known))


class Once:
    """A repository that is asked the same question once."""

    def __init__(self, repository: object) -> None:
        self._repository = repository
        self._answers: dict[tuple[object, ...], object] = {}

    def know(self, answer: object, name: str, *asked: object) -> None:
        """The answer to a question, known before it is asked."""
        self._answers[name, *asked] = answer

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401  # as the repository has it
        method = getattr(self._repository, name)

        def ask(*asked: object, **named: object) -> object:
            key = (name, *asked, *named.items())
            try:
                known = key in self._answers
            except TypeError:
                # A question of a list, that nothing can be kept by.
                return method(*asked, **named)
            if not known:
                self._answers[key] = method(*asked, **named)
            return self._answers[key]

        return ask


class _NoOrders(Once):
    """Orders of jobs of which no stock is told: what is packed of them is no matter."""

    def of_job(self, job_id: str) -> tuple[()]:  # noqa: ARG002  # as orders have it
        """None."""
        return ()


class _NoStock(Once):
    """Stock as a shelf prefers by it; nothing of it is drawn."""

    def free(self, items: Collection[ItemKey], branch: str = "") -> Mapping[ItemKey, int]:  # noqa: ARG002  # as stock has it
        return {}


class Gathered:
    """A unit of work, some of whose repositories are others."""

    def __init__(self, uow: UnitOfWork, known: Mapping[str, object]) -> None:
        self._uow = uow
        self._others = known

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401  # as the unit of work has it
        return self._others[name] if name in self._others else getattr(self._uow, name)
