"""The papers of an offer as files of one folder: the quote, and what goes with the goods."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from pathlib import Path

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.archive import Archive
from wholekit.documents.card_reference import card_numbers
from wholekit.documents.dress import dressed
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.fill_labels import labels_as_released, labels_of_bags, labels_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_sheet import sheet_paper
from wholekit.documents.fill_slip import WHOLE, Consignment, packing_slip_paper
from wholekit.documents.fill_submittal import submittal_paper
from wholekit.documents.label_stock import SHEET_10, LabelStock
from wholekit.documents.out_folder import all_or_nothing
from wholekit.documents.papers import KitLabelsPaper
from wholekit.documents.press_room import PressRoom, in_press_room
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.house_style import PLAIN, HouseStyle
from wholekit.domain.orders import ReleasedBag
from wholekit.domain.orders.in_room import InRoom
from wholekit.domain.quotes import Offer, Snapshot
from wholekit.domain.rules import RuleBook
from wholekit.services.availability import calendar_of
from wholekit.settings import bundled
from wholekit.wording.orders import notice_of


@dataclass(frozen=True, slots=True)
class PaperFile:
    """A paper's file and what it is. name: what `--only` calls it."""

    name: str
    file: str
    what: str


QUOTE = PaperFile("quote", "quote.pdf", "quote for the customer")
PICK_LIST = PaperFile("pick-list", "pick-list.pdf", "pick list: the walk by bin, then bag by bag")
KIT_LABELS = PaperFile("kit-labels", "kit-labels.pdf", "a label for each bag")
PACKING_SLIP = PaperFile(
    "packing-slip", "packing-slip.pdf", "packing slip that goes with the goods"
)
SETTING_CARDS = PaperFile("setting-cards", "setting-cards.pdf", "setting cards for the fitter")
MARGIN_SHEET = PaperFile("margin-sheet", "margin-sheet.pdf", "internal sheet for the owner")
DRILLING_SHEETS = PaperFile("drilling-sheets", "drilling-sheets.pdf", "holes in true size, 1:1")
SUBMITTAL = PaperFile("submittal", "submittal.pdf", "submittal for the architect")
ON_REQUEST = (DRILLING_SHEETS, SUBMITTAL)
FOR_ALL = (QUOTE, PICK_LIST, KIT_LABELS, PACKING_SLIP, SETTING_CARDS)


def paper_named(name: str) -> PaperFile:
    """The paper of that name, of those for all and those on request."""
    return next(kind for kind in (*FOR_ALL, *ON_REQUEST) if kind.name == name)


@dataclass(frozen=True, slots=True)
class Ordered:
    """What papers are made of. accepted: codes of the alternates taken with the base bid; None:
    not accepted. changed: the job is no longer what was ordered. stock: of the labels; form: of the
    quote. goods: what the packing slip is of. style: how the house's papers look, and how its bins
    are walked. bags: those that labels are of; None: every one of what is had. in_room: what the
    pick room has done of it, where it was released."""

    snapshot: Snapshot
    rules: RuleBook
    floor: Fraction
    draft: bool = False
    accepted: Sequence[str] | None = None
    changed: bool = False
    stock: LabelStock = SHEET_10
    form: QuoteForm = QuoteForm.FULL
    goods: Consignment = WHOLE
    style: HouseStyle = PLAIN
    bags: Sequence[ReleasedBag] | None = None
    in_room: InRoom | None = None

    def paper(self, kind: PaperFile) -> AnyPaper:
        """One of the papers. The quote is as it was sent; the warehouse's are of what is had."""
        return dressed(self._filled(kind), self.style)

    def labels(self) -> KitLabelsPaper:
        """The labels of its bags, as what is had."""
        notice = notice_of(ordered=self.accepted is not None, changed=self.changed)
        had = self.snapshot.offer.chosen(self.accepted or ())
        return dressed(self._labels(had, notice), self.style)

    def _filled(self, kind: PaperFile) -> AnyPaper:
        offer = self.snapshot.offer
        if kind is QUOTE:
            return quote_paper(offer, draft=self.draft, form=self.form)
        if kind is MARGIN_SHEET:
            return sheet_paper(
                self.snapshot,
                self.floor,
                draft=self.draft,
                accepted=self.accepted,
                language=self.style.language,
            )
        notice = notice_of(ordered=self.accepted is not None, changed=self.changed)
        had = offer.chosen(self.accepted or ())
        makers: dict[PaperFile, Callable[[], AnyPaper]] = {
            PICK_LIST: lambda: pick_list_paper(
                had,
                notice,
                self.style.walk,
                calendar_of(self.rules),
                self.style.language,
                self.in_room,
            ),
            KIT_LABELS: lambda: self._labels(had, notice),
            PACKING_SLIP: lambda: packing_slip_paper(had, notice, self.goods, self.in_room),
            SETTING_CARDS: lambda: cards_paper(had, self.rules, notice),
            DRILLING_SHEETS: lambda: drilling_paper(had, self.rules, notice),
            SUBMITTAL: lambda: submittal_paper(had, self.rules),
        }
        return makers[kind]()

    def _labels(self, had: Offer, notice: str) -> KitLabelsPaper:
        paper = labels_paper(
            had,
            notice,
            issued=None if self.draft else self.snapshot.offer,
            stock=self.stock,
            cards=card_numbers(cards_paper(had, self.rules).cards),
        )
        if self.bags is not None:
            return labels_of_bags(paper, self.bags)
        return paper if self.in_room is None else labels_as_released(paper, self.in_room)


NAMELESS = (
    "No letterhead: these papers do not say whose they are. Name the house with --from, or set up "
    "a house folder (docs/papers.md) and look at it with house preview."
)


def write_papers(
    of: Ordered,
    kinds: Sequence[PaperFile],
    out: Path,
    tell: Callable[[str], None],
    kept: Archive | None = None,
    beside: Callable[[PressRoom], None] | None = None,
) -> list[tuple[Path, str]]:
    """Make each paper, telling what is under way; all come to stand in the folder, or none.

    kept: what the quote carries in its archive form; the other papers have none. beside: has
    papers of its own laid out with these.
    Gives each file and what it is. Raises CallError where it cannot write.
    """
    from wholekit.documents.render import render_paper

    if QUOTE in kinds and not of.snapshot.offer.house_name:
        tell(NAMELESS)

    def make(stage: Path, room: PressRoom | None = None) -> None:
        for kind in kinds:
            tell(f"making {kind.file} …")
            render_paper(
                of.paper(kind),
                stage / kind.file,
                bundled("templates"),
                kept=kept if kind is QUOTE else None,
                house=of.style.templates,
                room=room,
            )
        if beside is not None and room is not None:
            beside(room)

    def make_together(stage: Path) -> None:
        in_press_room(partial(make, stage), several=True)

    together = len(kinds) > 1 or beside is not None
    all_or_nothing(out, tuple(kind.file for kind in kinds), make_together if together else make)
    return [(out / kind.file, kind.what) for kind in kinds]
