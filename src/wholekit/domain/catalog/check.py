"""Every fault of a catalogue that shows only when its parts are held against each other."""

from collections.abc import Collection

from wholekit.domain.catalog.check_drilling import check_drilling
from wholekit.domain.catalog.check_items import check_items, check_supplies
from wholekit.domain.catalog.check_kits import check_kits
from wholekit.domain.catalog.check_plates import check_plates
from wholekit.domain.catalog.check_series import check_series
from wholekit.domain.catalog.model import Catalog
from wholekit.domain.errors import Problem


def check_catalog(catalog: Catalog, finishes: Collection[str]) -> list[Problem]:
    """All faults at once, each with its file, row and column (or TOML path); none if sound.

    finishes: the finish codes the rule book knows. Does not cover what a single cell or key can
    tell by itself (a word in place of a number, money with too many decimals): reading the files
    finds that.
    """
    return [
        *check_series(catalog),
        *check_kits(catalog),
        *check_drilling(catalog),
        *check_plates(catalog),
        *check_items(catalog, finishes),
        *check_supplies(catalog),
    ]
