"""Sentences for the faults of schedules, kit files, shorthand, quantities and the rule book."""

SENTENCES: dict[str, str] = {
    # Files
    "file-not-there": "there is no such file",
    "file-not-readable": "the file cannot be read ({error}); right would be a plain file, or - for "
    "standard input",
    "file-over-limit": "the file is larger than {most} bytes, the most that is taken; split it",
    "file-empty": "the table is empty; right would be a header with at least: {right}",
    "workbook-old": (
        "this is an old (.xls) or an encrypted workbook; save it as .xlsx without a password, or "
        "as CSV UTF-8"
    ),
    "workbook-unreadable": (
        "this is no workbook that can be read ({error}); save it again as .xlsx or as CSV UTF-8"
    ),
    "text-utf-16": "the file is UTF-16 text; save it as CSV UTF-8",
    "text-nul": "the file holds a NUL byte, which no text has; save it as CSV UTF-8 or .xlsx",
    "text-not-utf-8": "byte {byte} (hexadecimal) is not UTF-8 text; save the file as CSV UTF-8",
    "text-not-csv": (
        "this is not CSV ({error}); a cell with a separator or a quotation mark in it stands in "
        'quotation marks, and marks inside it are doubled ("")'
    ),
    "rows-over-limit": "more than {most} rows, the most that is taken; split the file",
    "sheet-too-wide": (
        "sheet {sheet} has a cell beyond the {most}th column, the last that is taken; clear what "
        "stands beside the table"
    ),
    "two-sheets": (
        "more than one sheet holds such a table ({sheets}), and one would go unread; right would "
        "be one sheet in the file, or the others hidden"
    ),
    "sheets-several": (
        "more than one sheet holds a schedule ({sheets}); name the one that is meant: --sheet NAME"
    ),
    "sheet-unknown": "there is no sheet {given}; there are {right}",
    "tables-asked": (
        "more than one table stands here, with headers in rows {right}, and the others would go "
        "unread; say which holds the openings: --table ROW, or --table all"
    ),
    "word-needs-value": "{given} wants a value beside it; right would be {right}",
    "sheet-row-unknown": "row {given} holds no opening; right would be one of the rows {right}",
    "sheet-table-unknown": "row {given} heads no table; right would be {right}",
    "text-utf-16-broken": "the file begins as UTF-16 text and is none; save it as CSV UTF-8",
    "table-not-found": (
        "no row looks like the header of a schedule; nearest comes: {text}. Right would be "
        "headings for the mark and the size, or --column 'HEADING=mark' --column 'HEADING=size'"
    ),
    "column-asked": (
        "no column is known to be the {given}; perhaps {right}: say --column 'HEADING={given}'"
    ),
    "columns-asked": (
        "more than one column seems to be the {given} ({right}); set all but one aside: --column "
        "'HEADING=aside'"
    ),
    "value-asked": ("“{given}” may be {right}; write it so, or say --value '{means}:{given}=…'"),
    "choice-of-column": (
        "{given!r} chooses no column; right would be HEADING=column, or HEADING=aside"
    ),
    "choice-of-value": "{given!r} chooses no value; right would be column:CELL=clean",
    "choice-column-unknown": "there is no column {given}; right would be: {right}",
    "choices-over-limit": "more than {most} choices, the most that is kept",
    "map-wrong": (
        'the map holds something else than sheet = "…", [columns] and [values.COLUMN] with texts'
    ),
    "map-key-unknown": "there is no key {key} in a map; right would be: sheet, columns, values",
    "too-many-problems": "stopped after {count} problems; mend these and try again",
    # Header and cells
    "size-column-needed": "no leaf size; right would be a column size, or width and height",
    "table-without-rows-below": "no rows below the header; right would be at least one",
    "cells-merged": (
        "the cells {cells} are merged, so only the first has the value; unmerge them and write it "
        "into each"
    ),
    "cell-too-long": "the cell is longer than {most} characters; shorten it",
    "cell-control": "{given!r} holds a character that cannot be printed; write plain text",
    "cell-error": "the cell shows the error {given}; write the value instead",
    "cell-date": (
        "the spreadsheet has made a date of the cell ({given}); format it as text and write again "
        "what is meant"
    ),
    "cell-formula": (
        "{given!r} is a formula; write its value instead (in a spreadsheet: copy, then paste the "
        "values)"
    ),
    "unknown-not-empty": "{given!r} is no value; leave empty what is not known",
    "letter-for-digit": "{given!r} has a letter where a digit belongs; right may be {right}",
    # Values
    "mark-needed-in-row": "no mark; right would be the opening's number on the drawings, as 101",
    "mark-repeated": "mark {mark} stands in row {first} already; each opening has its own",
    "mark-twice": "mark {mark} is given already; each opening has its own",
    "size-needed": "no size; right would be 3070, 3'-0\" x 7'-0\", 36x84 or 914x2134 mm",
    "side-needed": "no {side}; right would be width and height both, such as 36 in or 914 mm",
    "size-twice": "{given} here, but {size} in column size; they must agree, or give one",
    "size-unreadable": (
        "{given!r} is not a leaf size; right would be 3070 (3 ft 0 in by 7 ft 0 in), "
        "3'-0\" x 7'-0\", 36x84 or 914x2134 mm"
    ),
    "size-of-spring": (
        "{given} is no size of a leaf, which is written as 3070; the spring size of a closer is "
        "another column: spring_size={given}"
    ),
    "size-run-together": (
        "{given} can be read in more than one way; write feet and inches apart, such as "
        "3'-0\" x 10'-10\""
    ),
    "size-two-readings": (
        "{given} may be feet and inches or inches; write {feet}, or write {inches}"
    ),
    "size-not-sensible": (
        "{given!r} reads as a {what} of {read}; right would be from {least} to {most} (a number "
        "without a unit is inches)"
    ),
    "pattern-unreadable": (
        "{given!r} is not a spacing of holes; right would be length x height, such as "
        "8-1/4 x 3-1/4 in or 210 x 83 mm"
    ),
    "weight-out-of-range": "{given} cannot be one leaf; right would be from 5 to 1000 kg",
    "physical-out-of-range": "{given} is more than can be; right would be up to {most} {unit}",
    "angle-out-of-range": "{given} is not an opening angle; right would be 1 to 180 degrees",
    "whole-number": "{given!r} is not a whole number from {least} to {most}",
    "fire-label": (
        "{given!r} is not a fire label; right would be minutes ({right}), also written 90 min, "
        "1-1/2 h, or none"
    ),
    # A kit made by hand
    "sku-needed": "no SKU; right would be the item's SKU as in the price book",
    "quantity-needed": "no quantity; right would be how many of the item, as 1",
    "kit-mark-unknown": "the schedule has no opening {mark}{near}",
    "kit-sku-unknown": "no catalogue has an item {sku}{near}",
    "sku-in-two-catalogs": "{sku} is also sold by {other}; a SKU must be the only one",
    # Shorthand
    "shorthand-empty": (
        "nothing said; right would be such as '101 3070 hollow-metal/steel interior'"
    ),
    "shorthand-too-long": "longer than {most} characters; use a schedule file",
    "shorthand-size-needed": (
        "no leaf size among the words; right would be 3070, 36x84 or 914x2134 mm"
    ),
    "word-not-understood": (
        "{given} is not understood{near}; say it in terms of the trade, or as column=value; a mark "
        "comes first, or as mark:{given}"
    ),
    "number-alone": (
        "{given} alone may be anything{near}; say what it is: {given} min, {given} deg, "
        "{given} lb, x{given}, size {given}, or mark:{given}"
    ),
    "mark-or-finish": (
        "{given} may be the mark or the finish; write mark:{given}, or finish={given}"
    ),
    "mark-or-quantity": (
        "{given} may be the mark or how many; write mark:{given}, or quantity={count} and the mark"
    ),
    "value-needed": "{given}= has no value; write one behind it, or leave the word out",
    "said-twice": "{given} contradicts {first}; say one of them",
    # Quantities
    "length-unreadable": (
        "{given} is not a length; right would be 8-1/4 in, 3'-0\", 914 mm or 0.914 m"
    ),
    "length-not-positive": "{given} is not a length greater than zero",
    "length-without-unit": "{given} lacks its unit; right would be {given} in or {given} mm",
    "length-not-exact": "{given} is not a whole number of nanometres; write fewer decimals",
    "length-inches-over-eleven": (
        "{given} has 12 inches or more beside its feet; right would be feet and 0 to 11-63/64 in"
    ),
    "mass-unreadable": "{given} is not a weight; right would be such as 100 lb or 45 kg",
    "mass-without-unit": "{given} lacks its unit; right would be {given} lb or {given} kg",
    "mass-not-positive": "{given} is not a weight greater than zero",
    "pressure-unreadable": "{given} is not a pressure; right would be such as 50 Pa or 0.2 inwg",
    "pressure-without-unit": "{given} lacks its unit; right would be {given} Pa or {given} inwg",
    "pressure-unknown-unit": "{unit} is no unit of pressure known here; right: {expected}",
    "pressure-negative": "{given} is below zero; write the difference without its sign",
    "speed-unreadable": "{given} is not a wind speed; right would be such as 20 mph or 9 m/s",
    "speed-without-unit": "{given} lacks its unit; right would be {given} mph or {given} m/s",
    "speed-unknown-unit": "{unit} is no unit of speed known here; right: {expected}",
    "speed-negative": "{given} is below zero; a speed has no sign",
    "force-unreadable": "{given} is not a force; right would be such as 8 lbf or 35 N",
    "force-without-unit": "{given} lacks its unit; right would be {given} lbf or {given} N",
    "force-unknown-unit": "{unit} is no unit of force known here; right: {expected}",
    "force-negative": "{given} is below zero; a force here has no sign",
    "angle-unreadable": "{given} is not an angle; right would be degrees, such as 110",
    "angle-without-unit": "{given} lacks its unit; right would be {given} deg",
    "angle-unknown-unit": "{unit} is no unit of angle known here; right: {expected}",
    "angle-negative": "{given} is below zero; right would be over 0 up to 180 degrees",
    "money-negative": "{given} is below zero; an amount here has no sign",
    "money-unreadable": "{given} is not an amount; right would be plain digits, such as 412.50",
    "money-over-limit": "{given} is more than any amount here; right would be {most} at most",
    "money-too-many-decimals": "{given} has more than {digits} decimals; {currency} has no more",
    "currency-mixed": "{given}: amounts of two currencies cannot be added",
    "multiplier-unreadable": (
        "{given} is not a multiplier; right would be from 0.001 to 10, such as 0.55 or 55%"
    ),
    "floor-unreadable": "{given} is not a margin floor; right would be such as 30% or 0.3",
    "share-unreadable": "{given} is not a share; right would be such as 5% or 0.05",
    # Rule book
    "file-unreadable": "the file cannot be read: {error}",
    "toml-unreadable": "this is not TOML: {error}",
    "dialect-clean": "{given} is clean for column {column} as it stands; no row is needed",
    "dialect-column": "{given} is no column; right would be: {right}",
    "dialect-empty": "the row lacks {lacking}",
    "dialect-harshest": "{given} is a field of unclear values or has a harshest candidate, but not "
    "both; right would be an entry for each of fire_minutes, accessible and egress",
    "dialect-pattern": "{given} is no regular expression: {error}",
    "dialect-template": "{given} takes what no pattern of the row has, or a column that is none; "
    "right would be the name of a group, and behind | a column",
    "dialect-twice": "row {given} stands twice; once is right",
    "dialect-unclean": "{given} is not what column {column} takes; right would be a clean cell",
    "dialect-word-twice": "{given} stands for {column} already, in row {first}; once is right",
    "holiday-not-table": "a holiday is a table [[holiday]] with day and name",
    "holiday-key-missing": "the key {key} is missing; a holiday has day and name",
    "holiday-key-unknown": "there is no key {key} in a holiday; it has day and name",
    "holiday-day-wrong": "{given} is no day; right would be year-month-day without quotes, such as "
    "2026-12-25",
    "holiday-name-wrong": "the name must be one line of text in quotes, {most} characters at most",
    "holiday-twice": "{day} is a holiday already, {name}; once is right",
    "rule-twice": "rule {rule} stands twice; once is right",
    "rule-replaces-nothing": "there is no rule {rule} that a house value could replace",
    "rule-value-other-kind": "{value} is not of the kind of the published value, {published}",
    "rule-is-a-statement": "{rule} states what the program does; it has no value to set anew",
    "rule-value-unfit": "{given} cannot be used here; right would be: {right}",
    "rule-key-missing": "the key {key} is missing; every rule has it",
    "rule-key-unknown": "there is no key {key} in a rule",
    "rule-key-wrong-kind": "{key} is not of the right kind",
    "rule-mark-unknown": (
        "mark {mark} is not known; right would be seen, memory, practice, computed or house"
    ),
}
