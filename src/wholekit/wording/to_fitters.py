"""What a fitter is told of a finding, by its kind: a warning that stands on the quote stands on the
card too, unless the card says it in a step of its own or it endangers nobody."""

from collections.abc import Mapping

from wholekit.wording.offered import without_price
from wholekit.wording.speech import tr
from wholekit.wording.to_customers import EXIT, asked_with_a_price

# Said by the card's own heavy line, step or warning, by the words it begins with in English.
IN_ITS_OWN_WORDS = {
    "accessible-may-not-latch": "not latch",
    "fire-door-needs-latching": "It must close from any angle and latch by itself.",
    "hand-unknown": "HAND NOT STATED",
    "holes-covered": "old holes",
    "holes-differ": "old holes",
    "holes-near-edge": "HOLES TOO NEAR",
    "holes-reused": "old holes",
    "latch-power-short": "not latch",
    "pair-needs-coordinator": "Coordinator:",
    "release-device-apart": "Release test:",
    "size-held-to-limit": "not latch",
    "stop-needed": "Door stop:",
    "wind-needs-stop": "Door stop:",
}
# Of price, look or supply, or for the office to settle: nothing on the leaf depends on it.
OF_THE_OFFICE = frozenset(
    {
        "discontinued", "finish-dearer", "finish-mixed", "finish-unavailable", "mark-several",
        "note-asks-piece", "note-piece-apart", "pair-active-unknown", "piece-surplus",
        "short-stock", "size-next-used",
    }
)  # fmt: skip
OF_NOTE = "note-says-more"
# What holes are drilled in, by its height: a note that says another stands where they are told.
HEIGHTS = frozenset({"top_rail", "head_face"})
# Columns whose words in a note, left unanswered, could hurt somebody.
OF_DANGER = frozenset(
    {
        "fire_minutes", "accessible", "egress", "hold_open", "delayed_action", "pressure", "wind",
        "weight",
    }
) | HEIGHTS  # fmt: skip
# What a gauge can settle on the hung leaf.
_OF_FORCE = frozenset(
    {EXIT, "fire-moment-short", "force-over-limit", "limit-unread-for-fire", "size-too-large"}
)
MEASURE = "Measure it on the hung leaf; if it is not kept, tell the office."
NOT_RECKONED = "The kit does not reckon with the note."
BLOWS = "Does it blow against this door?"
ASK = "Ask the office before drilling."
# The same for whoever picks and sends the kit, on label, pick list and slip.
ASK_FIRST = "ASK THE OFFICE BEFORE DRILLING"


def fitters_are_told(code: str, fields: Mapping[str, str]) -> bool:
    """Whether a warning must stand on the card; one of a kind not known here must.

    >>> fitters_are_told("weather-side-body", {}), fitters_are_told("finish-unavailable", {})
    (True, False)
    """
    if code == OF_NOTE:
        return fields.get("column") in OF_DANGER
    return code not in OF_THE_OFFICE and not asked_with_a_price(code, fields)


def bids_ask(code: str, fields: Mapping[str, str]) -> bool:
    """Whether a warning is for the office to settle before holes are drilled.

    >>> bids_ask("weather-side-body", {}), bids_ask("force-over-limit", {})
    (True, False)
    """
    told = code not in IN_ITS_OWN_WORDS and fitters_are_told(code, fields)
    return told and code not in _OF_FORCE


def said_to_fitters(code: str, fields: Mapping[str, str], text: str) -> str:
    """A warning as a fitter reads it, in the language spoken; empty where it is no concern of his
    or the card says it in its own words. text: the finding's sentence.

    >>> said_to_fitters("weather-side-body", {}, "The closer would be on the weather side.")
    'The closer would be on the weather side. Ask the office before drilling.'
    """
    if code in IN_ITS_OWN_WORDS or not fitters_are_told(code, fields):
        return ""
    text = without_price(fields, text) or tr("See the quote.")
    if code == OF_NOTE:
        text = f"{text} {tr(NOT_RECKONED)}"
        if fields.get("column") == "wind":
            text = f"{text} {tr(BLOWS)}"
    return f"{text} {tr(ASK if bids_ask(code, fields) else MEASURE)}"
