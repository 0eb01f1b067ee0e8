"""Lengths and weights in the units of the customer: those that the opening's size is written in."""

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from fractions import Fraction
from math import floor

from wholekit.domain.quantities import Length, Mass
from wholekit.domain.quantities.length import NM_PER_INCH
from wholekit.domain.quantities.mass import UG_PER_UNIT
from wholekit.domain.quantities.physical import N_PER_LBF, PA_PER_PSF
from wholekit.wording.speech import figure, tr

NM_PER_MM = 1_000_000
# What a fitter's rule shows: half a millimetre, a thirty-second of an inch.
METRIC_STEP, INCH_STEP = NM_PER_MM // 2, NM_PER_INCH // 32
MINUS = "−"
FOOT = 0.3048  # metres, exactly
_IN_SI = re.compile(r"\{(\w+)\}[ \u00a0](Pa|N·m)")
_ALLOWED = re.compile(r"\{allowed\}[ \u00a0]\{unit\}")
_POUNDS = re.compile(r"\{force\}[ \u00a0]lbf")
_FORCES = ("force", "closer_force", "pressure_force")
_METRIC: ContextVar[bool | None] = ContextVar("metric", default=None)


@contextmanager
def in_units_of(*sizes: Length) -> Iterator[None]:
    """Measures said inside come in the units that all sizes have; as written where mixed."""
    found = {is_metric(size) for size in sizes}
    token = _METRIC.set(found.pop() if len(found) == 1 else None)
    try:
        yield
    finally:
        _METRIC.reset(token)


def measured(value: Length | Mass) -> str:
    """In the units in use; as it was written where none are, a metric length in millimetres.

    >>> with in_units_of(Length.mm(910)):
    ...     measured(Length.inches(1, 3, 4)), measured(Mass.lb(100))
    ('44.5 mm', '45.4 kg')
    """
    metric = _METRIC.get()
    if metric is None:
        return measure(value, is_metric(value)) if isinstance(value, Length) else figure(str(value))
    if isinstance(value, Length):
        return measure(value, metric)
    if (value.unit == "kg") is metric:
        return figure(str(value))
    unit = "kg" if metric else "lb"
    return figure(f"{value.ug / UG_PER_UNIT[unit]:.1f}".removesuffix(".0") + f" {unit}")


def metric_in_use(length: Length) -> bool:
    """Whether metric units are in use; as the length is written where none are."""
    metric = _METRIC.get()
    return is_metric(length) if metric is None else metric


def pressure_text(pascals: float, digits: int = 0) -> str:
    """A pressure [Pa], in inches and pounds with its square feet first.

    >>> with in_units_of(Length.inches(36)):
    ...     pressure_text(76.6, 1)
    '1.60 lbf/ft² (76.6 Pa)'
    """
    si = figure(f"{pascals:.{digits}f} Pa")
    return si if _METRIC.get() is not False else f"{_customary(pascals, 'Pa')} ({si})"


def moment_text(newton_metres: float, *, sign: str = "+") -> str:
    """A moment [N·m], in inches and pounds in feet first. sign: `+` tells a margin's, `-` that of
    less than nothing alone."""
    si = figure(f"{newton_metres:{sign}.1f} N·m").replace("-", MINUS)
    if _METRIC.get() is not False:
        return si
    return f"{_customary(newton_metres, 'N·m', sign=sign)} ({si})"


def force_in_use(newtons: float, digits: int = 1) -> str:
    """A force [N] in the units in use, the other behind it; in both where none are.

    >>> with in_units_of(Length.mm(910)):
    ...     force_in_use(39.1)
    '39.1 N (8.8 lbf)'
    """
    si, pounds = f"{newtons:.{digits}f} N", f"{newtons / N_PER_LBF:.{digits}f} lbf"
    first, second = (si, pounds) if _METRIC.get() else (pounds, si)
    return f"{figure(first)} ({figure(second)})"


def in_customary(message: str, fields: Mapping[str, object]) -> str:
    """A message in which what is said in pascals and newton metres has pounds and feet before it,
    where those are in use; fields: of the message, the figures as numbers or as text.

    >>> with in_units_of(Length.inches(36)):
    ...     in_customary("It gives {given_nm} N·m.", {"given_nm": "28.1"})
    'It gives 20.7 lbf·ft ({given_nm} N·m).'
    """
    if _METRIC.get() is not False:
        return message

    def before(found: re.Match[str]) -> str:
        value = fields.get(found[1])
        if value is None:
            return found[0]
        return f"{_customary(float(str(value)), found[2])} ({found[0]})"

    return _IN_SI.sub(before, message)


def in_newtons(message: str, fields: Mapping[str, object]) -> tuple[str, Mapping[str, object]]:
    """A message and its fields in which forces of a code's pounds are newtons, where metric units
    are in use; of a limit the code's own figure stands behind. To a tenth both, where the finding
    has its forces as reckoned; what was issued earlier has tenths of a pound alone.

    >>> with in_units_of(Length.mm(910)):
    ...     in_newtons("{allowed} {unit}; {force} {unit}", {"allowed": "5", "force": "8.5",
    ...                                                     "unit": "lbf"})
    ('22.2 N (5 lbf); {force} {unit}', {'allowed': '5', 'force': '38', 'unit': 'N'})
    """
    if not _METRIC.get():
        return message, fields
    if "force" in fields and _POUNDS.search(message):
        return _POUNDS.sub("{force} N", message), {**fields, "force": _newtons("force", fields)}
    if fields.get("unit") != "lbf":
        return message, fields
    if "allowed" in fields:
        allowed = force_limit(float(str(fields["allowed"])), "lbf", metric=True)
        message = _ALLOWED.sub(allowed, message)
    changed = {name: _newtons(name, fields) for name in _FORCES if name in fields}
    return message, {**fields, **changed, "unit": "N"}


def _newtons(name: str, fields: Mapping[str, object]) -> object:
    """A finding's force in newtons: as reckoned, where it has it; from tenths of a pound no tenth
    of a newton follows."""
    return fields.get(f"{name}_n") or f"{float(str(fields[name])) * N_PER_LBF:.0f}"


def _customary(value: float, unit: str, sign: str = "") -> str:
    """A pressure [Pa] or moment [N·m] in pounds and feet."""
    if unit == "Pa":
        said = figure(f"{value / PA_PER_PSF:.2f}")
        return tr("{figure} lbf/ft²").format(figure=said)
    said = figure(f"{value / (N_PER_LBF * FOOT):{sign}.1f}").replace("-", MINUS)
    return tr("{figure} lbf·ft").format(figure=said)


def force_figures(value: float, unit: str, metric: bool) -> tuple[str, str, str]:
    """A code's force limit for a customer: figure, unit, and the code's own where it is another's.

    Rounded down in newtons, so that who holds to it holds to the code.

    >>> force_figures(5, "lbf", True), force_figures(5, "lbf", False)
    (('22.2', 'N', '5 lbf'), ('5', 'lbf', ''))
    """
    if unit != "lbf" or not metric:
        return figure(f"{value:g}"), unit, ""
    newtons = floor(value * N_PER_LBF * 10) / 10
    return figure(f"{newtons:.1f}"), "N", figure(f"{value:g} lbf")


def force_limit(value: float, unit: str, metric: bool) -> str:
    """As `force_figures`, in a row: `22.2 N (5 lbf)`."""
    said, shown, own = force_figures(value, unit, metric)
    return f"{said} {shown} ({own})" if own else f"{said} {shown}"


def measure(length: Length, metric: bool) -> str:
    """A length in the customer's units, as a rule can be read: `3-1/4 in`, `82.5 mm`.

    A length written in those units is said exactly; another is rounded to half a millimetre or to
    1/32 in.

    >>> measure(Length.inches(3, 1, 4), True), measure(Length.mm(75), False)
    ('82.5 mm', '2-15/16 in')
    """
    if is_metric(length) is metric:
        return figure(str(length) if not metric else f"{_millimetres(length.nm)} mm")
    step = METRIC_STEP if metric else INCH_STEP
    rounded = round(Fraction(length.nm, step)) * step
    return figure(f"{_millimetres(rounded)} mm" if metric else str(Length(rounded, "in")))


def by(texts: Sequence[str]) -> str:
    """Measures across one another, their unit said once; empty for none.

    >>> by(["8-1/4 in", "3-1/4 in"]), by(["12 mm"])
    ('8-1/4 × 3-1/4 in', '12 mm')
    """
    if not texts:
        return ""
    unit = texts[-1].rpartition(" ")[2]
    same = unit and all(text.endswith(f" {unit}") for text in texts)
    shown = [text.removesuffix(f" {unit}") if same else text for text in texts[:-1]]
    return " × ".join([*shown, texts[-1]])


def is_metric(length: Length) -> bool:
    """Whether it was written in millimetres, centimetres or metres."""
    return length.unit not in ("in", "ft")


def _millimetres(nanometres: int) -> str:
    """Exactly, without noughts at the end."""
    whole, rest = divmod(nanometres, NM_PER_MM)
    return f"{whole}.{rest:06d}".rstrip("0") if rest else str(whole)
