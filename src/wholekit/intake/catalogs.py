"""Catalogues of several folders, to be used together."""

from collections.abc import Sequence
from pathlib import Path

from wholekit.domain.catalog import Catalog
from wholekit.domain.errors import CallError, InputError, Problem
from wholekit.intake.catalog_folder import load_catalog
from wholekit.settings import bundled


def read_catalogs(folders: Sequence[Path]) -> list[Catalog]:
    """Catalogues that can be used together: one currency, no id or SKU twice.

    Raises CallError, InputError with every fault of every one.
    """
    if not folders:
        raise CallError("catalog-needed", samples=str(bundled("catalog_samples")))
    catalogs = read_each(folders)
    require_together(catalogs)
    return catalogs


def read_each(folders: Sequence[Path]) -> list[Catalog]:
    """Catalogues whatever their currency, where no price is asked for. Raises InputError with every
    fault of every one."""
    problems: list[Problem] = []
    catalogs: list[Catalog] = []
    for folder in folders:
        try:
            catalogs.append(load_catalog(folder))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return catalogs


def require_together(catalogs: Sequence[Catalog]) -> None:
    """Raises CallError, InputError unless catalogues can be used together: one currency, no id or
    SKU twice."""
    problems: list[Problem] = []
    first = catalogs[0]
    ids: dict[str, str] = {}
    skus: dict[str, str] = {}
    for catalog in catalogs:
        if catalog.currency != first.currency:
            raise CallError(
                "currencies-mixed",
                first=f"{first.supplier}: {first.currency}",
                other=f"{catalog.supplier}: {catalog.currency}",
            )
        if catalog.id in ids:
            raise CallError("catalog-twice", id=catalog.id)
        ids[catalog.id] = catalog.folder
        for item in catalog.items:
            other = skus.setdefault(item.sku, catalog.supplier)
            # Twice in one price book is told when that book is read.
            if other != catalog.supplier:
                problems.append(
                    Problem(
                        "sku-in-two-catalogs",
                        {"sku": item.sku, "other": other},
                        catalog.folder,
                        item.row,
                        "sku",
                    )
                )
    if problems:
        raise InputError(problems)
