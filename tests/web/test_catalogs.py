"""Catalogues on screen: looked through, and a supplier's prices looked over and loaded."""

import re
from datetime import timedelta
from html import unescape
from io import BytesIO
from re import findall, search
from zipfile import ZipFile

import pytest
from tests.support.accounts import proven
from tests.support.jobs import a_job

from wholekit.domain.quantities import Money
from wholekit.services.catalogs import list_catalogs, stored_with_cost
from wholekit.services.quotes import issue_quote
from wholekit.settings import bundled

SHEET = b"Tarrowby 2027;;;\nNumber;Each;Net;Weight\nTG-B1;198,22;95.37;4\nTG-B2;call;89.10;4\n"


def send(browser, path, data, name="new.csv", **fields):
    """A file from the page that it is chosen on."""
    return browser.client.post(
        path, data={"form_key": browser.key("/password"), **fields}, files={"sheet": (name, data)}
    )


def again(browser, page, path, **changed):
    """The form of a summary sent on, with what somebody changed in it."""
    fields: dict[str, list[str]] = {}
    for tag in findall(r"<input[^>]*>", page.text):
        name, value = search(r'name="([^"]+)"', tag), search(r'value="([^"]*)"', tag)
        if name and value and "checkbox" not in tag:
            fields.setdefault(name[1], []).append(unescape(value[1]))
    for name, options in findall(r'(?s)<select name="([^"]+)"[^>]*>(.*?)</select>', page.text):
        chosen = search(r'value="([^"]*)" selected', options)
        fields.setdefault(name, []).append(chosen[1] if chosen else "")
    return browser.client.post(
        path, data={**fields, "form_key": browser.key("/password"), **changed}
    )


def newest(desk):
    return stored_with_cost(desk.store, proven("odo"), "tarrowby")


def figures(page):
    return dict(findall(r"<dt>([^<]+)</dt><dd>([^<]+)</dd>", page.text))


def test_a_sheet_with_a_fault_is_mended_looked_over_loaded_and_its_columns_remembered(at, desk):
    issue_quote(desk, proven(), a_job(desk, "101", deed=proven()).label)
    odo = at("odo")
    # Which column is the SKU no heading says: it is asked before anything else.
    asked = send(odo, "/catalogs/tarrowby/sheet", SHEET)
    assert asked.status_code == 422
    assert "by which items are known" in asked.text
    told = ["sku", "list", "cost", ""]
    faulty = again(odo, asked, "/catalogs/tarrowby/sheet", ours=told)
    assert faulty.status_code == 422
    assert "new.csv, row 4, column Each: call is not an amount" in faulty.text
    assert "Load it" not in faulty.text
    refused = again(odo, faulty, "/catalogs/tarrowby/sheet/load", ours=told)
    assert refused.status_code == 422
    assert newest(desk).ref.revision == 1
    # The sheet mended: the columns are told once more, since nothing was loaded yet.
    mended = SHEET.replace(b"call", b"188.10")
    first = send(odo, "/catalogs/tarrowby/sheet", mended)
    shown = again(odo, first, "/catalogs/tarrowby/sheet", ours=told)
    assert shown.status_code == 200
    # By hand: 187.00 to 198.22 is +6 %, 198.00 to 188.10 is -5 %; on average +0.5 %.
    assert figures(shown)["where prices move"] == "+0.5 %"
    assert (figures(shown)["dearer"], figures(shown)["cheaper"]) == ("1", "1")
    assert newest(desk).ref.revision == 1, "looking over writes nothing"
    # Another date than was looked over is not loaded, and said.
    other = again(odo, shown, "/catalogs/tarrowby/sheet/load", edition="2026-11-24")
    assert other.status_code == 409
    # Nor is one that is yet to come: prices that are loaded hold at once.
    assert "Holds from now on" in shown.text
    ahead = again(odo, shown, "/catalogs/tarrowby/sheet/load", edition="2027-02-01")
    assert (ahead.status_code, "2027-02-01 is to come" in ahead.text) == (422, True)
    assert "Load it</button>" not in ahead.text
    assert newest(desk).ref.revision == 1
    loaded = again(odo, shown, "/catalogs/tarrowby/sheet/load")
    assert (loaded.status_code, loaded.headers["location"]) == (303, "/catalogs/tarrowby?loaded=1")
    assert re.search(r"Loaded</b> Revision 2, edition", odo.get("/catalogs/tarrowby?loaded=1").text)
    assert newest(desk).catalog.items[0].list_price == Money(19_822, "USD")
    # A second press finds that all of it is loaded.
    assert again(odo, shown, "/catalogs/tarrowby/sheet/load").status_code == 409
    assert newest(desk).ref.revision == 2
    assert "Number → sku" in odo.get("/catalogs/tarrowby/load").text
    # The next sheet is read without a word.
    later = send(odo, "/catalogs/tarrowby/sheet", mended.replace(b"198,22", b"208.13"))
    assert later.status_code == 200
    assert figures(later)["dearer"] == "1"
    nothing = send(odo, "/catalogs/tarrowby/sheet", mended)
    assert "Nothing would change" in nothing.text
    assert "Load it" not in nothing.text
    odo.post("/catalogs/tarrowby/sheet/forget")
    assert "Number → sku" not in odo.get("/catalogs/tarrowby/load").text


def test_what_somebody_else_loaded_in_between_is_told_and_not_written_over(at, desk):
    odo, second = at("odo"), at("odo")
    rise = {"share": "+6%", "day": "", "series": ""}
    shown = odo.post("/catalogs/tarrowby/rise", **rise)
    other = second.post("/catalogs/tarrowby/rise", **{**rise, "share": "3%"})
    assert again(second, other, "/catalogs/tarrowby/rise/load").status_code == 303
    stale = again(odo, shown, "/catalogs/tarrowby/rise/load")
    assert stale.status_code == 409
    assert "has changed in between" in stale.text
    assert newest(desk).ref.revision == 2
    # What it says now is what can be loaded next.
    assert again(odo, stale, "/catalogs/tarrowby/rise/load").status_code == 303
    # 187.00 × 1.03 = 192.61, × 1.06 = 204.1666.
    assert newest(desk).catalog.items[0].list_price == Money(20_417, "USD")


def test_a_rise_from_a_later_day_waits_for_it(at, desk, clock):
    issue_quote(desk, proven(), a_job(desk, "101", deed=proven()).label)
    odo = at("odo")
    day = (clock.now + timedelta(days=3)).date().isoformat()
    shown = odo.post("/catalogs/tarrowby/rise", share="60", day=day, series="granite")
    assert shown.status_code == 422
    assert "up to 50%" in shown.text
    shown = odo.post("/catalogs/tarrowby/rise", share="6%", day=day, series="granite")
    assert "1 open quote has goods of it." in shown.text
    assert again(odo, shown, "/catalogs/tarrowby/rise/load").status_code == 303
    assert newest(desk).ref.revision == 1
    assert day in odo.get("/catalogs").text
    clock.passes(timedelta(days=3))
    odo.sign_in("odo")
    page = odo.get("/catalogs")
    assert "due" in page.text
    due = odo.post("/catalogs/tarrowby/rise", share="+6%", day=day, series="granite")
    assert again(odo, due, "/catalogs/tarrowby/rise/load").status_code == 303
    assert newest(desk).catalog.edition.isoformat() == day
    assert "Rises that wait" not in odo.get("/catalogs").text


def test_a_folder_comes_as_an_archive_and_what_is_none_is_refused_in_words(at, desk):
    odo = at("odo")
    top = bundled("catalog_samples") / "quillmere"
    made = BytesIO()
    with ZipFile(made, "w") as archive:
        for path in top.rglob("*"):
            if path.is_file():
                archive.write(path, path.relative_to(top.parent))
    shown = send(odo, "/catalogs-folder", made.getvalue(), "quillmere.zip")
    assert "The first of this supplier" in shown.text
    assert again(odo, shown, "/catalogs-folder/load").status_code == 303
    assert [book.catalog_id for book in list_catalogs(desk.store, proven())] == [
        "quillmere", "tarrowby"
    ]  # fmt: skip
    for data, words in ((b"no archive", "no ZIP archive"), (b"", "Choose a file first"),
                        (b"x" * (6 * 1024 * 1024 + 1), "up to 6 MB")):  # fmt: skip
        answer = send(odo, "/catalogs-folder", data, "x.zip")
        assert answer.status_code == 422
        assert words in answer.text
    assert "There is no such page" in odo.get("/catalogs/quillmere/x").text
    assert odo.get("/catalogs/marble").status_code == 404
    assert send(odo, "/catalogs/marble/sheet", SHEET).status_code == 404


def test_who_looks_sees_what_is_theirs(at):
    owner, counter, picker = (at(name).get("/catalogs/tarrowby").text
                              for name in ("odo", "ines", "pia"))  # fmt: skip
    assert ("187.00" in owner, "95.3700" in owner) == (True, True)
    assert ("187.00" in counter, "95.3700" in counter) == (True, False)
    assert ("187.00" in picker, "95.37" in picker) == (False, False)
    assert "New prices" in owner
    assert "New prices" not in counter
    item = at("pia").get("/catalogs/tarrowby/items/TG-B1").text
    assert "187.00" not in item
    assert "B-01-02" in item


@pytest.mark.parametrize("language", ["en", "fr", "es"])
def test_items_are_found_and_a_body_by_its_holes(at, language):
    ines = at("ines")
    ines.client.cookies.set("language", language)
    found = ines.get("/catalogs/tarrowby?text=body, size 2")
    assert "TG-B2" in found.text
    assert "TG-B3" not in found.text
    assert 'class="empty"' in ines.get("/catalogs/tarrowby?text=zebra").text
    assert "TP-B2.689" not in ines.get("/catalogs/tarrowby?series=granite&number=2").text
    part = ines.get("/catalogs/tarrowby?text=TG-B1", headers={"x-part": "1"}).text
    assert "<html" not in part
    holes = ines.get("/catalogs-by-holes?holes=12 x 3/4").text
    assert "Granite" in holes
    assert ines.get("/catalogs-by-holes?holes=wide").status_code == 422
