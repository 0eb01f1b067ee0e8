"""What the drawings of a setting card are made from: places in metres, dimensions in words."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.documents.drawings.canvas import XY
from wholekit.domain.linkage import Arms
from wholekit.domain.openings import BodySide, Mount
from wholekit.wording.speech import tr
from wholekit.wording.words import SIDES, listed


@dataclass(frozen=True, slots=True)
class DrawnLeaf:
    """One leaf as it is drawn: its name under the drawing, and where its hinges lie on paper.

    active: of a pair the leaf that is opened first, where the schedule says which. aside: which
    leaf it is from the outside, where it is drawn from the inside; empty elsewhere.
    """

    name: str
    hinge_right: bool
    active: bool = False
    aside: str = ""

    @property
    def plain_name(self) -> str:
        """The name where it stands behind nothing."""
        return self.name.lstrip("; ")

    @property
    def full_name(self) -> str:
        """As `plain_name`, and which leaf it is from the outside."""
        return self.plain_name + self.aside

    @property
    def drawn_name(self) -> str:
        """The name, and that it is the active one of its pair."""
        return tr("{leaf}, ACTIVE").format(leaf=self.name) if self.active else self.name


@dataclass(frozen=True, slots=True)
class Dimensions:
    """The numbers that stand on the drawings, in the customer's units; empty: not printed.

    first: hinge line to the nearest holes; along, across: hole pattern; vertical: edge to the row
    it locates; pinion, anchor: hinge line to the pinion and to the pivot of shoe or bracket;
    from_face: the leaf's push face to a bracket's pivot; rail: its height, or that it is not
    stated.
    """

    first: str = ""
    along: str = ""
    vertical: str = ""
    across: str = ""
    pinion: str = ""
    anchor: str = ""
    from_face: str = ""
    rail: str = ""


@dataclass(frozen=True, slots=True)
class Placing:
    """Where everything sits [m]: along from the hinge line, rows from the edge they count from.

    columns, rows: hole centers, nearest first; None where the card gives none. located: the row
    that the vertical dimension locates, from the edge. head_face: height of the head's face. stop:
    how far the stop hangs below the rabbet; gap: between leaf and rabbet. on_plate: a plate
    carries the body; rail: height of the top rail, where it is known and near. unit: said under the
    drawing, such as `dimensions in mm`.
    """

    mount: Mount
    pull_side: bool
    leaves: tuple[DrawnLeaf, ...]
    pinion: float
    anchor: float
    head_face: float
    stop: float
    gap: float
    words: Dimensions
    columns: XY | None = None
    rows: XY | None = None
    located: float = 0.0
    on_plate: bool = False
    rail: float | None = None
    unit: str = ""
    arms: Arms | None = None

    @property
    def foot(self) -> str:
        """What the forearm ends on."""
        return tr("bracket") if self.mount is Mount.PARALLEL else tr("shoe")

    @property
    def side(self) -> str:
        """Whence the closer is seen."""
        return tr(SIDES[BodySide.PULL if self.pull_side else BodySide.PUSH])

    @property
    def body_span(self) -> XY:
        """The body's case along the leaf: past its holes by a little, or about its pinion."""
        if self.columns is None:
            return max(0.02, self.pinion - SKETCH[0]), self.pinion + SKETCH[1]
        return max(0.01, self.columns[0] - CASE), self.columns[1] + CASE


def hinges(leaves: Sequence[DrawnLeaf]) -> str:
    """On which side of the drawing each leaf hangs, in words."""
    return listed(
        [
            tr("{hinges} of the active leaf").format(hinges=said) if leaf.active else said
            for leaf in leaves
            for said in (
                tr("hinges at the right") if leaf.hinge_right else tr("hinges at the left"),
            )
        ]
    )


# How far a body's case is drawn beyond its holes, and about a pinion where none are drawn [m].
CASE = 0.02
SKETCH = (0.09, 0.17)
