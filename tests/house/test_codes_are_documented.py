"""Codes in code and in words, both ways; references are fresh."""

import ast
from pathlib import Path

from tests.support.house import RULES

from wholekit.cli.reference import FOLDER, pages
from wholekit.wording.finding_guide import GUIDE
from wholekit.wording.findings import FINDINGS, HINTS
from wholekit.wording.force_sentences import FINDINGS as FORCE_FINDINGS
from wholekit.wording.force_sentences import HINTS as FORCE_HINTS
from wholekit.wording.reasons import SENTENCES

SOURCE = Path(__file__).resolve().parents[2] / "src" / "wholekit"
# What the contract promises; some belong to a job or to a hand-made kit.
CONTRACT = {
    "bracket-missing",
    "fastener-missing",
    "fastener-wrong-host",
    "piece-missing",
    "piece-wrong",
    "piece-surplus",
    "cover-missing",
    "finish-unavailable",
    "finish-mixed",
    "size-out-of-range",
    "size-too-small",
    "leaf-too-heavy",
    "force-over-limit",
    "latch-power-short",
    "mount-conflict",
    "weather-side-body",
    "top-rail-short",
    "head-face-short",
    "reveal-too-deep",
    "ceiling-too-low",
    "angle-not-reached",
    "hold-open-on-fire-door",
    "delayed-action-on-fire-door",
    "not-fire-listed",
    "fire-door-needs-latching",
    "pair-needs-coordinator",
    "hand-unknown",
    "weight-estimated",
    "assumed",
    "through-bolt-length",
    "discontinued",
    "short-stock",
    "stop-needed",
}


def called(name: str) -> set[str]:
    """The texts that may stand as the first argument of calls of a name, all over the source."""
    found: set[str] = set()
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == name and node.args:
                first = node.args[0]
                found |= {
                    part.value
                    for part in ast.walk(first)
                    if isinstance(part, ast.Constant) and isinstance(part.value, str)
                }
    return found


def test_every_finding_is_said_and_explained_and_none_is_left_over():
    said = set(FINDINGS) | set(FORCE_FINDINGS)
    assert said == set(GUIDE)
    assert called("Finding") <= said
    assert said >= CONTRACT


def test_every_finding_and_hint_said_can_occur():
    in_source = {
        node.value
        for path in SOURCE.rglob("*.py")
        if "wording" not in path.parts
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    assert in_source >= set(GUIDE)
    assert (set(HINTS) | set(FORCE_HINTS)) <= in_source


def test_every_hint_is_said():
    assert called("Hint") <= set(HINTS) | set(FORCE_HINTS)


def test_every_reason_is_said():
    reasons = {code for code in called("Reason") if "{" not in code}
    assert {code for code in reasons if not code.endswith("-")} <= set(SENTENCES)


def test_every_rule_a_finding_is_explained_by_exists():
    for entry in GUIDE.values():
        assert not entry.rule or entry.rule in RULES.rules


def test_the_references_are_fresh():
    """Written anew by: python -m wholekit.cli.reference"""
    for name, text in pages().items():
        assert (FOLDER / name).read_text(encoding="utf-8") == text, name
