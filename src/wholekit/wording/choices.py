"""Choices in words: what each is, what differs beside the kit as quoted, why one is not offered."""

from collections.abc import Mapping

from wholekit.domain.kits import Kit
from wholekit.domain.kits.choices import (
    ADJUSTABLE,
    AS_QUOTED,
    CHEAPEST,
    COVER,
    FIXED,
    FROM_STOCK,
    NEXT_SIZE,
    NO_COVER,
    PAINTED,
    PLATED,
    TO_ORDER,
    Wish,
    has_cover,
)
from wholekit.domain.quotes.choices import Refused
from wholekit.domain.rules import RuleBook
from wholekit.wording.findings import say_finding
from wholekit.wording.words import MOUNTS, ROLES, listed, plural

WHAT: dict[str, str] = {
    AS_QUOTED: "as quoted",
    CHEAPEST: "least price",
    NEXT_SIZE: "next size up",
    ADJUSTABLE: "adjustable body",
    FIXED: "body of fixed size",
    PAINTED: "painted finish",
    PLATED: "plated finish",
    COVER: "with a cover",
    NO_COVER: "without a cover",
    FROM_STOCK: "from stock today",
    TO_ORDER: "whether on hand or not",
    "mixed": "all suppliers",
}
# More items than these are counted, not named.
MOST_NAMED = 3


def say_what(word: str, suppliers: Mapping[str, str]) -> str:
    """What a word stands for. suppliers: their names by catalogue id.

    >>> say_what("next-size", {}), say_what("finish-689", {})
    ('next size up', 'finish 689')
    """
    if "+" in word:
        return ", ".join(say_what(part, suppliers) for part in word.split("+"))
    if word in WHAT:
        return WHAT[word]
    supplier = word.removeprefix("supplier-")
    if supplier in suppliers:
        return suppliers[supplier]
    return word.replace("-", " ", 1)


def say_wish(wish: Wish) -> str:
    """What was chosen, with what it asks of the kit.

    >>> say_wish(Wish("next-size", size=4)), say_wish(Wish("tarrowby", supplier="tarrowby"))
    ('next-size, in size 4 or larger', 'tarrowby, goods of tarrowby alone')
    """
    asked = [
        f"goods of {wish.supplier} alone" if wish.supplier else "",
        f"in size {wish.size} or larger" if wish.size is not None else "",
        f"in finish {wish.finish}" if wish.finish is not None else "",
        "" if wish.adjustable is None else f"with {_body(wish.adjustable)}",
        "" if wish.cover is None else WHAT[COVER if wish.cover else NO_COVER],
        f"of items with {wish.on_hand} or more on hand" if wish.on_hand else "",
        WHAT[TO_ORDER] if wish.to_order else "",
    ]
    return ", ".join((wish.word, *filter(None, asked)))


def say_difference(quoted: Kit, other: Kit) -> tuple[str, ...]:
    """What differs, the weightiest first: supplier, mount, body, size, finish, cover, items.

    Not said: how a kit is priced, and what is found of it.
    """
    found = []
    for was, now in (
        (_suppliers(quoted), _suppliers(other)),
        (MOUNTS[quoted.mount], MOUNTS[other.mount]),
        ("no body" if quoted.body is None else quoted.body.title,
         "no body" if other.body is None else other.body.title),
        (f"size {quoted.spring_size or 'unknown'}", f"size {other.spring_size or 'unknown'}"),
        (f"finish {quoted.finish}", f"finish {other.finish}"),
    ):  # fmt: skip
        if was != now:
            found.append(f"{now} in place of {was}")
    if has_cover(quoted) != has_cover(other):
        found.append(WHAT[COVER if has_cover(other) else NO_COVER])
    return (*found, *_items(quoted, other))


def say_refused(refused: Refused, rules: RuleBook) -> str:
    """Why a word is not offered."""
    if refused.by_hand:
        return "does not go with what is set by hand"
    parts = [f"lacks {listed(ROLES[role] for role in refused.lacks)}"] if refused.lacks else []
    parts += [say_finding(stop, rules).text.rstrip(".") for stop in refused.stops]
    return "; ".join(parts) or "not all of it is on hand"


def _body(adjustable: bool) -> str:
    return "an adjustable body" if adjustable else "a body of fixed size"


def _suppliers(kit: Kit) -> str:
    return listed(dict.fromkeys(line.item.supplier for line in kit.lines)) or "nobody"


def _items(quoted: Kit, other: Kit) -> tuple[str, ...]:
    """Items that come in and go out, each by SKU where they are few."""
    counts: dict[str, int] = {}
    for sign, kit in ((-1, quoted), (1, other)):
        for line in kit.lines:
            counts[line.item.sku] = counts.get(line.item.sku, 0) + sign * line.quantity
    more = [f"{count} × {sku}" for sku, count in counts.items() if count > 0]
    less = [f"{-count} × {sku}" for sku, count in counts.items() if count < 0]
    if not more and not less:
        return ("same items, set otherwise",)
    if len(more) > MOST_NAMED or len(less) > MOST_NAMED:
        return (f"{plural(len(more), 'item')} in, {len(less)} out",)
    said = (
        f"in: {listed(more)}" if more else "",
        f"out: {listed(less)}" if less else "",
    )
    return tuple(filter(None, said))
