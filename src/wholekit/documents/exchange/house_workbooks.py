"""Workbooks for the house: the pick room's list, which holds no money, and the owner's margins."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wholekit.documents.exchange.workbook import Cell, WorkSheet, workbook_bytes
from wholekit.documents.internal_sheet import Figures, InternalSheet
from wholekit.documents.papers import PaperHead, PickListPaper, PickOpening
from wholekit.domain.quotes.standing import OpeningStanding


def pick_workbook(paper: PickListPaper) -> bytes:
    """The pick list: the walk from bin to bin, the bags, those that are held, other goods."""
    walk = WorkSheet(
        "Walk",
        ("Bin", "SKU", "Description", "Finish", "Quantity", "Short", "Working days", "Marks"),
        tuple(
            (
                line.bin,
                line.sku,
                line.description,
                line.finish,
                line.quantity,
                line.short or None,
                line.waits or None,
                ", ".join(f"{mark} × {count}" for mark, count in line.split),
            )
            for line in paper.walk
        ),
    )
    bags = WorkSheet(
        "Bags",
        ("Mark", "Bags", "Leaf size", "Mount", "Size", "SKU", "Description", "Finish", "Bin",
         "In each bag", "Quantity", "Short", "Released", "Note"),
        tuple(row for opening in paper.openings for row in _bag(opening, opening.released)),
    )  # fmt: skip
    held = WorkSheet(
        "Held - do not ship",
        ("Mark", "Bags", "Leaf size", "Mount", "Size", "SKU", "Description", "Finish", "Bin",
         "In each bag", "Quantity", "Short", "Why", "Note"),
        tuple(row for opening in paper.held for row in _bag(opening, _why(opening))),
    )  # fmt: skip
    other = WorkSheet(
        "Other goods",
        ("Description", "Quantity"),
        tuple((extra.description, extra.quantity) for extra in paper.extras),
    )
    sheets = [replace(sheet, notice=paper.head.notice) for sheet in (walk, bags, held, other)]
    return _bytes(sheets, paper.head, "Pick list")


def margin_workbook(sheet: InternalSheet) -> bytes:
    """The owner's figures of a quote. Never leaves the house."""
    figures = ("Price", "Cost", "Earned", "Margin", "Under floor")
    money = tuple(
        f"{name} [{sheet.total.price.currency}]" if place < 3 else name
        for place, name in enumerate(figures)
    )
    sheets = (
        WorkSheet("Totals", ("Name", *money), tuple(_margin_totals(sheet))),
        WorkSheet(
            "Openings",
            ("Mark", "Quantity", "Leaf size", "Mount", "Held", *money),
            tuple(
                (
                    opening.mark,
                    opening.quantity,
                    opening.size,
                    opening.mount,
                    "" if opening.standing is OpeningStanding.FIRM else opening.standing.value,
                    *_figures(opening.figures),
                )
                for opening in sheet.openings
            ),
        ),
        WorkSheet(
            "Items",
            ("Marks", "SKU", "Description", "Supplier", "For one opening", "List price",
             "Multiplier", "Net each", "Cost each", *money, "By hand"),
            tuple(_margin_items(sheet)),
        ),
        WorkSheet(
            "Suppliers",
            ("Supplier", "Lines", *money),
            tuple((each.supplier, each.items, *_figures(each.figures)) for each in sheet.suppliers),
        ),
        WorkSheet(
            "Extra lines",
            ("Description", "Alternate", "Quantity", *money),
            tuple(
                (
                    extra.description,
                    extra.alternate,
                    extra.quantity,
                    *(
                        (extra.price, None, None, None, "no known cost")
                        if extra.figures is None
                        else _figures(extra.figures)
                    ),
                )
                for extra in sheet.extras
            ),
        ),
    )  # fmt: skip
    return _bytes(sheets, sheet.head, "Margins")


def _bag(opening: PickOpening, said: Sequence[str]) -> Iterator[tuple[Cell, ...]]:
    about = (opening.mark, opening.bags, opening.size, opening.mount, opening.size_set)
    for line in opening.lines:
        yield (
            *about,
            line.sku,
            line.description,
            line.finish,
            line.bin,
            line.each,
            line.quantity,
            line.short or None,
            " ".join(said),
            opening.note,
        )
    if not opening.lines:
        yield (*about, "", "", "", "", None, None, None, " ".join(said), opening.note)


def _why(opening: PickOpening) -> tuple[str, ...]:
    lacks = (f"missing: {piece.quantity} × {piece.piece}" for piece in opening.missing)
    return (*opening.stops, *lacks)


def _margin_totals(sheet: InternalSheet) -> Iterator[tuple[Cell, ...]]:
    yield "Base bid", *_figures(sheet.total)
    if sheet.accepted is not None:
        yield "Accepted", *_figures(sheet.accepted.figures)
    for alternate in sheet.alternates:
        yield f"Alternate {alternate.code}: changes", *_figures(alternate.change)
    rest = (None, None, None, None)
    yield "Without known cost", sheet.uncosted, *rest
    yield "Freight", sheet.freight, *rest
    yield "Tax", sheet.tax, *rest
    yield "Total", sheet.gross, *rest
    yield "Floor", None, None, None, sheet.floor, None


def _margin_items(sheet: InternalSheet) -> Iterator[tuple[Cell, ...]]:
    for kit in sheet.kits:
        for line in kit.lines:
            yield (
                ", ".join(kit.marks),
                line.sku,
                line.description,
                line.supplier,
                line.quantity,
                line.list_price,
                line.multiplier,
                line.unit,
                line.cost,
                *_figures(line.figures),
                line.by_hand,
            )


def _figures(found: Figures) -> tuple[Cell, ...]:
    under = "under floor" if found.below_floor else ""
    return found.price, found.cost, found.margin, found.rate, under


def _bytes(sheets: Sequence[WorkSheet], head: PaperHead, what: str) -> bytes:
    return workbook_bytes(
        sheets,
        title=f"{what} {head.number}",
        author=head.letterhead.name,
        day=head.issued,
        page=head.page_size,
    )
