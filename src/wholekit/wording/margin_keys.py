"""What margins are told by, in words."""

from wholekit.domain.earnings import AGREED, EXTRA, Group, SalePlace
from wholekit.domain.quotes.offer import KitKind
from wholekit.wording.speech import tr
from wholekit.wording.words import value_text

KEYS = {EXTRA: "extra line", AGREED: "price agreed by hand"}


def say_key(key: Group) -> str:
    """A key: a kind of kit, a place in a quote, or a name.

    >>> say_key(SalePlace("Q-00012/3", "101", "alt-1")), say_key(AGREED)
    ('Q-00012/3 101 [alt-1]', 'price agreed by hand')
    """
    match key:
        case KitKind():
            return _kind(key)
        case SalePlace():
            return _place(key)
    return tr(KEYS[key]) if key in KEYS else key


def _kind(kind: KitKind) -> str:
    size = "no size fits" if kind.spring_size is None else f"size {kind.spring_size}"
    series = "+".join(kind.series) or "no body"
    parts = [series, value_text("mount", kind.mount), size, kind.finish]
    return " / ".join([*parts, "pair"] if kind.leaves > 1 else parts)


def _place(place: SalePlace) -> str:
    said = f"{place.quote} {place.mark or KEYS[EXTRA]}"
    if place.alternate:
        said = f"{said} [{place.alternate}]"
    item = KEYS[AGREED] if place.sku == AGREED else place.sku or place.description
    return f"{said} {item}".rstrip()
