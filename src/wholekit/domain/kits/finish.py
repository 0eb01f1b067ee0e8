"""The finish a kit is shown in where the one asked for cannot be had whole."""

from collections.abc import Sequence

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.search import Found, KitSearch
from wholekit.domain.kits.shelf import Eligible, Shelf
from wholekit.domain.openings import Mount
from wholekit.domain.rules import RuleBook

# A finish on any base metal: it is painted, so a plated one of that look has it for a match.
PAINTED_BASE = ""


def look_alike(finish: str, shelf: Shelf, rules: RuleBook) -> tuple[bool, str | None]:
    """Whether a finish is painted, and the sold one nearest in look that is not painted alike.

    Plating for a painted finish, paint for any other; None where there is none. Kept on the shelf.
    """
    key = (rules.version, finish)
    known = shelf.looks.get(key)
    if known is None:
        known = shelf.looks[key] = _look_alike(finish, shelf, FinishBook(rules))
    return known


def nearest_finish(
    search: KitSearch,
    mount: Mount,
    eligible: Sequence[Eligible],
    wanted: str,
    found: Found | None,
    shelf: Shelf,
    rules: RuleBook,
) -> tuple[str, Found | None, tuple[Finding, ...]]:
    """The nearest finish in which less is missing, if the wanted one leaves a gap."""
    if not eligible or (found is not None and not found.cover.missing):
        return wanted, found, ()
    book = FinishBook(rules)
    left = set(shelf.finishes) - {wanted}
    # More than any kit has needs: any kit at all is better than none.
    least = 99 if found is None else len(found.cover.missing)
    while (near := book.nearest(wanted, left)) is not None:
        left.discard(near)
        other = search.best(eligible, mount, near)
        # Another finish must buy something: with as much missing the one asked for stays.
        if other is not None and len(other.cover.missing) < least:
            return near, other, (_other_shown(book, wanted, near, near=True),)
    # None is near: the cheapest to be had, such as a painted one to be painted over.
    rest = [
        (len(other.cover.missing), other.cover.score, finish, other)
        for finish in sorted(left)
        if (other := search.best(eligible, mount, finish)) is not None
        and len(other.cover.missing) < least
    ]
    if not rest:
        return wanted, found, ()
    _, _, finish, other = min(rest, key=lambda rival: rival[:3])
    return finish, other, (_other_shown(book, wanted, finish, near=False),)


def _look_alike(finish: str, shelf: Shelf, book: FinishBook) -> tuple[bool, str | None]:
    shown = book.finish(finish)
    if shown is None:
        return False, None
    painted = shown.base == PAINTED_BASE
    others = [
        code
        for code in shelf.finishes
        if (other := book.finish(code)) is not None and (other.base == PAINTED_BASE) != painted
    ]
    return painted, book.nearest(finish, others)


def _other_shown(book: FinishBook, wanted: str, shown: str, *, near: bool) -> Finding:
    """A stop; only a warning where the look is the one asked for, on another base metal."""
    asked, had = book.finish(wanted), book.finish(shown)
    alike = asked is not None and had is not None and asked.look == had.look
    return Finding(
        "finish-unavailable",
        Severity.WARN if alike else Severity.STOP,
        {"finish": wanted, "nearest": shown, "near": near, "alike": alike},
        None,
        Hint("accept-finish", {"nearest": shown}),
    )
