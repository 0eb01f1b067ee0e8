"""One leaf and what acts on it, a limit held against it, and the verdict."""

from dataclasses import dataclass

from wholekit.domain.findings import Finding
from wholekit.domain.forces.limit import NEWTONS, Limit
from wholekit.domain.openings import Location
from wholekit.domain.quantities.physical import N_PER_LBF


@dataclass(frozen=True, slots=True)
class DoorCase:
    """One leaf and what acts on it.

    width_m, height_m [m]; handle_m: handle to the latch edge [m]; pressure_pa: pressure
    difference, whichever way it acts [Pa]; wind: it is the wind's; us: reckon the opening force
    with the US form of the formula (K = 5.2). seals_n, latch_n: forces at the latch edge to press
    seals and latch home [N], None where nobody said. egress: whether it is an exit, None where
    nobody said. beyond_30_nm: greatest closing moment from 30° to 60° [N·m] from `linkage`, None
    where unknown. share: closing moment in this mount over the regular arm's.
    """

    width_m: float
    height_m: float
    handle_m: float
    pressure_pa: float = 0.0
    us: bool = False
    location: Location = Location.INTERIOR
    fire: bool = False
    accessible: bool = False
    seals_n: float | None = None
    latch_n: float | None = None
    beyond_30_nm: float | None = None
    share: float = 1.0
    egress: bool | None = None
    wind: bool = False

    @property
    def unchecked(self) -> tuple[str, ...]:
        """What no figure of it contains because nobody stated it: `seals`, `latch`."""
        known = (("seals", self.seals_n), ("latch", self.latch_n))
        return tuple(name for name, force in known if force is None)

    @property
    def beaten(self) -> tuple[str, ...]:
        """What beside the pressure the closer must beat: `seals`, `latch`."""
        known = (("seals", self.seals_n), ("latch", self.latch_n))
        return tuple(name for name, force in known if force)

    @property
    def handle_lever_m(self) -> float:
        """Hinge to handle [m]."""
        return self.width_m - self.handle_m

    def lever_m(self, limit: Limit) -> float:
        """Hinge to the point where a limit is read [m]."""
        return self.width_m if limit.at == "edge" else self.handle_lever_m


@dataclass(frozen=True, slots=True)
class LimitResult:
    """A limit held against the opening, in the limit's own unit [lbf, N or N·m].

    closer, pressure: the force's two parts, None where it could not be worked out. binding: the
    limit is for such an opening; undecided: it may be, which the authority or the customer says.
    """

    limit: Limit
    allowed: float
    closer: float | None
    pressure: float
    binding: bool
    undecided: bool = False

    @property
    def force(self) -> float | None:
        """The force compared with the limit."""
        return None if self.closer is None else self.closer + self.pressure

    @property
    def within(self) -> bool | None:
        """Whether the limit is kept, compared in its own unit; None where unknown.

        Codes print 15 lbf as 67 or 66.7 N, so a limit in pounds is compared in pounds.
        """
        # Two places: enough to tell a limit passed, and not so many that the last bit of a float
        # decides.
        return None if self.force is None else round(self.force, 2) <= self.allowed

    @property
    def in_newtons(self) -> float:
        """One of the limit's units [N, or N·m for a moment]."""
        return NEWTONS.get(self.limit.unit, 1.0)


@dataclass(frozen=True, slots=True)
class ForceVerdict:
    """What was calculated for one leaf; to be checked with a gauge.

    closer_n, pressure_n: parts of the force that sets the leaf in motion [N], read where the
    profile's code reads it: read_at is `handle` or `edge`, read_m from the hinge [m]. closer_n is
    the greatest at 0 to 4°. closing_nm: closing moment the closer gives there, the mean [N·m];
    needed_nm: what latching needs; fire_least_nm: what a fire door's closer must give on the
    fitted door [N·m], 0 where nothing says so. latches_to_pa: largest pressure it still latches
    against [Pa]; opens_to_pa: largest at which every binding limit to set in motion is kept [Pa],
    None without such a limit. size_latching: smallest size that latches and gives a fire door's
    least [class], None if none does. unchecked: what was not stated and is in no figure (`seals`,
    `latch`).
    """

    closer_n: float
    pressure_n: float
    closing_nm: float
    needed_nm: float
    latches_to_pa: float
    opens_to_pa: float | None
    size_latching: int | None
    efficiency: float
    limits: tuple[LimitResult, ...]
    read_at: str = "handle"
    read_m: float = 0.0
    fire_least_nm: float = 0.0
    unchecked: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def opening_n(self) -> float:
        """Force to set in motion, where the code reads it [N]."""
        return self.closer_n + self.pressure_n

    @property
    def opening_lbf(self) -> float:
        """Force to set in motion, where the code reads it [lbf]."""
        return self.opening_n / N_PER_LBF

    @property
    def latches(self) -> bool:
        """Whether the closer latches, compared to a tenth of a newton metre."""
        # As papers print them: a reader who sees 18.0 against 18.0 must not be told that it is
        # short.
        return round(self.closing_nm, 1) >= round(self.needed_nm, 1)

    @property
    def margin_nm(self) -> float:
        """Closing moment beyond what latching needs [N·m]; negative where it falls short."""
        return self.closing_nm - self.needed_nm
