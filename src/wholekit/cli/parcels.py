"""What a packing slip is of, from the options of a call."""

import re
from collections.abc import Sequence

from wholekit.documents.fill_slip import Consignment
from wholekit.domain.errors import CallError

_OF = re.compile("([0-9]{1,4})/([0-9]{1,4})")


def consignment(openings: Sequence[str] | None, parcel: str) -> Consignment:
    """Raises CallError `parcel-unreadable`.

    >>> consignment(["101-104"], "2/3").parcel
    (2, 3)
    """
    found = _OF.fullmatch(parcel.strip())
    if parcel and not (found and 1 <= int(found[1]) <= int(found[2])):
        raise CallError("parcel-unreadable", given=parcel)
    return Consignment(tuple(openings or ()), (int(found[1]), int(found[2])) if found else None)
