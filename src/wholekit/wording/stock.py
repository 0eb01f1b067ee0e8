"""Stock in sentences: what cannot be moved, and what would be right."""

ERRORS: dict[str, str] = {
    "bag-short": "Bag {bag} holds {there} of {sku} ({supplier}), not {wanted}; take out no more "
    "than it holds.",
    "bin-needed": "{sku} lies in several bins at {branch}: {known}; name one with --bin.",
    "bin-short": "There are {there} of {sku} ({supplier}) in bin '{bin}' of {branch}, not "
    "{wanted}; take no more than that, or name the bin that they are in.",
    "branch-code-needed": "A branch needs a code, such as north.",
    "branch-taken": "There is a branch {name} already.",
    "branch-unknown": "There is no branch {name}; there are {known}. An owner enters one with "
    "wholekit stock branch CODE NAME.",
    "move-nowhere": "{sku} would stay where it is; name another place with --to-bin or "
    "--to-branch.",
    "movement-differs": "A movement with the key {key} was written down before, and it was "
    "another; a new movement needs a key of its own.",
    "packs-out-of-range": "{given} is no number of packs to move; it must be from 1 to {most}.",
    "packs-unreadable": "{given} is no number of packs; write one such as 3 or -2.",
    "promise-short": "Bag {bag} is promised {there} of {sku} ({supplier}), not {wanted}; promise "
    "it more first, or take no more than that.",
    "stock-item-unknown": "No stock is kept of {sku}. It begins with the price book that sells it: "
    "wholekit catalog load; wholekit stock list --text finds an item by a part of its name.",
    "stock-short": "{there} of {sku} ({supplier}) are free at {branch}, not {wanted}; what is "
    "promised to bags must be let go first.",
    "stock-supplier-needed": "{sku} is sold by several: {known}; name one with --supplier.",
    "stock-supplier-unknown": "{sku} is not of {supplier}; it is of {known}.",
}
