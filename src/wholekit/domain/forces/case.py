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
    difference, whichever way it acts [Pa]; us: reckon the opening force with the US form of the
    formula (K = 5.2). seals_n, latch_n: forces at the latch edge to press seals and latch home
    [N], 0 where unknown. beyond_30_nm: greatest closing moment from 30° to 60° [N·m] from
    `linkage`, None where unknown. share: closing moment in this mount over the regular arm's.
    """

    width_m: float
    height_m: float
    handle_m: float
    pressure_pa: float = 0.0
    us: bool = False
    location: Location = Location.INTERIOR
    fire: bool = False
    accessible: bool = False
    seals_n: float = 0.0
    latch_n: float = 0.0
    beyond_30_nm: float | None = None
    share: float = 1.0

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
    limit is for such an opening.
    """

    limit: Limit
    allowed: float
    closer: float | None
    pressure: float
    binding: bool

    @property
    def force(self) -> float | None:
        """The force compared with the limit."""
        return None if self.closer is None else self.closer + self.pressure

    @property
    def within(self) -> bool | None:
        """Whether the limit is kept, compared in its own unit; None where unknown.

        Codes print 15 lbf as 67 or 66.7 N, so a limit in pounds is compared in pounds.
        """
        return None if self.force is None else round(self.force, 2) <= self.allowed

    @property
    def in_newtons(self) -> float:
        """One of the limit's units [N, or N·m for a moment]."""
        return NEWTONS.get(self.limit.unit, 1.0)


@dataclass(frozen=True, slots=True)
class ForceVerdict:
    """What was calculated for one leaf; to be checked with a gauge.

    closer_n, pressure_n: parts of the force at the handle that sets the leaf in motion [N].
    closing_nm: closing moment the closer gives at 0 to 4° [N·m]; needed_nm: what latching needs.
    latches_to_pa: largest pressure it still latches against [Pa]; opens_to_pa: largest at which
    every binding limit to set in motion is kept [Pa], None without such a limit.
    size_latching: smallest size that latches [class], None if none does.
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
    findings: tuple[Finding, ...] = ()

    @property
    def opening_n(self) -> float:
        """Force at the handle to set in motion [N]."""
        return self.closer_n + self.pressure_n

    @property
    def opening_lbf(self) -> float:
        """Force at the handle to set in motion [lbf]."""
        return self.opening_n / N_PER_LBF

    @property
    def latches(self) -> bool:
        """Whether the closer latches, compared to a tenth of a newton metre."""
        return round(self.closing_nm, 1) >= round(self.needed_nm, 1)

    @property
    def margin_nm(self) -> float:
        """Closing moment beyond what latching needs [N·m]; negative where it falls short."""
        return self.closing_nm - self.needed_nm
