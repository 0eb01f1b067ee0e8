"""The demo's shop, opened in a browser: people who can sign in, and an order to pick."""

from contextlib import closing
from datetime import date, datetime, time
from pathlib import Path

from wholekit.bootstrap import desk_on, house_keys, open_store
from wholekit.cli.console import say
from wholekit.cli.demo_job import COUNTER, FOLDER, OWNER
from wholekit.cli.demo_pick_room import PICKER
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState
from wholekit.domain.quotes import State
from wholekit.intake.shorthand import read_shorthand
from wholekit.services.accounts import give_account
from wholekit.services.desk import Deed, Desk
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.orders import ToldRelease, release_order, show_order
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.services.stock import ToldItem, ToldPlace, receive_stock
from wholekit.settings import Settings

# Of the sample shop alone, on this machine alone, and told on the screen.
PASSWORD = "sample shop, nothing real"  # noqa: S105  # see above
JOB_NAME = "Tern Lane Clinic"
LINES = (
    "T1 3070 hollow-metal/steel interior in LH fire 90 accessible 689 reinforced",
    "T2 3070 hollow-metal/steel interior in RH accessible 689 reinforced x2",
    "T3 3070 wood/steel interior in LH fire 20 accessible 689",
)
DOCK = ToldPlace(bin="DOCK-1")


def furnish_shop(out: Path, on: date) -> Path:
    """An order that waits to be picked, and an account for each of the shop's people. The folder
    of the store. Raises CallError, StoreError."""
    home = out / FOLDER
    at = datetime.combine(on, time(9)).astimezone()
    with closing(open_store(Settings(home))) as store:
        desk = desk_on(store)
        _order(desk, at)
        for name in (COUNTER, PICKER, OWNER):
            give_account(desk, Deed(OWNER, at, proven=True), house_keys(), name, PASSWORD)
    say()
    say("the sample shop; whoever comes in, the password is the same:")
    for name, what in ((COUNTER, "counter"), (PICKER, "pick room"), (OWNER, "owner")):
        say(f"  {name:<6} {what:<10} {PASSWORD}")
    return home


def _order(desk: Desk, at: datetime) -> None:
    """A second job, accepted and released, all of it on the shelf."""
    counter, owner = Deed(COUNTER, at), Deed(OWNER, at)
    job = create_job(desk, counter, NewJob(JOB_NAME, "saltmarsh"))
    finishes = FinishBook(desk.rules)
    lines = [
        read_shorthand(line, number, finishes=finishes)
        for number, line in enumerate(LINES, start=1)
    ]
    add_openings(desk, counter, job.label, lines)
    outcome = issue_quote(desk, owner, job.label)
    issued = outcome.revision
    if issued is None:
        stops = [f"{stop.mark} {stop.finding.code}" for stop in outcome.review.stops]
        raise CallError("demo-stopped", stops=", ".join(stops) or "a limit")
    close_quote(desk, owner, issued.label, State.ACCEPTED)
    release_order(desk, owner, issued.label, ToldRelease())
    standing = show_order(desk, owner, issued.label)
    for each in standing.expected:
        for item in each.short:
            receive_stock(desk, owner, ToldItem(item.item[1], item.item[0]), item.packs, DOCK, "")
    standing = show_order(desk, owner, issued.label)
    ready = sum(bag.state is BagState.READY for bag in standing.bags)
    say(f"{standing.order.label}  {JOB_NAME}: {ready} bags wait to be picked")
