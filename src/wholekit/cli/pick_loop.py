"""The terminal at a cart: each line is a scan or a word, and is answered at once."""

from collections.abc import Callable, Iterator

from wholekit.cli.bag import print_contents, print_left_over
from wholekit.cli.console import say
from wholekit.cli.desk import deed
from wholekit.cli.pick_text import bag_names, names_of, print_wave, waits_of_bags
from wholekit.cli.release import bag_stands
from wholekit.cli.scanning import Teller
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.orders import BagState
from wholekit.domain.picking import Bag, CodeScan, ScanRefused, ShortReported, read_scan
from wholekit.domain.walk import Walk
from wholekit.services import lacks, picks, shorts, substitutions, waves
from wholekit.services.bag_work import PickAnswer
from wholekit.services.desk import Desk
from wholekit.services.waves import WaveView
from wholekit.views.pick_room import contents_answer
from wholekit.wording.errors import say_error
from wholekit.wording.pick_answers import say_answer, say_short, say_unclosed, say_whole

KEYS = """Scan a bag's label to turn to it, then what goes into it; 4*CODE counts four.
  left            what is still to take          wave   all of the walk
  undo            take the last scan back        close  the bag is full: close it
  leave           put the bag aside as it is     end    stop; what was scanned is kept
  short SKU       fewer lie in the bin than the books have: it asks how many do
  instead SKU BY REASON   take BY in its place
  loose           what is left over, and may go back; close 21*CODE puts it back
  help            these words"""
TELLER = Teller()
# Those that a scanner may type alone, with what each does: for a printed card.
WORDS = (
    ("left", "what is still to take"),
    ("wave", "all of the walk"),
    ("undo", "take the last scan back"),
    ("close", "the bag is full: close it"),
    ("short", "then scan what is not there"),
    ("instead", "then scan what is short, then what stands in"),
    ("leave", "put the bag aside as it is"),
    ("end", "stop; what was scanned is kept"),
)


def _is_count(text: str) -> bool:
    """Whether it is a number of packs; no code that a scanner typed is one."""
    return text.isascii() and text.isdecimal() and len(text) < 7


class PickLoop:
    """A picker at a wave. into: id of the bag turned to, empty for none."""

    def __init__(self, place: Desk, by: str, view: WaveView, walk: Walk) -> None:
        self.place, self.by, self.walk = place, by, walk
        self.into = ""
        # Every bag that was in it since, by id, with what it is called.
        self._seen: dict[str, str] = {}
        # The last scan counted nothing: whoever undoes may mean that one.
        self._refused = False
        # What a word that was scanned alone still waits for: the word, and the codes so far.
        self._waits_for: list[str] = []
        self._show(view)

    def run(self, lines: Iterator[str]) -> None:
        """Answer lines until one says to end, or there is none any more."""
        say(KEYS)
        try:
            for line in lines:
                word, _, rest = line.strip().partition(" ")
                try:
                    self._line(word.casefold(), rest.strip(), line)
                except (CallError, ConflictError) as error:
                    TELLER.refused(say_error(error))
        finally:
            # However it ends: somebody who broke off must know how to go on.
            self._end()

    def _end(self) -> None:
        self._look()
        if self.view.bags and not self.view.begun:
            waves.end_wave(self.place, deed(self.by), self.wave)
            ready = [self.names[row.id] for row, _ in self.view.bags if row.state is BagState.READY]
            if ready:
                say(f"Nothing was begun in wave {self.wave}: its bags are ready for anybody.")
            self._look()
            self._tell_waiting()
            return
        self._remind()
        self._tell_waiting()
        if self.view.under_way:
            say(f"Wave {self.wave}: go on with wholekit pick --wave {self.wave}")
        elif self.view.bags:
            say(f"Wave {self.wave} is done.")
        else:
            say(f"No bag is in wave {self.wave} any more.")

    def _tell_waiting(self) -> None:
        """What left the wave unfinished, and what it waits for."""
        there = self.view.bags
        gone = [bag_id for bag_id in self._seen if bag_id not in {row.id for row, _ in there}]
        for bag in waits_of_bags(self.place, deed(self.by), gone):
            stands = bag_stands(bag)
            if stands:
                say(f"   {self._seen[bag.bag]}, {bag.bag}: {bag.state}{stands}")

    @property
    def wave(self) -> int:
        """Its number."""
        return self.view.number

    def _show(self, view: WaveView) -> None:
        self.view = view
        self.bags: dict[str, Bag] = {row.id: bag for row, bag in view.bags}
        self.names = names_of(view)
        self._seen |= self.names

    def _look(self) -> None:
        self._show(waves.wave_shown(self.place, deed(self.by), self.wave, self.walk))

    def _line(self, word: str, rest: str, line: str) -> None:
        words: dict[str, Callable[[str], None]] = {
            "left": self._left, "wave": self._wave, "undo": self._undo, "close": self._close,
            "leave": self._leave, "short": self._short, "instead": self._instead,
            "help": self._help, "?": self._help, "loose": self._loose,
        }  # fmt: skip
        asked, self._waits_for = self._waits_for, []
        if word in words and (rest == "" or word in ("short", "instead", "leave", "close")):
            words[word](rest)
        elif asked:
            self._answered(*asked, line.strip())
        else:
            self._scan(line)
            return
        self._refused = False

    def _scan(self, typed: str) -> None:
        before, was = self.into, self.bags.get(self.into)
        done = picks.scan(
            self.place, deed(self.by), self.wave, typed, into=self.into, walk=self.view.walk
        )
        if done.bag is not None and str(done.bag.id) not in self.bags:
            # One that was put aside came into the wave: the walk is longer by it.
            self._look()
        self._told(done)
        self._refused = done.refused
        if before and self.into != before:
            self._remind(before)
            if was is not None and was.remaining and was.takes:
                say(f"   {self.names.get(before, was.mark)} is not full: its label goes on with it")

    def _told(self, done: PickAnswer) -> None:
        tell = TELLER.refused if done.refused else TELLER.right
        tell(*say_answer(done.answer, done.bag, done.places, self._called(done)))
        if done.bag is not None and not done.refused:
            self.into = str(done.bag.id)
            self.bags[self.into] = done.bag
            self._next(done.bag)

    def _called(self, done: PickAnswer) -> dict[str, str]:
        """What the bags of an answer are called, also one of no wave."""
        if isinstance(done.answer, ScanRefused):
            strange = str(done.answer.fields.get("bag", ""))
            if strange and strange not in self.names:
                found = waves.find_bag(self.place, deed(self.by), strange)
                return {**self.names, **bag_names(self.place, deed(self.by), found)}
        return self.names

    def _next(self, bag: Bag) -> None:
        name = self.names.get(str(bag.id), bag.mark)
        if bag.closed is not None:
            self.into = ""
            if any(one.closed is None for one in self.bags.values()):
                say("   Scan the next bag's label.")
            else:
                self._look()
                say("   Every bag of this wave is closed: end")
                self._tell_waiting()
        elif not bag.takes:
            self.into = ""
        elif bag.whole:
            say("   All is in: close")
            _, loose = picks.left_over(self.place, deed(self.by), str(bag.id))
            if loose:
                back = " ".join(f"{each.packs}*{each.item[1]}" for each in loose)
                say(f"   Or, to put back what is left over: close {back}")
        else:
            left = "  ".join(f"{line.packs}×{line.ware.sku}" for line in bag.remaining[:6])
            more = len(bag.remaining) - 6
            say(f"   {name} still takes {left}{f'  and {more} more' if more > 0 else ''}")

    def _remind(self, only: str = "") -> None:
        """Name the bags that are full and stand open. only: of this one alone."""
        full = [
            self.names.get(bag_id, bag.mark)
            for bag_id, bag in self.bags.items()
            if bag.takes and bag.whole and only in ("", bag_id)
        ]
        if full:
            say(say_unclosed(full))

    def _turned(self) -> str:
        if not self.into:
            TELLER.refused("Turn to a bag first: scan its label.")
        return self.into

    def _help(self, _rest: str) -> None:
        say(KEYS)

    def _left(self, _rest: str) -> None:
        if self._turned():
            asks = deed(self.by)
            waits = lacks.bag_waits(self.place, asks, self.into)
            shown = picks.bag_shown(self.place, asks, self.into)
            print_contents(contents_answer(*shown, waits), self.names[self.into])

    def _wave(self, _rest: str) -> None:
        self._look()
        print_wave(self.view)
        self._remind()
        self._tell_waiting()

    def _undo(self, _rest: str) -> None:
        if not self._turned():
            return
        if self._refused:
            TELLER.refused(
                "The last scan counted nothing.",
                "To take back what was counted before it, say undo again.",
            )
            return
        done = picks.undo_last(self.place, deed(self.by), self.into)
        self._told(done)
        names = bag_names(self.place, deed(self.by), done.whole)
        for line in say_whole(list(names.values())):
            say(f"   {line}")

    def _close(self, rest: str) -> None:
        read = [read_scan(text) for text in rest.split()]
        loose = [(one.code, one.packs) for one in read if isinstance(one, CodeScan)]
        if len(loose) < len(read) or not all("*" in text for text in rest.split()):
            TELLER.refused(
                "Say close alone, or with what goes back loose: close 21*CODE",
                "Nothing was closed.",
            )
        elif self._turned():
            self._told(picks.close_bag(self.place, deed(self.by), self.into, loose))

    def _loose(self, _rest: str) -> None:
        if self._turned():
            print_left_over(*picks.left_over(self.place, deed(self.by), self.into))

    def _leave(self, rest: str) -> None:
        if not self._turned():
            return
        bag = self.bags.get(self.into)
        if bag is not None and bag.whole:
            TELLER.refused("This bag has all: close it.")
            return
        self._told(picks.leave_bag(self.place, deed(self.by), self.into, rest))
        self._look()
        self._remind()

    def _short(self, rest: str) -> None:
        if not rest:
            if self._turned():
                self._waits_for = ["short"]
                say("   Scan, or type, the item that is not there.")
            return
        sku, _, count = rest.partition(" ")
        self._short_of(f"{count.strip()}*{sku}" if count.strip() else sku)

    def _answered(self, word: str, *codes: str) -> None:
        """A scan after a word that waited for it."""
        if word == "short" and len(codes) > 1:
            self._lying(*codes)
        elif word == "short":
            self._short_of(codes[0])
        elif len(codes) < 2:
            self._waits_for = [word, *codes]
            say("   Scan, or type, what stands in.")
        else:
            self._substitute(codes[0], codes[1], "short at the cart")

    def _short_of(self, said: str) -> None:
        count, star, sku = said.rpartition("*")
        if not sku or (star and not _is_count(count)):
            TELLER.refused("Say which item and how many are not there: short SKU 2")
        elif self._turned():
            asks, walk = deed(self.by), self.view.walk
            there = None if star else shorts.short_bin(self.place, asks, self.into, sku, walk)
            if there is not None:
                self._waits_for = ["short", sku]
                say(f"   Bin {there[0] or '(none)'}: {there[1]} × {sku} in the books.")
                say("   How many lie there? 0 for none.")
                return
            found = shorts.tell_short(self.place, asks, self.into, sku, int(count or 1), walk=walk)
            self._told_short(found)

    def _lying(self, sku: str, count: str) -> None:
        """The answer to how many lie in the bin."""
        if not _is_count(count):
            TELLER.refused("That is no number: nothing was told short.", f"Again: short {sku}")
        elif self._turned():
            asks, walk = deed(self.by), self.view.walk
            self._told_short(
                shorts.tell_short(self.place, asks, self.into, sku, 0, walk=walk, lying=int(count))
            )

    def _told_short(self, found: shorts.ShortTold) -> None:
        self._told(found.answer)
        short = found.answer.answer
        if not isinstance(short, ShortReported):
            return
        self._look()
        elsewhere = [
            (stop.bin, take.packs)
            for stop in self.view.walk.stops
            for take in stop.takes
            if stop.item == short.item and str(take.bag) == self.into
        ]
        names = bag_names(self.place, deed(self.by), found.waiting)
        waits, gone = (
            [names[bag.id] for bag in found.waiting if (bag.state is BagState.WAITING) is out]
            for out in (False, True)
        )
        bag = self.bags.get(self.into)
        more = bag is not None and any(line.item != short.item for line in bag.remaining)
        for line in say_short(
            short, elsewhere, found.lacks, waits, found.substitutes, gone, more=more
        ):
            say(f"   {line}")

    def _instead(self, rest: str) -> None:
        if not rest:
            if self._turned():
                self._waits_for = ["instead"]
                say("   Scan, or type, the item that is short.")
            return
        sku, _, more = rest.partition(" ")
        other, _, reason = more.strip().partition(" ")
        if not (sku and other and reason.strip()):
            TELLER.refused(
                "Say what stands in for what, and why: instead SKU OTHER-SKU shelf is empty"
            )
        elif self._turned():
            self._substitute(sku, other, reason.strip())

    def _substitute(self, sku: str, other: str, reason: str) -> None:
        self._told(
            substitutions.substitute_item(self.place, deed(self.by), self.into, sku, other, reason)
        )
        self._look()
