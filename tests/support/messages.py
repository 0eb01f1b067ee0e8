"""Every message that a customer's paper may be asked for, from the code, its tables and templates.

`python -m tests.support.messages` brings the PO files up to date: what is new is put in without a
translation, what is gone is taken out.
"""

import ast
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po
from jinja2 import Environment
from jinja2.ext import extract_from_ast
from tests.support.house import RULES

from wholekit.documents import flow
from wholekit.documents.drawings import elevation, sheet, tiles
from wholekit.domain.openings import Core, HoldOpen, Location, Stop, Traffic
from wholekit.domain.orders import BagState
from wholekit.domain.quotes import PersonRole, State
from wholekit.domain.stock import Pace
from wholekit.domain.tax import LineKind
from wholekit.settings import bundled
from wholekit.web.rooms import owner
from wholekit.wording import (
    allocation,
    answers,
    asked_cells,
    asked_code,
    asked_holding,
    asked_in_checks,
    cautions,
    closing,
    comparisons,
    concessions,
    drilling,
    findings,
    fitting,
    fitting_steps,
    force_sentences,
    hands,
    hole_edges,
    job_sentences,
    margin_keys,
    offered,
    offers,
    old_holes,
    orders,
    page_problems,
    picking,
    purchases,
    questions,
    reasons,
    speech,
    to_customers,
    to_fitters,
    unasked,
    words,
)
from wholekit.wording.sources import rule_source

REVIEW = "A caution: a native speaker of the trade should review it."
# A message, or a singular with its plural.
Message = str | tuple[str, str]
PACKAGE = Path(words.__file__).parents[1]
CODE = (
    *sorted((PACKAGE / "wording").glob("*.py")),
    *sorted((PACKAGE / "documents").rglob("*.py")),
    *sorted((PACKAGE / "web").rglob("*.py")),
)
TEMPLATES = bundled("templates")
OTHERS = [language for language in speech.LANGUAGES if language != speech.ENGLISH]


def messages() -> set[Message]:
    """All of them; one that is also said of several only with its plural."""
    found = {*in_code(), *in_templates(), *in_tables(), *in_fitting(), *in_rules()}
    plural = {message[0] for message in found if isinstance(message, tuple)}
    return {message for message in found if message not in plural}


def in_code() -> Iterator[Message]:
    """Texts that stand in the code where they are worded."""
    for file in CODE:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                texts = [
                    argument.value
                    for argument in node.args
                    if isinstance(argument, ast.Constant) and isinstance(argument.value, str)
                ]
                if node.func.id == "tr" and texts:
                    yield texts[0]
                if node.func.id == "trn" and len(texts) == 2:
                    yield (texts[0], texts[1])


def in_templates() -> Iterator[Message]:
    """Texts of the templates of papers and screens."""
    environment = Environment(autoescape=True)
    for file in sorted(TEMPLATES.rglob("*.html")):
        tree = environment.parse(file.read_text(encoding="utf-8"))
        for _, _, texts in extract_from_ast(tree, ("_", "ngettext", "tr", "trn")):
            said = [text for text in (texts if isinstance(texts, tuple) else (texts,)) if text]
            if said:
                yield (said[0], said[1]) if len(said) == 2 else said[0]


def in_tables() -> Iterator[Message]:
    """Texts that are looked up by a code."""
    for table in (
        findings.FINDINGS, findings.HINTS, force_sentences.FINDINGS, force_sentences.HINTS,
        force_sentences.WITHOUT, force_sentences.BEATEN, findings.PUSH_OR_PULL, findings.OF_EXITS,
        reasons.SENTENCES, words.FASTENERS_FOR,
        words.MOUNTS, words.SIDES, words.MATERIALS, words.FIELDS, words.SWINGS, words.HOSTS,
        words.HANDS, words.HANDS_OF_LEAVES, words.JURISDICTIONS, words.BESIDE,
        offered.OFFERED, offered.NOT_OFFERED,
        findings.LACKS, questions.QUESTIONS, questions.FIGURES,
        flow.SEVERITY_WORDS, old_holes.VARIANTS, old_holes.HAS, old_holes.DECLINED,
        to_customers.TOLD, to_customers.DOUBTS, to_customers.BY_OTHERS,
        to_customers.CALCULATED, to_customers.IN_PLACE,
        drilling.NO_DRILLING, drilling.ROWS, drilling.ROWS_OF_PLATE, drilling.DRILLED,
        hole_edges.STATED, hole_edges.ASSUMED, hole_edges.NEAR, hole_edges.OFF,
        hole_edges.OTHER_ROW, hole_edges.RECKONED, hole_edges.LEADS,
        drilling.SKETCHES, fitting.HOSTS, fitting.FEET, hands.HINGES, hands.SHEET_SEEN,
        hands.LEAF_SIDES,
        unasked.UNASKED,
        unasked.REFUSED,
    ):  # fmt: skip
        yield from table.values()
    for several in (*words.ROLES.values(), *words.KINDS.values()):
        yield (several, words.many(several))
    for kind in (Core, HoldOpen, Location, Stop, Traffic, PersonRole, State, BagState, LineKind,
                 Pace):  # fmt: skip
        yield from (one.value for one in kind)
    yield from (asked_in_checks.PIECE, asked_in_checks.ACTIVE, asked_in_checks.STOPPED_BY)
    for boxes, blank in asked_in_checks.ALTERNATIVES.values():
        yield from (text for text in (*boxes, blank) if text)
    yield from (asked_cells.COLUMN_SAYS, asked_cells.NO_UNIT, asked_cells.NOT_UNDERSTOOD)
    yield from (asked_cells.BESIDE_MARKS, answers.AS_QUOTED, answers.SETTLES, answers.SETTLES_SOME)
    yield from answers.TAKEN.values()
    yield from (asked_cells.QUOTED_AND_NOTED, asked_cells.BLOWS, asked_cells.COLUMN_ALONE)
    yield from (asked_holding.NEVER_AN_ARM, asked_holding.HOW, asked_holding.NONE)
    yield from (asked_holding.RELEASED, asked_holding.ARM)
    yield from (*to_customers.NOTED.values(), to_customers.NEXT_TO_NOTHING)
    yield from (asked_code.TAKEN, asked_code.ELSEWHERE, asked_code.WHOSE, asked_code.OTHER)
    yield findings.ACTIVE_NOTED
    yield from (asked_in_checks.IS_IT_SO, asked_in_checks.NOTED_AT)
    yield from (asked_in_checks.PAIR_OR_LEAF, asked_in_checks.TOO_LOW, asked_in_checks.AS_STATED)
    yield from (asked_in_checks.ANOTHER_MOUNT, asked_in_checks.ANOTHER_HEIGHT)
    yield from (force_sentences.LATCH_SHORT_STILL, force_sentences.LATCH_SHORT_ALONE)
    yield force_sentences.EXCLUDES_STILL
    yield from (findings.PARALLEL_BEYOND, findings.BEYOND_PAIR, findings.NO_PRESSURE)
    yield from (findings.SWING_OF_LABELED, findings.NOTE_ALONE)
    yield old_holes.NEAREST
    yield from allocation.FOUND.values()
    yield from (*job_sentences.LOST.values(), *speech.LANGUAGES.values())
    yield from (key.value for key in owner.KEYS)
    yield from concessions.WAYS.values()
    yield from page_problems.ON_PAGE.values()
    yield from purchases.STATES.values()
    yield from margin_keys.KEYS.values()
    yield from (findings.DOUBT_LACKING, findings.LIGHTEST_OVER, findings.HELD_BESIDE)
    yield from (findings.LEAD_UNKNOWN, findings.LEAD_OF_A_DAY)
    yield from (findings.UNLISTED, findings.SERIES_UNLISTED, findings.ARM_BY_HAND)
    yield from findings.LEAST_ROOM.values()
    yield from (findings.EXIT_DOOR, findings.ACCESSIBLE_DOOR, offered.SAME_PRICE)
    yield from (findings.UNUSUAL_AT_ALL, findings.USUAL_TO)
    yield from (findings.NO_REPLACEMENT, findings.NOT_NEAR, findings.OF_SERIES, flow.PAGE_OF)
    yield from (
        *cautions.ALWAYS,
        cautions.FIRE,
        cautions.ACCESSIBLE,
        cautions.DRILLING,
        cautions.BY_GLASS,
        *cautions.DANGERS.values(),
        cautions.EGRESS,
    )
    yield from (cautions.RECEIVED, orders.NOT_ORDERED, orders.CHANGED)
    yield from (
        *comparisons.TOTALS.values(),
        *comparisons.KINDS.values(),
        *comparisons.NAMES.values(),
    )
    yield from (comparisons.AGREED_FOR_ALL, comparisons.AS_IT_STANDS)
    yield from (comparisons.TITLE, comparisons.ONE_OPENING, comparisons.SAME, comparisons.UNCHANGED)
    yield from (comparisons.UNCHANGED_BUT, comparisons.BEFORE_DISCOUNT)
    yield from (comparisons.UNCHANGED_APART, comparisons.UNCHANGED_APART_BUT)
    yield comparisons.NUMBERED_ANEW
    yield from (comparisons.QUOTED, to_customers.SECOND_HAND, to_customers.FIRE_DOORS)
    yield from (to_customers.NOTED_ELSE, to_customers.WISHED)
    yield from (questions.UNLATCHED, questions.PASSING)
    yield from (text for pair in picking.REFUSALS.values() for text in pair if text)
    yield from (picking.BELONGS, picking.ELSEWHERE)
    yield from (*cautions.TERMS, offers.PRICES_HOLD_CHARGED)


def in_fitting() -> Iterator[Message]:
    """The fitter's texts that stand in pairs or alone."""
    for pair in (*fitting_steps.STEPS.values(), *fitting.PHASES.values(), fitting.ANY_PHASE):
        yield from (text for text in pair if text)
    yield from (
        fitting.FIRE,
        hands.HAND_UNKNOWN,
        fitting.MAY_NOT_LATCH,
        fitting.LATCH_IN_DOUBT,
        fitting.DOES_NOT_LATCH,
        fitting.LIMITED_NO_LATCH,
        drilling.NO_SHEET_FOR_OLD_HOLES,
        fitting.PRACTICE,
        fitting.BODY,
        fitting.BODY_AND_FOOT,
        to_fitters.ASK,
        to_fitters.ASK_FIRST,
        to_fitters.MEASURE,
        to_fitters.NOT_RECKONED,
        to_fitters.BLOWS,
    )
    yield from (
        drilling.DRILLS_FROM, drilling.SPACER_SCREWS, drilling.RAIL_STATED, drilling.RAIL_ASSUMED,
        drilling.HEAD_STATED, drilling.HEAD_ASSUMED, drilling.AT_LEAST, to_customers.NEAR_HEAD,
        hands.ACTIVE_UNMARKED, hands.ACTIVE_NOWHERE, hands.ACTIVE_MEANT, hands.ACTIVE_DIFFERS,
        hands.ACTIVE_ASK,
    )  # fmt: skip
    yield from (
        hands.EITHER_HAND,
        hands.HINGES_HIDDEN,
        closing.SLOWER,
        sheet.SKETCH,
        *elevation.BY_TEMPLATE,
        *tiles.JOINS.values(),
    )
    yield from (orders.NOT_ORDERED, orders.CHANGED)


def in_rules() -> Iterator[Message]:
    """What findings take from the rule book: sources, and the titles of force limits."""
    for rule in RULES.rules:
        yield rule_source(RULES, rule)
        if rule.startswith("limit-"):
            yield RULES[rule].title


def in_cautions() -> set[str]:
    """What warns of harm: wrong words here can hurt somebody."""
    return {
        *cautions.ALWAYS, cautions.FIRE, cautions.ACCESSIBLE, cautions.DRILLING, cautions.BY_GLASS,
        *cautions.DANGERS.values(), cautions.EGRESS, cautions.RECEIVED,
        fitting.FIRE, hands.HAND_UNKNOWN, fitting.MAY_NOT_LATCH, fitting.LATCH_IN_DOUBT,
        fitting.DOES_NOT_LATCH, fitting.LIMITED_NO_LATCH, to_fitters.NOT_RECKONED, to_fitters.BLOWS,
        drilling.NO_SHEET_FOR_OLD_HOLES, fitting.PRACTICE, to_fitters.ASK, to_fitters.ASK_FIRST,
        to_fitters.MEASURE,
        *drilling.NO_DRILLING.values(), *hole_edges.LEADS.values(), *drilling.DRILLED.values(),
        hands.ACTIVE_UNMARKED, hands.ACTIVE_NOWHERE, hands.ACTIVE_DIFFERS,
        orders.NOT_ORDERED, orders.CHANGED,
    }  # fmt: skip


def catalogue(language: str) -> Catalog:
    """A language's PO file as it is, fuzzy and obsolete entries with it."""
    with (speech.CATALOGUES / f"{language}.po").open("rb") as file:
        return read_po(file, locale=language)


def update() -> None:
    """Write every PO file anew."""
    template, warning = Catalog(), in_cautions()
    for message in sorted(
        messages(), key=lambda message: message if isinstance(message, str) else message[0]
    ):
        template.add(message, auto_comments=[REVIEW] if message in warning else [])
    for language in OTHERS:
        there = catalogue(language)
        there.update(template, no_fuzzy_matching=True, update_header_comment=False)
        there.obsolete.clear()
        write(language, there)


def write(language: str, entries: Catalog) -> None:
    """Write a PO file's entries anew, in their order; its head stays as it is."""
    file = speech.CATALOGUES / f"{language}.po"
    head = file.read_text(encoding="utf-8").partition("\n\n")[0].rstrip("\n")
    body = BytesIO()
    write_po(body, entries, sort_output=True, width=100, omit_header=True, ignore_obsolete=True)
    file.write_text(f"{head}\n\n{body.getvalue().decode()}", encoding="utf-8")


if __name__ == "__main__":
    update()
