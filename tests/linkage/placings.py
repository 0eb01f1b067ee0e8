"""Placings of arms for tests, and the sample catalogues' templates as arms."""

from dataclasses import replace

from tests.support.house import RULES, SAMPLES, sample

from wholekit.domain.linkage import Arms, best_arms
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length

# Two equal arms of 200 mm; pin in the plane of the pull face; nothing set in the spring but 90°.
SQUARE = Arms(
    mount=Mount.REGULAR,
    main_arm=0.2,
    forearm_from=0.2,
    forearm_to=0.2,
    pinion_along=0.1,
    pinion_proud=0.02,
    anchor_along=0.3,
    anchor_proud=0.02,
    hinge_offset=0.0,
    leaf=0.045,
    reveal=0.0,
    preload=30.0,
    spring_set=90.0,
    stop=0.016,
    half_width=0.0095,
    edge_gap=0.003,
)


def sample_arms() -> list[tuple[str, Arms]]:
    """Every different placing of the sample catalogues, by template."""
    found: dict[Arms, str] = {}
    for name in SAMPLES:
        catalog = sample(name)
        for series in catalog.series:
            for template in series.templates:
                reveal = template.reveal_max or Length.inches(4)
                for deep in (Length.inches(0), min(reveal, Length.inches(2)), reveal):
                    arms = best_arms(template, catalog.pieces, deep, RULES)
                    if arms is not None:
                        found.setdefault(arms, f"{template.id} at {deep}")
    return [(name, arms) for arms, name in found.items()]


def moved(arms: Arms, **changes: object) -> Arms:
    """The same placing with something changed."""
    return replace(arms, **changes)  # type: ignore[arg-type]  # tests know the fields
