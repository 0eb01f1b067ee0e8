"""Numbers in an address, within what a store can hold."""

from typing import Annotated

from fastapi import Path, Query

MOST = 2**31 - 1
InPath = Annotated[int, Path(ge=0, le=MOST)]
Skipped = Annotated[int, Query(ge=0, le=MOST)]
