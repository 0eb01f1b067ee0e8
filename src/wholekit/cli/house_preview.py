"""`wholekit house preview`: every paper on sample data, in the house's look."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from wholekit.bootstrap import House, house_style, open_house
from wholekit.cli import options
from wholekit.cli.console import say, tell
from wholekit.cli.papers import VALID_DAYS, days_after, parse_date
from wholekit.domain.buying import OrderLine, PurchaseOrder
from wholekit.domain.house_style import HouseStyle
from wholekit.domain.openings import Opening
from wholekit.domain.quotes import Snapshot
from wholekit.settings import bundled

if TYPE_CHECKING:
    from wholekit.documents.order_paper import PurchaseOrderPaper

NUMBER = "SAMPLE"
CHANGES, ORDER = "changes.pdf", "purchase-order.pdf"
SUPPLIERS = ("quillmere", "tarrowby", "averlund")
FIRST = 9  # of the sample job's marks, and one that is stopped
STOPPED = "122"
MULTIPLIER, FLOOR = Fraction(62, 100), Fraction(25, 100)
ORDERED = 6  # lines of the sample order
DEARER = Fraction(65, 100)
# A place for each language there are words in.
LOCALES = {"en": "en_US", "fr": "fr_CA", "es": "es_MX"}


def register(group: typer.Typer) -> None:
    """Put the command on the group of the house."""
    group.command("preview")(preview)


def preview(
    out: Path = typer.Option(
        Path("house-preview"), "--out", help="Folder for the papers; made if need be."
    ),
    on: str = typer.Option("", "--date", help="Date of the papers, year-month-day; today."),
    folder: options.HouseStyleFolder = None,
) -> None:
    """Every paper on sample data in the house's look, the customer's in each of its languages.

    Without a house folder: as papers look without one.
    """
    from wholekit.documents.out_folder import all_or_nothing

    style = house_style(folder, tell)
    papers = _Papers(style, parse_date(on))
    files = papers.files()

    def make(stage: Path) -> None:
        for name in files:
            tell(f"making {name} …")
            papers.make(name, stage / name)

    all_or_nothing(out, tuple(files), make)
    for name in files:
        say(f"{out / name}")


class _Papers:
    """The sample job's papers; a quote for each language."""

    def __init__(self, style: HouseStyle, on: date) -> None:
        from wholekit.documents.paper_set import FOR_ALL, MARGIN_SHEET, ON_REQUEST, QUOTE, Ordered

        self._style = style
        self._on = on
        samples = bundled("catalog_samples")
        self._place = open_house([samples / name for name in SUPPLIERS])
        self._openings = list(_openings(self._place, samples / "jobs" / "ostrell-bay-school.csv"))
        first = self._snapshot("en", MULTIPLIER)
        self._later = self._snapshot("en", DEARER)
        of = Ordered(first, self._place.rules, FLOOR, style=style)
        self._made = {
            kind.file: (of, kind)
            for kind in (*FOR_ALL, *ON_REQUEST, MARGIN_SHEET)
            if kind is not QUOTE
        }
        self._made["quote-draft.pdf"] = replace(of, draft=True), QUOTE
        for language in LOCALES:
            if language == "en":
                self._made["quote.pdf"] = of, QUOTE
            elif style.card.sends_in(language):
                there = replace(of, snapshot=self._snapshot(language, MULTIPLIER))
                self._made[f"quote-{language}.pdf"] = there, QUOTE
        self._first = first

    def files(self) -> list[str]:
        """The names of the files, those that no one snapshot makes last."""
        return [*sorted(self._made), CHANGES, ORDER]

    def make(self, name: str, path: Path) -> None:
        """Write one of them."""
        from wholekit.documents.comparison import comparison_paper, render_comparison
        from wholekit.documents.dress import dressed
        from wholekit.documents.render import render_paper
        from wholekit.domain.quotes.compare import compare

        templates, house = bundled("templates"), self._style.templates
        if name in self._made:
            of, kind = self._made[name]
            render_paper(of.paper(kind), path, templates, house=house)
            return
        if name == ORDER:
            render_paper(self._order(), path, templates, house=house)
            return
        found = compare(self._first.offer, self._later.offer)
        paper = dressed(comparison_paper(found, self._later.offer), self._style)
        render_comparison(paper, path, templates, house)

    def _order(self) -> "PurchaseOrderPaper":
        """What the house would order of the first supplier: a pack of each of its first items."""
        from wholekit.documents.dress import dressed
        from wholekit.documents.fill_order import purchase_order_paper
        from wholekit.documents.papers import Letterhead

        catalog, card = self._place.shelf.catalogs[0], self._style.card
        lines = tuple(
            OrderLine(
                item.sku,
                item.description,
                item.finish or "",
                item.barcode,
                item.pack_size,
                1,
                item.cost,
            )
            for item in catalog.items[:ORDERED]
        )
        order = PurchaseOrder(
            NUMBER, catalog.supplier, catalog.currency, self._on, "main", lines, card.address
        )
        house = Letterhead(card.name, card.address, card.phone, card.email)
        return dressed(purchase_order_paper(order, house), self._style)

    def _snapshot(self, language: str, multiplier: Fraction) -> Snapshot:
        from wholekit.services.schedules import Asker, work_up_schedule
        from wholekit.services.snapshots import Headed

        asker = Asker("Saltmarsh Builders", "Ostrell Bay School", multiplier, LOCALES[language])
        place, card = self._place, self._style.card
        workup = work_up_schedule(self._openings, place.shelf, place.rules, self._on, asker)
        headed = Headed(
            quote=NUMBER,
            revision=0,
            issued=self._on,
            valid_until=days_after(self._on, VALID_DAYS),
            by="",
            house_name="",
            floor=FLOOR,
        ).said_by(card)
        return place.snapshot(workup, headed, card)


def _openings(place: House, schedule: Path) -> Iterator[Opening]:
    from wholekit.intake.openings import read_openings

    for number, opening in enumerate(read_openings(str(schedule), [], place.rules)):
        if number < FIRST or opening.mark == STOPPED:
            yield opening
