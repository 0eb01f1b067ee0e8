"""What the commands over stock share."""

from typing import Annotated

import typer

from wholekit.domain.stock import MAIN

Sku = Annotated[str, typer.Argument(help="The item's SKU.", metavar="SKU")]
Supplier = Annotated[
    str,
    typer.Option(
        "--supplier", help="Whose, where two suppliers sell under one SKU.", metavar="NAME"
    ),
]
AnyBranch = Annotated[str, typer.Option("--branch", help="At this branch alone.", metavar="CODE")]
InBranch = Annotated[str, typer.Option("--branch", help="At this branch.", metavar="CODE")]
InBin = Annotated[
    str | None,
    typer.Option("--bin", help="In this bin; the item's only one unless given.", metavar="BIN"),
]
IN_MAIN = MAIN
