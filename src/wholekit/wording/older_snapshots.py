"""Snapshots of every format there was, read as the present one.

What is stored stays as it is, text and digest. The first format held words where there are codes
now; they are the words of the programs that wrote them, so they are looked up here and kept apart
from those in use: a phrase changed in `words` changes nothing in what was issued.
"""

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.customers import net_price
from wholekit.domain.openings import BodySide, Mount, OpeningType, read_stated
from wholekit.domain.plain import from_plain, to_plain
from wholekit.domain.quantities import Money, parse_length, parse_size
from wholekit.domain.quotes import Snapshot, snapshot_from

Plain = dict[str, Any]
# All tables below are frozen with the papers they are for. A word put right in one of them would no
# longer be the word that is stored, and the paper could not be read any more.
MOUNTS = {
    "regular arm": Mount.REGULAR, "parallel arm": Mount.PARALLEL, "top jamb": Mount.TOP_JAMB,
}  # fmt: skip
SIDES = {"pull side": BodySide.PULL, "push side": BodySide.PUSH}
ROLES = {
    "closer body": Role.BODY, "main arm": Role.MAIN_ARM, "forearm": Role.FOREARM,
    "shoe": Role.SHOE, "hold-open arm": Role.HOLD_OPEN_ARM, "soffit bracket": Role.SOFFIT_BRACKET,
    "plate": Role.PLATE, "stop spacer": Role.SPACER,
    "fastener for the plate": Role.PLATE_FASTENER, "fastener for the body": Role.BODY_FASTENER,
    "fastener for the shoe": Role.SHOE_FASTENER,
    "fastener for the bracket": Role.BRACKET_FASTENER,
    "screw for arm to bracket": Role.BRACKET_ARM_SCREW, "pinion screw": Role.PINION_SCREW,
    "pinion cap": Role.PINION_CAP, "cover": Role.COVER,
}  # fmt: skip
FASTENERS = {
    "wood screw": FastenerKind.WOOD_SCREW, "machine screw": FastenerKind.MACHINE_SCREW,
    "self-drilling screw": FastenerKind.SELF_DRILLING_SCREW,
    "through-bolt": FastenerKind.THROUGH_BOLT,
    "rivet nut with machine screw": FastenerKind.RIVET_NUT_SCREW,
    "rivet nuts with machine screw": FastenerKind.RIVET_NUT_SCREW,
}  # fmt: skip
FIELDS = {
    "number of leaves": "leaves", "leaf material": "door", "leaf core": "core",
    "leaf reinforced or blocked for the closer": "door_reinforced", "leaf weight": "weight",
    "leaf thickness": "thickness", "frame material": "frame",
    "frame reinforced for the closer": "frame_reinforced", "interior or exterior": "location",
    "side the closer works on": "body_side", "fire label": "fire_minutes",
    "accessible route": "accessible", "opening angle": "opening_degrees",
    "hold-open": "hold_open", "delayed action": "delayed_action",
    "height of the top rail": "top_rail", "face height of the head": "head_face",
    "clearance under the ceiling": "ceiling_clearance", "kind of stop": "stop",
    "pressure difference": "pressure", "wind speed": "wind", "spring size": "spring_size",
    "force limits that apply": "jurisdiction", "means of egress": "egress",
    "force of the seals": "seals", "force of the latch": "latch", "BHMA grade": "grade",
}  # fmt: skip
VALUES = {
    ("door", "hollow metal"): "hollow-metal",
    ("swing", "swings in"): "in",
    ("swing", "swings out"): "out",
    ("fire_minutes", "none"): "0",
    **{("mount", said): mount.value for said, mount in MOUNTS.items()},
    **{("body_side", said): side.value for said, side in SIDES.items()},
}
_FEET = re.compile(r"(\d+)'-(.+)\"")
# Formats after this one state their number themselves.
_FIRST = 1


def read_snapshot(data: Plain) -> Snapshot:
    """The snapshot that plain data describe, whatever program wrote them.

    Raises ValueError, TypeError, KeyError where they are none.
    """
    # The first format alone has no offer in it.
    if "offer" in data:
        return snapshot_from(data)
    return from_plain(Snapshot, _upgraded(data))


def _upgraded(old: Plain) -> Plain:
    translations = dict(old.get("translations", ()))
    kits = [_kit(kit, old) for kit in old["kits"]]
    english = _words(old, {})
    sent = None
    if translations:
        language = old["customer"]["locale"].replace("-", "_").partition("_")[0].lower()
        sent = {**_words(old, translations), "language": language}
    offer = {name: old[name] for name in _SAME if name in old} | {
        "customer": _party(old["customer"]),
        "kits": kits,
        "openings": [_opening(opening, old["kits"]) for opening in old["openings"]],
        "extras": [_without(extra, "cost") for extra in old["extras"]],
        "totals": _without(old["totals"], "cost"),
        "alternates": [
            alternate | {"totals": _without(alternate["totals"], "cost")}
            for alternate in old.get("alternates", ())
        ],
        "words": english,
        "sent": sent,
    }
    own = {
        "kits": [_own_kit(kit) for kit in old["kits"]],
        "openings": [opening.get("signs", ()) for opening in old["openings"]],
        "extras": [extra.get("cost") for extra in old["extras"]],
        "cost": old["totals"]["cost"],
        "alternates": [alternate["totals"]["cost"] for alternate in old.get("alternates", ())],
        "signs": old.get("signs", ()),
        "net_of": old.get("net_of", ()),
        "discount_reason": old.get("discount_reason", ""),
        "floor": old.get("floor"),
    }
    return {"offer": offer, "own": own, "format": _FIRST}


_SAME = (
    "quote", "revision", "job", "job_name", "issued", "valid_until", "issued_by", "currency",
    "house_name", "catalogs", "rules_version", "site", "site_address", "salesperson", "bids_due",
    "ship_to", "discount", "cover_note",
)  # fmt: skip


def _without(data: Plain, *names: str) -> Plain:
    return {name: value for name, value in data.items() if name not in names}


def _party(old: Plain) -> Plain:
    # Terms that were the days alone had been put into words when frozen; a customer's own stay.
    found = re.fullmatch(r"net (\d+) days?", old["terms"])
    if found is None:
        return old
    return old | {"terms": "", "days": int(found[1])}


def _goods(kit: Plain) -> list[Plain]:
    """The lines that are items; what made them add up to a price agreed is none."""
    return [line for line in kit["lines"] if line["sku"]]


def _kit(old: Plain, snapshot: Plain) -> Plain:
    adjustment = sum(line["total"]["minor"] for line in old["lines"] if not line["sku"])
    currency = snapshot["currency"]
    discount = Fraction(snapshot["discount"])
    saved = sum(_saved_on(line, discount) for line in _goods(old))
    return {
        "type": _type(old["fields"]),
        "mount": MOUNTS[old["mount"]].value,
        "body_side": SIDES[old["body_side"]].value,
        "size_required": old.get("size_required"),
        "spring_size": old.get("spring_size"),
        "finish": old["finish"],
        # Not kept then, nor was the body: setting cards of these are pages HOLD.
        "weight": None,
        "lines": [
            _without(line, "list_price", "multiplier", "cost", "serves", "because", "by_hand")
            for line in _goods(old)
        ],
        "adjustment": {"minor": adjustment, "currency": currency},
        "price": old["price"],
        "saved": {"minor": saved, "currency": currency},
        "assumed": [_assumed(text) for text in old.get("assumed", ())],
        "unused": [_piece(piece) for piece in old.get("unused", ())],
        "missing": [_piece(piece) for piece in old.get("missing", ())],
        "findings": [_finding(finding) for finding in old.get("findings", ())],
    }


def _finding(old: Plain) -> Plain:
    return {"code": old["code"], "severity": old["severity"], "about": old.get("about", "")}


def _saved_on(line: Plain, discount: Fraction) -> int:
    """What the discount took off a line of one opening [minor units]."""
    if line.get("by_hand") or not discount:
        return 0
    # The multiplier that is stored has the discount in it already.
    before = net_price(
        from_plain(Money, line["list_price"]), [Fraction(line["multiplier"]) / (1 - discount)]
    )
    return (before.minor - int(line["unit"]["minor"])) * int(line["quantity"])


def _type(fields: Sequence[Sequence[str]]) -> Plain:
    """What was stated, by field; of an older program's fields all are known."""
    values: dict[str, Any] = {}
    for name, text in fields:
        if name == "size":
            values["width"], values["height"] = _size(text)
            continue
        field = FIELDS.get(name, name)
        values[field] = read_stated(field, _spelled(field, text))
    plain: Plain = to_plain(OpeningType(**values))
    return plain


def _size(text: str) -> tuple[Any, Any]:
    feet = [_FEET.fullmatch(part) for part in text.split(" × ")]
    if all(feet):
        width, height = (
            parse_length(f"{part[1]}'-{part[2]}\"") for part in feet if part is not None
        )
        return width, height
    return parse_size(text.replace(" × ", " x "))


def _spelled(field: str, text: str) -> str:
    """A value as a schedule spells it."""
    known = VALUES.get((field, text))
    if known is not None:
        return known
    match field:
        case "fire_minutes":
            return text.removesuffix(" min")
        case "opening_degrees":
            return text.removesuffix("°")
        case "jurisdiction":
            return text.lower()
    return text


def _assumed(text: str) -> Plain:
    name, _, value = text.partition(": ")
    field = FIELDS.get(name, name)
    return {"field": field, "text": _spelled(field, value)}


def _piece(old: Plain) -> Plain:
    """A piece by its role and kind; `2 shoes`, `4 wood screws for the body`, `soffit bracket`."""
    count = f"{old['quantity']} "
    said = old["piece"].removeprefix(count)
    piece = said
    for plural, single in (("bodies", "body"), ("screws", "screw"), ("bolts", "bolt")):
        # Once: it is the first noun that is counted, not what comes behind `for`.
        piece = piece.replace(plural, single, 1)
    found: Plain = {"quantity": old["quantity"], "sku": old.get("sku", "")}
    if piece in ROLES or piece.removesuffix("s") in ROLES:
        return found | {"role": (ROLES.get(piece) or ROLES[piece.removesuffix("s")]).value}
    fastener, _, place = piece.rpartition(" for ")
    role = ROLES[f"fastener for {place}"]
    return found | {"role": role.value, "kinds": [FASTENERS[fastener].value]}


def _opening(old: Plain, kits: Sequence[Plain]) -> Plain:
    """What was released is told by the sentence of the stop: its finding is that of the kit."""
    said = {sign["text"] for sign in old.get("signs", ()) if sign["what"] == "release"}
    released = [
        [finding["code"], finding.get("about", "")]
        for finding in kits[old["kit"]].get("findings", ())
        if finding["text"] in said
    ]
    of_note = [_finding(finding) for finding in old.get("findings", ())]
    return _without(old, "cost", "signs", "findings") | {"released": released, "of_note": of_note}


def _place(opening: Plain) -> str:
    code = opening.get("alternate", "")
    return f"{opening['mark']} [{code}]" if code else str(opening["mark"])


def _own_kit(old: Plain) -> Plain:
    names = ("list_price", "multiplier", "cost", "by_hand")
    return {
        "lines": [{name: line[name] for name in names if name in line} for line in _goods(old)],
        "tier_price": old["tier_price"],
        "cost": old["cost"],
    }


def _words(old: Plain, translations: Mapping[str, str]) -> Plain:
    """The sentences as they were sent; a description is data and has no translation."""

    def read(text: str) -> str:
        return translations.get(text, text)

    def finding_texts(findings: Sequence[Plain]) -> list[list[str]]:
        names = ("text", "hint", "source")
        return [
            [read(finding[name]) if finding.get(name) else "" for name in names]
            for finding in findings
        ]

    def kit(old_kit: Plain) -> Plain:
        texts = {
            name: read(old_kit[name])
            for name in ("size", "summary", "mount", "body_side", "why_size", "why_mount")
        }
        findings = old_kit.get("findings", ())
        return texts | {
            "lines": [
                [read(line.get("serves", "")), list(line.get("because", ()))]
                for line in _goods(old_kit)
            ],
            "findings": finding_texts(findings),
            "missing": [
                [read(piece["piece"]), read(piece.get("because", ""))]
                for piece in old_kit.get("missing", ())
            ],
            "unused": [
                read(piece["piece"]).removeprefix(f"{piece['quantity']} ")
                for piece in old_kit.get("unused", ())
            ],
            "assumed": [[read(text), ""] for text in old_kit.get("assumed", ())],
            "estimates": [[read(text), ""] for text in old_kit.get("estimates", ())],
            "weight": next(
                (
                    read(finding["text"])
                    for finding in findings
                    if finding["code"] == "weight-estimated"
                ),
                "",
            ),
        }

    agreed = next(
        (
            line["description"]
            for character in old["kits"]
            for line in character["lines"]
            if not line["sku"]
        ),
        "",
    )
    return {
        "language": "en",
        "kits": [kit(character) for character in old["kits"]],
        "terms": [read(text) for text in old.get("terms", ())],
        "cautions": [read(text) for text in old.get("cautions", ())],
        "payment": read(old["customer"]["terms"]),
        "price_agreed": read(agreed),
        "notes": [
            [_place(opening), finding_texts(opening["findings"])]
            for opening in old["openings"]
            if opening.get("findings")
        ],
    }
