"""`wholekit pick`: bags filled by scanner at a bare terminal."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import typer

from wholekit.bootstrap import house_style
from wholekit.cli import options
from wholekit.cli.bag import print_contents, print_left_over
from wholekit.cli.console import print_json, say, table
from wholekit.cli.desk import By, deed, desk
from wholekit.cli.scanning import Teller, typed_lines
from wholekit.cli.stock_options import AnyBranch
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.picking import Bag, CodeScan, read_scan
from wholekit.domain.walk import Walk
from wholekit.services import orders, picks, substitutions, waves
from wholekit.services.bag_work import PickAnswer
from wholekit.services.desk import Desk
from wholekit.views.pick_room import contents_answer, wave_answer
from wholekit.wording.errors import say_error
from wholekit.wording.pick_answers import say_answer

KEYS = """Scan a bag's label to turn to it, then what goes into it; 4*CODE counts four.
  left            what is still to take          wave   all of the walk
  loose           what is left over, and may go back; close 21*CODE puts it back
  undo            take the last scan back        close  the bag is full: close it
  short SKU N     N packs are not there          leave  put the bag aside as it is
  instead SKU BY REASON   take BY in its place   end    stop; what was scanned is kept"""

TELLER = Teller()


def register(app: typer.Typer) -> None:
    """Put the command on the program."""
    app.command("pick")(pick)


def pick(
    wave: int = typer.Option(0, "--wave", help="Go on with this wave.", metavar="N"),
    order: list[str] = typer.Option(
        [], "--order", help="Bags of this order alone; once for each.", metavar="QUOTE"
    ),
    bags: list[str] = typer.Option(
        [], "--bag", help="These bags alone, also one put aside; once for each.", metavar="BAG"
    ),
    branch: AnyBranch = "",
    most: int = typer.Option(12, "--most", help="Bags on the cart."),
    show: bool = typer.Option(False, "--show", help="Tell the wave; scan nothing."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Pick bags that are ready: a wave over one or several orders, in walking order, by scan.

    Each line is a scan or a word; a scanner is a keyboard that ends with Enter. Every answer is
    written when it is told: whatever happens to the terminal, the bag is as last confirmed.
    """
    place = desk()
    walk = house_style().walk
    if wave:
        found = waves.wave_shown(place, deed(by), wave, walk)
    else:
        ids = [orders.show_order(place, deed(by), each).order.id for each in order]
        found = waves.open_wave(
            place, deed(by), orders=ids, bags=bags, branch=branch, most=most, walk=walk
        )
    if json:
        print_json(wave_answer(found))
        return
    print_wave(found)
    if not show:
        _Loop(place, by, found.number, walk).run(typed_lines())


def print_wave(view: waves.WaveView) -> None:
    """A wave as text: the cart's bags, then what to take from where."""
    answer = wave_answer(view)
    say(f"Wave {answer.wave}, {answer.picker}")
    for position, (row, bag) in enumerate(view.bags, 1):
        order = view.orders[row.order]
        say(f"  {position:>2}  {row.mark}  bag {row.number}  {row.id}  {order.label}  {bag.status}")
    if not answer.walk:
        say("Nothing is left to take.")
        return
    rows = [
        (each.bin or "no bin", str(each.packs), each.sku, each.description,
         "  ".join(f"{at}×{packs}" for at, packs in each.bags))
        for each in answer.walk
    ]  # fmt: skip
    for line in table(rows, ("bin", "take", "item", "", "for bag"), frozenset({1}), (3, 4)):
        say(line)


@dataclass(slots=True)
class _Loop:
    """The terminal at a cart: the bag turned to, and what each line does."""

    place: Desk
    by: str
    wave: int
    walk: Walk
    into: str = ""

    def run(self, lines: Iterator[str]) -> None:
        say(KEYS)
        for line in lines:
            word, _, rest = line.strip().partition(" ")
            try:
                self._line(word.casefold(), rest.strip(), line)
            except (CallError, ConflictError) as error:
                TELLER.refused(say_error(error))
        say(f"Wave {self.wave}: go on with wholekit pick --wave {self.wave}")

    def _line(self, word: str, rest: str, line: str) -> None:
        words: dict[str, Callable[[str], None]] = {
            "left": self._left, "wave": self._wave, "undo": self._undo, "close": self._close,
            "leave": self._leave, "short": self._short, "instead": self._instead,
            "loose": self._loose,
        }  # fmt: skip
        if word in words and (rest == "" or word in ("short", "instead", "leave", "close")):
            words[word](rest)
            return
        self._told(picks.scan(self.place, deed(self.by), self.wave, line, into=self.into))

    def _told(self, done: PickAnswer) -> None:
        tell = TELLER.refused if done.refused else TELLER.right
        tell(*say_answer(done.answer, done.bag, done.place))
        if done.bag is None:
            return
        if not done.refused:
            self.into = str(done.bag.id)
            self._next(done.bag)

    def _next(self, bag: Bag) -> None:
        if bag.closed is not None:
            self.into = ""
            TELLER.more("Scan the next bag's label.")
        elif bag.whole:
            TELLER.more("All is in: close")
        else:
            left = "  ".join(f"{line.packs}×{line.ware.sku}" for line in bag.remaining[:6])
            TELLER.more(f"{bag.mark} still takes {left}")

    def _turned(self) -> str:
        if not self.into:
            TELLER.refused("No bag is open. Scan a bag's label first.")
        return self.into

    def _left(self, _rest: str) -> None:
        if self._turned():
            shown = picks.bag_shown(self.place, deed(self.by), self.into)
            print_contents(contents_answer(*shown))

    def _wave(self, _rest: str) -> None:
        print_wave(waves.wave_shown(self.place, deed(self.by), self.wave, self.walk))

    def _undo(self, _rest: str) -> None:
        if self._turned():
            self._told(picks.undo_last(self.place, deed(self.by), self.into))

    def _close(self, rest: str) -> None:
        read = [read_scan(text) for text in rest.split()]
        loose = [(one.code, one.packs) for one in read if isinstance(one, CodeScan)]
        if len(loose) < len(read):
            TELLER.refused("Say what goes back loose by its code: close 21*CODE")
        elif self._turned():
            self._told(picks.close_bag(self.place, deed(self.by), self.into, loose))

    def _loose(self, _rest: str) -> None:
        if self._turned():
            print_left_over(*picks.left_over(self.place, deed(self.by), self.into))

    def _leave(self, rest: str) -> None:
        if self._turned():
            self._told(picks.leave_bag(self.place, deed(self.by), self.into, rest))
            self.into = ""

    def _short(self, rest: str) -> None:
        sku, _, count = rest.partition(" ")
        if not (sku and count.strip().isdecimal() and len(count.strip()) < 7):
            TELLER.refused("Say which item and how many are not there: short SKU 2")
        elif self._turned():
            packs = int(count)
            self._told(picks.tell_short(self.place, deed(self.by), self.into, sku, packs))
            for ware in substitutions.substitutes_for(self.place, deed(self.by), self.into, sku):
                TELLER.more(f"may stand in: {ware.sku} {ware.title}")

    def _instead(self, rest: str) -> None:
        sku, _, more = rest.partition(" ")
        other, _, reason = more.strip().partition(" ")
        if not (sku and other and reason.strip()):
            TELLER.refused(
                "Say what stands in for what, and why: instead SKU OTHER-SKU shelf is empty"
            )
        elif self._turned():
            self._told(
                substitutions.substitute_item(
                    self.place, deed(self.by), self.into, sku, other, reason.strip()
                )
            )
