"""What a screw goes into, and so which screw it must be."""

from dataclasses import dataclass

from wholekit.domain.catalog import FastenerKind
from wholekit.domain.openings import Facts, Frame
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook

# A face too thin for the threads a screw needs (rule three-threads).
BARE_METAL = frozenset({"hollow-metal", "steel"})


@dataclass(frozen=True, slots=True)
class Host:
    """What a joint is screwed to: `door` or `frame`, the kinds it takes, and why.

    sleeved: a through-bolt needs a spacer sleeve, or the leaf's skins are pulled together.
    """

    part: str
    material: str
    reinforced: bool
    kinds: tuple[FastenerKind, ...]
    sleeved: bool
    reason: Reason


def host_of(part: str, facts: Facts, rules: RuleBook) -> Host:
    """The door or frame as a host for screws (rule fasteners-by-host). Raises RuleError."""
    material = facts.door if part == "door" else facts.frame
    because = [facts.why(part)]
    # A wood frame holds a wood screw anywhere; blocking is asked about wood leaves alone.
    if material is Frame.WOOD:
        reinforced = True
    else:
        name = f"{part}_reinforced"
        reinforced = facts.door_reinforced if part == "door" else facts.frame_reinforced
        because.append(facts.why(name))
    for row in rules.rows("fasteners-by-host"):
        if row["host"] == f"{part} {material}" and row["reinforced"] is reinforced:
            kinds = row["kinds"]
            sleeved = bool(row.get("sleeved", False))
            cited = ["fasteners-by-host"]
            if sleeved:
                cited.append("through-bolt-sleeves")
            if not reinforced and str(material) in BARE_METAL:
                cited.append("three-threads")
            reason = Reason(
                "host",
                {"part": part, "material": material, "reinforced": reinforced, "kinds": kinds},
                tuple(cited),
                tuple(because),
            )
            return Host(
                part,
                str(material),
                reinforced,
                tuple(FastenerKind(str(kind)) for kind in kinds),  # type: ignore[union-attr]
                sleeved,
                reason,
            )
    # No row: the rule book knows no screw for it. The joint then lacks its screws, which is told.
    return Host(
        part,
        str(material),
        reinforced,
        (),
        False,
        Reason("host-unknown", {"part": part, "material": material}, ("fasteners-by-host",)),
    )
