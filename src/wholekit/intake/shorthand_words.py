"""The words of the one-line shorthand: phrases that say all, and words that name what follows."""

from wholekit.intake import vocabulary as v

Said = tuple[tuple[str, str], ...]

# Words that name the column of what follows them.
LEADS = {
    "fire": "fire_minutes",
    "fire-label": "fire_minutes",
    "label": "fire_minutes",
    "reveal": "reveal",
    "rail": "top_rail",
    "top-rail": "top_rail",
    "head": "head_face",
    "head-face": "head_face",
    "ceiling": "ceiling_clearance",
    "ceiling-clearance": "ceiling_clearance",
    "thickness": "thickness",
    "weight": "weight",
    "pressure": "pressure",
    "wind": "wind",
    "seals": "seals",
    "latch": "latch",
    "grade": "grade",
    "traffic": "traffic",
    "holes": "existing_holes",
    "existing-holes": "existing_holes",
    "old-holes": "existing_holes",
    "hole-pattern": "existing_holes",
    "finish": "finish",
    "series": "series",
    "size": "spring_size",
    "spring-size": "spring_size",
    "opens-to": "opening_degrees",
    "angle": "opening_degrees",
    "jurisdiction": "jurisdiction",
    "quantity": "quantity",
    "qty": "quantity",
    "mark": "mark",
    "width": "width",
    "height": "height",
    "leaves": "leaves",
}
_FLAGS: dict[str, Said] = {
    "pair": (("leaves", "2"),),
    "pr": (("leaves", "2"),),
    "double": (("leaves", "2"),),
    # The active leaf of a pair has the hand (common practice, no source); the hands of both leaves
    # tell the swing alone (computed: LHR and RHR swing out, LH and RH in).
    "lhra": (("hand", "LHR"), ("leaves", "2")),
    "rhra": (("hand", "RHR"), ("leaves", "2")),
    "lha": (("hand", "LH"), ("leaves", "2")),
    "rha": (("hand", "RH"), ("leaves", "2")),
    "lhr/rhr": (("leaves", "2"), ("swing", "out")),
    "rhr/lhr": (("leaves", "2"), ("swing", "out")),
    "lh/rh": (("leaves", "2"), ("swing", "in")),
    "rh/lh": (("leaves", "2"), ("swing", "in")),
    "single": (("leaves", "1"),),
    "single-leaf": (("leaves", "1"),),
    "accessible": (("accessible", "yes"),),
    "ada": (("accessible", "yes"),),
    "not-ada": (("accessible", "no"),),
    "no-ada": (("accessible", "no"),),
    "not-accessible": (("accessible", "no"),),
    "reinforced": (("door_reinforced", "yes"),),
    "unreinforced": (("door_reinforced", "no"),),
    "blocking": (("door_reinforced", "yes"),),
    "no-blocking": (("door_reinforced", "no"),),
    "door-reinforced": (("door_reinforced", "yes"),),
    "door-unreinforced": (("door_reinforced", "no"),),
    "frame-reinforced": (("frame_reinforced", "yes"),),
    "frame-unreinforced": (("frame_reinforced", "no"),),
    "delayed-action": (("delayed_action", "yes"),),
    "no-delayed-action": (("delayed_action", "no"),),
    "backcheck": (("backcheck", "yes"),),
    "no-backcheck": (("backcheck", "no"),),
    "hold-open": (("hold_open", "arm"),),
    "hold-open-arm": (("hold_open", "arm"),),
    "hold-open-release": (("hold_open", "release"),),
    "release": (("hold_open", "release"),),
    "no-hold-open": (("hold_open", "none"),),
    "no-fire-label": (("fire_minutes", "none"),),
    "not-rated": (("fire_minutes", "none"),),
    "non-rated": (("fire_minutes", "none"),),
    "egress": (("egress", "yes"),),
    "exit": (("egress", "yes"),),
    "exit-door": (("egress", "yes"),),
    "no-exit": (("egress", "no"),),
    "not-exit": (("egress", "no"),),
    "not-an-exit": (("egress", "no"),),
    "no-egress": (("egress", "no"),),
    "not-egress": (("egress", "no"),),
    "grade1": (("grade", "1"),),
    "grade2": (("grade", "2"),),
    "grade3": (("grade", "3"),),
    "blade-stop": (("stop", "blade"),),
    "rabbet-stop": (("stop", "rabbet"),),
}


# How schedules shorten a leaf's material; said at the counter too. A schedule's cell of these is
# translated by the dialect, which tells of it.
SHORT_LEAVES = {"wd": "wood", "scwd": "wood", "alum": "aluminum", "al": "aluminum"}


def phrases() -> dict[str, Said]:
    """Every phrase in plain form, with the columns it fills and their texts.

    A material alone is the leaf's, except steel, which is the frame's: a steel leaf is called
    hollow metal.
    """
    said: dict[str, Said] = {}
    for column in ("location", "swing", "hand", "body_side", "mount", "core", "stop"):
        said |= {word: ((column, word),) for word in v.WORDS[column]}
    said |= {f"{word}-core": (("core", word),) for word in v.CORES}
    said |= {word: (("door", word),) for word in v.DOORS}
    said |= {word: (("door", leaf),) for word, leaf in SHORT_LEAVES.items()}
    said |= {f"{word}-{leaf}": (("door", word),) for word in v.DOORS for leaf in ("door", "leaf")}
    said |= {f"{word}-frame": (("frame", word),) for word in v.FRAMES}
    # Behind `steel frame`, unreinforced is said of the frame; alone it is said of the leaf.
    said |= {
        f"{word}-frame-{state}": (("frame", word), ("frame_reinforced", answer))
        for word in v.FRAMES
        for state, answer in (("reinforced", "yes"), ("unreinforced", "no"))
    }
    said |= {word: (("frame", word),) for word in ("steel", "pressed-steel", "hmf")}
    said |= {f"{word}-traffic": (("traffic", word),) for word in v.TRAFFICS}
    return said | _FLAGS


PHRASES = phrases()
