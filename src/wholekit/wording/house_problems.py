"""Sentences for the faults of a house folder: what is wrong, and what would be right."""

SENTENCES: dict[str, str] = {
    "table-wanted": "{key} is {given}; right would be a table, headed [{key}]",
    "house-folder-missing": "there is no such house folder; right would be a folder that holds "
    "{style}",
    "house-email-wrong": "{given} is no e-mail address; right would be one such as "
    "counter@example.com",
    "house-language-unknown": "there are no words in {given}; right would be: {known}",
    "house-text-unfit": "right would be printable text without line breaks, at least one character "
    "and at most {most}",
    "house-lines-too-many": "there are {given} entries; at most {most} are taken",
    "house-colour-wrong": '{given} is no colour; right would be "#" and six hexadecimal digits, '
    'as "#7A2E1F"',
    "house-colour-light": "{given} is too light to read in black and white (contrast {ratio} to 1 "
    "on white, at least {least}); printed as {taken}",
    "house-logo-elsewhere": "{given} is no file name; right would be that of a file in the house "
    "folder itself, and nothing is ever fetched",
    "house-template-unknown": "no paper has a template of that name; right would be: {right}",
    "house-template-wrong": "this is no template: {error}",
    "house-template-xml": "the page would not be well-formed: {error}; right would be XML, each "
    "element closed in the branch it is opened in",
    "house-template-block": "the first element lacks {wanted}, by which pages are put together",
    "house-css-wrong": "this is no style sheet: {error}",
    "house-css-fetches": "{given} would fetch something; a paper reads no outside file",
    "logo-missing": "there is no such file; right would be a PNG or SVG in the house folder",
    "logo-too-large": "the logo is larger than {most} bytes, the most that is taken; save it "
    "smaller, some 1,400 pixels wide at most",
    "logo-too-many-pixels": "the logo has {given} pixels; at most {most} a side are taken",
    "logo-too-long": "one side of the logo is more than {most} times the other; cut it nearer to "
    "a square",
    "logo-damaged": "the PNG cannot be read ({error}); save it again",
    "logo-not-picture": "the logo is neither a PNG nor an SVG that can be read ({error})",
    "logo-without-size": "the SVG states no size; right would be a viewBox, or width and height",
    "logo-doctype": "the SVG has a DOCTYPE, which may bring entities; save it without",
    "logo-element": "{given} is no part of a logo; right would be shapes and colours alone",
    "logo-text": "{given} would look different on each machine; turn text into outlines (paths)",
    "logo-script": "{given} would run a script; save the logo without it",
    "logo-fetches": "{given} would fetch something; all of a logo must stand in its file",
    "logo-use-nested": "a use draws what holds a use itself; save the logo with plain shapes",
    "logo-too-rich": "the logo has more than {most} shapes; save it simpler",
    "walk-zone-wrong": "{given} is no zone; right would be letters or numbers a bin begins with, "
    "as A or A-3",
    "walk-zone-twice": "{given} is the same stretch as {first}; once is right",
}
