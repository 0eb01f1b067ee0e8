"""`wholekit pick` and `wholekit bag close`, as a person runs them."""

import json

import pytest
from tests.contract.test_loose_stock import BREAKABLE, there, whole_bag
from tests.support.command import done, run
from tests.support.jobs import by, furnished, put_catalog

from wholekit.bootstrap import open_store
from wholekit.domain.quotes import Person, PersonRole
from wholekit.services import picks
from wholekit.services.customers import set_person


@pytest.fixture
def room(monkeypatch, tmp_path):
    """A house in which every pack may be broken; the command works on the same store."""
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    monkeypatch.setenv("WHOLEKIT_USER", "pia")
    desk = furnished(open_store(), "quillmere")
    put_catalog(desk.store, BREAKABLE)
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    return desk


def test_what_is_left_over_goes_back_by_a_word_at_the_cart(room):
    bag = whole_bag(room)
    (each, *_) = picks.left_over(room, by("pia"), bag)[1]
    sku, packs, before = each.item[1], each.packs, there(room, each.item[1])
    typed = f"{bag}\nloose\nclose 99*{sku}\nclose {packs}*{sku}\nend\n"
    said = run("pick", "--wave", "1", stdin=typed.encode()).out
    assert f"may go back: {packs}*{sku}" in said
    assert f"Only {packs} × {sku} can be made of it." in said
    assert f"Put {packs} × {sku} loose into bin" in said
    assert there(room, sku)[sku] == before[sku] + packs
    shown = json.loads(done("bag", "show", bag, "--json").out)
    assert set(shown) >= {
        "bag",
        "lines",
        "closed_at",
        "closed_by",
        "substituted",
        "loose",
        "missing",
    }
    assert [(one["sku"], one["packs"]) for one in shown["loose"]] == [(sku, packs)]
    assert "went back loose" in done("bag", "show", bag).out


def test_a_bag_is_closed_with_what_goes_back(room):
    bag = whole_bag(room)
    (each, *_) = picks.left_over(room, by("pia"), bag)[1]
    told = f"{each.item[1]}={each.packs + 1}"
    assert "Nothing was closed" in _refused(bag, told)
    assert "SKU=12" in _refused(bag, "screws")
    told = f"{each.item[1]}={each.packs}"
    answer = json.loads(done("bag", "close", bag, "--loose", told, "--json").out)
    assert answer["closed_by"] == "pia"
    assert [one["sku"] for one in answer["loose"]] == [each.item[1]]


def _refused(bag, told):
    result = run("bag", "close", bag, "--loose", told)
    assert (result.status, result.out) == (2, "")
    return result.err
