"""Drills for tapped holes and for bolts, against the threads' own geometry and read tables.

Source: a thread of pitch P is full where the hole is D − 1.299 P (ASME B1.1 and ISO 68-1: height of
thread 5/8 H on each side, H = 0.866 P); a drill leaves (D − d) / 1.299 P of it. Inch drills as
tables in public use give them, read. Metric: D − P, as ISO 2306 has it, to a tenth. Clearance:
ISO 273 and ASME B18.2.8 from memory; what can be proven is that the bolt passes with little play.
"""

from fractions import Fraction

import pytest
from tests.support.house import RULES

from wholekit.domain.catalog import FastenerKind
from wholekit.domain.catalog.drills import MM_PER_INCH, drilled_for, screw_diameter

COARSE = {"M4": 0.7, "M5": 0.8, "M6": 1.0, "M8": 1.25}
READ = {
    "10-24": ("No. 25", 0.1495), "10-32": ("No. 21", 0.159), "12-24": ("No. 16", 0.177),
    "1/4-20": ("No. 7", 0.201), "1/4-28": ("No. 3", 0.213), "5/16-18": ("F", 0.257),
    "3/8-16": ("5/16", 0.3125),
}  # fmt: skip
MACHINE, BOLT = FastenerKind.MACHINE_SCREW, FastenerKind.THROUGH_BOLT


@pytest.mark.parametrize("thread", [*READ, *COARSE])
def test_a_tap_drill_leaves_the_share_of_thread_that_handbooks_ask_for(thread):
    pitch = COARSE.get(thread) or MM_PER_INCH / int(thread.rpartition("-")[2])
    across = screw_diameter(MACHINE, None, thread, RULES)
    (drill,) = drilled_for(MACHINE, None, thread, RULES).drills
    assert across is not None
    assert 0.65 < (across - drill.mm) / (1.299 * pitch) < 0.84
    if thread in COARSE:
        assert drill.mm == pytest.approx(across - pitch, abs=0.051)
    else:
        assert (drill.name, drill.inches) == READ[thread]
        assert drill.inches is not None
        assert drill.mm == round(drill.inches * MM_PER_INCH, 1)


@pytest.mark.parametrize("row", RULES.rows("clearance-holes"), ids=lambda row: row["thread"])
def test_a_bolt_passes_its_hole_with_little_play(row):
    thread = row["thread"] if row["thread"].startswith("M") else f"{row['thread']}-20"
    across = screw_diameter(BOLT, None, thread, RULES)
    (drill,) = drilled_for(BOLT, None, thread, RULES).drills
    assert across is not None
    assert 0.4 < drill.mm - across <= 1.0
    assert drill.inches is None or drill.mm == pytest.approx(drill.inches * MM_PER_INCH, abs=0.06)


@pytest.mark.parametrize("number", [*map(int, RULES.mapping("wood-screw-roots"))])
def test_lead_holes_of_a_wood_screw_bite_and_do_not_split(number):
    """A thread bites where its hole is under the shank; hard wood takes the greater hole."""
    soft, soft_shank, hard, hard_shank = drilled_for(
        FastenerKind.WOOD_SCREW, number, "", RULES
    ).drills
    shank = screw_diameter(FastenerKind.WOOD_SCREW, number, "", RULES)
    assert shank is not None
    assert soft.mm < hard.mm < shank
    assert soft.mm < soft_shank.mm < hard_shank.mm <= shank + 0.3
    root = float(str(RULES.mapping("wood-screw-roots")[str(number)])) * MM_PER_INCH
    share = {wood: float(str(part)) for wood, part in RULES.mapping("wood-screw-holes").items()}
    named = {row["drill"]: row["inches"] for row in RULES.rows("twist-drills")}
    for wood, thread, passed in (("soft", soft, soft_shank), ("hard", hard, hard_shank)):
        assert thread.inches is not None
        assert passed.inches is not None
        for drill in (thread, passed):
            assert drill.inches is not None
            assert drill.inches == named.get(drill.name) or drill.inches == Fraction(drill.name)
            # One hole, in whichever unit it is read.
            assert drill.mm == pytest.approx(drill.inches * MM_PER_INCH, abs=0.1)
        assert thread.mm == pytest.approx(root * share[wood], abs=0.0501)
        assert thread.inches is not None
        assert passed.inches is not None
        assert thread.inches * MM_PER_INCH == pytest.approx(root * share[wood], abs=0.09)
        # A shank binds in what is smaller by however little.
        for across in (passed.mm, passed.inches * MM_PER_INCH):
            assert 0 <= across - shank * share[wood] + 1e-6 < 0.11
