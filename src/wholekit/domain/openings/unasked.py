"""Doors of a customer's sheet that nothing is quoted for, and what the sheet says of why."""

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from wholekit.domain.plain import SPARSE


class WhyUnasked(StrEnum):
    """What a sheet says of a door that it wants nothing for; LEFT_OUT: the counter was told so.

    UNREAD: the counter left it out, since what stands there cannot be read.
    """

    BY_OTHERS = "by-others"
    NO_CLOSER = "no-closer"
    NOT_IN_CONTRACT = "not-in-contract"
    NOT_USED = "not-used"
    LEFT_OUT = "left-out"
    UNREAD = "unread"


@dataclass(frozen=True, slots=True)
class UnaskedDoor:
    """A door by its mark that stands on the customer's sheet and is not quoted. alternate: the one
    its sheet was put into, empty for the base bid.

    row, column, given: of one that cannot be read, where it stands [row of the sheet, from 1], the
    column of ours at fault and what stands in it, empty where nothing does; code: by which it was
    refused, empty where nothing stands there or that was not kept.
    """

    mark: str
    why: WhyUnasked
    alternate: str = ""
    row: int = field(default=0, metadata={SPARSE: True})
    column: str = field(default="", metadata={SPARSE: True})
    given: str = field(default="", metadata={SPARSE: True})
    code: str = field(default="", metadata={SPARSE: True})

    @property
    def at(self) -> tuple[str, str]:
        """Where it stands: alternate and mark."""
        return self.alternate, self.mark

    @property
    def place(self) -> str:
        """The mark, with its alternate in brackets."""
        return f"{self.mark} [{self.alternate}]" if self.alternate else self.mark


def joined_doors(
    before: Sequence[UnaskedDoor], more: Iterable[UnaskedDoor]
) -> tuple[UnaskedDoor, ...]:
    """Doors with more of them, each place once as the later says."""
    found = {door.at: door for door in before}
    found |= {door.at: door for door in more}
    return tuple(found.values())


def without_asked(
    doors: Iterable[UnaskedDoor], asked: Container[tuple[str, str]]
) -> tuple[UnaskedDoor, ...]:
    """Those that nothing was asked for since: alternate and mark are of no opening."""
    return tuple(door for door in doors if door.at not in asked)
