"""People of the house, their roles, and how far each role may go below the customer's prices."""

from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction

from wholekit.domain.plain import SPARSE
from wholekit.domain.quantities import QuantityError, parse_share
from wholekit.domain.working_days import Holiday


class PersonRole(StrEnum):
    """What a person is to the house; `roles` says what each may do. An owner approves what goes
    beyond a role's limit."""

    COUNTER = "counter"
    SALES = "sales"
    PICKER = "picker"
    OWNER = "owner"


# The roles that quote within limits.
LIMITED = (PersonRole.COUNTER, PersonRole.SALES)


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works with the program, by a short name. version: counts changes, from 1."""

    name: str
    role: PersonRole
    full_name: str = ""
    version: int = 1


@dataclass(frozen=True, slots=True)
class DiscountLimit:
    """How far a role may go alone: discount off the customer's prices [fraction of them], and
    the least margin [fraction of the price]."""

    role: PersonRole
    most_discount: Fraction
    least_margin: Fraction


@dataclass(frozen=True, slots=True)
class HousePolicy:
    """The owner's settings. floor: margin under which things are flagged [fraction of price].

    valid_days: how long a quote holds unless said otherwise [d]. one_supplier: catalogue id whose
    goods alone a new job is priced on unless said otherwise, empty = all. holidays: by day, each
    once. dates_on_quote: customers' quotes say when the kits can be ready. version: counts
    changes, from 1.
    """

    floor: Fraction = Fraction(25, 100)
    limits: tuple[DiscountLimit, ...] = (
        DiscountLimit(PersonRole.COUNTER, Fraction(5, 100), Fraction(25, 100)),
        DiscountLimit(PersonRole.SALES, Fraction(10, 100), Fraction(20, 100)),
    )
    valid_days: int = 30
    house_name: str = ""
    one_supplier: str = field(default="", metadata={SPARSE: True})
    version: int = 1
    holidays: tuple[Holiday, ...] = ()
    dates_on_quote: bool = False

    def with_limit(
        self,
        role: PersonRole,
        most_discount: Fraction | None = None,
        least_margin: Fraction | None = None,
    ) -> "HousePolicy":
        """The settings with a role's limits set; None leaves one as it is. An owner has none."""
        was = self.limit_of(role)
        if was is None:
            return self
        new = replace(
            was,
            most_discount=was.most_discount if most_discount is None else most_discount,
            least_margin=was.least_margin if least_margin is None else least_margin,
        )
        limits = (*(limit for limit in self.limits if limit.role is not role), new)
        by_role = sorted(limits, key=lambda limit: list(PersonRole).index(limit.role))
        return replace(self, limits=tuple(by_role))

    def limit_of(self, role: PersonRole) -> DiscountLimit | None:
        """A role's limit; None for an owner, who has none."""
        if role is PersonRole.OWNER:
            return None
        for limit in self.limits:
            if limit.role is role:
                return limit
        return DiscountLimit(role, Fraction(0), self.floor)


def read_floor(text: str) -> Fraction:
    """A limit or a floor, such as 25% or 0.25. Raises QuantityError.

    >>> read_floor("12.5%")
    Fraction(1, 8)
    """
    share = parse_share(text)
    if not 0 <= share < 1:
        raise QuantityError("floor-unreadable", text)
    return share
