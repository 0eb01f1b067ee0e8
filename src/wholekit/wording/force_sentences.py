"""Sentences of findings, hints and problems about forces and the geometry of the arms.

Numbers reach these templates as text or as plain numbers already rounded.
"""

FINDINGS: dict[str, str] = {
    "fire-door-least-force": "No figure is set for an accessible fire door: the least opening "
    "force the authority having jurisdiction allows. Opening takes {force} lbf here.",
    "fire-moment-short": "A fire door's closer must give {least_nm} N·m in the last degrees on the "
    "fitted door; in this mount this one gives {given_nm} N·m at least.",
    "force-not-known": "{limit}: {allowed} {unit}. Whether it is kept is not known: nobody has "
    "stated the closer's moment there.",
    "force-over-limit": "{limit}: {allowed} {unit}. Opening takes {force} {unit}, {closer_force} "
    "of it from the closer and {pressure_force} from the pressure{unchecked}.",
    "force-unchecked": "The opening force is {without}, and without what it takes to draw the "
    "latch bolt back. Smoke seals may add up to about {smoke} N, acoustic seals {acoustic} N.",
    "latch-power-short": "To latch against {pressure_pa} Pa that hold the leaf open, the closer "
    "must give {needed_nm} N·m in the last degrees; it gives {given_nm} N·m, enough for "
    "{pressure_most_pa} Pa{unchecked}.",
    "limit-excludes-latching": "The two needs exclude each other: to latch against {pressure_pa} "
    "Pa takes {needed_nm} N·m, and the limit of {allowed} {unit} ({limit}) leaves {allowed_nm} N·m "
    "at most, even with a closer of {best} % efficiency. No closer can do both here.",
    "limit-on-condition": "{limit}: {allowed} {unit}, which {force} {unit} would keep.",
    "limit-unread-for-fire": "{limit}: {allowed} {unit}. Whether it covers fire doors has not been "
    "read. If it does, it stands against the {force} {unit} that opening takes; if not, the least "
    "force the authority having jurisdiction allows. The closer is set no lighter for it.",
}

HINTS: dict[str, str] = {
    "ask-authority-on-limit": "Ask the authority having jurisdiction which holds.",
    "ask-moment-beyond": "Ask the maker for the moment from 30° to 60°, or measure it.",
    "ask-powered-leaf": "Ask whether one of every eight leaves at that place is powered.",
    "ease-seals": "Softer seals, or a latch that takes less to drive home.",
    "efficient-closer": "Take a closer whose maker states an efficiency of {efficiency_needed} % "
    "or more at this setting; check with a gauge.",
    "efficient-closer-or-release": "A closer whose maker states an efficiency of "
    "{efficiency_needed} % or more at this setting, checked with a gauge; else a hold-open that "
    "releases on fire, a free-swing closer, or a power operator.",
    "fire-moment-larger": "Size {larger_size} gives it at least; or take the maker's own figure "
    "for this mount.",
    "larger-size": "Size {larger_size} latches here.",
    "lower-pressure": "Bring the pressure down to {pressure_most_pa} Pa or less: balance the air, "
    "or add a vestibule.",
    "measure-with-seals": "State the forces of seals and latch, and measure on the hung door.",
    "power-operator": "Have the architect decide on a power operator.",
    "release-or-power": "A hold-open that releases on fire, a free-swing closer, or a power "
    "operator; the architect decides.",
    "screen-wind": "A vestibule, a wind screen, or a power operator; the architect decides.",
    "set-to-efficient-size": "Take an adjustable body whose maker states an efficiency of "
    "{efficiency_needed} % or more at size {set_size}, and set it to that; check with a gauge.",
    "set-to-size": "Take an adjustable body and set it to size {set_size}; check with a gauge.",
    "vestibule-or-operator": "Lower the pressure, add a vestibule, or have the architect decide on "
    "a power operator.",
}

# Said another way where no air works against the door, or seals and latch alone are too much.
LATCH_SHORT_STILL = (
    "To latch against {against} the closer must give {needed_nm} N·m in the last degrees; it gives "
    "{given_nm} N·m{unchecked}."
)
LATCH_SHORT_ALONE = (
    "To latch against {pressure_pa} Pa that hold the leaf open and {against}, the closer must give "
    "{needed_nm} N·m in the last degrees; it gives {given_nm} N·m, too little even without "
    "pressure{unchecked}."
)
EXCLUDES_STILL = (
    "The two needs exclude each other: to latch against {against} takes {needed_nm} N·m, and the "
    "limit of {allowed} {unit} ({limit}) leaves {allowed_nm} N·m at most, even with a closer of "
    "{best} % efficiency. No closer can do both here."
)
BEATEN: dict[tuple[str, ...], str] = {
    ("seals",): "the seals",
    ("latch",): "the latch",
    ("seals", "latch"): "seals and latch",
}

WITHOUT: dict[tuple[str, ...], str] = {
    ("seals",): "without seals",
    ("latch",): "without latch",
    ("seals", "latch"): "without seals or latch",
}

PROBLEMS: dict[str, str] = {
    "angle-beyond-swing": "the arms do not go to {given}°; right would be 0 to {reached}°",
    "at-most-one-of": "give at most one of {options}",
    "exactly-one-of": "give exactly one of {options}",
    "handle-outside-leaf": "the handle must lie on the leaf; right would be less than the width, "
    "{width}, not {given}",
    "no-template": "no template for {mount} in series {series}{named}; right would be {known}",
    "same-file-twice": "both drawings would go to {given}; right would be two files",
    "series-not-there": "no series {given} in the catalogue; right would be {known}",
    "size-not-made": "no size {given}; right would be {known}",
    "jurisdiction-unknown": "no force limits for {given}; right would be one of {known}",
    "svg-not-written": "the drawing could not be written: {error}; right would be a file in a "
    "folder that exists",
    "template-arms-cannot-meet": "the arms cannot be set: with a preload of {preload}° the forearm "
    "must be {needed} mm between pivots at a reveal of {reveal} mm; right would be a forearm that "
    "reaches it (it has {shortest} to {longest} mm), or another preload or position",
    "template-cannot-close": "the arms cannot close the leaf: at {angle}° they pull it open or not "
    "at all; right would be a pinion and anchor placed so that the forearm's line passes the hinge "
    "on the closing side over the whole swing",
    "template-angle-not-reached": "the stated {stated}° is not reached: at a reveal of {reveal} mm "
    "the arms are stretched at {reached}°; right would be {reached}° or less, or a pinion nearer "
    "the hinge",
    "template-strikes": "the arms strike the {struck} at {reached}°, before the stated {stated}° "
    "(at a reveal of {reveal} mm); right would be {reached}° or less, or another position",
    "template-reveal-unserved": "no forearm of the template serves a reveal of {reveal} mm; right "
    "would be one whose reveal_max reaches it, or a smaller reveal_max of the template",
    "template-arm-without-length": "the {part} {piece} has no length, so the swing cannot be "
    "worked out; right would be its length from pivot to pivot",
    "template-arm-unknown": "no piece {piece} to serve as {part}; right would be the id of a piece "
    "of the series",
}

ERRORS: dict[str, str] = {
    "efficiency-out-of-range": "An efficiency lies above 0 and at most 1; {given} does not.",
    "handle-outside-leaf": "The handle must lie on the leaf: its distance from the latch edge "
    "({given}) must be less than the width ({width}).",
    "jurisdiction-unknown": "There are no force limits for {given}; there are for {known}.",
    "negative": "{name} must be zero or more, and no more than exists; {given} is not.",
    "not-positive": "{name} must be greater than zero, and no more than exists; {given} is not.",
    "size-unknown": "There is no size {given}; there are {known}.",
}

ENDS: dict[str, str] = {
    "stretched": "there they are stretched",
    "strikes-leaf": "there they strike the leaf",
    "strikes-frame": "there they strike the frame",
    "dead-centre": "beyond it they no longer close",
    "free": "nothing in the plane stops them before",
    "never": "they do not meet",
}
