"""Findings in a few words, for where a sentence is too much: `hold-open arm on a fire door`."""

from collections.abc import Iterable

# Where the code itself, read as words, would not say it.
_WORDS = {
    "accessible-may-not-latch": "may not latch at an accessible force",
    "answer-needed": "an answer is needed first",
    "bracket-missing": "soffit bracket missing",
    "corrosion-coast": "corrosion near the coast",
    "cover-missing": "cover missing",
    "delayed-action-on-fire-door": "delayed action on a fire door",
    "egress-force-limit": "force limit if it is an exit",
    "fastener-missing": "fasteners missing",
    "fastener-wrong-host": "fasteners for another material",
    "finish-dearer": "a dearer finish",
    "finish-mixed": "finishes mixed",
    "finish-unavailable": "finish not made",
    "fire-door-least-force": "least force on a fire door",
    "fire-door-needs-latching": "fire door, latch and listing to be checked",
    "fire-moment-short": "too weak for a fire door",
    "fire-size-recommended": "larger size advised on a fire door",
    "fixed-size-accessible": "fixed size on an accessible door",
    "force-not-known": "opening force not known",
    "force-over-limit": "opening force over the limit",
    "force-unchecked": "opening force not checked",
    "grade-not-counted": "grade not claimed",
    "hand-conflict": "hand and swing differ",
    "hand-unknown": "hand needed",
    "head-face-short": "head too low for the body",
    "hold-open-on-fire-door": "hold-open arm on a fire door",
    "holes-differ": "old holes differ",
    "holes-near-edge": "holes too near an edge",
    "label-unusual": "unusual label for this leaf",
    "latch-power-short": "may not latch against the pressure",
    "leaf-tall": "tall leaf",
    "limit-excludes-latching": "set to its limit it may not latch",
    "limit-on-condition": "force limit holds on a condition",
    "limit-unread-for-fire": "force limit unread for fire doors",
    "mount-conflict": "mount does not suit the opening",
    "no-body-for-mount": "no body for this mount",
    "not-fire-listed": "not listed for fire doors",
    "mark-several": "mark reads like several openings",
    "note-asks-piece": "its note asks for what no kit holds",
    "note-piece-apart": "its note says who brings a stop",
    "note-says-more": "its note says more",
    "note-wish": "a wish about the closer",
    "pair-active-unknown": "active leaf not stated",
    "pair-needs-coordinator": "pair may need a coordinator",
    "pair-swing-unknown": "swing of the pair not stated",
    "parallel-arm-loses": "parallel arm loses power",
    "piece-missing": "piece not sold",
    "piece-surplus": "piece too many",
    "piece-wrong": "wrong piece",
    "release-device-apart": "release device is sold apart",
    "reveal-too-deep": "reveal too deep for the arm",
    "short-stock": "short on the shelf",
    "size-held-for-exit": "size held down for an exit",
    "size-held-to-limit": "size held down to the force limit",
    "size-next-used": "next size taken",
    "size-out-of-range": "beyond the sizes there are",
    "standard-not-claimed": "standard not claimed",
    "stop-needed": "door stop needed",
    "through-bolt-length": "through-bolt length to check",
    "top-rail-short": "top rail too short",
    "weather-side-body": "body on the weather side",
    "weight-may-raise": "weight may raise the size",
    "wind-needs-stop": "wind: door stop needed",
}


def in_short(code: str) -> str:
    """A finding in a few words; its code read as words where those say it.

    >>> in_short("short-stock"), in_short("leaf-too-heavy")
    ('short on the shelf', 'leaf too heavy')
    """
    return _WORDS.get(code, code.replace("-", " "))


def all_in_short(codes: Iterable[str]) -> str:
    """Several in a row, each once."""
    return "; ".join(dict.fromkeys(map(in_short, codes)))
