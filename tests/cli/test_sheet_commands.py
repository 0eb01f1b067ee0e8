"""`wholekit schedule`, and the commands that read sheets as they were sent."""

import json

import pytest
from tests.openings.sheets import CLINIC, METRIC, REPEATED, merged_workbook
from tests.support.command import run, run_named
from tests.support.house import sample_folders

CATALOGS = [part for folder in sample_folders() for part in ("--catalog", str(folder))]


@pytest.fixture
def clinic(tmp_path):
    path = tmp_path / "clinic.csv"
    path.write_text(CLINIC, encoding="utf-8")
    return path


def test_the_reading_is_shown_and_the_clean_schedule_written_once(clinic, tmp_path):
    clean = tmp_path / "clean.csv"
    result = run("schedule", str(clinic), "--out", str(clean))
    assert result.status == 0
    for part in ("Door Size -> size", "HW Set: hardware set", "row 13: a total", "20M", "row 4"):
        assert part in result.out
    again = run("schedule", str(clinic), "--out", str(clean))
    assert again.status == 2
    assert "is there already" in again.err
    strictly = run("schedule", str(clean), "--strict")
    assert strictly.status == 0
    assert "clean as it stands, 4 openings" in strictly.out


def test_the_reading_as_json(clinic):
    result = run("schedule", str(clinic), "--json")
    answer = json.loads(result.out)
    assert answer["table"]["header_rows"] == [4]
    assert answer["table"]["openings"] == 4
    assert {column["heading"] for column in answer["set_aside"]} == {"HW Set"}
    assert {entry["why"] for entry in answer["skipped"]} >= {"above", "total", "header-again"}
    assert any(
        value["written"] == "20M" and value["read"] == {"fire_minutes": "20 min"}
        and value["count"] == 1
        for value in answer["values"]
    )  # fmt: skip
    assert (answer["asked"], answer["problems"]) == ([], [])


def test_what_is_asked_is_status_1_and_what_cannot_be_read_2(tmp_path):
    path = tmp_path / "sent.csv"
    path.write_text(REPEATED, encoding="utf-8")
    result = run("schedule", str(path))
    assert result.status == 1
    assert "A1 stands in rows 2 and 3" in result.out
    path.write_text("Door No.,Door Size\n1,tall\n", encoding="utf-8")
    result = run("schedule", str(path), "--out", str(tmp_path / "clean.csv"))
    assert result.status == 2
    assert "row 2, column Door Size" in result.err
    assert not (tmp_path / "clean.csv").exists()


def test_kit_reads_a_sheet_as_sent_and_says_so_in_a_few_lines(clinic):
    result = run("kit", str(clinic), *CATALOGS, "--json")
    assert len(json.loads(result.out)["openings"]) == 4
    assert "Read as sent: clinic.csv" in result.err
    assert len(result.err.splitlines()) < 12
    strictly = run("kit", str(clinic), *CATALOGS, "--strict")
    assert strictly.status == 2
    assert "nothing was taken" in strictly.err


def test_of_two_tables_schedule_asks_and_kit_refuses_until_one_is_named(tmp_path):
    path = tmp_path / "sent.csv"
    path.write_text("Mark,Size,Matl\n1,3070,HM\n2,3070,HM\n\nOpening,Width,Height\n7,36,84\n")
    shown = run("schedule", str(path))
    assert shown.status == 1
    assert "Which table holds the openings?" in shown.out
    written = run("schedule", str(path), "--out", str(tmp_path / "clean.csv"))
    assert written.status == 2
    assert not (tmp_path / "clean.csv").exists()
    refused = run("kit", str(path), *CATALOGS, "--json")
    assert (refused.status, refused.out) == (2, "")
    assert "headers in rows 1, 5" in " ".join(refused.err.split())
    for rows, marks in (("1", ["1", "2"]), ("5", ["7"]), ("all", ["1", "2", "7"])):
        result = run("kit", str(path), *CATALOGS, "--table", rows, "--json")
        assert [entry["mark"] for entry in result.json["openings"]] == marks


def test_a_clean_schedule_is_read_without_a_word_of_it(tmp_path):
    path = tmp_path / "clean.csv"
    path.write_text("mark,size,door,frame\n1,3070,hollow-metal,steel\n", encoding="utf-8")
    result = run("kit", str(path), *CATALOGS, "--json")
    assert "Read as sent" not in result.err


@pytest.mark.parametrize("data", [METRIC.encode("cp1252"), merged_workbook()])
def test_the_other_kinds_of_sheet_become_kits(tmp_path, data):
    path = tmp_path / "sent"
    path.write_bytes(data)
    result = run("kit", str(path), *CATALOGS, "--json")
    assert result.status in (0, 1)
    assert len(json.loads(result.out)["openings"]) in (2, 4)


def test_choices_are_written_to_a_map_and_used_the_next_time(tmp_path):
    sent, kept = tmp_path / "sent.csv", tmp_path / "averlund.toml"
    sent.write_text("Door No.,Door Size,Zz,Door Matl\n1,3070,90,K-7\n", encoding="utf-8")
    assert run("schedule", str(sent)).status == 1
    first = run(
        "schedule", str(sent), "--map", str(kept), "--column", "Zz=fire_minutes",
        "--value", "door:K-7=hollow-metal",
    )  # fmt: skip
    assert first.status == 0
    assert "2 choices kept" in " ".join(first.err.split())
    result = run("kit", str(sent), *CATALOGS, "--map", str(kept), "--json")
    assert result.status in (0, 1)
    assert "as chosen" in run("schedule", str(sent), "--map", str(kept)).out


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--column", "Zz"), "chooses no column"),
        (("--column", "Zz=colour"), "there is no column colour"),
        (("--value", "door"), "chooses no value"),
        (("--value", "door:K=chalk"), "chalk"),
        (("--value", "blimp:K=wood"), "there is no column blimp"),
        (("--map", "nowhere.toml"), "nowhere.toml"),
    ],
)
def test_a_wrong_choice_is_told_before_anything_is_read(clinic, options, said):
    result = run("schedule", str(clinic), *options)
    assert result.status == 2
    assert said in result.err


def test_a_map_that_is_none_is_told(clinic, tmp_path):
    path = tmp_path / "map.toml"
    path.write_text('sheet = 3\nblimp = 1\n[columns]\n"x" = 2\n', encoding="utf-8")
    result = run("schedule", str(clinic), "--map", str(path))
    assert result.status == 2
    assert "blimp" in result.err


def test_choices_are_kept_for_a_customer_and_used_for_the_next_job(shop, tmp_path):
    sent = tmp_path / "sent.csv"
    sent.write_text("Door No.,Door Size,Zz,Door Matl\n1,3070,90,HM\n", encoding="utf-8")
    first = run_named(
        "schedule", str(sent), "--customer", "saltmarsh", "--column", "Zz=fire_minutes"
    )
    assert first.status == 0
    assert "Kept for saltmarsh" in first.err
    shown = run_named("customer", "sheet", "saltmarsh")
    assert '"Zz" = "fire_minutes"' in shown.out
    assert "by ines" in shown.out
    added = run_named("job", "add", "1", str(sent))
    assert added.status == 0
    assert "Zz = fire_minutes" in added.err
    opening = json.loads(run_named("job", "show", "1", "--json").out)
    assert "90" in json.dumps(opening)
    assert run_named("customer", "sheet", "saltmarsh", "--clear").status == 0
    kept = json.loads(run_named("customer", "sheet", "saltmarsh", "--json").out)
    assert (kept["columns"], kept["version"]) == ({}, 2)
