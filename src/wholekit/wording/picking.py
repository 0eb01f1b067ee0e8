"""What the pick room is told of a scan that does not count: first in big type, then the rest.

The first line is short enough for big type (60 signs) whatever the names in it, which are cut;
the lines below give them in full.
"""

from collections.abc import Mapping

from wholekit.domain.catalog import Role
from wholekit.domain.picking.scan import ScanRefused
from wholekit.wording.finding_words import all_in_short
from wholekit.wording.speech import tr
from wholekit.wording.words import HANDS, ROLES

FIRST_LINE_MOST = 60
_CUT = 14

# By code: the first line, and what more there is to say (empty: nothing).
REFUSALS: Mapping[str, tuple[str, str]] = {
    "scan-empty": ("Nothing was scanned.", "Scan an item or a bag's label."),
    "scan-too-long": (
        "Too long for one code. Scan it again.",
        "Several codes may have run together. Read: {given}",
    ),
    "scan-garbled": ("The code came garbled. Scan it again.", "Read: {given}"),
    "scan-count-none": ("A count of 0 counts nothing.", "Four of a code: 4*CODE. Read: {given}"),
    "scan-count-malformed": (
        "{count} is no count.",
        "A whole number from 1 to {most}, as in 4*CODE. Read: {given}",
    ),
    "scan-count-large": ("A count is {most} at most.", "Four of a code: 4*CODE. Read: {given}"),
    "scan-count-alone": (
        "No code after the count.",
        "Type the count and the star, then scan the item. Read: {given}",
    ),
    "scan-count-twice": ("Two counts before one code.", "One is right: 4*CODE. Read: {given}"),
    "scan-count-of-bag": ("A bag takes no count.", "Scan its label alone. Read: {given}"),
    "scan-label-broken": ("Label read in part. Scan it again.", "Read: {given}"),
    "scan-label-without-item": (
        "That label names no item. Scan the item's own.",
        "A GS1 label with an item has its number under (01) or (02). Read: {given}",
    ),
    "scan-carton": (
        "A carton's number. Scan the {wanted} itself.",
        "It is the number of a case of it, not of one. Read: {given}",
    ),
    "scan-bag-misread": ("Bag label misread. Scan it again.", "Read: {given}"),
    "scan-unknown": ("Unknown code. Here belongs {wanted}.", "Read: {given}"),
    "scan-unknown-all-in": ("Unknown code. This bag has all.", "Read: {given}"),
    "scan-label-half": ("Half a bag's label? Scan it again.", "Read: {given}"),
    "scan-doubled": ("The same code twice in one? Scan it again.", "Read: {given}"),
    "scan-half": ("Half a code of {wanted}? Scan again.", "Read: {given}"),
    "scan-other-layout": (
        "Keyboards of scanner and computer differ.",
        "Set the scanner to the computer's keyboard. Read: {given}",
    ),
    "scan-gtin-misread": ("Number misread. Scan it again.", "Read: {given}"),
    "scan-id-used": ("Not counted. Scan it again.", "Another scan has the same id."),
    "item-wrong": ("Wrong item. Here belongs {wanted}.", "Scanned: {sku}"),
    "item-bag-full": ("This bag has all. Close it.", "Scanned: {sku}"),
    "item-wrong-finish": (
        "Wrong finish. Take {wanted_finish}: {wanted}.",
        "Scanned: {sku} in {finish}",
    ),
    "item-wrong-hand": (
        "Wrong hand. Take the {wanted_hand} one: {wanted}.",
        "Scanned: {sku}, {hand}",
    ),
    "item-one-too-many": ("One too many of {sku}.", "In the bag: {has} × {sku}"),
    "item-too-many": (
        "Too many. Only {packs} more of {wanted}.",
        "Scanned: {count} × {sku}; none was counted.",
    ),
    "item-of-other-bag": ("Not here. It goes into bag {other}.", "Scanned: {sku}"),
    "item-substitute": (
        "In place of {wanted}? Substitute it first.",
        "{sku} may replace it, with a reason.",
    ),
    "bag-held": (
        "Bag {mark} is held. Nothing goes in.",
        "A stop is open or a piece is missing: ask the counter.",
    ),
    "bag-closed": ("Bag {mark} is closed.", "By {who}. Put the piece back into its bin."),
    "bag-closed-already": ("Already closed, nothing to do.", "Bag {mark}, by {who}."),
    "bag-label-closed": ("Bag {mark} is closed.", "By {who}. Nothing more goes in."),
    "bag-new": ("Bag {mark} is not open. Scan its label.", ""),
    "bag-waiting": ("Bag {mark} waits. Scan its label to go on.", ""),
    "bag-open": ("Bag {mark} is open already.", "Scan an item."),
    "bag-not-in-wave": ("This bag is not in this wave.", "Put it aside. Read: {bag}"),
    "bag-in-other-wave": (
        "This bag is in another wave.",
        "In wave {wave}, of {who}. Put it aside. Read: {bag}",
    ),
    "bag-at-other-branch": (
        "This bag is of another branch.",
        "It is picked at {branch}. Put it aside. Read: {bag}",
    ),
    "bag-waits-for-goods": (
        "Bag {mark} waits for goods. Put it aside.",
        "Nothing is promised to it yet. Read: {bag}",
    ),
    "bag-done": ("Bag {mark} is {state}.", "There is nothing to pick into it. Read: {bag}"),
    "bag-of-other-revision": (
        "Label of another revision. Put it aside.",
        "It is of revision {revision}; picked is revision {wanted_revision}. Read: {bag}",
    ),
    "scan-no-bag": ("Turn to a bag first: scan its label.", "Read: {given}"),
    "item-short-here": (
        "It was told short in this bag.",
        "If you hold it: undo the short, scan what is there, then tell the rest short. Of {sku}.",
    ),
    "item-not-on-hand": (
        "The books have no {count} × {sku}.",
        "If you hold it, take back the short that was told (undo), or tell whoever counts stock.",
    ),
    "item-told-short": (
        "The books have no {count} × {sku}.",
        "It was told short in bag {told}. If you hold it: scan that bag's label, undo, come back.",
    ),
    "item-promised-away": ("{sku} went to another: none is free.", "Tell it: short {sku} {count}"),
    "substitute-unknown": ("There is no item {by}.", "It cannot replace {sku}."),
    "substitute-not-free": ("Of {by} only {free} are free.", "{count} are needed for {sku}."),
    "undo-unknown": ("Nothing there to undo.", ""),
    "undo-twice": ("That is undone already.", ""),
    "undo-later-first": ("Undo the later substitute first.", "It is {sku}."),
    "undo-scans-first": ("Undo the scans of {sku} first.", ""),
    "short-not-wanted": (
        "Still to take of {sku}: only {left}.",
        "No more can be short: short {sku} {left}",
    ),
    "short-none-left": (
        "This bag takes no {sku} now.",
        "Short is told in the bag that lacks it: scan that bag's label first.",
    ),
    "short-all-there": (
        "{has} × {sku} is what the books have.",
        "Nothing is short in that bin: scan what is there.",
    ),
    "short-told": ("{sku} is told short already.", "If you find it after all: undo"),
    "substitute-not-wanted": ("{sku} is not to take any more.", "There is nothing to replace."),
    "substitute-reason": ("Say why, in {most} signs at most.", "{by} in place of {sku}"),
    "substitute-same": ("{by} is the same item.", ""),
    "substitute-finish": (
        "Wrong finish. It must be {wanted_finish}.",
        "{by} is in {finish}; it cannot replace {sku}.",
    ),
    "substitute-hand": (
        "Wrong hand. It must be {wanted_hand}.",
        "{by} is {hand}; it cannot replace {sku}.",
    ),
    "substitute-lacks": (
        "{by} does not hold the same.",
        "Lacking in it: {count} × {role}; it cannot replace {sku}.",
    ),
    "substitute-other-piece": (
        "{by} holds another piece.",
        "Wanted: {role} {piece}; in it: {held}. It cannot replace {sku}.",
    ),
    "substitute-fails-check": (
        "With {by} the kit would be wrong.",
        "It cannot replace {sku}: {stops}.",
    ),
    "loose-unknown": ("There is no item {given}.", "Nothing was closed; scan its shelf label."),
    "loose-not-left": (
        "No {sku} is left over loose.",
        "Nothing was closed. What may go back: loose",
    ),
    "loose-too-many": (
        "Only {left} × {sku} can be made of it.",
        "Nothing was closed. Told: {count} × {sku}",
    ),
    "goods-bag-label": ("That is a bag's label. Scan the goods.", "Read: {given}"),
    "goods-unknown": (
        "Unknown code. It was not ordered.",
        "Nothing is open of {order}. Read: {given}",
    ),
    "goods-not-ordered": ("Not ordered: {sku}.", "{order} does not ask for it: put it aside."),
    "goods-over": (
        "Too many: {open} more of {sku} are expected.",
        "Ordered {ordered}, received {received}; none of {count} was counted. If they stay: over",
    ),
    "close-items-left": ("Not whole. Take {packs} × {wanted}.", "Still to take in all: {count}"),
    "close-pieces-lacking": (
        "Not whole: the opening needs more.",
        "Lacking: {count} × {role} ({piece}). The packs hold less than the kit uses.",
    ),
}
BELONGS = "Here belongs: {packs} × {wanted}, {wanted_title}"
ELSEWHERE = "Bag {other} takes it."


def say_refusal(refused: ScanRefused, names: Mapping[str, str] | None = None) -> tuple[str, ...]:
    """A refusal in lines, the first of at most 60 signs. names: by bag id what people call it,
    where its mark alone does not tell.

    >>> say_refusal(ScanRefused("bag-waiting", {"mark": "101"}))
    ('Bag 101 waits. Scan its label to go on.',)
    """
    fields = {name: _word(name, value) for name, value in refused.fields.items()}
    cut = {name: value if len(value) <= _CUT else f"{value[: _CUT - 1]}…" for name, value in
           fields.items()}  # fmt: skip
    first, more = REFUSALS[refused.code]
    for mark, bags in (("mark", "bag"), ("other", "other_bag")):
        # Of several the ids stand in a row.
        called = [(names or {}).get(each, "") for each in fields.get(bags, "").split(",")]
        fields[mark] = ", ".join(called) if all(called) else fields.get(mark, "")
    said = tr(first).format_map({**cut, "mark": fields["mark"], "other": fields["other"]})
    lines = [said if len(said) <= FIRST_LINE_MOST else tr(first).format_map(cut)]
    if more:
        lines.append(tr(more).format_map(fields))
    if fields.get("wanted") and not refused.code.startswith("close-"):
        lines.append(tr(BELONGS).format_map(fields))
    if fields.get("other") and refused.code != "item-of-other-bag":
        lines.append(tr(ELSEWHERE).format_map(fields))
    return tuple(lines)


def _word(name: str, value: object) -> str:
    if name == "stops" and isinstance(value, tuple):
        return all_in_short(value)
    if name in ("hand", "wanted_hand") and value in HANDS:
        return tr(HANDS[str(value)])
    if name == "role" and value in list(Role):
        return tr(ROLES[Role(str(value))])
    if name in ("finish", "wanted_finish") and not value:
        return tr("no finish")
    return str(value)
