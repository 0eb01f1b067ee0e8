"""The choices of an opening, priced: each kit worked up just as it would be once chosen."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from wholekit.domain.catalog import Role
from wholekit.domain.errors import InputError
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.kits.choices import (
    AS_QUOTED,
    CHEAPEST,
    Wish,
    has_cover,
    is_same,
    is_stocked,
    lead_days,
    waits,
    wished,
    wishes_beside,
)
from wholekit.domain.kits.made import MISSING_CODES
from wholekit.domain.kits.shelf import OnHand
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.job import JobOpening, Override, OverrideKind
from wholekit.domain.quotes.worked import WorkBench, WorkedOpening, find_item, standing


@dataclass(frozen=True, slots=True)
class Choice:
    """One kit an opening may have: every word that comes to it, and what it costs.

    wishes: by word; None is the opening as quoted. difference: of one opening beside the kit as
    quoted [Money]. warned: findings of severity warn that the kit as quoted has not. stocked: the
    shelf has all of it, if nobody else takes of it; lead_days: the longest of what is short [d].
    stock: what was on hand.
    """

    wishes: dict[str, Wish | None]
    opening: WorkedOpening
    difference: Money
    warned: tuple[Finding, ...] = ()
    stock: OnHand = field(default_factory=dict, repr=False)

    @property
    def words(self) -> tuple[str, ...]:
        """The words it may be chosen by, the one that names it first."""
        return tuple(self.wishes)

    @property
    def stocked(self) -> bool:
        """Whether the shelf has all of it on the day."""
        return is_stocked(self.opening.kit, self.opening.entry.opening.quantity, self.stock)

    @property
    def waits(self) -> int | None:
        """Working days until all of it can be here [d]; None where nobody can say."""
        return waits(self.opening.kit, self.opening.entry.opening.quantity, self.stock)

    @property
    def lead_days(self) -> int:
        """The longest lead of what is short [d]."""
        return lead_days(self.opening.kit, self.opening.entry.opening.quantity, self.stock)


@dataclass(frozen=True, slots=True)
class Refused:
    """A word that comes to no kit to be offered: what it lacks, and the stops it would bring.

    by_hand: what a hand has set on the opening does not go with it. None of these: the shelf has
    not enough of it on hand.
    """

    word: str
    lacks: tuple[Role, ...] = ()
    stops: tuple[Finding, ...] = ()
    by_hand: bool = False


@dataclass(frozen=True, slots=True)
class Choices:
    """The kit of an opening as quoted, those offered beside it, and what is not offered.

    chosen: the word under which one was chosen, `as-quoted` where none was.
    """

    entry: JobOpening
    quoted: Choice
    offered: tuple[Choice, ...]
    refused: tuple[Refused, ...]
    chosen: str = AS_QUOTED

    def choice_of(self, word: str) -> Choice | None:
        """The choice of a word, None where it is not offered."""
        every = (self.quoted, *self.offered)
        return next((choice for choice in every if word in choice.wishes), None)

    @property
    def words(self) -> tuple[str, ...]:
        """Every word that may be chosen."""
        return tuple(word for choice in (self.quoted, *self.offered) for word in choice.words)


def choices_of(entry: JobOpening, bench: WorkBench, at: datetime, by: str = "") -> Choices:
    """Every real choice of an opening. at, by: when and by whom one would be chosen.

    Real: whole, without a stop that the kit as quoted has not, other goods or set otherwise. Words
    that come to one kit share it. Raises InputError, RuleError.
    """
    asked = choice_set(entry)
    quoted = quoted_choice(entry, bench)
    kit = quoted.opening.kit
    found: list[Choice] = [quoted]
    refused: list[Refused] = []
    for wish in wishes_beside(kit, entry.opening.quantity, bench.shelf, bench.rules):
        tried = try_wish(entry, wish, quoted, bench, at, by)
        if isinstance(tried, Refused):
            refused.append(tried)
        elif tried is not None:
            _put(found, wish, tried)
    _name_cheapest(found)
    return Choices(
        entry,
        quoted,
        tuple(found[1:]),
        tuple(refused),
        AS_QUOTED if asked is None else asked.word,
    )


def quoted_choice(entry: JobOpening, bench: WorkBench) -> Choice:
    """An opening as quoted, whatever was chosen for it. Raises InputError, RuleError."""
    quoted = bench.work(as_quoted(entry))
    nothing = Money.zero(quoted.worked.price.currency)
    return Choice({AS_QUOTED: None}, quoted, nothing, stock=bench.shelf.stock)


def try_wish(
    entry: JobOpening, wish: Wish, quoted: Choice, bench: WorkBench, at: datetime, by: str = ""
) -> Choice | Refused | None:
    """What a wish comes to beside the kit as quoted; None where it brings nothing of its kind.

    Raises RuleError.
    """
    try:
        worked = bench.work(chosen_entry(without_agreed(entry), wish, at, by))
    except InputError:
        return Refused(wish.word, by_hand=True)
    if worked.kit.complete and not wish.kept_by(
        worked.kit, entry.opening.quantity, bench.shelf.stock
    ):
        return Refused(wish.word) if wish.on_hand else None
    refused = _refusal(wish, worked, quoted.opening) or _failed(wish, worked, quoted, bench)
    if refused is not None:
        return refused
    warned = _brought(
        [finding for finding in worked.kit.findings if finding.severity is Severity.WARN],
        quoted.opening.kit.findings,
    )
    difference = worked.worked.price - quoted.opening.worked.price
    return Choice({wish.word: wish}, worked, difference, warned, bench.shelf.stock)


def choice_set(entry: JobOpening) -> Wish | None:
    """What was chosen for an opening; None where it is as quoted."""
    wishes = (override.wish for override in standing(entry.overrides))
    return next((wish for wish in wishes if wish is not None), None)


def as_quoted(entry: JobOpening) -> JobOpening:
    """The opening without what was chosen for it."""
    kept = tuple(override for override in entry.overrides if override.wish is None)
    return entry if len(kept) == len(entry.overrides) else replace(entry, overrides=kept)


def chosen_entry(
    entry: JobOpening, wish: Wish | None, at: datetime, by: str, reason: str = ""
) -> JobOpening:
    """The opening with a wish chosen for it, in place of one before; None: as quoted."""
    base = as_quoted(entry)
    if wish is None:
        return base
    done = Override(OverrideKind.CHOICE, reason, by, at, wish=wish)
    return replace(base, overrides=(*base.overrides, done))


def without_agreed(entry: JobOpening) -> JobOpening:
    """The opening without a price agreed for the whole of it.

    That was agreed for the kit as it stood, and for no other.
    """
    kept = tuple(
        override
        for override in entry.overrides
        if override.kind is not OverrideKind.PRICE or override.sku
    )
    return entry if len(kept) == len(entry.overrides) else replace(entry, overrides=kept)


def _refusal(wish: Wish, worked: WorkedOpening, quoted: WorkedOpening) -> Refused | None:
    """Why a kit is not offered; None where nothing speaks against it."""
    kit = worked.kit
    if wish.on_hand and not kit.complete:
        return Refused(wish.word)
    stops = _brought(worked.open_stops(), quoted.open_stops())
    if kit.complete:
        return Refused(wish.word, stops=stops) if stops else None
    # The stops of missing pieces say that nobody sells them, which is true of this wish alone.
    lacks = tuple(dict.fromkeys(missing.role for missing in kit.missing))
    return Refused(
        wish.word, lacks, tuple(stop for stop in stops if stop.code not in MISSING_CODES)
    )


def _failed(wish: Wish, worked: WorkedOpening, quoted: Choice, bench: WorkBench) -> Refused | None:
    """What the check of hand-made kits says against it beside all that is sold.

    A maker without the size that latches is not excused by it: another's could be had.
    """
    kit = worked.kit
    asked, _ = wished(quoted.opening.kit.type, wish, bench.shelf)
    lines = []
    for line in kit.lines:
        found = find_item(bench.shelf.catalogs, line.item.sku)
        assert found is not None  # noqa: S101  # the kit was built from these catalogues
        lines.append(HandLine(found[1], found[0], line.quantity))
    held = check_kit(replace(asked, mount=kit.mount), lines, bench.shelf, bench.rules)
    known = (*kit.findings, *quoted.opening.kit.findings)
    stops = _brought(_stops(held.findings), _stops(known))
    return Refused(wish.word, stops=stops) if stops else None


def _stops(findings: Sequence[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.severity is Severity.STOP]


def _brought(findings: Sequence[Finding], known: Sequence[Finding]) -> tuple[Finding, ...]:
    """Those of a code that is not among the known, each code once."""
    codes = {finding.code for finding in known}
    new = {finding.code: finding for finding in findings if finding.code not in codes}
    return tuple(new.values())


def _put(found: list[Choice], wish: Wish, tried: Choice) -> None:
    """One choice more, or one word more for a choice that is the same kit."""
    for choice in found:
        if is_same(choice.opening.kit, tried.opening.kit):
            choice.wishes[wish.word] = wish
            return
    found.append(tried)


def _name_cheapest(found: list[Choice]) -> None:
    """A second name for the least price of those that keep finish and cover, if there are two."""
    kit = found[0].opening.kit
    alike = [
        choice
        for choice in found
        if choice.opening.kit.complete
        and choice.opening.kit.finish == kit.finish
        and has_cover(choice.opening.kit) == has_cover(kit)
    ]
    if len(alike) > 1:
        least = min(alike, key=lambda choice: choice.difference.minor)
        least.wishes[CHEAPEST] = next(iter(least.wishes.values()))


@dataclass(frozen=True, slots=True)
class Sum:
    """All openings in one maker's goods or one finish, beside as they are quoted.

    word: of the wish, or `as-quoted`; as_quoted: the marks for which it cannot be had, which are
    counted as quoted; not_firm: those counted whose kit lacks a piece or is stopped all the same.
    """

    word: str
    price: Money
    difference: Money
    as_quoted: tuple[str, ...] = ()
    not_firm: tuple[str, ...] = ()


def sum_of(entries: Sequence[JobOpening], wish: Wish | None, bench: WorkBench, at: datetime) -> Sum:
    """What openings come to with one wish for all of them. Raises InputError, RuleError."""
    zero = Money.zero(bench.shelf.currency)
    price, difference = zero, zero
    left: list[str] = []
    loose: list[str] = []
    for entry in entries:
        quoted = quoted_choice(entry, bench)
        choice: Choice | Refused | None = quoted
        if wish is not None:
            choice = try_wish(entry, wish, quoted, bench, at)
        if not isinstance(choice, Choice):
            left.append(entry.mark)
            choice = quoted
        if not choice.opening.firm:
            loose.append(entry.mark)
        count = entry.opening.quantity
        price += choice.opening.worked.price.times(count)
        difference += choice.difference.times(count)
    word = AS_QUOTED if wish is None else wish.word
    return Sum(word, price, difference, tuple(left), tuple(loose))
