"""What a user of the command line is promised: data on stdout, the rest on stderr, the status."""

import re
import subprocess
import sys
from contextlib import closing
from datetime import date, datetime
from pathlib import Path

import pytest
from tests.support.command import run
from tests.support.house import sample_folders

from wholekit.bootstrap import desk_on, house_keys, open_store
from wholekit.cli.demo_shop import PASSWORD as SHOP_PASSWORD
from wholekit.cli.demo_shop import furnish_shop
from wholekit.domain.orders import BagState
from wholekit.services.accounts import ToldSignIn, seated, sign_in
from wholekit.services.order_port import OrderFilter
from wholekit.services.orders import list_orders
from wholekit.services.paging import Page
from wholekit.settings import Settings, bundled

FOLDERS = [str(folder) for folder in sample_folders()]
CATALOGS = [part for folder in FOLDERS for part in ("--catalog", folder)]
JOB = bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv"
OPENING = "101 3070 hollow-metal/steel exterior out parallel 689 x2"


def test_a_line_of_trade_terms_gives_a_complete_kit():
    result = run("kit", "--opening", OPENING, *CATALOGS, "--full")
    assert result.status == 0
    assert "101" in result.out
    assert "soffit bracket" in result.out
    assert "licensed people decide" in result.out


def test_an_opening_in_inches_is_told_in_pounds_and_feet_with_the_others_in_brackets():
    windy = "101 3670 aluminum/aluminum exterior out parallel 689 wind=22mph"
    for more in ((), ("--full",)):
        out = " ".join(run("kit", "--opening", windy, *CATALOGS, *more).out.split())
        found = re.findall(r"[\d.]+ (?:Pa|N·m)\b", out)
        assert found
        assert all(f"({said})" in out for said in found)


def test_the_json_holds_what_the_contract_names_and_no_cost():
    result = run("kit", "--opening", OPENING, *CATALOGS, "--json")
    assert result.status == 0
    answer = result.json
    assert set(answer) >= {"openings", "totals"}
    opening = answer["openings"][0]
    assert opening["mark"] == "101"
    assert opening["quantity"] == 2
    assert opening["leaves"] == 1
    assert opening["complete"] is True
    assert (opening["mount"], opening["body_side"]) == ("parallel", "push")
    assert (opening["size_required"], opening["spring_size"]) == (4, 4)
    roles = {part["role"] for line in opening["lines"] for part in line["supplies"]}
    assert {"body", "main-arm", "forearm", "soffit-bracket", "body-fastener"} <= roles
    assert "shoe" not in roles
    assert opening["missing"] == []
    for line in opening["lines"]:
        assert set(line) == {"sku", "description", "quantity", "finish", "supplies", "because"}
        assert all(line["because"])
    for finding in opening["findings"]:
        assert set(finding) == {"code", "severity", "text", "source", "hint"}
    each = float(opening["price"]["amount"])
    assert answer["totals"]["price"] == {"amount": f"{2 * each:.2f}", "currency": "USD"}
    assert answer["totals"]["openings"] == 2
    assert "cost" not in result.out


def test_several_catalogues_may_follow_one_option():
    spread = run("kit", "--opening", OPENING, "--catalog", *FOLDERS, "--json")
    named = run("kit", "--opening", OPENING, *CATALOGS, "--json")
    assert spread.out == named.out


def test_a_schedule_may_come_from_standard_input():
    text = b"mark,size\nA1,3070\n"
    result = run("kit", "-", *CATALOGS, "--json", stdin=text)
    assert result.json["openings"][0]["mark"] == "A1"


def test_a_stopped_opening_gives_status_1():
    result = run("kit", "--opening", "1 3070 fire 90 hold-open", *CATALOGS)
    assert result.status == 1
    assert "STOP" in result.out


def test_every_fault_of_schedule_and_shorthand_is_told_at_once_and_nothing_is_printed(tmp_path):
    schedule = tmp_path / "schedule.csv"
    schedule.write_text("mark,size,colour\n1,31010,red\n1,3070,\n2,1O1,\n", encoding="utf-8")
    result = run("kit", str(schedule), "--strict", "--opening", "9 paralel 3070", *CATALOGS)
    assert result.status == 2
    assert result.out == ""
    for part in ("row 1", "colour", "row 2", "31010", "row 3", "row 4", "1O1", "paralel"):
        assert part in result.err
    assert "nothing was taken" in result.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("kit", "--opening", "3070"), "--catalog DIR"),
        (("kit", *CATALOGS), "No openings given"),
        (("kit", "--opening", "3070", "--catalog", "nowhere"), "nowhere"),
        (("kit", "--opening", "3070", *CATALOGS, "--multiplier", "-1"), "not a multiplier"),
        (("kit", "--opening", "3070", *CATALOGS, "--prefer", "nobody"), "nobody"),
        (("kit", "missing.csv", *CATALOGS), "missing.csv"),
        (("explain", str(JOB), *CATALOGS), "--mark"),
        (("explain", str(JOB), *CATALOGS, "--mark", "nosuch"), "nosuch"),
        (("rules", "no-such-rule"), "no-such-rule"),
        (("papers", "--opening", "3070", *CATALOGS, "--out", "x", "--date", "soon"), "soon"),
        (("papers", "--opening", "3070", *CATALOGS, "--out", "x", "--floor", "200%"), "200%"),
    ],
)
def test_a_wrong_call_is_status_2_and_says_what_would_be_right(arguments, said):
    result = run(*arguments)
    assert result.status == 2
    assert result.out == ""
    assert said in result.err
    assert "Traceback" not in result.err


def test_catalogues_of_two_currencies_do_not_make_one_job(tmp_path):
    import shutil

    other = tmp_path / "yen"
    shutil.copytree(bundled("catalog_samples") / "quillmere", other)
    header = other / "catalog.toml"
    text = header.read_text(encoding="utf-8")
    header.write_text(
        text.replace('id = "quillmere"', 'id = "yen"').replace("USD", "CAD"), encoding="utf-8"
    )
    result = run("kit", "--opening", "3070", *CATALOGS, "--catalog", str(other))
    assert result.status == 2
    assert "CAD" in result.err


def test_the_broken_catalogue_is_status_2_with_all_its_faults():
    result = run("catalog", "check", str(bundled("catalog_samples") / "broken"))
    assert result.status == 2
    assert result.out.count("\n") > 20
    assert run("catalog", "check", *FOLDERS).status == 0


def test_a_kit_made_by_hand_is_held_against_its_openings():
    kit = str(JOB).replace(".csv", "-kit.csv")
    result = run("check-kit", str(JOB), kit, *CATALOGS, "--json")
    assert result.status == 1
    found = {code["code"] for opening in result.json["openings"] for code in opening["findings"]}
    assert {
        "bracket-missing",
        "fastener-wrong-host",
        "size-too-small",
        "finish-mixed",
        "piece-surplus",
    } <= found
    assert result.json["without_lines"]


def test_an_opening_the_kit_has_no_line_for_lacks_everything(tmp_path):
    schedule, kit = tmp_path / "schedule.csv", tmp_path / "kit.csv"
    schedule.write_text("mark,size,weight\n1,3070,100 lb\n2,3070,100 lb\n", encoding="utf-8")
    kit.write_text("mark,sku,quantity\n1,QL-3-689,1\n", encoding="utf-8")
    result = run("check-kit", str(schedule), str(kit), *CATALOGS, "--json")
    assert result.status == 1
    assert [opening["complete"] for opening in result.json["openings"]] == [True, False]
    assert result.json["without_lines"] == ["2"]


def test_every_fault_of_a_kit_file_is_told_at_once(tmp_path):
    kit = tmp_path / "kit.csv"
    kit.write_text("mark,sku,quantity\n101,NO-SUCH,0\n9999,NO-SUCH,1\n", encoding="utf-8")
    result = run("check-kit", str(JOB), str(kit), *CATALOGS)
    assert result.status == 2
    for part in ("quantity", "NO-SUCH", "9999"):
        assert part in result.err


def test_what_cannot_be_shown_or_written_is_no_crash():
    command = [sys.executable, "-m", "wholekit", "kit", "--opening", "1 3070", *CATALOGS]
    plain = subprocess.run(
        command, capture_output=True, env={"PYTHONIOENCODING": "ascii"}, check=False
    )
    assert plain.returncode == 0
    assert b"Traceback" not in plain.stderr
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, check=False)
    assert done.returncode == 2
    assert b"could not be written" in done.stderr
    assert b"Traceback" not in done.stderr


def test_prices_say_whether_they_are_list_or_net():
    listed = run("kit", "--opening", OPENING, *CATALOGS)
    net = run("kit", "--opening", OPENING, *CATALOGS, "--multiplier", "55%")
    assert "list" in listed.out.splitlines()[-4]
    assert "net at 0.55 × list" in net.out


def test_a_kit_with_an_unknown_sku_or_mark_is_status_2(tmp_path):
    kit = tmp_path / "kit.csv"
    kit.write_text("mark,sku,quantity\n101,NO-SUCH,1\n9999,NO-SUCH,1\n", encoding="utf-8")
    result = run("check-kit", str(JOB), str(kit), *CATALOGS)
    assert result.status == 2
    assert "row 2" in result.err
    assert "9999" in result.err


def test_explain_gives_every_why_down_to_rules_with_sources():
    result = run("explain", "--opening", OPENING, *CATALOGS, "--all")
    assert result.status == 0
    for part in (
        "size 4 is required",
        "one more than 3 for the leaf alone",
        "common practice, no source",
        "chart of closer sizes by leaf width",
    ):
        assert part in " ".join(result.out.split())
    assert run("explain", "--opening", OPENING, *CATALOGS, "--json").json["trees"]


def test_the_rule_book_can_be_read_whole_or_by_one():
    every = run("rules")
    assert every.status == 0
    assert "us-width-interior" in every.out
    result = run("rules", "en1154-table-1", "--json")
    assert result.json[0]["source"].startswith("EN 1154")


def test_a_house_rule_shows_wherever_it_is_cited(tmp_path):
    house = tmp_path / "house.toml"
    house.write_text(
        '[[rule]]\nid = "parallel-adds"\ntitle = "Two more for a parallel arm"\nunit = "sizes"\n'
        "valid_from = 2026-01-01\nvalue = 2\n"
        'source = {body = "Fernhollow counter", edition = "", clause = "", mark = "practice", '
        "last_checked = 2026-01-01}\n",
        encoding="utf-8",
    )
    asked = "1 3070 interior parallel"
    result = run("explain", "--opening", asked, *CATALOGS, "--all", "--house", str(house))
    assert "house rule: Fernhollow counter, in place of common practice" in " ".join(
        result.out.split()
    )
    assert "size 5 is required" in result.out


def test_the_kit_command_loads_nothing_heavy():
    """Start-up: what is not needed for kits is not imported."""
    code = (
        "import sys\n"
        "sys.argv = ['wholekit', 'kit', '--opening', '3070', '--catalog', sys.argv[1]]\n"
        "from wholekit.cli.app import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {'weasyprint', 'jinja2', 'babel', 'pypdf', 'numpy', 'scipy', 'sqlmodel',"
        " 'fastapi', 'python_calamine', 'sqlalchemy', 'alembic', 'zipfile', 'random'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, FOLDERS[0]], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]"


@pytest.mark.usefixtures("quick_papers")
def test_the_demo_makes_every_paper(tmp_path: Path, monkeypatch):
    """In a folder named from where the user stands, as `./do demo` does, a second time too.

    The papers are not laid out here: that the demo of an installed wheel proves.
    """
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path / "demo" / "job"))
    assert run("customer", "add", "saltmarsh", "Of an earlier demo", "--by", "odo").status == 0
    result = run("demo", "--out", "demo", "--date", "2026-11-25")
    assert result.status == 0, result.err
    made = {path.name for path in (tmp_path / "demo").iterdir()}
    assert made == {
        "quote.pdf",
        "pick-list.pdf",
        "kit-labels.pdf",
        "packing-slip.pdf",
        "setting-cards.pdf",
        "kits.txt",
        "kits.json",
        "job",
    }
    job = tmp_path / "demo" / "job"
    assert {path.name for path in job.glob("*.pdf")} == {
        "quote-1.pdf",
        "quote-2.pdf",
        "changes.pdf",
        "margin-sheet.pdf",
    }
    for path in job.glob("*.pdf"):
        assert str(path.relative_to(tmp_path)) in result.out
    assert run("db", "check").status == 0
    states = [one["state"] for one in run("quote", "list", "1", "--json", "--by", "ines").json]
    assert states == ["superseded", "accepted"]
    for path in (tmp_path / "demo").glob("*.pdf"):
        assert path.read_bytes().startswith(b"%PDF")
        assert path.name in result.out
    # What --serve adds before it answers browsers: an order to pick, and people who can sign in.
    assert furnish_shop(tmp_path / "demo", date(2026, 11, 25)) == Path("demo/job").absolute()
    with closing(open_store(Settings(job))) as store:
        now = datetime.now().astimezone()
        taken = sign_in(store, house_keys(), now, ToldSignIn("pim", SHOP_PASSWORD))
        seat = seated(store, house_keys(), now, taken.token)
        assert seat is not None
        orders, _ = list_orders(desk_on(store), seat.deed(now), OrderFilter(), Page())
    assert sorted(row.bags.get(BagState.READY, 0) for row in orders) == [4]


def test_an_opening_is_told_in_the_units_of_its_own_size():
    asked, long = "wood/wood top-jamb interior", (*CATALOGS, "--full")
    metric = run("kit", "--opening", f"101 914x2134 mm {asked} jurisdiction uk", *long).out
    imperial = run("kit", "--opening", f"101 3070 {asked}", *long).out
    metric, imperial = (" ".join(one.split()) for one in (metric, imperial))
    assert re.search(r"estimated at [\d.]+ kg", metric)
    assert re.search(r"opens with about [\d.]+ N \([\d.]+ lbf\)", metric)
    assert re.search(r"estimated at [\d.]+ lb ", imperial)
    assert re.search(r"opens with about [\d.]+ lbf \([\d.]+ N\)", imperial)
    for out, unit in ((metric, "mm"), (imperial, "in")):
        assumed = out[out.index(" assumed ") : out.index(" computed ")]
        lengths = re.findall(r"reveal: [\d./-]+ (\w+)|thickness: [\d./-]+ (\w+)", assumed)
        assert {one for pair in lengths for one in pair if one} == {unit}


def test_the_why_tells_each_branch_and_each_source_of_a_line_once():
    asked = "101 3070 wood/wood interior parallel 45 min accessible 20 Pa"
    out = run("explain", "--opening", asked, *CATALOGS, "--all").out
    why = out[out.index("\n\n- ") :]
    entries = re.split(r"^ *- ", why, flags=re.MULTILINE)[1:]
    entries = [" ".join(entry.partition("\n\n")[0].split()) for entry in entries]
    sourced = [entry for entry in entries if entry.endswith("]")]
    assert sourced
    assert len(set(sourced)) == len(sourced)
    for one in sourced:
        sources = re.findall(r"\[[^\]]*\]", one)
        assert len(set(sources)) == len(sources)
    again = [entry.removesuffix(", as above") for entry in entries if entry.endswith(", as above")]
    assert again
    for one in again:
        assert any(first.startswith(one) for first in entries[: entries.index(f"{one}, as above")])
