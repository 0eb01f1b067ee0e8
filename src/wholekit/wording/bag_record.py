"""What happened to a bag, and how it left, in one line each."""

from collections.abc import Iterable

from wholekit.domain.orders import ShipWay
from wholekit.wording.speech import tr


def say_bag_deed(
    deed: str, packs: int, sku: str, *, instead: str = "", said: str = "", undid: str = "",
    undone: bool = False, gone: Iterable[tuple[str, int]] = (),
) -> str:  # fmt: skip
    """A deed at a bag. said: a reason or a refusal; undid: the deed that an `undone` took back;
    undone: it was taken back later; gone: by bin, packs that a short took out of the books.

    >>> say_bag_deed("short", 0, "TG-B1", gone=[("A-1", 1)])
    'out of the books at bin A-1: 1 × TG-B1'
    >>> say_bag_deed("counted", 2, "TG-B1", undone=True)
    'counted: 2 × TG-B1 (undone later)'
    """
    what = f"{packs} × {sku}"
    told = {
        "opened": tr("opened"),
        "counted": tr("counted: {what}"),
        "refused": tr("refused"),
        "undone": _UNDONE.get(undid, lambda: tr("undone: {what}"))(),
        "substituted": tr("{what} in place of {instead}"),
        "short": tr("told short: {what}"),
        "left": tr("put aside"),
        "closed": tr("closed"),
        "unpacked": tr("unpacked"),
    }[deed].format(what=what, instead=instead)
    if deed == "short":
        parts = [told] if packs else []
        parts += [
            tr("out of the books at bin {bin}: {packs} × {sku}").format(
                bin=name or tr("(none)"), packs=count, sku=sku
            )
            for name, count in gone
        ]
        told = "; ".join(parts) or told
    reason = f": {said}" if said else ""
    return f"{told}{reason}{' ' + tr('(undone later)') if undone else ''}"


# What it means that a deed was undone, by the deed.
_UNDONE = {
    "counted": lambda: tr("taken out again: {what}"),
    "short": lambda: tr("short taken back: {what}"),
    "substituted": lambda: tr("exchange taken back: {what}"),
}


def say_bag_left(way: str, when: str, shipment: str, reference: str, received_by: str) -> str:
    """How a bag left the house."""
    form = (
        tr("called for {when} with {shipment}")
        if way == ShipWay.WILL_CALL
        else tr("shipped {when} with {shipment}")
    )
    said = [form.format(when=when, shipment=shipment)]
    said += [reference] if reference else []
    said += [tr("received by {name}").format(name=received_by)] if received_by else []
    return ", ".join(said)


def say_came_back(packs: int, sku: str, way: str, reason: str) -> str:
    """Packs that a customer brought back out of a bag."""
    ways = {"shelf": tr("the shelf"), "scrap": tr("scrap"), "supplier": tr("the supplier")}
    return tr("came back: {packs} × {sku}, to {way}: {reason}").format(
        packs=packs, sku=sku, way=ways.get(way, way), reason=reason
    )
