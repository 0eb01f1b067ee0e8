"""The figures that were calculated of one leaf, as papers tell them; a gauge must confirm them.

The force in still air and the force with the stated wind stand apart: on a calm day a gauge shows
the closer alone.
"""

from collections.abc import Callable, Iterator

from wholekit.domain.kits.proof import Proof
from wholekit.domain.openings import OpeningType
from wholekit.domain.quantities.physical import N_PER_LBF
from wholekit.wording.speech import figure, tr
from wholekit.wording.units import is_metric, pressure_text


def forces_text(
    proof: Proof, kind: OpeningType, said: Callable[[float], str]
) -> Iterator[tuple[str, str]]:
    """The force to set in motion, what and figure: of the closer alone, then with what was stated.

    said: a force [N] in words.
    """
    verdict = proof.verdict
    yield (
        tr("force at the leading edge to set in motion, in still air")
        if verdict.read_at == "edge"
        else tr("force at the handle to set in motion, in still air"),
        said(verdict.closer_n),
    )
    if proof.pressure_pa:
        force, against = said(verdict.opening_n), _against(proof, kind)
        yield (
            tr("the same with wind or pressure against it"),
            tr("{force} at {against}").format(force=force, against=against),
        )


def _against(proof: Proof, kind: OpeningType) -> str:
    """What was stated and counts, as it was written: the greater of wind and pressure."""
    pressure, wind = kind.pressure, kind.wind
    if wind is not None and (pressure is None or proof.pressure_pa > pressure.si):
        return figure(wind.written)
    if pressure is None:
        return pressure_text(proof.pressure_pa)
    pascals = pressure.written.lower().endswith("pa")
    # In inches and pounds a pressure in pascals tells nobody how much it is.
    return pressure_text(pressure.si) if pascals else figure(pressure.written)


def force_text(newtons: float, kind: OpeningType) -> str:
    """A force in the units of the opening's own size first: `8.8 lbf (39 N)`."""
    metric = is_metric(kind.width)
    # To a tenth, as limits and what is calculated beside them are.
    in_pounds = figure(f"{newtons / N_PER_LBF:.1f} lbf")
    in_newtons = figure(f"{newtons:.{1 if metric else 0}f} N")
    return f"{in_newtons} ({in_pounds})" if metric else f"{in_pounds} ({in_newtons})"
