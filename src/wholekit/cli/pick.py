"""`wholekit pick`: bags filled by scanner at a bare terminal."""

from pathlib import Path

import typer

from wholekit.bootstrap import house_style
from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import By, deed, desk
from wholekit.cli.pick_loop import WORDS, PickLoop
from wholekit.cli.pick_text import bag_names, print_wave, wave_line
from wholekit.cli.scanning import typed_lines
from wholekit.cli.stock_options import AnyBranch
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import PageSize
from wholekit.domain.walk import Walk
from wholekit.services import orders, waves
from wholekit.services.desk import Deed, Desk
from wholekit.services.waves import WaveView
from wholekit.settings import bundled
from wholekit.views.pick_room import wave_answer


def register(app: typer.Typer) -> None:
    """Put the command on the program."""
    app.command("pick")(pick)


def pick(
    wave: int = typer.Option(0, "--wave", help="Go on with this wave.", metavar="N"),
    new: bool = typer.Option(
        False, "--new", help="Begin another, though one of yours is not done."
    ),
    list_waves: bool = typer.Option(False, "--waves", help="List the waves under way."),
    order: list[str] = typer.Option(
        [], "--order", help="Bags of this order alone; once for each.", metavar="QUOTE"
    ),
    bags: list[str] = typer.Option(
        [], "--bag", help="These bags alone, also one put aside; once for each.", metavar="BAG"
    ),
    branch: AnyBranch = "",
    most: int = typer.Option(12, "--most", help="Bags on the cart."),
    show: bool = typer.Option(
        False, "--show", help="Tell the wave, or the one that would be begun; begin nothing."
    ),
    card: Path | None = typer.Option(
        None, "--card", help="Write the words as a card of codes to scan.", metavar="FILE"
    ),
    page: PageSize = typer.Option(PageSize.LETTER, "--page", help="The card's sheet of paper."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Pick bags that are ready: a wave over one or several orders, in walking order, by scan.

    Each line is a scan or a word; a scanner is a keyboard that ends with Enter. Every answer is
    written when it is told: whatever happens to the terminal, the bag is as last confirmed. A wave
    of yours that is not done is gone on with, unless bags, an order or a new one are asked for. A
    wave in which nothing was begun ends with the call, and its bags are ready for anybody.
    """
    if card is not None:
        _write_card(card, page, deed(by))
        return
    place, walk = desk(), house_style().walk
    if list_waves:
        _list(place, deed(by), walk, json=json)
        return
    own = () if new or order or bags or branch else _own(place, deed(by), walk)
    if not wave and own:
        say(f"Wave {own[0].number} of yours is not done: going on with it. Another: --new")
        wave = own[0].number
    if wave:
        found = waves.wave_shown(place, deed(by), wave, walk)
    else:
        ids = [orders.show_order(place, deed(by), each).order.id for each in order]
        try:
            found = waves.open_wave(
                place, deed(by), orders=ids, bags=bags, branch=branch, most=most, walk=walk,
                dry_run=show,
            )  # fmt: skip
        except CallError as error:
            if error.code == "wave-nothing-ready":
                _tell_under_way(place, deed(by), walk)
            raise
    if json:
        print_json(wave_answer(found))
        return
    print_wave(found, begun=bool(wave) or not show)
    if show:
        if not wave:
            say("Nothing was begun (--show).")
        return
    PickLoop(place, by, found, walk).run(typed_lines())


def _own(place: Desk, asks: Deed, walk: Walk) -> tuple[WaveView, ...]:
    """The waves under way of whoever asks."""
    found = waves.waves_under_way(place, asks, walk)
    return tuple(view for view in found if asks.who and view.picker == asks.who)


def _write_card(out: Path, page: PageSize, asks: Deed) -> None:
    from wholekit.documents.label_stock import SHEET_10, stock_named
    from wholekit.documents.render import render_paper
    from wholekit.documents.shelf_labels import word_labels_paper

    paper = word_labels_paper(WORDS, asks.day, stock_named(SHEET_10.name), page)
    render_paper(paper, out, bundled("templates"))
    say(f"{out}  {len(paper.labels)} words")


def _list(place: Desk, asks: Deed, walk: Walk, *, json: bool) -> None:
    found = waves.waves_under_way(place, asks, walk)
    if json:
        print_json([wave_answer(view) for view in found])
        return
    for view in found:
        say(wave_line(view))
    if not found:
        say("No wave is under way.")


def _tell_under_way(place: Desk, asks: Deed, walk: Walk) -> None:
    """What else there is to go on with."""
    for view in waves.waves_under_way(place, asks, walk):
        tell(wave_line(view))
    left = waves.bags_left(place, asks)
    names = bag_names(place, asks, left)
    for bag in left:
        tell(f"Bag {names[bag.id]} was put aside: wholekit pick --bag {bag.id}")
