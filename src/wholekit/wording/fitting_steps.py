"""The steps of fitting a closer, in English; each is worded by `fitting.steps_of`.

Order of layout, the effect of the horizontal dimension and the way valves turn are common
practice, no source; the card says that the maker's sheet comes first.
"""

# The steps by code: a lead that is printed heavy, empty for none, and the rest of the sentence.
STEPS = {
    "hold-against-template": (
        "",
        (
            "Hold these figures against the template in the maker's box. Where they differ, "
            "the template in the box holds."
        ),
    ),
    "take-template": (
        "Take the maker's template",
        "out of the box: every position comes from it.",
    ),
    "swing-first": (
        "",
        (
            "Before a closer is fitted, swing the leaf by hand: it must hang free, and the "
            "latch must engage when the leaf is pushed gently."
        ),
    ),
    "spacer": (
        "Stop spacer, before the bracket:",
        (
            "fix it under the head on these lines, with holes by the maker's template; it levels "
            "the blade stop."
        ),
    ),
    "spacer-by-template": (
        "Stop spacer, before the bracket:",
        (
            "fix it under the head where the maker's template puts the soffit bracket; it levels "
            "the blade stop."
        ),
    ),
    "hinge-line": (
        "Hinge center line:",
        (
            "not seen from the push side. Measure it from the leaf's edge on the pull side; open "
            "the leaf, and lay out from that edge and its top."
        ),
    ),
    "vertical": (
        "Lay out the vertical dimension first",
        "({vertical}). If it is wrong, the arm strikes.",
    ),
    "horizontal": (
        "Then the horizontal one",
        "({horizontal}). It sets the greatest opening: nearer the hinge opens wider.",
    ),
    "shoe-line": (
        "Then the line of the shoe's pivot",
        "({anchor}), on {foot_host}. Height and holes of the shoe: by the maker's template.",
    ),
    "bracket-lines": (
        "Then the lines of the bracket's pivot",
        "({anchor}; {from_face}), under the head. Holes of the bracket: by the maker's template.",
    ),
    "reuse-holes": (
        "Reuse the old holes",
        (
            "({holes}). Measure first: the row must lie at {vertical}, the nearest holes at "
            "{horizontal}. If they lie elsewhere, or no longer hold a screw, hang nothing on "
            "them and ask the office."
        ),
    ),
    "reuse-by-template": (
        "Reuse the old holes",
        (
            "({holes}) if they lie where the maker's template puts them. If not, or if they no "
            "longer hold a screw, hang nothing on them and ask the office."
        ),
    ),
    "reuse-holes-through": (
        "Reuse the old holes",
        (
            "({holes}). Measure first: the row must lie at {vertical}, the nearest holes at "
            "{horizontal}. If they lie elsewhere, hang nothing on them and ask the office."
        ),
    ),
    "reuse-through-by-template": (
        "Reuse the old holes",
        (
            "({holes}) if they lie where the maker's template puts them. If not, hang nothing on "
            "them and ask the office."
        ),
    ),
    "old-holes-through": (
        "Through-bolts:",
        (
            "drill the old holes through the whole leaf, square to it, from both faces to meet; "
            "besides these only those of {foot} are drilled. Sleeves and diameters as the maker's "
            "sheet shows; try first that the bolts suit the leaf's thickness."
        ),
    ),
    "plate-line": (
        "Lay the plate so that the pinion is on its line",
        "({pinion}). How high it lies on {host}: by the plate's template in the box.",
    ),
    "plate-on-holes": (
        "Plate:",
        (
            "fix it on the old holes. Make no holes for the body; screw the body to the plate "
            "with the screws that belong to it."
        ),
    ),
    "drill-foot": (
        "Drill",
        "only for {foot}; the body goes on the old holes.",
    ),
    "cover-holes": (
        "The plate covers the old holes",
        "({holes}). Fill them first, as the listing allows for {host}.",
    ),
    "new-holes": (
        "New holes:",
        (
            "the old ones ({holes}) do not fit. Fill them as the listing allows for {host}; "
            "where a new hole would run into an old one, stop and ask the office."
        ),
    ),
    "plate-by-template": (
        "Plate:",
        (
            "drill {host} by the plate's template and fix the plate. Make no holes for "
            "the body; screw the body to the plate with the screws that belong to it."
        ),
    ),
    "plate-as-shown": (
        "Plate:",
        (
            "drill {host} for the plate as shown and fix the plate. Make no holes for the "
            "body; screw the body to the plate with the screws that belong to it."
        ),
    ),
    "foot-plate": (
        "Plate under {foot}:",
        "drill by the plate's template; {foot} is screwed to the plate.",
    ),
    "through-bolts": (
        "Through-bolts:",
        (
            "their holes go through the whole leaf, square to it: drill from both faces to meet, "
            "and old holes that end inside it likewise. Sleeves and diameters as the maker's "
            "sheet shows; try first that the bolts suit the leaf's thickness."
        ),
    ),
    "drill": (
        "Drill",
        "for {drilled}, each hole as said beside its screws.",
    ),
    "drill-by-template": (
        "Drill",
        "for {drilled} by the maker's template.",
    ),
    "fix": (
        "Fix the body and {foot}.",
        "Support the leaf while you do.",
    ),
    "fix-foot": (
        "Fix {foot}.",
        "Support the leaf while you do.",
    ),
    "arms": (
        "Arms:",
        (
            "fit them with the length and preload that the maker's sheet shows. A loaded arm "
            "springs back: hold it firmly, and keep fingers clear."
        ),
    ),
    "spring": (
        "Spring:",
        "set it to size {size} as the maker's sheet shows.",
    ),
    "spring-within": (
        "Spring:",
        (
            "set it to size {size} as the maker's sheet shows, and no further than the gauge "
            "allows: {limit}."
        ),
    ),
    "door-stop": (
        "Door stop:",
        "fit one that holds the leaf at {stop_at}; the closer must not be what stops it.",
    ),
    "stop-in-wind": (
        "Door stop:",
        (
            "the leaf swings out in wind. See that a floor or wall stop or a stop arm holds it; "
            "the closer must not be what stops it. It is not in this kit."
        ),
    ),
    "stop-apart": (
        "Door stop:",
        "a closer is no stop; see that one apart holds the leaf before {opens_to}.",
    ),
    "valves": (
        "Valves:",
        (
            "the maker's sheet shows which is which; turn none before you know it. Turn a "
            "little at a time; never take a valve out."
        ),
    ),
    "sweep": (
        "Sweep valve:",
        "{sweep}",
    ),
    "delayed": (
        "Delayed action valve:",
        "{delayed} Set it after the sweep; the leaf must still close and latch by itself.",
    ),
    "latch": (
        "Latch valve:",
        "{latch} The leaf must latch without a slam.",
    ),
    "latch-untimed": (
        "Latch valve:",
        "{latch} The leaf must latch slowly, without a slam; the standards used here set no time.",
    ),
    "closing-time": (
        "Closing time:",
        "{time}",
    ),
    "closing-time-elsewhere": (
        "Closing time:",
        "{time} A figure of the United States; the local code governs.",
    ),
    "backcheck": (
        "Backcheck valve:",
        (
            "it cushions the opening; where it begins, see the maker's sheet. Clockwise "
            "firmer, counterclockwise softer."
        ),
    ),
    "pair-order": (
        "Closing order of the pair:",
        (
            "the leaf whose edge or astragal overlaps closes last, and both must latch. Set "
            "the other leaf's closer so that it is shut first."
        ),
    ),
    "coordinator": (
        "Coordinator:",
        (
            "where an astragal overlaps, fit one that holds the overlapping leaf open until "
            "the other is shut. It is not in this kit."
        ),
    ),
    "hold-open-arm": (
        "Hold-open arm:",
        "set where it holds at its joint, as the maker's sheet shows; a pull must free it.",
    ),
    "close-up": (
        "Last:",
        "tighten the screws of pinion and arms again, then put on cap and cover, if there are any.",
    ),
    "release-test": (
        "Release test:",
        (
            "open the leaf until the device holds it; set off the detector, and another time "
            "cut the power. Each time the leaf must let go at once, close and latch by "
            "itself. The device is not in this kit."
        ),
    ),
}
