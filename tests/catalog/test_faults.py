"""Every fault a catalogue can have: put into a sound one, each is told alone and in its place."""

import pytest
from tests.catalog.fault_cases import FAULTS, FAULTS_TESTED_APART
from tests.catalog.folders import (
    FINISHES,
    HEADER,
    PRICES,
    SERIES,
    SOUND,
    changed,
    sound_copy,
    told,
    told_of,
)

from wholekit.domain.errors import CallError, InputError, Problem
from wholekit.intake.catalog_folder import catalog_problems, load_catalog
from wholekit.intake.series_file import read_series
from wholekit.wording.catalog_problems import SENTENCES


@pytest.mark.parametrize(
    ("code", "file", "old", "new", "row", "column"),
    FAULTS,
    ids=[f"{fault[0]}-{number}" for number, fault in enumerate(FAULTS)],
)
def test_one_fault_is_told_alone_with_its_row_and_column(
    tmp_path, code, file, old, new, row, column
):
    assert told(changed(tmp_path, file, old, new)) == [(code, file, row, column)]


def test_the_catalogue_that_the_faults_are_put_into_is_sound():
    assert catalog_problems(SOUND, FINISHES) == []


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ("fen-cover; ", "", "piece[fen-cover]"),
        ("20000011,,,", "20000011,discontinued,none,", "body[fen-16]"),
    ],
)
def test_a_piece_that_no_current_item_supplies_is_told_at_its_series(tmp_path, old, new, path):
    folder = changed(tmp_path, PRICES, old, new)
    assert told(folder) == [("piece-unsold", SERIES, None, path)]


def test_a_template_whose_body_does_not_claim_the_mount_is_told_at_the_template(tmp_path):
    folder = changed(tmp_path, SERIES, 'mounts = ["regular", "parallel"]', 'mounts = ["regular"]')
    assert told(folder) == [
        ("template-mount-unused", SERIES, None, "template[fen-parallel].families")
    ]


def test_a_body_without_any_mount_is_told_and_so_is_the_template_left_without_it(tmp_path):
    folder = changed(tmp_path, SERIES, 'mounts = ["regular", "parallel"]', "mounts = []")
    assert told(folder) == [
        ("body-without-mount", SERIES, None, "body[fen-3].mounts"),
        ("template-mount-unused", SERIES, None, "template[fen-parallel].families"),
    ]


def test_a_template_for_no_family_leaves_its_bodies_without_template(tmp_path):
    old = 'mount = "parallel"\nfamilies = ["fen"]'
    folder = changed(tmp_path, SERIES, old, 'mount = "parallel"\nfamilies = []')
    assert told(folder) == [
        ("template-without-family", SERIES, None, "template[fen-parallel].families"),
        ("body-without-template", SERIES, None, "body[fen-3].mounts"),
    ]


def test_a_missing_column_is_told_with_the_unknown_one_that_may_be_meant(tmp_path):
    assert told(changed(tmp_path, PRICES, ",cost,", ",costs,")) == [
        ("column-unknown", PRICES, 1, "costs"),
        ("column-missing", PRICES, 1, "cost"),
    ]


def test_a_loop_of_three_replacements_is_told_once_at_its_first_row(tmp_path):
    folder = sound_copy(tmp_path)
    with (folder / PRICES).open("a", encoding="utf-8") as book:
        for sku, by in (("A", "B"), ("B", "C"), ("C", "A"), ("D", "A")):
            book.write(f"{sku},Cap,,2.00,1.00,,0,,,,discontinued,{by},fen-cap,,,,,\n")
    problems = catalog_problems(folder, FINISHES)
    assert [told_of(problem, folder) for problem in problems] == [
        ("replacement-loop", PRICES, 10, "replaced_by")
    ]
    assert problems[0].fields["loop"] == "A → B → C → A"


def test_an_id_used_in_two_series_is_told_with_the_first_file(tmp_path):
    folder = sound_copy(tmp_path)
    text = (folder / SERIES).read_text(encoding="utf-8")
    second = 'id = "moor"\ntitle = "Moor"\nstandard = ""\nfinishes = []\n'
    start = text.index('[[piece]]\nid = "fen-spacer"')
    piece = text[start : text.index("[[piece]]", start + 1)]
    (folder / "series/moor.toml").write_text(second.replace('""', '"x"') + piece, encoding="utf-8")
    problems = catalog_problems(folder, FINISHES)
    assert [told_of(problem, folder) for problem in problems] == [
        ("id-twice", "series/moor.toml", None, "piece[fen-spacer].id")
    ]
    assert str(problems[0].fields["first"]).endswith(SERIES)


def test_a_value_where_tables_belong_is_told(tmp_path):
    folder = sound_copy(tmp_path)
    text = 'id = "moor"\ntitle = "Moor"\nstandard = "x"\nfinishes = []\npiece = 4\n'
    (folder / "series/moor.toml").write_text(text, encoding="utf-8")
    assert told(folder) == [("list-of-tables-wanted", "series/moor.toml", None, "piece")]


def test_a_body_given_twice_is_told_once(tmp_path):
    text = (SOUND / SERIES).read_text(encoding="utf-8")
    body = text[text.index("[[body]]") : text.index("[[piece]]")]
    folder = changed(tmp_path, SERIES, body, body + body)
    assert told(folder) == [
        ("id-twice", SERIES, None, "body[fen-3].id"),
        ("id-twice", SERIES, None, "body[fen-16].id"),
    ]


def test_faults_in_every_file_are_told_at_once_and_the_catalogue_is_refused(tmp_path):
    folder = changed(tmp_path, HEADER, '"USD"', '"UDS"')
    for file, old, new in ((SERIES, "size = 3", "size = 9"), (PRICES, "20000011", "20000012")):
        path = folder / file
        path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    with pytest.raises(InputError) as refused:
        load_catalog(folder, FINISHES)
    assert [told_of(problem, folder) for problem in refused.value.problems] == [
        ("currency-unknown", HEADER, None, "currency"),
        ("size-unknown", SERIES, None, "body[fen-3].size"),
        ("barcode-wrong-digit", PRICES, 4, "barcode"),
    ]


@pytest.mark.parametrize(
    ("missing", "expected"),
    [
        (HEADER, ("file-missing", HEADER, None, "")),
        (PRICES, ("file-missing", PRICES, None, "")),
        (SERIES, ("series-missing", "series/*.toml", None, "")),
    ],
)
def test_a_missing_file_is_told_without_blaming_the_others(tmp_path, missing, expected):
    folder = sound_copy(tmp_path)
    (folder / missing).unlink()
    assert told(folder) == [expected]


def test_a_piece_with_an_unreadable_id_does_not_make_its_items_wrong(tmp_path):
    folder = changed(tmp_path, SERIES, 'id = "fen-cover"', 'id = "Fen Cover"')
    assert [code for code, *_ in told(folder)] == ["id-unreadable"]


@pytest.mark.parametrize(
    ("written", "nanometres"), [("0 in", 0), ("-3/4 in", -19_050_000), ("-8 mm", -8_000_000)]
)
def test_a_hinge_offset_may_be_nothing_or_behind_the_face(tmp_path, written, nanometres):
    folder = sound_copy(tmp_path)
    path = folder / SERIES
    text = path.read_text(encoding="utf-8").replace('"5/16 in"', f'"{written}"')
    path.write_text(text, encoding="utf-8")
    problems: list[Problem] = []
    read = read_series(path, "fen.toml", problems)
    assert problems == []
    assert read is not None
    assert {template.hinge_offset.nm for template in read.series.templates} == {nanometres}


def test_a_folder_that_is_not_there_is_a_wrong_call(tmp_path):
    with pytest.raises(CallError) as wrong:
        load_catalog(tmp_path / "nowhere")
    assert wrong.value.code == "catalog-folder-missing"


def test_what_would_be_right_is_said_where_a_name_is_nearly_right(tmp_path):
    folder = changed(tmp_path, PRICES, "none,fen-cap", "none,fen-capp")
    (problem,) = catalog_problems(folder, FINISHES)
    sentence = SENTENCES[problem.code].format(**problem.fields)
    assert sentence.startswith(
        "F-GONE supplies fen-capp, which no series has; right would be: fen-cap"
    )


def test_no_wrong_word_costs_a_search_once_there_are_many(tmp_path):
    folder = sound_copy(tmp_path)
    with (folder / PRICES).open("a", encoding="utf-8") as book:
        for number in range(20_000):
            book.write(
                f"X{number},Cap,x{number},2.00,1.00,,0,,,,discontinued,Y{number},no-{number},,,,,\n"
            )
    codes = [code for code, *_ in told(folder)]
    assert {code: codes.count(code) for code in set(codes)} == {
        "finish-unknown": 20_000,
        "replacement-unknown": 20_000,
        "piece-unknown": 20_000,
    }


def test_every_sentence_takes_the_fields_its_problems_carry(tmp_path):
    worded = set()
    for number, (_, file, old, new, *_) in enumerate(FAULTS):
        folder = tmp_path / str(number)
        folder.mkdir()
        for problem in catalog_problems(changed(folder, file, old, new), FINISHES):
            if problem.code in SENTENCES:
                assert SENTENCES[problem.code].format(**problem.fields)
                worded.add(problem.code)
            else:
                assert problem.code.startswith(("length-", "money-", "template-"))
    assert worded | FAULTS_TESTED_APART == SENTENCES.keys()
