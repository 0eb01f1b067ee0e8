"""Jobs, openings and lines, on every store."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from tests.support.house import opening
from tests.support.jobs import a_job, by, frozen, furnished, plain

from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.openings import (
    Core,
    Door,
    Frame,
    Hand,
    HoldOpen,
    Location,
    Mount,
    Opening,
    Stop,
    Swing,
    Traffic,
)
from wholekit.domain.quantities import (
    Cost,
    HolePattern,
    Length,
    Money,
    parse_force,
    parse_pressure,
    parse_speed,
)
from wholekit.domain.quotes import (
    Acceptance,
    Alternate,
    Offer,
    Override,
    OverrideKind,
    State,
)
from wholekit.domain.tax import FreightRate, LineKind, ShipTo
from wholekit.intake.changes import changed
from wholekit.services.approvals import review_job
from wholekit.services.customers import add_customer, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra, edit_extra, remove_extra
from wholekit.services.job_openings import (
    add_openings,
    copy_opening,
    edit_opening,
    override_opening,
    release_stop,
    remove_opening,
    split_opening,
)
from wholekit.services.jobs import (
    NewJob,
    create_job,
    edit_job,
    job_contents,
    list_jobs,
    set_alternate,
    set_discount,
)
from wholekit.services.ports import JobFilter, Page
from wholekit.services.quote_reading import issued_whole
from wholekit.services.quotes import close_quote, issue_quote


def marks(desk, job):
    return [entry.mark for entry in job_contents(desk, by(), job.label).openings]


def actions(desk, job):
    with desk.store.reading() as uow:
        return [entry.action for entry in uow.audit.of_job(job.id)]


def test_the_sheets_word_for_a_finish_goes_with_the_opening_until_it_is_another(desk):
    job = a_job(desk)
    add_openings(desk, by(), job.label, [replace(plain("101"), finish_written="aluminum")])
    copy_opening(desk, by(), job.label, "101", ["102"])

    def words() -> list[str]:
        found = job_contents(desk, by(), job.label).openings
        return [entry.opening.finish_written for entry in found]

    assert words() == ["aluminum", "aluminum"]
    edit_opening(desk, by(), job.label, "101", lambda old: changed(old, {"quantity": 2}))
    edit_opening(desk, by(), job.label, "102", lambda old: changed(old, {"finish": "690"}))
    assert words() == ["aluminum", ""]
    issue_quote(desk, by("odo"), job.label)
    (first, second) = frozen(issued_whole(desk, by("odo"), "Q-1/1")).offer.openings
    assert (first.finish_written, second.finish_written) == ("aluminum", "")


def test_a_job_is_read_back_as_it_was_written(desk):
    job = create_job(
        desk,
        by(),
        NewJob(
            "Ostrell Bay",
            "saltmarsh",
            site="Hall B",
            site_address=("3 Pier Road", "Ostrell"),
            contact="N. Quay",
            bids_due=date(2026, 12, 4),
            salesperson="odo",
            note="keys at the gate",
            prefer=("tarrowby",),
        ),
    )
    assert job_contents(desk, by(), job.id).job == job
    assert job_contents(desk, by(), "1").job == job
    assert [catalog.catalog_id for catalog in job.catalogs] == ["tarrowby"]


def test_every_field_of_an_opening_comes_back_exactly(desk):
    job = a_job(desk)
    full = Opening(
        "100A",
        opening(
            "3-0 x 7-0",
            leaves=2,
            door=Door.WOOD,
            core=Core.MINERAL,
            door_reinforced=False,
            weight="45.5 kg",
            thickness="1-3/4 in",
            frame=Frame.STEEL,
            frame_reinforced=True,
            location=Location.EXTERIOR,
            swing=Swing.OUT,
            hand=Hand.RHR,
            mount=Mount.PARALLEL,
            fire_minutes=90,
            accessible=True,
            opening_degrees=110.5,
            hold_open=HoldOpen.RELEASE,
            delayed_action=False,
            backcheck=True,
            top_rail="4 in",
            head_face="51 mm",
            ceiling_clearance="3 in",
            reveal="2-1/64 in",
            stop=Stop.BLADE,
            pressure=parse_pressure("0.2 in w.g."),
            wind=parse_speed("20 mph"),
            finish="690",
            series="granite",
            spring_size=4,
            jurisdiction="ada",
            egress=True,
            seals=parse_force("10 lbf"),
            latch=parse_force("9 N"),
            grade=1,
            traffic=Traffic.HEAVY,
            existing_holes=HolePattern(Length.inches(8, 1, 4), Length.mm(82.55)),
        ),
        12,
        "left leaf active; “see A-701”",
    )
    added = add_openings(desk, by(), job.label, [full, plain("101", size="914x2134 mm")])
    read = job_contents(desk, by(), job.label).openings
    assert read == added
    assert str(read[0].opening.type) == str(full.type), "units as they were written"


def test_openings_come_back_in_the_order_they_were_added(desk):
    job = a_job(desk, "109", "10", "101")
    add_openings(desk, by(), job.label, [plain("001")])
    assert marks(desk, job) == ["109", "10", "101", "001"]


def test_a_mark_stands_once_in_a_job_and_a_refused_batch_leaves_nothing(desk):
    job = a_job(desk, "101")
    with pytest.raises(ConflictError) as refused:
        add_openings(desk, by(), job.label, [plain("102"), plain("101")])
    assert (refused.value.code, refused.value.fields["mark"]) == ("mark-taken", "101")
    assert marks(desk, job) == ["101"]
    assert actions(desk, job) == ["job-created", "openings-added"]


def test_the_same_mark_may_stand_in_two_jobs(desk):
    first, second = a_job(desk, "101"), a_job(desk, "101")
    assert marks(desk, first) == marks(desk, second) == ["101"]


def test_the_second_of_two_editors_is_told_and_the_first_ones_work_stays(desk):
    job = a_job(desk, "101")
    (seen,) = job_contents(desk, by(), job.label).openings
    edit_opening(
        desk, by("ines"), job.label, "101", lambda before: replace(before, quantity=4),
        expected=seen.version,
    )  # fmt: skip
    with pytest.raises(ConflictError) as told:
        edit_opening(
            desk, by("odo"), job.label, "101", lambda before: replace(before, quantity=9),
            expected=seen.version,
        )  # fmt: skip
    assert told.value.code == "version-stale"
    assert (told.value.fields["expected"], told.value.fields["found"]) == (1, 2)
    (kept,) = job_contents(desk, by(), job.label).openings
    assert (kept.opening.quantity, kept.version) == (4, 2)


def test_a_store_itself_refuses_an_older_version(desk):
    job = a_job(desk, "101")
    (entry,) = job_contents(desk, by(), job.label).openings
    with desk.store.writing() as uow:
        uow.jobs.save_opening(replace(entry, version=2), 1)
        uow.commit()
    with pytest.raises(ConflictError), desk.store.writing() as uow:
        uow.jobs.save_opening(replace(entry, version=2), 1)
    with pytest.raises(ConflictError), desk.store.writing() as uow:
        uow.jobs.remove_opening(entry, 1)
    with pytest.raises(ConflictError), desk.store.writing() as uow:
        uow.jobs.save(replace(job, version=8), 7)
    assert job_contents(desk, by(), job.label).openings[0].version == 2


def test_what_is_not_committed_has_not_happened(desk):
    job = a_job(desk, "101")
    with desk.store.writing() as uow:
        uow.jobs.save(replace(job, name="Another", version=2), 1)
        uow.numbers.take("job")
    assert job_contents(desk, by(), job.label).job == job
    assert a_job(desk).number == 2, "the number was not taken"


def test_an_error_in_the_middle_leaves_nothing_behind(desk):
    job = a_job(desk, "101")

    def broken():
        with desk.store.writing() as uow:
            uow.jobs.save(replace(job, name="Another", version=2), 1)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        broken()
    assert job_contents(desk, by(), job.label).job == job


def test_copies_keep_hand_decisions_but_not_releases(desk):
    job = a_job(desk, "101")
    override_opening(
        desk, by(), job.label, "101",
        Override(OverrideKind.PRICE, "agreed by telephone", "", by().at, price=Money(9000, "USD")),
    )  # fmt: skip
    copied = copy_opening(desk, by("odo"), job.label, "101", ["102", "103"])
    assert marks(desk, job) == ["101", "102", "103"]
    assert [entry.overrides[0].reason for entry in copied] == ["agreed by telephone"] * 2
    assert [entry.overrides[0].by for entry in copied] == ["ines"] * 2


def test_a_split_takes_some_of_those_alike_to_a_mark_of_their_own(desk):
    job = a_job(desk)
    add_openings(desk, by(), job.label, [plain("101", 5)])
    kept, apart = split_opening(desk, by(), job.label, "101", "101A", 2)
    read = job_contents(desk, by(), job.label).openings
    assert read == (kept, apart)
    assert [(entry.mark, entry.opening.quantity) for entry in read] == [("101", 3), ("101A", 2)]
    with pytest.raises(CallError, match="split-too-many"):
        split_opening(desk, by(), job.label, "101", "101B", 3)


def test_a_removed_opening_is_gone_and_the_audit_log_has_it(desk):
    job = a_job(desk, "101", "102")
    gone = remove_opening(desk, by("odo"), job.label, "101")
    assert marks(desk, job) == ["102"]
    with desk.store.reading() as uow:
        last = uow.audit.of_job(job.id)[-1]
        assert [*uow.audit.of_subject("opening", gone.id)] == [last]
    assert (last.who, last.action, last.at, last.after) == (
        "odo",
        "opening-removed",
        by().at,
        None,
    )
    assert last.before is not None
    assert last.before["opening"]["mark"] == "101"


def test_the_audit_log_tells_only_what_differs(desk):
    job = a_job(desk, "101")
    edit_job(desk, by("odo"), job.label, {"site": "Hall C"})
    with desk.store.reading() as uow:
        last = uow.audit.of_job(job.id)[-1]
    assert (last.before, last.after) == (
        {"site": "", "version": 1},
        {"site": "Hall C", "version": 2},
    )


def test_a_stop_is_released_by_name_with_a_reason(desk):
    job = a_job(desk)
    fire = plain("101", fire_minutes=90, hold_open=HoldOpen.ARM)
    add_openings(desk, by(), job.label, [fire])
    with pytest.raises(CallError, match="reason-needed"):
        release_stop(desk, by(), job.label, "101", "hold-open-on-fire-door", "  ")
    released = release_stop(
        desk, by("odo"), job.label, "101", "hold-open-on-fire-door", "authority's letter of 3 June"
    )
    (entry,) = job_contents(desk, by(), job.label).openings
    assert entry == released
    assert [(release.code, release.by) for release in entry.releases] == [
        ("hold-open-on-fire-door", "odo")
    ]
    assert actions(desk, job)[-1] == "stop-released"


def test_extra_lines_keep_their_amounts_to_the_last_digit(desk):
    job = a_job(desk)
    hinges = add_extra(
        desk,
        by(),
        job.label,
        NewExtra(LineKind.HARDWARE, "Hinges", 3, Money(1299, "USD"), Cost(75_001, "USD")),
    )
    text = add_extra(desk, by(), job.label, NewExtra(LineKind.OTHER, "Deliver before noon"))
    assert job_contents(desk, by(), job.label).extras == (hinges, text)
    edit_extra(desk, by(), job.label, 1, {"quantity": 30}, expected=1)
    with pytest.raises(ConflictError):
        edit_extra(desk, by(), job.label, 1, {"quantity": 31}, expected=1)
    remove_extra(desk, by(), job.label, 2)
    assert [extra.quantity for extra in job_contents(desk, by(), job.label).extras] == [30]


def test_a_price_below_zero_of_an_extra_line_is_refused_as_a_discount(desk):
    job = a_job(desk, "101")
    credit = Money(-110_000, "USD")
    with pytest.raises(CallError, match="line-price-negative"):
        add_extra(desk, by(), job.label, NewExtra(LineKind.OTHER, "Goodwill", 1, credit))
    assert job_contents(desk, by(), job.label).extras == ()
    free = NewExtra(LineKind.OTHER, "Keying chart", 1, Money.zero("USD"))
    line = add_extra(desk, by(), job.label, free)
    with pytest.raises(CallError, match="line-price-negative"):
        edit_extra(desk, by(), job.label, 1, {"unit": credit})
    assert job_contents(desk, by(), job.label).extras == (line,)


def test_a_size_smaller_than_required_is_no_size_setting(desk):
    job = a_job(desk, "101")
    required = review_job(desk, by(), job.label).workup.job.openings[0].kit.size_required
    assert required is not None

    def sized(size):
        set_by_hand = Override(OverrideKind.SIZE, "windy", "", by().at, size=size)
        return override_opening(desk, by(), job.label, "101", set_by_hand)

    with pytest.raises(CallError, match="override-size-small") as refused:
        sized(required - 1)
    assert refused.value.fields == {"mark": "101", "size": required - 1, "required": required}
    assert job_contents(desk, by(), job.label).openings[0].overrides == ()
    assert sized(required).overrides[0].size == required


def test_discount_and_alternates_stay_with_the_job(desk):
    job = a_job(desk, "101", "102")
    set_discount(desk, by(), job.label, Fraction(1, 30), "second job this year")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Bronze finish", ("101",)))
    copy_opening(desk, by(), job.label, "101", ["101"], to_alternate="alt-1")
    contents = job_contents(desk, by(), job.label)
    assert contents.job.discount == Fraction(1, 30)
    assert contents.job.alternates == (Alternate("alt-1", "Bronze finish", ("101",)),)
    assert [(entry.alternate, entry.mark) for entry in contents.openings] == [
        ("", "101"),
        ("", "102"),
        ("alt-1", "101"),
    ]


def test_a_job_keeps_its_freight_rate_and_its_new_customer(desk):
    rates = (FreightRate("parcel", Money(900, "USD")), FreightRate("truck", Money(4_500, "USD")))
    set_ship_to(desk, by(), ShipTo("port", "Port Aldren", freights=rates))
    add_customer(desk, by("odo"), Customer("dune", "Dune Point", ship_to="port"))
    job = create_job(desk, by(), NewJob("X", "saltmarsh", ship_to="port", freight="Truck"))
    assert job_contents(desk, by(), job.label).job == job
    assert job.freight == "truck"
    moved = edit_job(desk, by(), job.label, {"customer": "dune"}, expected=1)
    assert job_contents(desk, by(), job.label).job == moved
    assert (moved.customer, moved.freight, moved.version) == ("dune", "truck", 2)
    rows, _ = list_jobs(desk, by(), JobFilter(customer="dune"), Page())
    assert [(row.number, row.customer_name) for row in rows] == [(job.number, "Dune Point")]
    with pytest.raises(ConflictError):
        edit_job(desk, by(), job.label, {"customer": "saltmarsh"}, expected=1)


def test_jobs_are_listed_latest_first_page_by_page(desk):
    for number in range(5):
        a_job(desk, *["101", "102"][: number % 3], name=f"Job {number}")
    rows, count = list_jobs(desk, by(), JobFilter(), Page(1, 2))
    assert count == 5
    assert [(row.number, row.name, row.openings) for row in rows] == [
        (4, "Job 3", 0),
        (3, "Job 2", 2),
    ]
    rows, count = list_jobs(desk, by(), JobFilter(text="jOB 4"), Page())
    assert [(row.name, row.customer_name) for row in rows] == [("Job 4", "Saltmarsh Builders")]
    assert count == 1
    edit_job(desk, by(), "J-00002", {"bids_due": date(2026, 12, 4)})
    due = JobFilter(due_from=date(2026, 12, 4), due_to=date(2026, 12, 4))
    assert [row.number for row in list_jobs(desk, by(), due, Page())[0]] == [2]
    assert list_jobs(desk, by(), JobFilter(salesperson="odo"), Page()) == ([], 0)


def test_a_job_is_found_by_the_whole_of_what_it_or_a_part_of_it_is_called(desk):
    offer: Offer | None = None
    for number, mark in enumerate(("E1a", "E10", "E2"), 1):
        job = a_job(desk, mark, name=f"School {number}")
        if number < 3:
            offer = frozen(issue_quote(desk, by(), job.label).revision).offer
    found = Acceptance((), "PO 55-21", by().day)
    close_quote(desk, by(), "Q-2", State.ACCEPTED, acceptance=found)
    assert offer is not None
    sku = offer.kits[0].lines[0].sku
    for text, wanted in (
        ("e1A", [1]), ("E1", []), ("e10", [2]), ("J-00003", [3]), ("j2", [2]), ("Q-00001", [1]),
        ("q2/1", [2]), ("po 55-21", [2]), (sku.lower(), [2, 1]), (sku[:-1], []), ("J-9", []),
        ("chool 3", [3]), ("%", []), ("J-" + "9" * 40, []),
    ):  # fmt: skip
        rows, count = list_jobs(desk, by(), JobFilter(text=text), Page())
        assert ([row.number for row in rows], count) == (wanted, len(wanted)), text


def test_a_job_keeps_to_the_catalogue_revision_it_was_priced_on(store):
    desk = furnished(store)
    job = a_job(desk, "101")
    furnished_again = job_contents(desk, by(), job.label).job.catalogs
    assert [(catalog.catalog_id, catalog.revision) for catalog in furnished_again] == [
        ("tarrowby", 1)
    ]
    with store.reading() as uow:
        (now,) = uow.catalogs.current()
        again = uow.catalogs.load(furnished_again[0])
    assert (now.revision, now.items) == (1, len(again.items))
