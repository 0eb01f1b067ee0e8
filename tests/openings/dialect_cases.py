"""A cell for each row of the dialect that is told by patterns, and what it gives."""

# Row id: (column, cell, unit of the heading, clean cells), the cells empty where it is asked.
PATTERNS: dict[str, list[tuple[str, str, str | None, dict[str, str]]]] = {
    "size-two-readings": [("size", "30x70", None, {}), ("size", "26 x 68", None, {})],
    "size-pair": [
        ("size", "PR 3-0 7-0", None, {"size": "3'-0\" x 7'-0\"", "leaves": "2"}),
        ("size", "3070 pair", None, {"size": "3070", "leaves": "2"}),
    ],
    "size-two-leaves": [("size", "(2) 3070", None, {"size": "3070", "leaves": "2"})],
    "size-single": [("size", "SGL 3070", None, {"size": "3070", "leaves": "1"})],
    "size-each": [("size", "4 ea 3070", None, {"size": "3070", "quantity": "4"})],
    "size-points-whole-feet": [
        ("size", "3.0x7.0", None, {"size": "3'-0\" x 7'-0\""}),
        ("size", "3.0 x 8.0 x 1.75", None, {"size": "3'-0\" x 8'-0\"", "thickness": "1.75"}),
    ],
    "size-points-feet": [("size", "2.8x6.8", None, {}), ("size", "3.0 x 6.8", None, {})],
    "size-points-metres": [("size", "0.9x2.1", None, {"size": "0.9 m x 2.1 m"})],
    "location-interior-with-more": [
        ("location", "INT - Corridor", None, {"location": "interior"}),
        ("location", "Interior wall", None, {"location": "interior"}),
        ("location", "INT/INT", None, {"location": "interior"}),
    ],
    "location-exterior-with-more": [
        ("location", "EXT. (lobby)", None, {"location": "exterior"}),
        ("location", "Exterior Door", None, {"location": "exterior"}),
        ("location", "EXT MAIN ENTRY", None, {"location": "exterior"}),
    ],
    "size-three-one-unit": [
        (
            "size",
            "914 x 2134 x 44 mm",
            None,
            {"size": "914 mm x 2134 mm", "thickness": "44 mm"},
        )
    ],
    "size-three": [
        (
            "size",
            '3\'-0" x 7\'-0" x 1-3/4"',
            None,
            {"size": "3'-0\" x 7'-0\"", "thickness": '1-3/4"'},
        ),
        ("size", "36 x 84 x 1-3/4", None, {"size": "36 x 84", "thickness": "1-3/4"}),
    ],
    "size-four-digits-thickness": [
        ("size", "3070 x 1-3/4", None, {"size": "3070", "thickness": "1-3/4"})
    ],
    "size-two-one-unit": [
        ("size", "0,915 x 2,134 m", None, {"size": "0.915 m x 2.134 m"}),
        ("size", "91,5 x 213,4 cm", None, {"size": "91.5 cm x 213.4 cm"}),
    ],
    "size-two": [
        ("size", "915 x 2134", None, {"size": "915 mm x 2134 mm"}),
        ("size", "30x70", "in", {"size": "30 in x 70 in"}),
        ("size", "915x2134", "mm", {"size": "915 mm x 2134 mm"}),
        ("size", "90x210", None, {"size": "90 x 210 cm"}),
    ],
    "size-letters": [("size", '36"W x 84"H', None, {"size": '36" x 84"'})],
    "size-two-spaced": [("size", "3-0 7-0", None, {"size": "3'-0\" x 7'-0\""})],
    "width-pair": [
        ("width", "PR 3'-0\"", None, {"width": "3'-0\"", "leaves": "2"}),
        ("width", "(2) 3-0", None, {"width": "3'-0\"", "leaves": "2"}),
        ("width", "2 x 900 mm", None, {"width": "900 mm", "leaves": "2"}),
    ],
    "length-under-unit": [
        ("width", "915", "mm", {"width": "915 mm"}),
        ("height", "213.4", "cm", {"height": "213.4 cm"}),
    ],
    "holes-under-unit": [
        ("existing_holes", "210 x 83", "mm", {"existing_holes": "210 x 83 mm"}),
        ("existing_holes", "8-1/4 x 3-1/4", "in", {"existing_holes": "8-1/4 x 3-1/4 in"}),
    ],
    "holes-comma": [
        ("existing_holes", "209,5 x 82,5 mm", None, {"existing_holes": "209.5 x 82.5 mm"}),
    ],
    "length-comma-thousands-under-unit": [("height", "2,134", "mm", {"height": "2134 mm"})],
    "length-spaced-thousands": [("width", "1 830 mm", None, {"width": "1830 mm"})],
    "length-comma-thousands": [("height", "2,134 mm", None, {"height": "2134 mm"})],
    "length-comma-under-unit": [("width", "91,5", "cm", {"width": "91.5 cm"})],
    "length-comma": [("width", "0,915 m", None, {"width": "0.915 m"})],
    "width-point-inches-or-metres": [("width", "2.10", None, {})],
    "length-point-whole-feet": [("height", "7.0", None, {"height": "7'-0\""})],
    "width-point-whole-feet": [("width", "3.0", None, {"width": "3'-0\""})],
    "width-point-feet": [("width", "2.8", None, {}), ("width", "3.10", None, {})],
    "height-point-whole-feet": [("height", "10.0", None, {"height": "10'-0\""})],
    "height-point-feet": [("height", "6.8", None, {})],
    "height-point-metres": [("height", "2.1", None, {"height": "2.1 m"})],
    "length-metres": [("height", "2,134", None, {"height": "2.134 m"})],
    "length-comma-two-readings": [("width", "91,5", None, {})],
    "length-feet-inches": [
        ("height", "7-0", None, {"height": "7'-0\""}),
        ("width", "2/8", None, {"width": "2'-8\""}),
    ],
    "width-28": [("width", "28", None, {})],
    "width-millimetres": [("width", "915", None, {"width": "915 mm"})],
    "height-millimetres": [("height", "2134", None, {"height": "2134 mm"})],
    "height-centimetres": [("height", "210", None, {"height": "210 cm"})],
    "thickness-millimetres": [("thickness", "44", None, {"thickness": "44 mm"})],
    "thickness-named": [("thickness", "1-3/4 THK", None, {"thickness": "1-3/4"})],
    "length-inches-words": [("width", "36 po", None, {"width": "36 in"})],
    "length-feet-words": [("height", "7 pi 0 po", None, {"height": "7'-0\""})],
    "label-minutes": [
        ("fire_minutes", "20M", None, {"fire_minutes": "20 min"}),
        ("fire_minutes", "45 MIN. RATED", None, {"fire_minutes": "45 min"}),
    ],
    "label-hours": [("fire_minutes", "1-1/2 HR RATED", None, {"fire_minutes": "1-1/2 h"})],
    "label-hours-fraction": [
        ("fire_minutes", "3/4", None, {"fire_minutes": "3/4 h"}),
        ("fire_minutes", "1-1/2", None, {"fire_minutes": "1-1/2 h"}),
    ],
    "label-hours-comma": [("fire_minutes", "1,5 h", None, {"fire_minutes": "1.5 h"})],
    "label-letter-a": [("fire_minutes", "A (3 HR)", None, {"fire_minutes": "180"})],
    "label-letter-b-time": [("fire_minutes", "B (1-1/2 HR)", None, {"fire_minutes": "1-1/2 hr"})],
    "label-time-letter-b": [
        ("fire_minutes", "60 min B", None, {"fire_minutes": "60 min"}),
        ("fire_minutes", "1-1/2 HR (B)", None, {"fire_minutes": "1-1/2 hr"}),
    ],
    "label-time-letter": [
        ("fire_minutes", "45 min C", None, {"fire_minutes": "45"}),
        ("fire_minutes", "3 HR A", None, {"fire_minutes": "180"}),
        ("fire_minutes", "90 min A", None, {"fire_minutes": "90 or 180"}),
        ("fire_minutes", "20 C label", None, {"fire_minutes": "20 or 45"}),
    ],
    "label-letter-c": [
        ("fire_minutes", "C (3/4 HR)", None, {"fire_minutes": "45"}),
        ("fire_minutes", "C-45", None, {"fire_minutes": "45"}),
    ],
    "label-letter-d": [("fire_minutes", "D 90 min", None, {"fire_minutes": "90"})],
    "label-letter-e": [("fire_minutes", "E (45 MIN)", None, {"fire_minutes": "45"})],
    "label-letter-against-time": [
        ("fire_minutes", "A (1 HR)", None, {"fire_minutes": "180 or 60"})
    ],
    "label-uk": [
        ("fire_minutes", "FD30", None, {"fire_minutes": "30"}),
        ("fire_minutes", "FD60S", None, {"fire_minutes": "60"}),
    ],
    "label-smoke": [
        ("fire_minutes", "20/S", None, {"fire_minutes": "20"}),
        ("fire_minutes", "90 min S", None, {"fire_minutes": "90"}),
    ],
    "label-en": [("fire_minutes", "EI2 60-C5", None, {"fire_minutes": "60"})],
    "label-fr": [("fire_minutes", "CF 1/2 h", None, {"fire_minutes": "1/2 h"})],
    "label-es": [("fire_minutes", "RF-60", None, {"fire_minutes": "60"})],
    "label-named": [("fire_minutes", "UL 90", None, {"fire_minutes": "90"})],
    "label-hours-under-unit": [("fire_minutes", "1", "h", {"fire_minutes": "1 h"})],
    "quantity-counted": [("quantity", "2 EA", None, {"quantity": "2"})],
    "quantity-pairs": [("quantity", "3 PR", None, {"quantity": "3", "leaves": "2"})],
    "weight-under-unit": [("weight", "45", "kg", {"weight": "45 kg"})],
    "weight-pounds": [("weight", "100#", None, {"weight": "100 lb"})],
    "degrees": [("opening_degrees", "110 grados", None, {"opening_degrees": "110"})],
    "spring-size-named": [("spring_size", "SZ 4", None, {"spring_size": "4"})],
    "spring-size-range": [("spring_size", "ADJ 1-6", None, {"spring_size": ""})],
    "grade-named": [("grade", "GR 1", None, {"grade": "1"})],
    "door-and-frame": [("door", "WD/HM", None, {"door": "wood", "frame": "hm"})],
    "finish-us-number": [("finish", "28", None, {"finish": "US28"})],
    "finish-both-codes": [("finish", "626 (US26D)", None, {"finish": "626"})],
    "core-mineral-fr-es": [("core", "minéral", None, {"core": "mineral"})],
    "label-hours-fr-es": [
        ("fire_minutes", "1 heure", None, {"fire_minutes": "1 h"}),
        ("fire_minutes", "3 horas", None, {"fire_minutes": "3 h"}),
    ],
    "label-minutes-es": [("fire_minutes", "90 minutos", None, {"fire_minutes": "90 min"})],
    "label-hour-and-half-fr": [("fire_minutes", "1 h 30", None, {"fire_minutes": "90"})],
    "weight-pounds-fr-es": [("weight", "120 livres", None, {"weight": "120 lb"})],
    "weight-kilos": [("weight", "55 kilos", None, {"weight": "55 kg"})],
}
