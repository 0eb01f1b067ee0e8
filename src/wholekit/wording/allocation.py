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
    HowFound.BEST: "No other choice of whole kits weighs more.",
    HowFound.TIME: "The time for the search ran out; another choice could weigh up to {more} more.",
    HowFound.NO_SOLVER: "No solver could be used: this is the better of first come and by "
    "scarcity; another choice could weigh up to {more} more.",
}


def say_counts(answer: Allocation) -> str:
    """How many go out whole, and how many wait."""
    goes = len(answer.chosen)
    waits = len(answer.waiting)
    whole = trn("{count} kit goes out whole", "{count} kits go out whole", goes)
    if not waits:
        return whole.format(count=goes)
    rest = trn("{count} waits", "{count} wait", waits)
    return tr("{whole}, {rest}").format(
        whole=whole.format(count=goes), rest=rest.format(count=waits)
    )


def say_gap(answer: Allocation) -> str:
    """What the chosen weigh beside the bound and the two plain answers, in one line."""
    return tr(
        "Weight {value} of at most {bound} ({gap} under); "
        "first come {first_come}, by scarcity {greedy}, all together {total}"
    ).format(
        value=answer.value,
        bound=answer.bound,
        gap=_part(answer.gap),
        first_come=answer.first_come,
        greedy=answer.greedy,
        total=answer.total,
    )


def say_found(answer: Allocation) -> str:
    """How the answer was come by, and what another might still gain."""
    return tr(FOUND[answer.found]).format(more=answer.bound - answer.value)


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
