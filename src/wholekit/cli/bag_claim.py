"""A bag that answers a claim, as text."""

from collections.abc import Mapping

from wholekit.cli.console import moment, say, table
from wholekit.domain.orders import ShipWay
from wholekit.views.bag_claims import BagClaimAnswer, BagDeedAnswer, BagLeftAnswer


def print_whose(answer: BagClaimAnswer) -> None:
    """Job, opening, and how the bag left."""
    said = ", ".join(each for each in (answer.opening, answer.room) if each)
    say(f"  {answer.order}, {answer.job} {answer.job_name}, for {answer.customer}")
    if said:
        say(f"  opening {answer.bag.mark}: {said}")
    if answer.left is not None:
        say(f"  {_left(answer.left)}")


def print_record(answer: BagClaimAnswer) -> None:
    """What happened to the bag, first to last, and what came back out of it."""
    of = {each.id: each.deed for each in answer.record}
    rows = [(moment(each.at), each.who, _deed(each, of)) for each in answer.record]
    if answer.left is not None:
        rows.append((moment(answer.left.at), answer.left.by, _left(answer.left)))
    rows += [
        (moment(each.at), each.who,
         f"came back: {each.packs} × {each.sku}, to {each.way}: {each.reason}")
        for each in answer.returned
    ]  # fmt: skip
    if not rows:
        return
    say()
    for line in table(rows, ("when", "who", "what happened"), frozenset(), 2):
        say(line)


def _left(left: BagLeftAnswer) -> str:
    way = "called for" if left.way == ShipWay.WILL_CALL else "shipped"
    said = f", {left.reference}" if left.reference else ""
    signed = f", received by {left.received_by}" if left.received_by else ""
    return f"{way} {moment(left.at)} with {left.shipment}{said}{signed}"


# What it means that a deed was undone, by the deed.
UNDONE = {
    "counted": "taken out again",
    "short": "short taken back",
    "substituted": "exchange taken back",
}


def _deed(each: BagDeedAnswer, of: Mapping[str, str]) -> str:
    what = f"{each.packs} × {each.sku}"
    reason = f": {each.said}" if each.said else ""
    told = {
        "opened": "opened",
        "counted": f"counted: {what}",
        "refused": f"refused{reason}",
        "undone": f"{UNDONE.get(of.get(each.of, ''), 'undone')}: {what}",
        "substituted": f"{what} in place of {each.instead}{reason}",
        "short": f"told short: {what}{reason}",
        "left": f"put aside{reason}",
        "closed": "closed",
        "unpacked": f"unpacked{reason}",
    }[each.deed]
    return f"{told} (undone later)" if each.undone else told
