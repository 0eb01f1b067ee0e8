"""Which kits go out whole and which wait, in words."""

from collections import Counter
from collections.abc import Iterable

from wholekit.domain.allocation import Allocation, Given, HowFound, Needs, WaitingKit
from wholekit.domain.catalog import ItemKey
from wholekit.wording.speech import figure, tr, trn
from wholekit.wording.words import listed

MOST_ITEMS = 6
FOUND = {
    HowFound.ALL_FIT: "There is enough for all.",
    HowFound.BEST: "No other choice would do better.",
    HowFound.TIME: "The time for the search ran out; another choice could reach {bound}.",
    HowFound.NO_SOLVER: "No solver could be used; another choice could reach {bound}.",
}


def say_counts(whole: int, waits: int) -> str:
    """How many bags are promised all they need, and how many wait."""
    rest = trn("{count} bag waits for goods", "{count} bags wait for goods", waits)
    rest = rest.format(count=waits)
    given = trn(
        "{count} bag is promised all it lacked", "{count} bags are promised all they lacked", whole
    )
    if not whole:
        return tr("No bag can be made whole; {rest}.").format(rest=rest)
    given = given.format(count=whole)
    if not waits:
        return tr("{given}; none waits.").format(given=given)
    return tr("{given}; {rest}.").format(given=given, rest=rest)


def say_choice(answer: Allocation) -> str:
    """How the choice stands beside the bound and the two plain ones, in one line; empty where
    there was nothing to choose."""
    if answer.found is HowFound.ALL_FIT or not answer.chosen:
        return ""
    said = tr(
        "By weight the choice comes to {value} of at most {bound}, {gap} under; "
        "first come would be {first_come}, scarcest first {greedy}. {found}"
    )
    return said.format(
        value=answer.value,
        bound=answer.bound,
        gap=_part(answer.gap),
        first_come=answer.first_come,
        greedy=answer.greedy,
        found=tr(FOUND[answer.found]).format(bound=answer.bound),
    )


def say_waiting(bag: WaitingKit) -> str:
    """What one bag waits for: `Q-1/2-3 waits for C-1 (2 short)`."""
    return tr("{bag} waits for {items}").format(bag=bag.id, items=say_short(bag.short))


def say_lacking(answer: Allocation) -> str:
    """What must come for all that wait; empty where nobody waits."""
    if not answer.lacking:
        return ""
    return tr("For all that wait there must come: {items}").format(items=_packs(answer.lacking))


def say_short(short: Needs) -> str:
    """Items with the packs that lack of each: `C-1 (2 short) and A-4 (1 short)`."""
    names = _names(item for item, _ in short)
    said = [
        tr("{item} ({count} short)").format(item=names[item], count=packs) for item, packs in short
    ]
    return listed(_cut(said))


def say_instead(bag: Given) -> str:
    """The substitutes in a bag that goes out: `2 C-2 in place of C-1`; empty where there is
    none."""
    names = _names(item for wanted, given, _ in bag.items for item in (wanted, given))
    said = [
        tr("{count} {given} in place of {wanted}").format(
            count=packs, given=names[given], wanted=names[wanted]
        )
        for wanted, given, packs in bag.items
        if given != wanted
    ]
    return listed(said)


def _packs(needs: Needs) -> str:
    names = _names(item for item, _ in needs)
    return listed(_cut([f"{packs} {names[item]}" for item, packs in needs]))


def _cut(said: list[str]) -> list[str]:
    more = len(said) - MOST_ITEMS
    if more <= 1:
        return said
    return [*said[:MOST_ITEMS], trn("{count} more", "{count} more", more).format(count=more)]


def _names(items: Iterable[ItemKey]) -> dict[ItemKey, str]:
    """Each item by its SKU, with the supplier where several sell under it."""
    keys = dict.fromkeys(items)
    sold = Counter(sku for _, sku in keys)
    return {key: key[1] if sold[key[1]] == 1 else f"{key[1]} ({key[0]})" for key in keys}


def _part(part: float) -> str:
    """A part of one as a percentage; what is under a tenth of a percent is not called none."""
    if 0 < part < 0.001:
        return tr("less than {percent} %").format(percent=figure("0.1"))
    return tr("{percent} %").format(percent=figure(f"{part * 100:.1f}"))
