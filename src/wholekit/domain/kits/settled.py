"""The mount of an opening that states none, settled by its site and by what the shelf can furnish.

A leaf's size and what acts on it have no say: a heavier door, or more draught, must not turn one
mount into another and so be answered by a smaller size.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeAlias

from wholekit.domain.kits.bodies import suited
from wholekit.domain.kits.duty import duty_asked
from wholekit.domain.kits.mounts import MountChoice
from wholekit.domain.kits.place import Site, site_of
from wholekit.domain.kits.search import KitSearch
from wholekit.domain.kits.shelf import Eligible, Shelf
from wholekit.domain.openings import Facts, OpeningType
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook

SearchOf: TypeAlias = Callable[[Facts, Shelf, Site], KitSearch]
# What an opening is taken to be while its mount is settled: these must not decide.
# A common leaf; which one does not matter, so long as it is the same for every opening.
_ANY = Length.mm(900)
_NEUTRAL = {
    "width": _ANY,
    "height": _ANY,
    "weight": None,
    "pressure": None,
    "wind": None,
    "seals": None,
    "latch": None,
    "spring_size": None,
    "grade": None,
    "traffic": None,
    "egress": None,
    "accessible": None,
    "existing_holes": None,
    "unclear": (),
}


def settled_mount(
    opening_type: OpeningType,
    choices: Sequence[MountChoice],
    shelf: Shelf,
    rules: RuleBook,
    search_of: SearchOf = KitSearch,
) -> MountChoice:
    """The first of the mounts that some body of any size can furnish whole on this site.

    Where none can, the one with the fewest stops and missing pieces. Kept on the shelf for all
    openings on like sites. search_of: makes the search over the shelf. Raises RuleError.
    """
    return settle(opening_type, choices, shelf, rules, search_of)[0]


def settle(
    opening_type: OpeningType,
    choices: Sequence[MountChoice],
    shelf: Shelf,
    rules: RuleBook,
    search_of: SearchOf = KitSearch,
) -> tuple[MountChoice, int]:
    """As `settled_mount`, with how many of the mounts were tried for it [count]."""
    if len(choices) == 1:
        return choices[0], 1
    site = replace(opening_type, **_NEUTRAL)  # type: ignore[arg-type]  # the fields' own kinds
    key = (rules.version, site, choices[0].side)
    known = shelf.settled.get(key)
    if known is None:
        troubles: list[tuple[int, int]] = []
        for choice in choices:
            troubles.append(_trouble(site, choice, shelf, rules, search_of))
            if not troubles[-1][0]:
                break
        known = shelf.settled[key] = troubles.index(min(troubles)), len(troubles)
    at, tried = known
    return choices[at], tried


def _trouble(
    site_type: OpeningType,
    choice: MountChoice,
    shelf: Shelf,
    rules: RuleBook,
    search_of: SearchOf,
) -> tuple[int, int]:
    """Stops and missing pieces together, and missing pieces, of the best that can be furnished."""
    facts = Facts(site_type, rules)
    groups, findings = suited(facts, choice.mount, duty_asked(facts, rules), shelf, rules)
    if findings:
        # Worse than any count of stops: no body may serve in this mount.
        return 99, 99
    key = rules.version, choice.mount, site_type.series, facts.fire_minutes, facts.jurisdiction
    entries = shelf.any_size.get(key)
    if entries is None:
        entries = shelf.any_size[key] = [
            Eligible(group, 0, tuple((body, body.size_from) for body in bodies))
            for group, bodies in groups
        ]
    search = search_of(facts, shelf, site_of(facts, choice.mount, rules))
    least = (99, 99)
    # That one family can furnish it whole is all that is asked: the cheapest is found later.
    for entry in entries:
        found = search.best([entry], choice.mount, facts.finish)
        if found is not None:
            missing = len(found.cover.missing)
            least = min(least, (missing + found.demand.stops, missing))
        if not least[0]:
            break
    return least
