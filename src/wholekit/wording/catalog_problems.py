"""Sentences for the faults of a catalogue: what is wrong, and what would be right."""

SENTENCES: dict[str, str] = {
    # The folder and its files
    "catalog-folder-missing": (
        "there is no catalogue folder {folder}; right would be a folder that holds catalog.toml, "
        "series/*.toml and prices.csv"
    ),
    "file-missing": "this file of the catalogue is missing; every catalogue has one",
    "series-missing": (
        "the catalogue has no series; right would be at least one TOML file in its folder series"
    ),
    "file-not-read": "the file cannot be read ({error}); right would be a plain, readable file",
    "file-too-large": "the file is larger than {most} bytes, the most that is taken; split it",
    "not-utf-8": (
        "byte {byte} (hexadecimal) is not UTF-8 text; save the file as UTF-8 "
        "(in a spreadsheet: CSV UTF-8)"
    ),
    "utf-16": (
        "the file is UTF-16 text; save it as UTF-8 (in a spreadsheet: CSV UTF-8, not Unicode text)"
    ),
    "nul-byte": (
        "the file holds a NUL byte, which no text has; right would be plain UTF-8 text, not a "
        "workbook or another binary file by the name of a CSV"
    ),
    "not-toml": "this is not TOML: {error}",
    "not-csv": (
        "this is not CSV: {error}; a cell with a comma or a quotation mark in it stands in "
        'quotation marks, and marks inside it are doubled ("")'
    ),
    "not-commas": (
        "the header is one single cell; right would be columns parted by commas, not by "
        "semicolons, tabs or bars"
    ),
    # A folder that came as an archive
    "zip-unreadable": (
        "this is no ZIP archive that can be read ({error}); right would be a catalogue folder, "
        "packed without a password"
    ),
    "zip-of-many": "the archive holds {count} files; a catalogue has {most} at most",
    "zip-too-large": "{given} is larger than {most} bytes unpacked, the most that is taken",
    "zip-strange-file": (
        "the archive holds {given}, which is no file of a catalogue; right would be catalog.toml, "
        "prices.csv and series/*.toml, at its top or in one folder"
    ),
    "zip-file-twice": "{given} stands twice in the archive; once is right",
    "zip-of-two": "the archive holds files in {given}; right would be one catalogue folder",
    "zip-without-catalog": "the archive has no catalog.toml; every catalogue has one",
    # A supplier's own price sheet
    "price-column-unknown": "{given} is no column of ours; right would be one of {right}",
    "price-column-twice": (
        "{ours} is told to be in this column and in {other}; right would be one of them"
    ),
    "price-sheet-unknown": "the workbook has no sheet {given}; it has {right}",
    "price-sheet-without-sku": (
        "no column is told to be the SKU, by which items are known; right would be one of {right}"
    ),
    "price-sheet-of-skus": (
        "nothing is taken from the sheet beside the SKU; right would be to tell what else it has, "
        "such as {right}"
    ),
    "price-sheet-strange": (
        "no row is of an item that catalogue {id} has; the sheet has SKUs such as {given}; right "
        "would be this supplier's sheet, and its SKUs as they are in the catalogue"
    ),
    # Keys of a TOML file
    "key-unknown": "there is no key {given} here; right would be: {right}",
    "key-missing": "the key {key} is missing; it must be given",
    "text-wanted": "{key} is {given}; right would be text in quotation marks",
    "yes-or-no-wanted": "{key} is {given}; right would be true or false, without quotation marks",
    "whole-number-wanted": "{key} is {given}; right would be a whole number, as 4",
    "number-wanted": "{key} is {given}; right would be a number, as 110 or 22.5",
    "date-wanted": "{key} is {given}; right would be a date without quotation marks, as 2026-09-01",
    "length-wanted": (
        '{key} is {given}; right would be text with its unit, as "8-1/4 in" or "209.55 mm"'
    ),
    "list-of-text-wanted": '{key} is {given}; right would be a list of texts, as ["regular"]',
    "list-of-tables-wanted": "{key} is {given}; right would be tables, each headed [[{key}]]",
    "list-of-wrong-length": "the list has {given} entries; right would be {wanted}",
    "list-repeats": "{given} stands twice in the list; once is right",
    "text-unreadable": (
        "right would be one line of printable text, at least one character and at most {most}"
    ),
    "word-unknown": "{given} is not known here; right would be: {right}",
    "id-unreadable": (
        "{given} cannot be an id; right would be at most 60 small letters, digits, points and "
        "hyphens, beginning with a letter or digit"
    ),
    "series-id-not-file-name": (
        "the series' id is {given}, but its file is named for {right}; both must be the same"
    ),
    "size-or-range": (
        "a body has either a fixed size (size = 3) or an adjustable range "
        "(size_from = 1, size_to = 6): give the one or the other"
    ),
    "currency-unknown": "{given} is not a currency known here; right would be: {right}",
    # Engineering data
    "id-twice": "the {kind} {id} is there already, in {first}; every id must be the only one",
    "size-unknown": "spring size {given} does not exist; right would be 1 to 7",
    "sizes-backwards": (
        "the range runs from {from} down to {to}; right would be the smaller size in size_from"
    ),
    "grade-unknown": "grade {given} does not exist; right would be 1, 2 or 3",
    "count-over-limit": "{given} is more than any part has; right would be {most} at most",
    "corrosion-unknown": "corrosion class {given} does not exist; EN 1670 has 0 to 5",
    "durability-unknown": (
        "durability {given} cannot be; right would be one digit of the classification, 1 to 9"
    ),
    "efficiency-impossible": (
        "an efficiency of {given} per cent cannot be; right is above 0 and up to 100"
    ),
    "efficiency-without-source": (
        "body {id} states an efficiency and not where it comes from; right would be "
        "efficiency_source, as the maker's test report"
    ),
    "source-of-nothing": (
        "body {id} has an efficiency_source and no efficiency; give both, or neither"
    ),
    "count-negative": "{given} is less than nothing; right would be zero or more",
    "holes-missing": "{id} has no fixing holes, so no screw could hold it; right is one or more",
    "fits-nothing": (
        "{id} is said to fit {given}, which is no family, body or piece of this "
        "catalogue; right would be: {right}"
    ),
    "kind-missing": "{id} is a {role}, which needs its kind; right would be: {right}",
    "kind-not-wanted": "{id} is a {role}; only the four fastener roles have a kind: leave it out",
    "leaf-range-missing": (
        "the through-bolt {id} lacks {key}; right would be leaf_from and leaf_to, the thinnest and "
        "the thickest leaf it clamps"
    ),
    "range-backwards": "the range runs from {from} down to {to}; right is the smaller first",
    "arm-length-missing": "{id} is an arm and needs its length, from pivot to pivot",
    "plate-relieves-missing": (
        'plate {id} does not say what it makes up for; right would be relieves = "rail", '
        '"head" or "holes"'
    ),
    "plate-holes-unsaid": (
        "plate {id} is for old holes and does not say which; right would be covers, the widest and "
        "highest pattern it hides, or a hole_pattern by which it is fixed"
    ),
    "plate-covers-unused": (
        'plate {id} makes up for {given} and says what it covers; right would be relieves = "holes"'
        ", or no covers"
    ),
    "plate-needs-missing": (
        'plate {id} does not say what height it needs itself; right would be, say, needs = "2 in"'
    ),
    "plate-kinds-missing": (
        "plate {id} does not say by which screws body or foot is fixed to it; right would be "
        "takes_kinds, of: {right}"
    ),
    "plate-kind-unfit": "plate {id} cannot take {given}; what holds in a plate: {right}",
    "plate-drilling-part": (
        "plate {id} gives its own drilling in part; right would be {right} too, or none of it"
    ),
    "plate-holes-outside": (
        "plate {id} has its rows of holes {near} and {far} from the edge, not within the {needed} "
        "it needs; right would be a holes_down and holes_row that keep both in it"
    ),
    "plate-never-fixed": (
        "plate {id} could never be fixed ({mounts}): the catalogue has no plate-fastener that fits "
        "it; right would be a piece of that role for it and those mounts"
    ),
    "plate-carries-nothing": (
        "nothing could be fixed to plate {id} ({mounts}): it takes {kinds}, and the catalogue has "
        "no {role} of that kind for what it carries"
    ),
    "spacer-stop-missing": (
        'spacer {id} does not say which stop it levels; right would be for_stop = "blade" '
        'or "rabbet"'
    ),
    "stands-for-missing": (
        "hold-open arm {id} does not say which arms it takes over; right would be "
        'stands_for = ["forearm"], or both arms'
    ),
    # Templates and joints
    "angle-impossible": "an opening angle of {given}° cannot be; right is above 0 and up to 180",
    "holes-off-the-edge": (
        "template {id} puts the rows of holes of {body} {near} and {far} from the edge that "
        "holes_down counts from: one is not on the {part} at all; right would be the other "
        "holes_row, or a holes_down that keeps both on it"
    ),
    "holes-past-rail": (
        "template {id} puts the farther row of holes of {body} {far} down and needs a rail of "
        "{needed} only; right would be a rail_needed that holds both rows"
    ),
    "holes-past-head": (
        "template {id} puts the farther row of holes of {body} {far} up and needs a head of "
        "{needed} only; right would be a head_needed that holds both rows"
    ),
    "template-without-family": (
        "template {id} is for no family of bodies; right would be at least one"
    ),
    "template-family-unknown": (
        "template {id} is for the family {given}, but no body is of it; right would be: {right}"
    ),
    "template-mount-unused": (
        "template {id} places the family {given} for the {mount} mount, which no body of the "
        "family has among its mounts; add it there or drop the family here"
    ),
    "template-piece-missing": (
        "template {id} has nothing in {key}; right would be the id of at least one piece"
    ),
    "template-piece-unknown": (
        "template {id} names {given}, which is no piece of this catalogue; right would be: {right}"
    ),
    "template-piece-wrong-role": (
        "template {id} names {given}, a {role}; for the {mount} mount a {wanted} belongs here; "
        "right would be: {right}"
    ),
    "body-without-mount": "body {id} has no mount; right would be at least one",
    "body-without-template": (
        "body {id} claims the {mount} mount, but no template places its family {family} there; "
        "add one or drop the mount"
    ),
    "joint-never-filled": (
        "body {id} could never be fitted ({mounts}): the catalogue has no {role} that fits it; "
        "right would be a piece of that role for the family {family} and those mounts"
    ),
    "piece-unsold": (
        "nobody sells the piece {piece}: no current item of the price book supplies it; list one "
        "or drop the piece"
    ),
    # The price book as a table
    "table-empty": "the file is empty; right would be a header with at least: {right}",
    "table-without-rows": "there is a header but no item; right would be one row for each item",
    "too-many-rows": (
        "the price book has more than {most} rows, the most that is taken; nothing of it was "
        "read: split the catalogue"
    ),
    "column-unknown": "there is no column {given}; right would be: {right}",
    "column-unnamed": "column {number} has no name; name it, or take the column out",
    "column-twice": "the column {given} is there twice; once is right",
    "column-missing": "the column {given} is missing; it must be there",
    "row-ragged": (
        "the row has {given} cells where the header has {wanted}; right is as many "
        "(a cell with a comma in it needs quotation marks)"
    ),
    # Its cells
    "sku-unreadable": (
        "{given!r} cannot be a SKU; right would be at most 40 letters, digits and . _ / + -, "
        "without spaces"
    ),
    "sku-twice": "the SKU {sku} is in row {first} already; every SKU must be the only one",
    "count-unreadable": "{given!r} is not a whole number; right would be digits only, as 12",
    "count-out-of-range": "{given} is out of range; right would be from {least} to {most}",
    "status-unknown": "{given} is no status; right would be: {right}",
    "replacement-unstated": (
        "{sku} is discontinued and does not say what replaces it; right would be the SKU of its "
        "replacement, or the word none"
    ),
    "replacement-unknown": (
        "{given}, given as the replacement, is no SKU of this price book; right would be: {right}"
    ),
    "replacement-of-current": (
        "{sku} is current and yet replaced by {given}; right would be status discontinued, or no "
        "replacement"
    ),
    "replacement-loop": (
        "the replacements go round in a loop: {loop}; the last one must be current and have none"
    ),
    "supplies-empty": "the item supplies nothing; right would be, say: 4 screw-id; 1 arm-id",
    "supplies-unreadable": (
        "{given!r} cannot be read; right would be a number (1 unless given) and the id of a "
        "piece, several parted by semicolons: 4 screw-id; 1 arm-id"
    ),
    "supplies-twice": "the piece {given} is listed twice; right is once, with its whole number",
    "substitutes-unreadable": (
        "{given} cannot be a SKU; right would be SKUs of this price book parted by spaces: A-1 B-2"
    ),
    "substitutes-many": "{count} substitutes; right would be at most {most}",
    "substitute-twice": "the substitute {given} is listed twice; once is right",
    "substitute-unknown": (
        "{given}, given as a substitute of {sku}, is no SKU of this price book; right would be: "
        "{right}"
    ),
    "substitute-of-itself": "{sku} is its own substitute; right would be other SKUs, or none",
    "substitute-discontinued": (
        "{given}, given as a substitute of {sku}, is discontinued; right would be a current item"
    ),
    "substitute-other-finish": (
        "{given}, given as a substitute of {sku}, has the finish {finish}; right would be an item "
        "in {right}"
    ),
    "substitute-lacks": (
        "{given}, given as a substitute of {sku}, does not hold its {piece}; right would be an "
        "item that supplies at least the same pieces"
    ),
    "breakable-unreadable": "{given} is neither yes nor no; right would be yes, no or nothing",
    "price-breaks-unreadable": (
        "{given} cannot be read; right would be, in packs and cost of one, parted by semicolons: "
        "10: 4.20; 50: 3.90"
    ),
    "price-breaks-many": "{count} price breaks; right would be at most {most}",
    "price-breaks-order": (
        "the price break {given} does not begin above {last}; right would be rising numbers of "
        "packs, the first of them 2 or more"
    ),
    "price-break-not-cheaper": (
        "{sku}: from {packs} packs on one costs {cost}, not less than {before} before; right would "
        "be a cost below it"
    ),
    "piece-unknown": ("{sku} supplies {piece}, which no series has; right would be: {right}"),
    "finish-unknown": "{given} is no finish of the rule book; right would be: {right}",
    "finish-missing": (
        "{sku} has no finish, but supplies {piece}, which shows; right would be the code of its "
        "finish"
    ),
    "finish-not-made": (
        "{piece} is sold in {given}, but series {series} is not made in it; right would be: {right}"
    ),
    "cost-above-list": (
        "{sku} costs {cost}, more than its list price of {list}; right is a list price at or "
        "above cost"
    ),
    "barcode-not-a-gtin": (
        "{given!r} is not a GTIN; right would be 8, 12, 13 or 14 digits without spaces (a "
        "spreadsheet may have eaten leading zeros)"
    ),
    "barcode-wrong-digit": (
        "the check digit of {given} is {digit}; for the digits before it, {right} would be right"
    ),
    "barcode-twice": (
        "the barcode {given} belongs to {sku} in row {first} already; each item has its own"
    ),
}
