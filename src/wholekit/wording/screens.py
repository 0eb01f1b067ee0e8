"""What a page could not do, in sentences."""

ERRORS: dict[str, str] = {
    "answer-wanted": "Choose an answer, or write one.",
    "catalog-file-too-large": "That file is too large to take here; up to {most} MB can be sent. "
    "Use wholekit catalog sheet or wholekit catalog load for a larger one.",
    "catalog-file-wanted": "Choose a file first.",
    "asked-paper-unknown": "No paper number {number} is kept. Papers are kept for 30 days; ask "
    "for it anew at its job or quote.",
    "lines-too-many": "{given} openings are too many for one entry; up to {most} are taken at "
    "once. Send a longer list as a file.",
    "marks-needed": "Mark the openings that are meant.",
    "no-bag-open": "No bag is open. Scan a bag's label first.",
    "paper-unknown": "{given} is no paper; there are {known}.",
    "papers-wanted": "Choose which papers are to be made.",
    "lying-wanted": "Say how many packs of {sku} lie there: a number, 0 for none.",
    "pick-deed-unknown": "{given} is nothing that is done at a bag.",
    "rise-wrong": "A rise is between 0% and 200%, such as 6%; {given} is not.",
    "role-wanted": "Choose a role: {known}.",
    "sheet-too-large": "That sheet is too large to take here; up to {most} MB can be sent. Use "
    "wholekit job add for a larger one.",
    "sheet-wanted": "Choose a sheet first: CSV or XLSX.",
}
