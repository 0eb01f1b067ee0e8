"""What was chosen of a customer's sheets, on every store."""

from dataclasses import replace

import pytest
from tests.support.jobs import by

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.openings.sheet import SheetChoices
from wholekit.services.customers import customer_history
from wholekit.services.sheets import clear_choices, keep_choices, kept_choices, kept_sheet

FIRST = SheetChoices("Doors", {"Lbl": "fire_minutes"}, {"fire_minutes": {"B": "60"}})


def test_choices_are_kept_added_to_and_taken_back_with_who_and_when(desk):
    assert kept_sheet(desk, by(), "saltmarsh") is None
    assert kept_choices(desk, by(), "saltmarsh") == SheetChoices()
    kept = keep_choices(desk, by("ines"), "saltmarsh", FIRST)
    assert kept_sheet(desk, by(), "saltmarsh") == kept
    assert (kept.by, kept.at, kept.version) == ("ines", by("ines").at, 1)
    more = SheetChoices("", {"Lbl": "aside"}, {"fire_minutes": {"C": "45"}, "door": {"K": "wood"}})
    keep_choices(desk, by("odo", days=1), "saltmarsh", more)
    assert kept_choices(desk, by(), "saltmarsh") == SheetChoices(
        "Doors", {"Lbl": "aside"}, {"fire_minutes": {"B": "60", "C": "45"}, "door": {"K": "wood"}}
    )
    gone = clear_choices(desk, by("odo", days=2), "saltmarsh")
    assert (gone.choices, gone.version, gone.by) == (SheetChoices(), 3, "odo")
    assert not kept_choices(desk, by(), "saltmarsh")
    actions = [entry.action for entry in customer_history(desk, by(), "saltmarsh")]
    assert actions[-3:] == ["sheet-choices-kept"] * 2 + ["sheet-choices-cleared"]


def test_nobody_keeps_choices_for_a_customer_there_is_not(desk):
    for ask in (lambda: keep_choices(desk, by(), "nobody", FIRST),
                lambda: kept_choices(desk, by(), "nobody"),
                lambda: clear_choices(desk, by(), "nobody")):  # fmt: skip
        with pytest.raises(CallError) as caught:
            ask()
        assert caught.value.code == "customer-unknown"


def test_choices_that_cannot_be_printed_or_are_too_many_are_refused(desk):
    for choices, code in (
        (SheetChoices(columns={"a\x1b[2J": "mark"}), "text-not-plain"),
        (SheetChoices(columns={f"h{n}": "mark" for n in range(2_001)}), "sheet-choices-over-limit"),
    ):
        with pytest.raises(CallError) as caught:
            keep_choices(desk, by(), "saltmarsh", choices)
        assert caught.value.code == code
    assert kept_sheet(desk, by(), "saltmarsh") is None


def test_of_two_at_once_the_second_is_refused(desk):
    kept = keep_choices(desk, by(), "saltmarsh", FIRST)
    with desk.store.writing() as uow, pytest.raises(ConflictError):
        uow.sheets.add(kept)
    with desk.store.writing() as uow, pytest.raises(ConflictError):
        uow.sheets.save(replace(kept, version=9), expected=8)
