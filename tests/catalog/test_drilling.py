"""Which row a vertical dimension locates, and that both rows lie on the rail or the head."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import SAMPLES, sample

from wholekit.domain.catalog import HolesRow, body_holes, rows_between
from wholekit.domain.catalog.check_drilling import check_drilling
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length

OTHER = {HolesRow.UPPER: HolesRow.LOWER, HolesRow.LOWER: HolesRow.UPPER}


def placed(catalog):
    """Every template with every body it places."""
    return [
        (template, body)
        for series in catalog.series
        for template in series.templates
        for body in catalog.bodies
        if body.family in template.families and template.mount in body.mounts
    ]


def with_templates(catalog, change):
    return replace(
        catalog,
        series=tuple(
            replace(each, templates=tuple(change(template) for template in each.templates))
            for each in catalog.series
        ),
    )


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_template_keeps_both_rows_on_the_rail_or_head_it_asks_for(name):
    for template, body in placed(sample(name)):
        holes = body_holes(body, template)
        assert holes is not None
        near, far = rows_between(holes.down, holes.pattern[1], holes.row, template.mount)
        jamb = template.mount is Mount.TOP_JAMB
        needed = template.head_needed if jamb else template.rail_needed
        assert Length(0) < near < far < needed, (template.id, body.id)


def test_top_jamb_counts_up_from_the_frames_lower_edge_to_the_lower_row():
    """Common practice, no source: the lower edge of the head is what the fitter can measure from.

    Half an inch up to the upper row would put the lower one 2-3/4 in below the head, in the air.
    """
    templates = {each.id: each for series in sample("tarrowby").series for each in series.templates}
    jamb = templates["granite-top-jamb-100"]
    assert (jamb.holes_row, str(jamb.holes_down)) == (HolesRow.LOWER, "1/2 in")
    assert templates["granite-regular-100"].holes_row is HolesRow.UPPER


@pytest.mark.parametrize("name", SAMPLES)
def test_the_other_row_at_the_same_height_is_refused(name):
    """A row nearer to the edge than the pattern is high cannot be the farther one."""
    catalog = with_templates(
        sample(name), lambda template: replace(template, holes_row=OTHER[template.holes_row])
    )
    wrong = {
        template.id
        for template, body in placed(catalog)
        if template.holes_down <= body.hole_pattern[1]
    }
    assert wrong
    told = {problem.fields["id"]: problem.code for problem in check_drilling(catalog)}
    assert set(told) == wrong
    assert set(told.values()) == {"holes-off-the-edge"}


@pytest.mark.parametrize("name", SAMPLES)
def test_a_head_too_low_for_the_upper_row_is_refused_at_its_own_key(name):
    low = Length.inches(2)
    catalog = with_templates(
        sample(name),
        lambda template: (
            replace(template, head_needed=low) if template.mount is Mount.TOP_JAMB else template
        ),
    )
    told = {
        problem.fields["id"]: (problem.code, problem.column.rpartition(".")[2])
        for problem in check_drilling(catalog)
    }
    high = {
        template.id
        for template, body in placed(catalog)
        if template.mount is Mount.TOP_JAMB and template.holes_down + body.hole_pattern[1] >= low
    }
    assert high
    assert told == dict.fromkeys(high, ("holes-past-head", "head_needed"))


def test_without_a_row_nothing_is_said_of_the_holes():
    catalog = with_templates(sample("averlund"), lambda template: replace(template, holes_row=None))
    assert all(body_holes(body, template) is None for template, body in placed(catalog))
    assert check_drilling(catalog) == []


lengths = st.integers(1, 400).map(Length.mm)


@given(lengths, lengths, st.sampled_from(HolesRow), st.sampled_from(Mount))
def test_the_rows_lie_the_pattern_apart_and_one_of_them_or_their_middle_where_it_is_said(
    down, across, row, mount
):
    near, far = rows_between(down, across, row, mount)
    assert far - near == across
    upward = mount is Mount.TOP_JAMB
    upper, lower = (far, near) if upward else (near, far)
    located = {HolesRow.UPPER: upper.nm, HolesRow.LOWER: lower.nm}
    located[HolesRow.CENTRE] = (near.nm + far.nm) // 2
    assert located[row] == down.nm
