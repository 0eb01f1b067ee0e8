"""A note that mentions what a column should say is told, opening by opening, and decides nothing.

The words are those of rule note-words (common practice, no source); its case file tries each.
"""

import io
import json
import string
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.openings.files import FINISHES, JURISDICTIONS
from tests.support.command import run
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, opening, sample_folders, shelf
from tests.support.jobs import a_job, by, frozen, furnished, plain
from tests.support.offers import offered

from wholekit.documents.fill_quote import quote_paper
from wholekit.domain.findings import Hint, Severity
from wholekit.domain.kits.mounts import mounts_to_try
from wholekit.domain.openings import (
    Facts,
    Hand,
    Opening,
    OpeningType,
    Swing,
    marks_named,
    note_findings,
)
from wholekit.domain.openings.notes import APART, active_leaf
from wholekit.domain.quotes import snapshot_from, snapshot_text
from wholekit.intake.schedule import read_schedule
from wholekit.intake.shorthand import read_shorthand
from wholekit.services.job_openings import add_openings, edit_opening
from wholekit.services.job_view import view_job
from wholekit.services.quote_drafts import draft_quote
from wholekit.services.quotes import issue_quote
from wholekit.services.schedules import work_up_schedule
from wholekit.views.jobs import job_answer
from wholekit.wording.findings import say_finding

DAY = date(2026, 11, 25)
SILENT = Opening("101", opening("3070"))
ROWS = RULES.rows("note-words")
PHRASES = sorted(
    {str(word) for row in ROWS for word in row["words"]}  # type: ignore[union-attr]  # a list
)
FIRST_WORDS = {phrase.split()[0] for phrase in PHRASES}
CODE = "note-says-more"


def told(note, one=SILENT):
    return {
        finding.fields.get("column", finding.fields.get("piece", "wish")): finding.fields["words"]
        for finding in note_findings(replace(one, note=note), RULES)
        if finding.code != APART and "words" in finding.fields
    }


def line(text):
    return read_shorthand(text, 1, finishes=FINISHES, jurisdictions=JURISDICTIONS)


def test_every_column_of_the_rule_is_a_column_or_awaited():
    named = {str(row["column"]) for row in ROWS} - set(OpeningType.__dataclass_fields__)
    assert named <= {"none", "corrosion", "quantity", "active", "wish"}


OTHER_WORDS = st.text(string.ascii_lowercase + " ,;.-é", max_size=40).filter(
    lambda text: not FIRST_WORDS & set(text.replace(",", " ").replace("é", "e").split())
)


@given(OTHER_WORDS)
def test_a_note_without_such_words_gives_nothing(note):
    words = set("".join(one if one.isalpha() else " " for one in note.replace("é", "e")).split())
    if not words & FIRST_WORDS:
        assert told(note) == {}


FULL = (
    "101 3070 pair accessible exterior 90 min egress hold-open release delayed-action backcheck "
    "no blocking wood door wood frame unreinforced heavy traffic grade 1 seals 10 lbf "
    "20 Pa 20 mph parallel out blade stop ceiling 6 in reveal 9 in rail 3 in RHR push"
)
AGREEING = [
    "ADA, exterior, rated 90 min, egress", "pair, magnetic hold open, delayed action", "backcheck",
    "wood door in wood frame, no blocking", "busy; grade 1; weatherstripped; wind", "low ceiling",
    "kept at pressure", "parallel arm, swings out, blade stop", "deep reveal, narrow rail",
]  # fmt: skip


STOPS = {
    "door stop": "stop", "wall stop": "stop", "floor-stop": "stop", "stop at wall": "stop",
    "doorstop": "doorstop", "butoir": "butoir", "tope": "tope",
}  # fmt: skip
NOT_ASKED = ("no {}", "without a {}", "{} by others", "{} (at floor) by GC", "{} N.I.C.",
             "{} not required", "{}, existing")  # fmt: skip


@given(
    st.lists(
        st.tuples(st.sampled_from(sorted(STOPS)), st.sampled_from(("", *NOT_ASKED))), max_size=4
    ),
    st.sampled_from(("{}", "Please include {} there", "Store; {}", "{} wanted", "Prévoir {}")),
)
def test_a_stop_is_asked_for_in_any_words_unless_they_say_it_is_not(parts, around):
    """A note's parts each speak for themselves, whatever stands before or behind them."""
    asked = [STOPS[stop] for stop, turned in parts if not turned]
    note = "; ".join(
        turned.format(stop) if turned else around.format(stop) for stop, turned in parts
    )
    assert told(note).get("door-stop", ()) == tuple(dict.fromkeys(asked))


BROUGHT = ("{} by others", "{} (at floor) by GC", "{}, existing", "existing {}", "{} by owner",
           "owner to supply {}", "GC to furnish the {}", "the client to provide a {}")  # fmt: skip
NOT_BROUGHT = ("no {}", "{} not required", "{} N.I.C.", "{} wanted", "owner to supply sign, {}")


@given(
    st.lists(
        st.tuples(st.sampled_from(sorted(STOPS)), st.sampled_from((*BROUGHT, *NOT_BROUGHT))),
        max_size=4,
    )
)
def test_a_stop_that_is_there_or_comes_from_others_is_told_so_and_no_other_is(parts):
    note = "; ".join(said.format(stop) for stop, said in parts)
    found = [
        str(words)
        for finding in note_findings(replace(SILENT, note=note), RULES)
        if finding.code == APART
        for words in finding.fields["words"]  # type: ignore[attr-defined]  # a tuple
    ]
    brought = {said.format(stop) for stop, said in parts if said in BROUGHT}
    assert all(any(words in each for words in found) for each in brought)
    assert all(any(words in each for each in brought) for words in found)
    assert found == [] or told("; ".join(brought)) == {}


@given(
    st.sampled_from((1, 2)),
    st.sampled_from((None, *Swing)),
    st.sampled_from((None, *Hand)),
    st.sampled_from(("", "right leaf active", "vantail actif gauche", "left leaf inactive")),
    st.sampled_from((None, 0, 90)),
)
def test_of_a_pair_what_nobody_said_of_swing_and_active_leaf_is_told(
    leaves, swing, hand, note, fire
):
    kind = replace(opening(), leaves=leaves, swing=swing, hand=hand, fire_minutes=fire)
    codes = {each.code for each in note_findings(Opening("1", kind, note=note), RULES)}
    pair = leaves == 2 and hand is None
    assert ("pair-swing-unknown" in codes) is (pair and swing is None and not fire)
    # Holes on the wrong side of a labeled leaf can void its label (common practice, no source).
    _, told_of_kit = mounts_to_try(Facts(kind, RULES), RULES)
    stops = {each.code for each in told_of_kit if each.severity is Severity.STOP}
    assert ("pair-swing-unknown" in stops) is (pair and swing is None and fire == 90)
    # A note alone does not say from which side its leaf is seen; a hand may gainsay it.
    noted = {"": "", "r": "R"}.get(note[:1], "L")
    if note == "left leaf inactive":
        noted = "R"
    other = leaves == 2 and hand is not None and noted not in ("", hand.value[0])
    assert ("pair-active-unknown" in codes) is (pair or other)


@given(st.lists(st.sampled_from(("right leaf active", "vantail gauche actif", "RHRA", "ADA"))))
def test_the_active_leaf_is_read_where_a_note_names_one_and_no_other(said):
    sides = {words in ("right leaf active", "RHRA") for words in said if words != "ADA"}
    side = {True: "right", False: "left"}[sides.pop()] if len(sides) == 1 else ""
    assert active_leaf("; ".join(said), RULES) == side


@given(st.lists(st.sampled_from(AGREEING), max_size=9))
def test_with_every_column_filled_in_accord_nothing_is_told(notes):
    assert told("; ".join(notes), line(FULL)) == {}


@given(st.lists(st.sampled_from(PHRASES), min_size=1, max_size=4))
def test_what_is_told_stands_in_the_note_and_names_an_empty_column(phrases):
    note = " | ".join(phrases).title()
    for column, words in told(note).items():
        assert all(word in note for word in words)
        stated = getattr(SILENT.type, column, None)
        assert stated in (None, 1), "only the number of leaves is never empty"


@pytest.mark.parametrize(
    ("note", "columns"),
    [
        ("", {}),
        ("Main entrance, right leaf active", {"leaves": ("right leaf active",)}),
        ("ADA", {"accessible": ("ADA",)}),
        ("barrier-free, ADA route", {"accessible": ("barrier-free", "ADA")}),
        ("outside door", {"location": ("outside",)}),
        ("Use EXISTING HOLES", {"existing_holes": ("EXISTING HOLES",)}),
        ("1-1/2 h label", {"fire_minutes": ("1-1/2 h", "label")}),
        ("20-min", {"fire_minutes": ("20-min",)}),
        ("non-rated", {"fire_minutes": ("non-rated",)}),
        ("STC rated", {}),
        ("no panic hardware", {}),
        ("panic/exit", {"egress": ("panic", "exit")}),
        ("Porte extérieure, accès PMR", {"location": ("extérieure",), "accessible": ("PMR",)}),
        ("S'ouvre vers l'extérieur", {"swing": ("vers l'extérieur",)}),
        ("Puerta de madera, salida de emergencia",
         {"door": ("Puerta de madera",), "egress": ("salida",)}),
        ("adamant, exits, paired", {}),
        ("Delivery; bring a stop for the wall", {"door-stop": ("stop",)}),
        ("blade stop, no lock, stop by others", {"stop": ("blade stop",)}),
        ("Please include door stop at wall", {"door-stop": ("stop",)}),
        ("Provide floor-stop (rubber), lock by others", {"door-stop": ("stop",)}),
        ("no wall or floor stop; without any door stop", {}),
        ("door stop at wall by GC; wall stop, by owner; doorstop not required", {}),
        ("pas de butoir; butoir au sol par d'autres; sin tope; tope por otros", {}),
        ("existing door stop; stop side, hinge side; côté charnières; lado de bisagra", {}),
        ("Stop at 110 degrees", {"opening_degrees": ("Stop at 110 degrees",)}),
        ("Rear exit", {"egress": ("exit",)}),
        ("Sortie arrière", {"egress": ("Sortie",)}),
        ("Salida trasera, patio ventoso", {"egress": ("Salida",), "wind": ("ventoso",)}),
        ("Seuil et paumelles", {"threshold": ("Seuil",), "hinges": ("paumelles",)}),
        ("Tope y cerradura", {"door-stop": ("Tope",), "lock": ("cerradura",)}),
        ("İSTANBUL ½ ﬁ ADA", {"accessible": ("ADA",)}),
    ],
)  # fmt: skip
def test_words_are_told_with_their_column_as_written(note, columns):
    assert told(note) == columns


def test_a_column_that_says_otherwise_is_told_with_what_it_says():
    (finding,) = note_findings(replace(line("101 3070 20 min"), note="90 min label"), RULES)
    said = say_finding(finding, RULES)
    assert said.severity == "warn"
    assert said.text == "The note says “90 min”, but fire label is 20 min."
    assert "column fire_minutes" in said.hint
    assert told("pair", line("101 3070")) == {"leaves": ("pair",)}


def test_a_hand_says_the_swing():
    assert told("outswing", line("101 3070 RHR")) == {}
    assert told("outswing", line("101 3070 RH")) == {"swing": ("outswing",)}


def test_existing_holes_in_a_note_are_asked_for_in_their_column():
    (finding,) = note_findings(replace(SILENT, note="existing holes"), RULES)
    assert finding.hint == Hint("fill-column", {"column": "existing_holes"})
    assert told("existing holes", line("101 3070 holes 8-1/4 x 3-1/4")) == {}


SCHEDULE = (
    "mark,size,finish,note\n101,3070,689,ADA route\n102,3070,689,\n103,3070,689,exit\n"
    "104,3070,689,beside the stair\n"
)


def kitted():
    return read_schedule(None, stdin=io.BytesIO(SCHEDULE.encode()), finishes=FINISHES)


def test_like_openings_stay_alike_and_each_has_its_own_notes_findings():
    job = work_up_schedule(kitted(), shelf("tarrowby"), RULES, DAY).job
    assert len({id(row.worked) for row in job.openings}) == 1, "a note makes no other kind"
    assert [[note.fields["column"] for note in opening.of_note] for opening in job.openings] == [
        ["accessible"], [], ["egress"], [],
    ]  # fmt: skip
    for row in job.openings:
        assert {found.code for found in row.of_note} <= {CODE}
        assert CODE not in {found.code for found in row.kit.findings}


def test_the_json_and_the_text_of_kits_tell_it_at_its_mark(tmp_path):
    path = tmp_path / "s.csv"
    path.write_text(SCHEDULE, encoding="utf-8")
    catalog = str(sample_folders()[2])
    answer = json.loads(run("kit", str(path), "--catalog", catalog, "--json").out)
    codes = {each["mark"]: [f["code"] for f in each["findings"]] for each in answer["openings"]}
    assert {mark for mark, found in codes.items() if CODE in found} == {"101", "103"}
    text = " ".join(run("kit", str(path), "--catalog", catalog).out.split())
    assert "The note says “ADA”, but no column of the schedule states accessible route." in text


def at_marks(paper):
    """The checks and questions that quote a note, by the mark of its opening."""
    every = [mark for kit in (*paper.kits, *paper.open_kits) for mark in kit.marks]
    checks = [note.note.text for note in paper.notes]
    marks = [mark.mark for mark in every]
    told = {mark.mark: [n for n in mark.checks if "note says" in checks[n - 1]] for mark in every}
    for question in paper.questions:
        if "note says" in question.text:
            for mark in marks_named(", ".join(question.marks).split(", "), marks)[0]:
                told[mark].append(question.text)
    return told


def test_the_customers_paper_tells_it_at_its_mark():
    told_at = at_marks(quote_paper(offered(kitted(), shelf("tarrowby")).offer))
    assert [len(told_at[mark]) for mark in ("101", "102", "103", "104")] == [1, 0, 1, 0]


def test_a_stored_job_keeps_it_with_the_opening_and_freezes_it():
    desk = furnished(FakeStore())
    job = a_job(desk)
    noted = replace(plain("101"), note="ADA route")
    add_openings(desk, by(), job.label, [noted, plain("102")])
    answer = opening_answers(desk, job)
    assert [len(answer[mark].note_says_more) for mark in ("101", "102")] == [1, 0]
    assert answer["101"].stops == ()
    draft_quote(desk, by(), job.label)
    snapshot = frozen(issue_quote(desk, by(), job.label).revision)
    assert len(snapshot.offer.kits) == 1, "a note makes no other kind"
    assert [[f.code for f in each.of_note] for each in snapshot.offer.openings] == [[CODE], []]
    again = snapshot_from(json.loads(snapshot_text(snapshot)))
    assert again == snapshot
    told_at = at_marks(quote_paper(again.offer))
    assert [len(told_at[mark]) for mark in ("101", "102")] == [1, 0]
    edit_opening(
        desk, by(), job.label, "101",
        lambda before: replace(before, type=replace(before.type, accessible=True)),
    )  # fmt: skip
    assert opening_answers(desk, job)["101"].note_says_more == ()


def opening_answers(desk, job):
    answer = job_answer(view_job(desk, by(), job.label), RULES, DAY)
    return {each.mark: each for each in answer.openings}


@given(
    st.integers(10, 900), st.integers(1, 49), st.sampled_from(("-", "–", " thru ", " to ", ".."))
)
def test_a_mark_that_reads_like_several_openings_is_told_until_as_many_are_asked_for(
    first, more, sign
):
    last = first + more
    for mark in (f"{first}{sign}{last}", f"C{first}{sign}C{last}", f"C{first}{sign}{last}"):
        alone = replace(SILENT, mark=mark)
        codes = [finding.code for finding in note_findings(alone, RULES)]
        # 98-102 may as well be door 102 of place 98.
        assert codes == (["mark-several"] if len(str(first)) == len(str(last)) else [])
        assert note_findings(replace(alone, quantity=more + 1), RULES) == ()


@pytest.mark.parametrize(
    "mark", ["1-3", "A-12", "104-103", "104-104", "11-4567", "10-99", "C1-D12"]
)
def test_a_mark_with_a_hyphen_of_its_own_is_one_opening(mark):
    assert note_findings(replace(SILENT, mark=mark), RULES) == ()
