"""The groups whose commands lie in several modules: `wholekit job`, `quote`, `catalog`,
`count`, `stock` and `buy`."""

from collections.abc import Mapping
from typing import ClassVar

import typer

from wholekit.cli.late import LateGroup


def _in_order(*rows: tuple[str, str]) -> dict[str, str]:
    """The module of each command, from rows of a module and its commands."""
    return {name: module for module, names in rows for name in names.split()}


class JobCommands(LateGroup):
    """Commands over a job."""

    modules: ClassVar[Mapping[str, str]] = _in_order(
        ("job", "new"),
        ("job_list", "list"),
        ("job", "show set"),
        ("job_openings", "add copy split remove override clear release"),
        ("job_choices", "choices choose"),
        ("job_questions", "questions answer"),
        ("job_edit", "edit try"),
        ("job_lines", "add-line edit-line remove-line"),
        ("job_terms", "discount alternate drop-alternate reprice"),
        ("job_history", "history"),
    )


class QuoteCommands(LateGroup):
    """Commands over a quote."""

    modules: ClassVar[Mapping[str, str]] = _in_order(
        ("quote", "draft edit discard review approve refuse waiting issue"),
        ("quote_list", "list"),
        ("quote", "show accept decline expire"),
        ("quote_compare", "compare"),
        ("quote_papers", "papers paper sheet"),
        ("quote_export", "export"),
        ("quote_schedule", "schedule"),
        ("quote_sent", "sent"),
    )


class CatalogCommands(LateGroup):
    """Commands over catalogues."""

    modules: ClassVar[Mapping[str, str]] = _in_order(
        ("catalog", "check"),
        ("catalog_loads", "load diff list"),
        ("catalog_sheets", "sheet rise rises"),
        ("catalog_stored", "items compare"),
        ("catalog_holes", "holes"),
        ("catalog_labels", "labels"),
    )


class StockCommands(LateGroup):
    """Commands over stock."""

    modules: ClassVar[Mapping[str, str]] = _in_order(
        ("stock", "list show history branch"),
        ("stock_moves", "receive move adjust scrap"),
        ("stock_returns", "return"),
        ("stock_value", "value"),
        ("stock_slow", "slow"),
    )


class CountCommands(LateGroup):
    """Commands over counts."""

    modules: ClassVar[Mapping[str, str]] = _in_order(("count", "sheet enter"))


class BuyCommands(LateGroup):
    """Commands over what is bought."""

    modules: ClassVar[Mapping[str, str]] = _in_order(
        ("buy", "list order orders show send cancel paper"),
    )


GROUPS: Mapping[str, tuple[type[LateGroup], str]] = {
    "buy": (BuyCommands, "Buying: what is short or low, and purchase orders."),
    "catalog": (CatalogCommands, "Supplier catalogues."),
    "job": (JobCommands, "Jobs: openings, extra lines, discounts, alternates."),
    "quote": (QuoteCommands, "Quotes: drafted, approved, issued, accepted or lost."),
    "count": (CountCommands, "Counting: a sheet to count by, and what was found."),
    "stock": (StockCommands, "Stock: what is on hand, promised and free, and its movements."),
}


def register(app: typer.Typer) -> None:
    """Put the groups on the application."""
    for name, (group, text) in GROUPS.items():
        made = typer.Typer(cls=group, help=text, no_args_is_help=True, rich_markup_mode=None)
        app.add_typer(made, name=name)
