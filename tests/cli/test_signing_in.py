"""Signing in at a terminal: who acts is shown, and a name alone is nobody's any more."""

from contextlib import closing
from datetime import datetime

import pytest
from tests.support.command import run

from wholekit.bootstrap import house_keys, open_store
from wholekit.services.accounts import ToldSignIn, sign_in

FIRST, SECOND = "harbour lantern mosaic", "quiet gravel pencil"


def typed(*lines):
    return "".join(f"{line}\n" for line in lines).encode()


@pytest.fixture
def house(shop, tmp_path, monkeypatch):
    """A house in which odo has an account, with nobody signed in."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.delenv("WHOLEKIT_USER", raising=False)
    given = run("house", "account", "odo", "--type-it", "--by", "odo", stdin=typed(FIRST, FIRST))
    assert (given.status, given.out) == (0, "odo can sign in\n")


def test_a_name_alone_is_refused_once_somebody_has_an_account(house):
    refused = run("job", "list", "--by", "odo")
    assert (refused.status, refused.out) == (2, "")
    assert "wholekit sign-in" in refused.err


def test_who_signed_in_acts_without_a_name_until_they_sign_out(house, tmp_path):
    assert run("sign-in", "odo", stdin=typed("wrong")).status == 2
    assert run("sign-in", "odo", stdin=typed(FIRST)).out == "signed in as odo\n"
    (kept,) = (tmp_path / "state" / "wholekit").iterdir()
    assert kept.stat().st_mode & 0o777 == 0o600
    assert run("job", "list").status == 0
    other = run("job", "list", "--by", "ines")
    assert (other.status, "odo is signed in" in other.err) == (2, True)
    assert run("sign-in", "--out").out == "signed out\n"
    assert not kept.exists()
    assert run("job", "list").status == 2


def test_a_password_of_an_owner_is_changed_at_the_first_sign_in(house):
    run("sign-in", "odo", stdin=typed(FIRST))
    told = run("house", "account", "ines", "--json").json["password"]
    run("sign-in", "--out")
    assert run("sign-in", "ines", stdin=typed(told, SECOND, "other")).status == 2
    assert run("job", "list").status == 2
    assert run("sign-in", "ines", stdin=typed(told, SECOND, SECOND)).status == 0
    assert run("job", "list").status == 0
    assert run("sign-in", "ines", stdin=typed(told)).status == 2


def test_a_token_works_in_its_persons_role_until_it_is_ended(house, monkeypatch):
    run("sign-in", "odo", stdin=typed(FIRST))
    run("house", "account", "ines", "--type-it", stdin=typed(SECOND, SECOND))
    token = run("house", "token", "ines", "--for", "till 2", "--json").json["token"]
    monkeypatch.setenv("WHOLEKIT_TOKEN", token)
    assert run("job", "list").status == 0
    assert "ines is none" in run("stock", "value").err
    monkeypatch.delenv("WHOLEKIT_TOKEN")
    assert run("house", "sign-out", "ines", "--for", "till 2").out == "ines: 1 ended\n"
    monkeypatch.setenv("WHOLEKIT_TOKEN", token)
    ended = run("job", "list")
    assert (ended.status, "no longer holds" in ended.err) == (2, True)


def test_the_seat_of_one_who_must_choose_a_password_first_is_not_enough(house, monkeypatch):
    run("sign-in", "odo", stdin=typed(FIRST))
    told = run("house", "account", "ines", "--json").json["password"]
    with closing(open_store()) as store:
        now = datetime.now().astimezone()
        taken = sign_in(store, house_keys(), now, ToldSignIn("ines", told))
    monkeypatch.setenv("WHOLEKIT_TOKEN", taken.token)
    refused = run("job", "list")
    assert (refused.status, "choose another first" in refused.err) == (2, True)


def test_screens_want_an_owner_who_can_sign_in(shop):
    refused = run("serve")
    assert (refused.status, "wholekit house account" in refused.err) == (2, True)
