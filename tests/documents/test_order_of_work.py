"""The steps of a card agree with one another, whatever is mounted, bolted or reused."""

from itertools import product

from tests.support.house import RULES

from wholekit.domain.openings import Mount
from wholekit.wording.fitting import OLD_HOLES, REUSED, Fitting, steps_of

CASES = [
    Fitting(
        mount,
        *(("a, 1 in; top of leaf", "b, 4 in; hinge center line") if drilled else ("", "")),
        anchor="e, 10 in; hinge center line" if anchored else "",
        from_face="f, 3 in; push face" if mount is Mount.PARALLEL and anchored else "",
        pinion="a, 7 in; hinge center line" if anchored and not drilled else "",
        no_drilling="" if drilled else "on-plate",
        on_plate=not drilled,
        push_side=push,
        opens_to=100,
        through=through,
        old_holes=old,
        stop_at=stop,
        windy=windy,
        timed=timed,
        backcheck=True,
        # Only a bracket has one under it.
        spacer=mount is Mount.PARALLEL and windy,
        foot_plate=timed,
        elsewhere=windy,
    )
    for mount in Mount
    for drilled, anchored, push, through, windy, timed in product((True, False), repeat=6)
    for old in ("", *OLD_HOLES)
    for stop in ("", "95°")
]


def test_old_holes_are_drilled_through_by_one_step_and_no_other_gainsays_it():
    for case in CASES:
        told = [f"{lead} {text}" for lead, text in steps_of(case, RULES)[0]]
        reused = case.old_holes == REUSED
        opened = [text for text in told if "drill the old holes through the whole leaf" in text]
        assert len(opened) == (reused and case.through)
        if opened:
            assert not [text for text in told if "Drill only for" in text]
            assert not [text for text in told if "Drill for" in text] or case.on_plate
            # A bolt needs no hold in its hole.
            assert not [text for text in told if "hold a screw" in text]


def test_a_plate_without_drilling_of_its_own_is_laid_to_the_pinions_line_before_it_is_fixed():
    for case in CASES:
        leads = [lead for lead, _ in steps_of(case, RULES)[0]]
        laid = "Lay the plate so that the pinion is on its line" in leads
        assert laid == (bool(case.pinion) and case.old_holes != REUSED)
        if laid:
            assert leads.index("Lay the plate so that the pinion is on its line") < leads.index(
                "Plate:"
            )


def test_from_the_push_side_the_hinge_line_is_carried_over_before_anything_is_measured():
    for case in CASES:
        told = steps_of(case, RULES)[0]
        over = [at for at, (lead, _) in enumerate(told) if lead == "Hinge center line:"]
        assert len(over) == (case.push_side and bool(case.anchor))
        figures = [at for at, (_, text) in enumerate(told) if "hinge center line)" in text]
        assert not over or not figures or over[0] < min(figures)


def test_every_line_is_drawn_then_the_spacer_goes_on_and_only_then_the_bracket_is_fixed():
    # A spacer levels the stop under the bracket, whose place is measured from the hinge line: so
    # both come before it (common practice, no source).
    lines = ("Hinge center line:", "Lay out the vertical", "Then the", "Lay the plate")
    for case in CASES:
        leads = [lead for lead, _ in steps_of(case, RULES)[0]]
        drawn = [at for at, lead in enumerate(leads) if lead.startswith(lines)]
        made = [at for at, lead in enumerate(leads) if lead in ("Drill", "Plate:")]
        (fixed,) = (at for at, lead in enumerate(leads) if lead.startswith("Fix the "))
        spaced = [at for at, lead in enumerate(leads) if lead.startswith("Stop spacer")]
        assert len(spaced) == case.spacer
        order = [*drawn, *spaced, *made, fixed, leads.index("Arms:")]
        assert order == sorted(order)


def test_drilling_fixing_and_the_arms_length_and_preload_are_steps_apart():
    for case in CASES:
        told = [f"{lead} {text}" for lead, text in steps_of(case, RULES)[0]]
        # Never told twice: what a plate's step drills is in no other.
        drilled = [text for text in told if text.startswith("Drill ")]
        foot, reused = case.foot, case.old_holes == REUSED
        if case.foot_plate:
            assert not [text for text in drilled if foot in text]
        elif case.on_plate or not (reused and case.through):
            assert len([text for text in drilled if foot in text]) == 1
        body = [text for text in drilled if "for the body" in text]
        assert len(body) == (not case.on_plate and not reused)
        # A body that a plate's step has put on is fixed once.
        fixed = foot if case.on_plate else f"the body and {foot}"
        assert told[-2] == f"Fix {fixed}. Support the leaf while you do."
        put_on = [text for text in told if "screw the body to the plate" in text]
        assert len(put_on) == case.on_plate
        assert "rill" not in told[-2]
        assert "length and preload that the maker's sheet shows" in told[-1]


def test_every_card_says_once_that_a_closer_is_no_stop_and_how_fast_the_leaf_closes():
    for case in CASES:
        told = steps_of(case, RULES)[1]
        (stop,) = (text for lead, text in told if lead == "Door stop:")
        assert "the closer must not be what stops it" in stop or "a closer is no stop" in stop
        if case.stop_at or not case.windy:
            assert (case.stop_at or "100°") in stop
        timed = [lead for lead, _ in told if lead == "Closing time:"]
        (latch,) = (text for lead, text in told if lead == "Latch valve:")
        assert len(timed) == case.timed
        # A figure of a country that the customer may not be in says so (no jurisdiction is stated).
        assert ("the local code governs" in " ".join(text for _, text in told)) == (
            case.timed and case.elsewhere
        )
        assert ("set no time" in latch) != case.timed
