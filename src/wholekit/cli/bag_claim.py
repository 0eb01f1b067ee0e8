"""A bag that answers a claim, as text."""

from wholekit.cli.console import moment, say, table
from wholekit.views.bag_claims import BagClaimAnswer, BagLeftAnswer
from wholekit.wording.bag_record import say_bag_deed, say_bag_left, say_came_back


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
    rows = [
        (moment(each.at), each.who,
         say_bag_deed(each.deed, each.packs, each.sku, instead=each.instead, said=each.said,
                      undid=of.get(each.of, ""), undone=each.undone, gone=each.gone))
        for each in answer.record
    ]  # fmt: skip
    if answer.left is not None:
        rows.append((moment(answer.left.at), answer.left.by, _left(answer.left)))
    rows += [
        (moment(each.at), each.who, say_came_back(each.packs, each.sku, each.way, each.reason))
        for each in answer.returned
    ]
    if not rows:
        return
    say()
    for line in table(rows, ("when", "who", "what happened"), frozenset(), 2):
        say(line)


def _left(left: BagLeftAnswer) -> str:
    return say_bag_left(left.way, moment(left.at), left.shipment, left.reference, left.received_by)
