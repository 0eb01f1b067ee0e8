"""Choices side by side: what is shown is what one gets, and the kit as quoted comes back."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, SAMPLES, codes, opening, shelf
from tests.support.jobs import a_job, by, furnished, plain
from tests.support.openings import openings

from wholekit.domain.catalog import item_key
from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError
from wholekit.domain.kits import Policy, build_kit
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.kits.choices import has_cover, is_same, waits, wished
from wholekit.domain.openings import Opening
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import JobOpening, Override, OverrideKind
from wholekit.domain.quotes.choices import as_quoted, choices_of, chosen_entry, sum_of
from wholekit.domain.quotes.totals import alternate_totals
from wholekit.domain.quotes.worked import WorkBench, find_item
from wholekit.services import choices as service
from wholekit.services.choices import Where
from wholekit.services.customers import set_policy
from wholekit.services.job_history import job_events
from wholekit.services.job_openings import add_openings, edit_opening, override_opening
from wholekit.services.job_view import view_job
from wholekit.services.jobs import NewJob, create_job, job_contents, reprice_job

AT = by().at
ON_HAND = shelf().stock
GOOD = Where("good", new_title="Good")


def bench(on=None, offering=False):
    buyer = Customer("saltmarsh", "Saltmarsh Builders", multiplier=Fraction(7, 10))
    place = on or shelf()
    return WorkBench(place, RULES, buyer, Fraction(1, 20), AT.date(), offering=offering)


def entry_of(kind, quantity=1):
    return JobOpening("1", "1", 1, Opening("101", kind, quantity))


def choices(size="3070", quantity=1, on=None, **conditions):
    kind = opening(size, **{"finish": "689", "weight": "100 lb", **conditions})
    return choices_of(entry_of(kind, quantity), bench(on), AT)


def had(found, word):
    """The choice of a word that must be offered."""
    choice = found.choice_of(word)
    assert choice is not None, (word, found.words)
    return choice


def checked(choice, wish, kind):
    """The choice's kit as a kit made by hand, held against all that is sold."""
    asked, _ = wished(kind, wish, shelf())
    lines = []
    for line in choice.opening.kit.lines:
        found = find_item(shelf().catalogs, line.item.sku)
        assert found is not None
        catalog, item = found
        lines.append(HandLine(item, catalog, line.quantity))
    return check_kit(replace(asked, mount=choice.opening.kit.mount), lines, shelf(), RULES)


@given(openings())
@settings(max_examples=20)
def test_what_is_offered_stands_the_check_and_is_what_one_gets_when_it_is_chosen(kind):
    entry = entry_of(kind, 3)
    found = choices_of(entry, bench(), AT)
    quoted = found.quoted.opening
    assert is_same(quoted.kit, build_kit(kind, shelf(), RULES))
    stops = {stop.code for stop in quoted.open_stops()}
    seen = [quoted.kit]
    # As a job is worked up, with all that is offered beside; each anew.
    anew = bench(offering=True)
    for choice in found.offered:
        kit = choice.opening.kit
        assert kit.complete
        assert not any(is_same(kit, other) for other in seen)
        seen.append(kit)
        assert {stop.code for stop in choice.opening.open_stops()} <= stops
        assert choice.difference == choice.opening.worked.price - quoted.worked.price
        for wish in choice.wishes.values():
            held = checked(choice, wish, kind)
            assert held.complete
            assert held.list_price == kit.list_price
            told = {code for code, severity in codes(held).items() if severity == "stop"}
            own = {code for code, severity in codes(kit).items() if severity == "stop"}
            assert told <= own | {finding.code for finding in quoted.kit.findings}
            chosen = chosen_entry(entry, wish, AT, "ines")
            again = anew.work(chosen)
            assert is_same(again.kit, kit)
            assert again.worked.price == choice.opening.worked.price
            assert as_quoted(chosen) == entry


@pytest.mark.parametrize("supplier", SAMPLES)
def test_a_suppliers_best_kit_is_the_one_its_catalogue_alone_would_give(supplier):
    kind = opening("3070", finish="689", weight="100 lb")
    alone = build_kit(kind, shelf(supplier), RULES)
    assert is_same(had(choices(), supplier).opening.kit, alone)


def test_each_word_means_what_it_says():
    found = choices()
    quoted = found.quoted.opening.kit
    assert had(found, "next-size").opening.kit.spring_size == quoted.spring_size + 1
    assert not quoted.body.adjustable
    assert had(found, "adjustable").opening.kit.body.adjustable
    assert not has_cover(quoted)
    assert has_cover(had(found, "cover").opening.kit)
    plated = had(found, "plated").opening.kit
    # ANSI/BHMA A156.18, from memory: 689 is aluminum paint, 652 satin chromium plated on steel.
    assert (quoted.finish, plated.finish) == ("689", "652")
    least = had(found, "cheapest")
    alike = [
        choice
        for choice in (found.quoted, *found.offered)
        if choice.opening.kit.finish == "689" and not has_cover(choice.opening.kit)
    ]
    assert least.difference.minor == min(choice.difference.minor for choice in alike)


@pytest.mark.parametrize("quantity", [1, 6, 30, 300])
def test_from_stock_is_offered_where_the_shelf_has_all_of_it_for_every_opening(quantity):
    found = choices(quantity=quantity, fire_minutes=90)
    choice = found.choice_of("from-stock")
    if choice is None:
        assert quantity > 1
        assert "from-stock" in {refused.word for refused in found.refused}
        return
    assert choice.stocked
    for line in choice.opening.kit.lines:
        assert ON_HAND[item_key(line.item)] >= line.quantity * quantity


def test_no_day_is_told_of_a_kit_of_which_something_short_states_no_lead():
    kit = choices().quoted.opening.kit
    on_hand = min(ON_HAND[item_key(line.item)] // line.quantity for line in kit.lines)
    assert waits(kit, on_hand, ON_HAND) == 0
    assert waits(kit, 100_000, ON_HAND) == max(line.item.lead_days for line in kit.lines) > 0
    first, *rest = kit.lines
    silent = replace(first, item=replace(first.item, lead_days=0))
    assert waits(replace(kit, lines=(silent, *rest)), 100_000, ON_HAND) is None


def test_kits_that_are_the_same_share_their_words_and_a_stop_is_named_not_offered():
    found = choices(location=None, finish="626")
    assert {"as-quoted", "tarrowby"} <= set(found.quoted.words)
    refused = {each.word: {stop.code for stop in each.stops} for each in found.refused}
    assert refused["averlund"] == {"finish-unavailable"}
    assert not set(refused) & set(found.words)


def test_stock_first_shows_what_is_to_be_ordered_and_is_cheaper():
    policy = Policy(stock_first=True)
    found = choices(fire_minutes=90, on=shelf(policy=policy))
    assert had(found, "to-order").difference.minor < 0


@pytest.fixture
def desk():
    return furnished(FakeStore(), *SAMPLES)


def priced(desk, job, mark="101", alternate=""):
    return view_job(desk, by(), job).worked[alternate, mark].worked.price


def test_each_word_sets_its_kit_and_as_quoted_brings_the_first_one_back(desk):
    job = a_job(desk, "101", "102").label
    first = view_job(desk, by(), job).worked["", "101"]
    (found,) = service.job_choices(desk, by(), job, ["101"])
    for choice in found.offered:
        for word in choice.words:
            service.choose(desk, by(), job, ["101"], word)
            assert priced(desk, job) == choice.opening.worked.price
            (after,) = service.job_choices(desk, by(), job, ["101"])
            assert after.chosen == next(iter(choice.wishes)) or word == "cheapest"
            assert [each.difference for each in after.offered] == [
                each.difference for each in found.offered
            ]
    assert priced(desk, job, "102") == first.worked.price
    service.choose(desk, by(), job, ["101"], "as-quoted")
    last = view_job(desk, by(), job).worked["", "101"]
    assert (last.kit, last.worked.price, last.entry.overrides) == (
        first.kit,
        first.worked.price,
        (),
    )
    actions = [event.entry.action for event in job_events(desk, by(), job)]
    assert actions.count("kit-chosen") == sum(len(choice.words) for choice in found.offered) + 1


def test_a_choice_stands_when_the_opening_is_edited(desk):
    job = a_job(desk, "101").label
    service.choose(desk, by(), job, ["101"], "tarrowby")
    edit_opening(desk, by(), job, "101", lambda old: replace(old, quantity=7))
    worked = view_job(desk, by(), job).worked["", "101"]
    assert {line.catalog_id for line in worked.worked.lines} == {"tarrowby"}


def test_good_better_and_best_are_alternates_whose_totals_are_the_differences(desk):
    job = a_job(desk, "101", "102").label
    service.choose(desk, by(), job, ["102"], "tarrowby")
    (found,) = service.job_choices(desk, by(), job, ["101"])
    words = {"good": "next-size", "better": "cover", "best": "plated"}
    for code, word in words.items():
        service.choose(desk, by(), job, ["101"], word, into=Where(code, new_title=code.title()))
    view = view_job(desk, by(), job)
    assert view.workup is not None
    for alternate in view.job.alternates:
        totals = alternate_totals(view.workup.job, alternate, view.workup.place)
        assert alternate.deducts == ("101",)
        assert totals.net == had(found, words[alternate.code]).difference
    assert priced(desk, job) == found.quoted.opening.worked.price
    # Another word takes the place of the first, and as-quoted empties the alternate.
    service.choose(desk, by(), job, ["101"], "tarrowby", into=GOOD)
    assert priced(desk, job, alternate="good") == had(found, "tarrowby").opening.worked.price
    service.choose(desk, by(), job, ["101"], "as-quoted", into=GOOD)
    contents = job_contents(desk, by(), job)
    assert [alternate.code for alternate in contents.job.alternates] == ["best", "better"]
    assert all(entry.alternate != "good" for entry in contents.openings)


def test_a_word_that_is_not_offered_at_one_mark_refuses_all_and_writes_nothing(desk):
    job = a_job(desk, "101").label
    service.choose(desk, by(), job, ["101"], "next-size")
    add_openings(desk, by(), job, [Opening("102", opening("3070", finish="626", weight="100 lb"))])
    before = job_contents(desk, by(), job)
    with pytest.raises(CallError) as refused:
        service.choose(desk, by(), job, [], "averlund")
    assert refused.value.fields["marks"] == ["102"]
    assert job_contents(desk, by(), job) == before
    done = service.choose(desk, by(), job, [], "averlund", where_offered=True)
    assert [each.entry.mark for each in done if each.left is None] == ["101"]
    for word in ("no-such-word", "fixed"):
        with pytest.raises(CallError) as refused:
            service.choose(desk, by(), job, ["102"], word)
        assert refused.value.code in ("choice-unknown", "choice-not-offered")


def test_a_price_agreed_for_one_kit_is_not_carried_to_another(desk):
    job = a_job(desk, "101").label
    (found,) = service.job_choices(desk, by(), job, ["101"])
    agreed = Money(9900, "USD")
    price = Override(OverrideKind.PRICE, "as agreed", "", AT, price=agreed)
    override_opening(desk, by(), job, "101", price)
    with pytest.raises(CallError, match="choice-price-agreed"):
        service.choose(desk, by(), job, ["101"], "tarrowby")
    service.choose(desk, by(), job, ["101"], "tarrowby", into=GOOD)
    assert priced(desk, job) == agreed
    assert priced(desk, job, alternate="good") == had(found, "tarrowby").opening.worked.price


def test_of_a_size_set_by_hand_and_one_chosen_the_later_stands(desk):
    job = a_job(desk, "101").label

    def size():
        return view_job(desk, by(), job).worked["", "101"].kit.spring_size

    service.choose(desk, by(), job, ["101"], "next-size")
    chosen = size()
    by_hand = Override(OverrideKind.SIZE, "wind", "", AT, size=chosen + 1)
    override_opening(desk, by(days=1), job, "101", by_hand)
    assert size() == chosen + 1
    service.choose(desk, by(days=2), job, ["101"], "next-size")
    assert size() == chosen + 2
    service.choose(desk, by(days=2), job, ["101"], "as-quoted")
    assert size() == chosen + 1


def test_a_whole_job_in_one_makers_goods_costs_what_was_shown_beside_the_mixed_one(desk):
    job = a_job(desk, "101", "102").label
    add_openings(desk, by(), job, [plain("103", 4, fire_minutes=90)])
    quoted, *others = service.job_sums(desk, by(), job)
    assert [each.word for each in others] == list(SAMPLES)
    for each in others:
        assert each.price - quoted.price == each.difference
        assert not each.as_quoted
        service.choose(desk, by(), job, [], each.word)
        view = view_job(desk, by(), job)
        worked = view.worked.values()
        assert sum(opening.price.minor for opening in worked) == each.price.minor
        lines = [line for opening in worked for line in opening.worked.lines]
        assert {line.catalog_id for line in lines} == {each.word}
    # What is to be had of one maker follows from its catalogue, which the job must be priced on.
    reprice_job(desk, by(), job, ["averlund", "quillmere"])
    faults = view_job(desk, by(), job).faults
    assert {fault.code for fault in faults} == {"choice-supplier-gone"}
    service.choose(desk, by(), job, [], "as-quoted")
    assert not view_job(desk, by(), job).faults


def test_marks_that_one_finish_cannot_be_had_for_are_counted_as_quoted():
    work = bench()
    entries = [
        entry_of(opening("3070", finish=finish, weight="100 lb"), 2) for finish in ("689", "626")
    ]
    entries[1] = replace(entries[1], opening=replace(entries[1].opening, mark="102"))
    wish = had(choices(), "averlund").wishes["averlund"]
    found = sum_of(entries, wish, work, AT)
    assert found.as_quoted == ("102",)
    each = had(choices_of(entries[0], work, AT), "averlund").difference
    assert found.difference == each.times(2)


def test_the_house_may_price_new_jobs_on_one_supplier_and_sees_the_mixed_price(desk):
    with pytest.raises(CallError, match="supplier-not-in-store"):
        set_policy(desk, by("odo"), lambda old: replace(old, one_supplier="nobody"))
    set_policy(desk, by("odo"), lambda old: replace(old, one_supplier="tarrowby"))
    job = a_job(desk, "101")
    assert [ref.catalog_id for ref in job.catalogs] == ["tarrowby"]
    quoted, mixed = service.job_sums(desk, by(), job.label)
    assert mixed.word == "mixed"
    assert quoted.price + mixed.difference == mixed.price
    assert mixed.difference.minor < 0
    chooses = create_job(desk, by(), NewJob("Mixed", "saltmarsh", prefer=("averlund",)))
    assert len(chooses.catalogs) == 3
