"""Every code the services and the domain of jobs raise is worded, and every wording is raised."""

import ast
import re
from pathlib import Path

import typer

import wholekit
from wholekit.cli.app import app
from wholekit.wording.accounts import ERRORS as ACCOUNTS
from wholekit.wording.catalog_problems import SENTENCES as CATALOG
from wholekit.wording.errors import ERRORS as GENERAL
from wholekit.wording.force_sentences import PROBLEMS as GEOMETRY
from wholekit.wording.job_notes import CERTIFICATES, RENEW
from wholekit.wording.job_sentences import ACTIONS, ERRORS, LIMITS, LOST, PROBLEMS
from wholekit.wording.pick_room import ERRORS as PICK_ROOM
from wholekit.wording.purchases import ERRORS as PURCHASES
from wholekit.wording.schedule_problems import SENTENCES as SCHEDULE
from wholekit.wording.screens import ERRORS as SCREENS
from wholekit.wording.stock import ERRORS as STOCK
from wholekit.wording.store_errors import ERRORS as STORE

PACKAGE = Path(wholekit.__file__).parent
PLACES = (
    "services", "domain/quotes", "domain/customers.py", "domain/tax.py", "domain/limits.py",
    "domain/earnings.py", "cli/desk.py", "cli/job.py", "cli/job_openings.py", "cli/job_lines.py",
    "cli/job_choices.py", "cli/job_edit.py", "cli/job_questions.py", "intake/openings.py",
    "cli/job_terms.py", "cli/quote.py", "cli/customer.py", "intake/rates.py", "cli/house.py",
    "cli/margin.py", "intake/changes.py", "cli/release.py", "cli/allocate.py", "cli/pick.py",
    "cli/bag.py", "cli/ship.py", "cli/buy.py", "cli/receive.py", "cli/count.py",
    "cli/stock_moves.py", "cli/counted.py",
    "cli/stock_returns.py", "cli/stock_value.py", "domain/orders", "store/orders.py",
)  # fmt: skip
# Raised by stores, which the contract suite holds to these codes.
BY_STORES = {
    "catalog-revision-unknown", "customer-taken", "draft-only", "mark-taken", "person-taken",
    "price-sheet-taken", "revision-taken", "sheet-taken", "ship-to-taken", "snapshot-frozen",
    "version-stale",
}  # fmt: skip

# Functions that write an entry of the audit log with the action they are given.
NOTERS = ("note", "_change", "_saved", "_changed", "save_revision", "_note_added")


def sources():
    for place in PLACES:
        path = PACKAGE / place
        for file in [path] if path.is_file() else sorted(path.rglob("*.py")):
            yield ast.parse(file.read_text(encoding="utf-8"))


def first_texts(*names):
    """The text each call of these names begins with, with its keywords."""
    for tree in sources():
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call):
                continue
            called = node.func.id if isinstance(node.func, ast.Name) else ""
            called = node.func.attr if isinstance(node.func, ast.Attribute) else called
            if called in names:
                for part in node.args:
                    if isinstance(part, ast.Constant) and isinstance(part.value, str):
                        yield part.value, {keyword.arg for keyword in node.keywords}
                        break


def test_every_error_is_worded_and_its_sentence_finds_its_fields():
    words = {**GENERAL, **ERRORS, **STORE, **STOCK, **PICK_ROOM, **PURCHASES, **ACCOUNTS, **SCREENS}
    for code, fields in first_texts("CallError", "ConflictError"):
        assert code in words, code
        wanted = set(re.findall(r"\{(\w+)", words[code])) - {"near"}
        assert wanted <= fields, (code, wanted - fields)


def test_every_sentence_for_an_error_of_jobs_is_of_use():
    raised = {code for code, _ in first_texts("CallError", "ConflictError")}
    assert set(ERRORS) - raised - BY_STORES - {"amount-wrong"} == set()


def test_every_problem_is_worded():
    words = {**SCHEDULE, **CATALOG, **GEOMETRY, **PROBLEMS}
    raised = {code for code, _ in first_texts("Problem", "put", "_problem", "QuantityError")}
    assert raised <= set(words), raised - set(words)
    assert set(PROBLEMS) <= raised


def test_every_action_of_the_audit_log_has_its_words():
    trees = list(sources())
    # Some actions are named once, as a constant of their module, and noted by that name.
    named = {
        target.id: node.value.value
        for tree in trees
        for node in tree.body
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant)
        for target in node.targets
        if isinstance(target, ast.Name)
    }
    actions = set()
    for tree in trees:
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                texts = [
                    each.value if isinstance(each, ast.Constant) else named.get(each.id)
                    for each in node.args
                    if isinstance(each, ast.Constant | ast.Name)
                ]
                if node.func.id in NOTERS:
                    actions |= {text for text in texts if isinstance(text, str) and "-" in text}
    actions |= {f"quote-{state}" for state in ("accepted", "declined", "expired", "superseded")}
    # Written by the store itself, where a price book is loaded.
    actions |= {"catalog-loaded"}
    actions -= {"ship-to"}
    assert actions == set(ACTIONS)


def test_every_reason_for_losing_and_every_limit_is_worded():
    from wholekit.domain.quotes import LOST_REASONS

    assert set(LOST) == set(LOST_REASONS)
    assert {code for code, _ in first_texts("Breach")} == set(LIMITS)


def test_every_command_a_sentence_names_can_be_called_as_it_is_written():
    """The command is there, and what it cannot do without is written behind it."""
    root = typer.main.get_command(app)
    context = typer.Context(root)
    named = 0
    for code, sentence in {**ERRORS, **PROBLEMS, **CERTIFICATES, "renew": RENEW}.items():
        for found in re.finditer(r"wholekit (\w+) ([a-z-]+)((?: (?:\{|[A-Z]|--)[^ ]*)*)", sentence):
            named += 1
            group = root.get_command(context, found[1])  # type: ignore[attr-defined]  # a group
            command = group.get_command(context, found[2])
            assert command is not None, (code, found[0])
            given = set(re.findall(r"--[a-z-]+", found[3]))
            arguments = re.sub(r"--[a-z-]+(?: [^ -]\S*)?", "", found[3]).split()
            needed = [param for param in command.params if param.required]
            bare = [one for one in needed if one.param_type_name == "argument"]
            assert len(arguments) >= len(bare), (code, found[0], [one.name for one in bare])
            for one in needed:
                assert one in bare or given & set(one.opts), (code, found[0], one.name)
            assert given <= {name for param in command.params for name in param.opts}, (
                code,
                found[0],
            )
    assert named > 20
