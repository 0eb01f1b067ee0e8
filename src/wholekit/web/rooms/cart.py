"""At the cart: a wave's walk, the bag that is open, and the field that scans go into.

A scan is judged by the server alone. Each bears an id of its own, so that one that is sent twice,
by an impatient hand or after the network was away, counts once.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.documents.label_stock import STOCKS
from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.orders import BagState
from wholekit.domain.picking import (
    Bag,
    ItemSubstituted,
    PacksScanned,
    ScanRefused,
    ShortReported,
    last_to_undo,
)
from wholekit.domain.quotes.roles import Action
from wholekit.services import picks, shorts, substitutions, waves
from wholekit.services.accounts import Seated
from wholekit.services.bag_work import PickAnswer
from wholekit.services.lacks import bag_waits
from wholekit.views.pick_room import WaveAnswer, wave_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import InPath
from wholekit.web.place import place_of
from wholekit.web.screens import go, language_for, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.pick_answers import bag_name, say_answer, say_short, say_whole
from wholekit.wording.speech import speaking, tr
from wholekit.wording.waits import say_due

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Picks = Annotated[Seated, sits(Action.PICK_BAGS)]
CLOSED_ALREADY = "bag-closed-already"
LONGEST_ID, LONGEST_SCAN = 80, 20_000


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of the last scan: right or not, and in what words; the first line is short.

    lacking: it was a short that was told, which is neither.
    """

    right: bool
    lines: tuple[str, ...]
    lacking: bool = False


@dataclass(frozen=True, slots=True)
class OnCart:
    """A bag of the cart. position: where it stands [count from 1]; taken, wanted: packs [count]."""

    position: int
    id: str
    name: str
    state: str
    taken: int
    wanted: int


@dataclass(frozen=True, slots=True)
class PieceToTake:
    """An item of the bag that is open. taken, left: packs in it, and to come [count]; bins: where
    the walk takes them; books: packs that the books have in the first of them [count]; told: of
    those to come, told not to be there [packs]; until: when they can be here, in words; empty where
    nobody knows."""

    sku: str
    words: str
    taken: int
    left: int
    bins: tuple[str, ...] = ()
    books: int = 0
    told: int = 0
    until: str = ""


@dataclass(frozen=True, slots=True)
class OpenBag:
    """The bag that is open. called: what people call it; whole: all is in it; last: what can be
    taken back, in words, empty where nothing can."""

    id: str
    called: str
    lines: tuple[PieceToTake, ...]
    whole: bool
    last: str


@dataclass(frozen=True, slots=True)
class Cart:
    """All that is shown at the cart; no money is in it. takers: the bags that take from each stop
    of the walk; orders: those that labels can be made of; stocks: what on; over: there is no bag in
    it to pick or to close."""

    wave: WaveAnswer
    bags: tuple[OnCart, ...]
    open: OpenBag | None
    said: Verdict | None
    takers: tuple[tuple[str, ...], ...]
    instead: tuple[tuple[str, str, str], ...]
    scan_id: str
    orders: tuple[str, ...]
    stocks: tuple[str, ...]
    over: bool


@room.get("/picking/waves/{wave}")
def cart(request: Request, wave: InPath, _seated: Picks, into: str = "") -> Response:
    """The wave, with the bag that is open. One that has left the wave is told on its own page,
    which has the way to go on with it."""
    view = _view(request, wave)
    if into and all(row.id != into for row, _ in view.bags):
        return go(f"/bags/{quote(into, safe='')}")
    return _cart(request, view, into)


@room.post("/picking/waves/{wave}")
def do(request: Request, wave: InPath, _seated: Picks, form: Form) -> Response:
    """A scan, or a deed at the bag that is open; answered at once."""
    place, into = place_of(request), text_of(form, "into")
    instead: tuple[tuple[str, str, str], ...] = ()
    try:
        if text_of(form, "deed") == "end":
            back = waves.end_wave(place.desk, deed_of(request), wave)
            rest = [row for row, _ in _view(request, wave).bags if row.state in waves.PICKABLE]
            return go(f"/picking?ended={wave}&back={len(back)}&left={len(rest)}")
        view = _view(request, wave)
        if text_of(form, "deed") == "short":
            done, more, instead = _short(request, form, into, view)
        else:
            done = _done(request, view, form, into)
            more = _whole_now(request, done)
        with speaking(language_for(request)):
            lines = say_answer(done.answer, done.bag, done.places, _called(view))
            lacking = isinstance(done.answer, ShortReported)
            shut = isinstance(done.answer, ScanRefused) and done.answer.code == CLOSED_ALREADY
            # Pressed twice, or on a page from before: nothing is wrong, and nothing is to do.
            said = Verdict(shut or not done.refused, (*lines, *more), lacking)
    except WholekitError as error:
        said = Verdict(right=False, lines=tuple(sentences(error)))
        return _cart(request, _view(request, wave), into, said, status_of(error))
    if shut:
        into = ""
    elif not done.refused and done.bag is not None:
        shut = done.bag.closed is not None or text_of(form, "deed") == "leave"
        into = "" if shut else str(done.bag.id)
    # What was refused was answered; nothing is wrong with the call.
    return _cart(request, _view(request, wave), into, said, 200, instead)


def _view(request: Request, wave: int) -> waves.WaveView:
    place = place_of(request)
    return waves.wave_shown(place.desk, deed_of(request), wave, place.style().walk)


def _done(request: Request, view: waves.WaveView, form: FormData, into: str) -> PickAnswer:
    desk, deed = place_of(request).desk, deed_of(request)
    what = text_of(form, "deed")
    if what in ("", "scan"):
        typed = form.get("scan")
        scan_id = text_of(form, "scan_id")[:LONGEST_ID]
        text = typed[:LONGEST_SCAN] if isinstance(typed, str) else ""
        # Taken from the bin that the page sends the picker to.
        return picks.scan(desk, deed, view.number, text, scan_id, into, view.walk)
    if not into:
        raise CallError("no-bag-open")
    if what == "undo":
        return picks.undo_last(desk, deed, into, text_of(form, "scan_id")[:LONGEST_ID])
    if what == "close":
        return picks.close_bag(desk, deed, into)
    if what == "leave":
        return picks.leave_bag(desk, deed, into, text_of(form, "reason"))
    if what == "instead":
        sku, by = text_of(form, "sku"), text_of(form, "by")
        return substitutions.substitute_item(desk, deed, into, sku, by, text_of(form, "reason"))
    raise CallError("pick-deed-unknown", given=what)


def _short(
    request: Request, form: FormData, into: str, view: waves.WaveView
) -> tuple[PickAnswer, tuple[str, ...], tuple[tuple[str, str, str], ...]]:
    """Packs that are not there: the answer, what more is to be told, what may stand in."""
    place, deed = place_of(request), deed_of(request)
    if not into:
        raise CallError("no-bag-open")
    count, sku = text_of(form, "packs"), text_of(form, "sku")
    packs = int(count) if _is_count(count) else 1
    there = text_of(form, "lying")
    if "lying" in form and not there:
        raise CallError("lying-wanted", sku=sku)
    if there and not _is_count(there):
        raise CallError("packs-unreadable", given=there)
    lying = int(there) if there else None
    told = shorts.tell_short(place.desk, deed, into, sku, packs, walk=view.walk, lying=lying)
    short = told.answer.answer
    if not isinstance(short, ShortReported):
        return told.answer, (), ()
    equal = waves.equal_bags_of(place.desk, deed, told.waiting) if told.waiting else {}
    with speaking(language_for(request)):
        waiting, gone = (
            [
                bag_name(bag.mark, bag.number, equal[bag.id])
                for bag in told.waiting
                if (bag.state is BagState.WAITING) is out
            ]
            for out in (False, True)
        )
        bag = told.answer.bag
        other = bag is not None and any(line.item != short.item for line in bag.remaining)
        # What may stand in has buttons of its own.
        more = say_short(short, (), told.lacks, waiting, (), gone, more=other)
    instead = tuple((sku, ware.sku, ware.title) for ware, _ in told.substitutes)
    return told.answer, more, instead


def _is_count(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) < 7


def _whole_now(request: Request, done: PickAnswer) -> tuple[str, ...]:
    if not done.whole:
        return ()
    equal = waves.equal_bags_of(place_of(request).desk, deed_of(request), done.whole)
    with speaking(language_for(request)):
        return say_whole([bag_name(bag.mark, bag.number, equal[bag.id]) for bag in done.whole])


def _called(view: waves.WaveView) -> dict[str, str]:
    return {row.id: bag_name(row.mark, row.number, view.equal[row.id]) for row, _ in view.bags}


def _cart(
    request: Request,
    view: waves.WaveView,
    into: str,
    said: Verdict | None = None,
    status: int = 200,
    instead: tuple[tuple[str, str, str], ...] = (),
) -> Response:
    place = place_of(request)
    with speaking(language_for(request)):
        names = _called(view)
    bags = tuple(
        OnCart(
            position,
            row.id,
            names[row.id],
            row.state.value,
            sum(scan.packs for scan in bag.scans),
            sum(line.packs for line in bag.plan),
        )
        for position, (row, bag) in enumerate(view.bags, start=1)
    )
    now = next((bag for row, bag in view.bags if row.id == into and not bag.closed), None)
    open_now = None if now is None else _open(request, view, now, names[into])
    shown = Cart(
        wave_answer(view),
        bags,
        open_now,
        said,
        _takers(view, names),
        instead,
        place.desk.ids.new(),
        tuple(dict.fromkeys(view.orders[row.order].label for row, _ in view.bags)),
        tuple(stock.name for stock in STOCKS),
        not view.under_way,
    )
    part = bool(request.headers.get("x-part"))
    return page(request, "parts/cart.html" if part else "cart.html", status, cart=shown)


def _takers(view: waves.WaveView, names: Mapping[str, str]) -> tuple[tuple[str, ...], ...]:
    """The bags that take from each stop, by what they are called."""
    return tuple(
        tuple(
            f"{names[str(take.bag)]}{f' × {take.packs}' if take.packs > 1 else ''}"
            for take in stop.takes
        )
        for stop in view.walk.stops
    )


def _open(request: Request, view: waves.WaveView, bag: Bag, called: str) -> OpenBag:
    left = {line.item: line.packs for line in bag.remaining}
    bins: dict[ItemKey, list[str]] = {}
    for stop in view.walk.stops:
        if stop.bin and any(take.bag == bag.id for take in stop.takes):
            bins.setdefault(stop.item, []).append(stop.bin)
    until: dict[ItemKey, str] = {}
    if bag.missing:
        waits = bag_waits(place_of(request).desk, deed_of(request), str(bag.id))
        short = () if waits is None else waits.short
        with speaking(language_for(request)):
            until = {each.item: say_due(each.day, each.ordered) for each in short}
    return OpenBag(
        str(bag.id),
        called,
        tuple(
            PieceToTake(
                line.ware.sku,
                line.ware.title,
                line.packs - left.get(line.item, 0),
                left.get(line.item, 0),
                tuple(bins.get(line.item, ())),
                view.books.get((line.item, next(iter(bins.get(line.item, ())), "")), 0),
                bag.missing.get(line.item, 0),
                until.get(line.item, ""),
            )
            for line in bag.plan
        ),
        bag.whole,
        _last(request, bag),
    )


def _last(request: Request, bag: Bag) -> str:
    with speaking(language_for(request)):
        match bag.by_id.get(last_to_undo(bag)):
            case PacksScanned(item=(_, sku), packs=packs):
                return tr("{packs} × {sku}").format(packs=packs, sku=sku)
            case ShortReported(item=(_, sku)):
                return tr("the short of {sku}").format(sku=sku)
            case ItemSubstituted() as instead:
                said = tr("{by} in place of {sku}")
                return said.format(by=instead.ware.sku, sku=instead.item[1])
    return ""
