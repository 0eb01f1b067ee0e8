"""Accounts, seats and tries, on every store."""

from dataclasses import replace
from datetime import timedelta

import pytest
from pyotp import TOTP
from tests.support.accounts import KEYS, PASSWORD, PEOPLE, proven, with_accounts
from tests.support.jobs import START, by

from wholekit.domain.accounts import IDLE_SEAT, LONGEST_SEAT, MOST_BY_ADDRESS, MOST_BY_NAME
from wholekit.domain.errors import CallError
from wholekit.services import accounts, jobs
from wholekit.services.accounts import ToldSignIn
from wholekit.services.customers import list_people
from wholekit.services.ports import JobFilter, LogFilter, Page
from wholekit.wording.errors import say_error


@pytest.fixture
def house(desk):
    return with_accounts(desk)


def enter(house, name="ines", password=PASSWORD, at=START, code="", address="10.0.0.7"):
    return accounts.sign_in(house.store, KEYS, at, ToldSignIn(name, password, code, address))


def refused(*told, **named):
    with pytest.raises(CallError) as found:
        enter(*told, **named)
    assert say_error(found.value)
    return found.value.code


def who(house, taken, at=START):
    found = accounts.seated(house.store, KEYS, at, taken.token)
    return None if found is None else found.person.name


def test_whoever_says_their_password_sits_there_and_the_store_knows_neither(house):
    taken = enter(house)
    assert who(house, taken) == "ines"
    assert who(house, replace(taken, token=taken.token + "x")) is None
    with house.store.reading() as uow:
        kept = (uow.accounts.get("ines"), *uow.accounts.seats("ines"))
        assert PASSWORD not in repr(kept)
        assert taken.token not in repr(kept)


def test_an_unknown_name_a_wrong_password_and_a_wrong_code_are_told_alike(house):
    secret = KEYS.secret()
    with house.store.writing() as uow:
        uow.accounts.save(replace(uow.accounts.get("sam"), secret=secret, version=2), 1)
        uow.commit()
    codes = [refused(house, "nobody"), refused(house, "ines", "wrong"), refused(house, "sam")]
    assert codes == ["sign-in-wrong"] * 3


def test_a_seat_ends_when_it_lies_idle_when_the_shift_is_over_and_when_it_is_given_up(house):
    taken = enter(house)
    step = IDLE_SEAT - timedelta(minutes=1)
    assert who(house, taken, START + IDLE_SEAT) is None
    assert who(house, taken, START + step) == "ines"
    assert who(house, taken, START + 2 * step) == "ines", "it was used in between"
    assert who(house, taken, START + LONGEST_SEAT) is None
    accounts.sign_out(house.store, START, taken.seat)
    assert who(house, taken) is None


def test_too_many_wrong_tries_shut_the_door_for_a_while_also_for_the_right_password(house):
    for _ in range(MOST_BY_NAME):
        assert refused(house, "ines", "wrong") == "sign-in-wrong"
    assert refused(house, "ines") == "sign-in-later"
    assert enter(house, "odo").seat.name == "odo", "another name is not shut out with it"
    assert enter(house, at=START + timedelta(minutes=16)).seat.name == "ines"


def test_a_good_try_begins_the_count_of_a_name_anew(house):
    for _ in range(3):
        for _ in range(MOST_BY_NAME - 1):
            assert refused(house, "ines", "wrong") == "sign-in-wrong"
        assert enter(house).seat.name == "ines"


def test_an_address_that_tries_many_names_is_shut_out(house):
    for number in range(MOST_BY_ADDRESS):
        assert refused(house, f"name-{number}", "x", address="10.9.9.9") == "sign-in-wrong"
    assert refused(house, "odo", address="10.9.9.9") == "sign-in-later"
    assert enter(house, "odo").seat.name == "odo"


def test_a_password_given_by_an_owner_ends_every_seat_and_is_to_be_changed(house):
    before = enter(house)
    told = accounts.give_account(house, proven("odo"), KEYS, "ines")
    assert who(house, before) is None
    assert refused(house) == "sign-in-wrong"
    taken = enter(house, password=told)
    assert taken.must_change
    new = "quiet gravel pencil"
    accounts.change_password(house, proven(), KEYS, told, new, taken.seat.digest)
    assert who(house, taken) == "ines"
    assert not enter(house, password=new).must_change


def test_a_changed_password_ends_all_other_seats(house):
    here, there = enter(house), enter(house)
    accounts.change_password(
        house, proven(), KEYS, PASSWORD, "quiet gravel pencil", here.seat.digest
    )
    assert (who(house, here), who(house, there)) == ("ines", None)


@pytest.mark.parametrize(
    ("password", "code"),
    [("short", "password-short"), ("a" * 40, "password-plain"), ("x y" * 200, "password-long")],
)
def test_a_password_that_would_be_guessed_is_refused(house, password, code):
    with pytest.raises(CallError) as found:
        accounts.change_password(house, proven(), KEYS, PASSWORD, password)
    assert found.value.code == code
    assert enter(house).seat.name == "ines"


def test_a_one_time_code_is_asked_for_once_it_was_shown_to_work_and_counts_once(house):

    secret = KEYS.secret()
    with pytest.raises(CallError) as found:
        accounts.set_codes(house, proven(), KEYS, PASSWORD, secret, "000000x")
    assert found.value.code == "one-time-code-wrong"
    code = TOTP(secret).at(START)
    accounts.set_codes(house, proven(), KEYS, PASSWORD, secret, code)
    assert refused(house) == "sign-in-wrong"
    assert refused(house, code=code) == "sign-in-wrong", "it was used to set the codes up"
    later = START + timedelta(seconds=60)
    fresh = TOTP(secret).at(later)
    assert enter(house, at=later, code=fresh).seat.name == "ines"
    assert refused(house, at=later, code=fresh) == "sign-in-wrong"


def test_a_token_of_a_machine_works_in_somebodys_name_until_it_ends(house):
    taken = accounts.give_token(house, proven("odo"), KEYS, "pia", "shelf scanner 2", 30)
    assert who(house, taken, START + timedelta(days=29)) == "pia"
    assert who(house, taken, START + timedelta(days=30)) is None
    assert accounts.end_seats(house, proven("odo"), "pia", "shelf scanner 2") == 1
    assert who(house, taken) is None


@pytest.mark.parametrize("name", sorted(PEOPLE))
def test_a_name_alone_is_nobodys_where_people_sign_in(house, name):
    with pytest.raises(CallError) as found:
        jobs.list_jobs(house, by(name), JobFilter(), Page())
    assert found.value.code == "sign-in-needed"
    with pytest.raises(CallError):
        list_people(house, by(name))
    assert len(list_people(house, proven(name))) == len(PEOPLE)


def test_who_signed_in_and_what_was_given_stands_in_the_log(house):
    enter(house, address="10.0.0.8")
    with house.store.reading() as uow:
        noted = [(entry.action, entry.who) for entry in uow.audit.of_subject("account", "ines")]
    assert ("signed-in", "ines") in noted
    assert ("account-given", "odo") in noted


def test_the_log_is_read_by_person_and_day_the_latest_first_and_codes_are_taken_off(house):
    enter(house, address="10.0.0.8")
    secret = KEYS.secret()
    code = TOTP(secret).at(proven("pia", 1).at)
    accounts.set_codes(house, proven("pia", 1), KEYS, PASSWORD, secret, code)
    assert accounts.coded_names(house, proven()) == ("pia",)
    accounts.end_codes(house, proven("odo", 1), "pia")
    accounts.end_codes(house, proven("odo", 1), "pia")
    assert not accounts.asks_codes(house, proven("pia"))
    with house.store.reading() as uow:
        day = LogFilter(day=proven("odo", 1).day)
        found, count = uow.audit.page(day, Page(0, 1))
        second, _ = uow.audit.page(day, Page(1, 1))
        whole, of_ines = uow.audit.page(LogFilter(who="ines"), Page())
        assert list(uow.audit.names()) == ["ines", "odo", "pia"]
    assert ([each.action for each in (*found, *second)], count) == (["codes-off", "codes-on"], 2)
    assert (len(whole), of_ines) == (1, 1)


def test_an_account_that_is_ended_is_gone_with_its_seats_and_may_be_given_anew(house):
    odo = proven("odo")
    taken = enter(house)
    accounts.give_token(house, odo, KEYS, "ines", "scanner", 9)
    accounts.end_account(house, odo, "ines")
    assert who(house, taken) is None
    assert refused(house) == "sign-in-wrong"
    assert "ines" not in accounts.account_names(house, odo)
    for name, code in (("ines", "account-needed"), ("odo", "account-own")):
        with pytest.raises(CallError) as found:
            accounts.end_account(house, odo, name)
        assert found.value.code == code
    accounts.give_account(house, odo, KEYS, "ines", PASSWORD)
    assert who(house, enter(house)) == "ines"
