"""Where packs lie: a branch of the house, and a bin in it."""

from dataclasses import dataclass

# The branch that is always there.
MAIN = "main"
LONGEST_CODE = 40  # of a branch or a bin: it stands in one cell of every list


@dataclass(frozen=True, slots=True, order=True)
class StockPlace:
    """A bin of a branch; bin empty = packs that have no bin of their own."""

    branch: str = MAIN
    bin: str = ""
