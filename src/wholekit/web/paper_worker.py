"""Makes the papers that were asked for, one after the other, beside the pages.

Each process of the server has one such worker; they share the row of papers in the store. A paper
is held for a while, and held on to while it is made: what a process held that was killed is begun
anew by the next that looks, at the latest when the server has started again.
"""

import logging
import shutil
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from threading import Event, Thread
from uuid import uuid4

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.dress import dressed
from wholekit.documents.fill_labels import labels_together
from wholekit.documents.fill_order import purchase_order_paper
from wholekit.documents.fill_shipment import shipment_paper
from wholekit.documents.label_stock import stock_named
from wholekit.documents.paper_set import Ordered, paper_named
from wholekit.documents.papers import Letterhead
from wholekit.documents.render import render_paper
from wholekit.documents.shelf_labels import Wanted, shelf_labels_paper
from wholekit.domain.errors import WholekitError
from wholekit.domain.house_style import HouseStyle, PageSize
from wholekit.domain.quotes.roles import Action
from wholekit.services.bag_labels import bags_labelled
from wholekit.services.buying import show_order
from wholekit.services.catalogs import stored_catalog
from wholekit.services.desk import Deed
from wholekit.services.paper_port import AskedPaper, PaperState
from wholekit.services.paper_queue import PAPERS
from wholekit.services.quote_papers import Shown, order_shown, revision_shown
from wholekit.services.shelf_labels import BINS, ShelfLabelsAsked, shelf_labels_asked
from wholekit.services.shipping import shipment_shown
from wholekit.settings import bundled
from wholekit.store.errors import StoreError
from wholekit.web.faults import sentences
from wholekit.web.papers import file_of_paper
from wholekit.web.place import WebPlace
from wholekit.wording.speech import speaking, tr

# How long a paper is held without a word [s], how often it is said to be under way, and how often
# it is looked whether another process was asked for one.
HELD, BEAT, LOOK = 15.0, 1.0, 2.0
# One that a server did not outlive so often is not begun again.
MOST_TRIES = 3
KEPT = timedelta(days=30)
LEFT_OVER = timedelta(days=1)
SWEEP = 3600.0
# How long the end of a paper is waited for when the server stops [s]; the next start makes it else.
STOPS_IN = 5.0
_LOG = logging.getLogger("wholekit.web")


class PaperWorker:
    """A thread that makes papers while the server runs."""

    def __init__(self, place: WebPlace, held: float = HELD) -> None:
        """held: see HELD."""
        self._place = place
        self._held = timedelta(seconds=held)
        self._holder = uuid4().hex
        self._stop = Event()
        self._thread = Thread(target=self._work, name="papers", daemon=True)

    def start(self) -> None:
        """Begin, with what was left from before."""
        self._thread.start()

    def stop(self) -> None:
        """Begin nothing more."""
        self._stop.set()
        self._place.wake.set()
        if self._thread.is_alive():
            self._thread.join(STOPS_IN)

    def _work(self) -> None:
        swept = 0.0
        while not self._stop.is_set():
            self._place.wake.clear()
            try:
                now = self._place.clock().timestamp()
                if now - swept > SWEEP:
                    swept = now
                    self.sweep()
                while not self._stop.is_set() and self.make_next():
                    pass
            except WholekitError as error:
                # The store is away for now, or too busy: looked at again in a while.
                _LOG.warning("papers wait: %s", error)
            except Exception:  # noqa: BLE001  # the thread must outlive what it does not know
                _LOG.exception("papers wait")
            self._place.wake.wait(LOOK)

    def make_next(self) -> bool:
        """Make the next paper; False where there is none. Raises StoreError."""
        place = self._place
        now = place.clock()
        with place.desk.store.reading() as uow:
            if not uow.papers.is_due(now):
                return False
        with place.desk.store.writing() as uow:
            asked = uow.papers.take(self._holder, now, now + self._held)
            uow.commit()
        if asked is None:
            return False
        with speaking(asked.language):
            ended = self._made(asked)
        with place.desk.store.writing() as uow:
            uow.papers.end(ended, self._holder)
            uow.commit()
        return True

    def sweep(self) -> None:
        """Forget old papers, and take away what nobody will fetch any more."""
        now = self._place.clock()
        with self._place.desk.store.writing() as uow:
            over = uow.papers.clear(now - KEPT)
            uow.commit()
        for asked in over:
            file_of_paper(self._place, asked).unlink(missing_ok=True)
        for left in self._place.papers.glob(".*.pdf-*"):
            # Where a paper was laid out by a server that was killed.
            if now.timestamp() - left.stat().st_mtime > LEFT_OVER.total_seconds():
                shutil.rmtree(left, ignore_errors=True)

    def _made(self, asked: AskedPaper) -> AskedPaper:
        """The paper done, or failed and why."""
        if asked.tries > MOST_TRIES:
            said = tr("The program ended each time it made this; it was given up.")
            return replace(asked, state=PaperState.FAILED, fault=said)
        beat = _Beat(self._place, asked, self._holder, self._held)
        try:
            with beat:
                self._make(asked, file_of_paper(self._place, asked), beat)
        except StoreError:
            # Not the paper's fault: it is begun again when it is no longer held.
            raise
        except WholekitError as error:
            return replace(beat.asked, state=PaperState.FAILED, fault="\n".join(sentences(error)))
        except Exception:  # noqa: BLE001  # told on the page, and in the log
            _LOG.exception("%s of %s", asked.paper, asked.reference)
            said = tr("The program failed here, by a fault of its own. Its log says more.")
            return replace(beat.asked, state=PaperState.FAILED, fault=said)
        return replace(beat.asked, state=PaperState.DONE, done=beat.asked.parts)

    def _make(self, asked: AskedPaper, file: Path, beat: "_Beat") -> None:
        style = self._place.style()
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        render_paper(
            self._filled(asked, style),
            file,
            bundled("templates"),
            house=style.templates,
            progress=beat.so_far,
        )

    def _filled(self, asked: AskedPaper, style: HouseStyle) -> AnyPaper:
        """What stands on the paper. Raises CallError, InputError."""
        place = self._place
        # In the name of whoever asked: a right that was lost meanwhile is told so.
        deed = Deed(asked.asked_by, place.clock(), proven=True)
        if asked.paper == "shipment-slip":
            return dressed(shipment_paper(shipment_shown(place.desk, deed, asked.reference)), style)
        if asked.paper == "bag-labels":
            return self._bag_labels(deed, asked.reference, style)
        if asked.paper == "purchase-order":
            card = place.desk.house()
            house = Letterhead(card.name, card.address, card.phone, card.email)
            bought = show_order(place.desk, deed, asked.reference).purchase
            return dressed(purchase_order_paper(bought.order, house), style)
        if asked.paper == "shelf-labels":
            return _shelf_labels(shelf_labels_asked(asked.reference), place, deed, style)
        for_customers = PAPERS[asked.paper] is Action.SEE_QUOTES
        shown = (revision_shown if for_customers else order_shown)(
            place.desk, deed, asked.reference
        )
        return _ordered(shown, place, style).paper(paper_named(asked.paper))

    def _bag_labels(self, deed: Deed, reference: str, style: HouseStyle) -> AnyPaper:
        """Labels of bags, those of each order on sheets of its own."""
        place = self._place
        of = bags_labelled(place.desk, deed, reference)
        papers = [
            replace(
                _ordered(order_shown(place.desk, deed, order.label), place, style),
                stock=stock_named(of.stock),
                bags=bags,
            ).labels()
            for order, bags in of.parts
        ]
        return labels_together(papers)


def _shelf_labels(
    asked: ShelfLabelsAsked, place: WebPlace, deed: Deed, style: HouseStyle
) -> AnyPaper:
    found = stored_catalog(place.desk.store, deed, asked.catalog)
    wanted = Wanted((asked.sku,) if asked.sku else (), of_bins=asked.of == BINS)
    size = style.paper or PageSize.LETTER
    return dressed(
        shelf_labels_paper([found.catalog], wanted, stock_named(asked.stock), size), style
    )


def _ordered(shown: Shown, place: WebPlace, style: HouseStyle) -> Ordered:
    return Ordered(
        shown.snapshot,
        place.desk.rules,
        shown.floor,
        shown.draft,
        shown.accepted,
        shown.changed,
        style=style,
        in_room=shown.in_room,
    )


class _Beat:
    """Says while a paper is made that it is, and how far."""

    def __init__(self, place: WebPlace, asked: AskedPaper, holder: str, held: timedelta) -> None:
        self.asked = asked
        self._place, self._holder, self._held = place, holder, held
        self._over = Event()
        self._thread = Thread(target=self._say, name="papers-beat", daemon=True)

    def so_far(self, done: int, parts: int) -> None:
        """So much is laid out."""
        self.asked = replace(self.asked, done=done, parts=parts)

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_error: object) -> None:
        self._over.set()
        self._thread.join()

    def _say(self) -> None:
        while not self._over.wait(BEAT):
            try:
                with self._place.desk.store.writing() as uow:
                    until = self._place.clock() + self._held
                    uow.papers.hold(self.asked, self._holder, until)
                    uow.commit()
            except Exception:  # noqa: BLE001  # whatever it is, the paper is being made
                # Said again at the next beat; where none is heard, somebody else makes it as well.
                _LOG.exception("papers: not said to be under way")
