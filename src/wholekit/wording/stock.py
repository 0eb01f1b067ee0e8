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
    "count-differs": "Bin '{bin}' of {branch} was entered from sheet {sheet} before, and counted "
    "otherwise; count it again on a new sheet: wholekit count sheet.",
    "count-empty": "Nothing is counted in it; say SKU=COUNT, or --rest-zero for an empty bin.",
    "count-mixed": "One count is of one sheet and one branch, and these are several: {given}.",
    "count-items-left": "The books have more in bin '{bin}' of {branch}: {skus}; say how many each "
    "is, 0 too, or --rest-zero where there is none of what is not named.",
    "count-overtaken": "{sku} in bin '{bin}': {counted} were counted, and {taken} more than came "
    "were taken out since the sheet was made; count it again on a new sheet.",
    "count-sheet-unknown": "{sheet} is no sheet of this store; its code stands on the sheet.",
    "count-twice": "{sku} is counted twice in bin '{bin}'; add both up.",
    "count-twice-told": "Say what was counted either in a file or as SKU=COUNT with --bin.",
    "count-where": "Say one of --bin and --zone, or neither for the whole branch.",
    "move-nowhere": "{sku} would stay where it is; name another place with --to-bin or "
    "--to-branch.",
    "movement-differs": "A movement with the key {key} was written down before, and it was "
    "another; a new movement needs a key of its own.",
    "packs-out-of-range": "{given} is no number of packs to move; it must be from 1 to {most}.",
    "packs-unreadable": "{given} is no number of packs; write one such as 3 or -2.",
    "promise-short": "Bag {bag} is promised {there} of {sku} ({supplier}), not {wanted}; promise "
    "it more first, or take no more than that.",
    "return-of-what": "Say what it comes from: one of --bag (its label tells) and --order; what "
    "nobody knows the bag or order of, an owner takes back with --without-bag.",
    "return-too-many": "{given} of {sku} cannot come back from {source}: {left} of those shipped "
    "in it are not back yet.",
    "return-where": "Say one of --to-bin, --scrap and --to-supplier: where it goes.",
    "stock-item-unknown": "No stock is kept of {sku}. It begins with the price book that sells it: "
    "wholekit catalog load; wholekit stock list --text finds an item by a part of its name.",
    "stock-short": "{there} of {sku} ({supplier}) are free at {branch}, not {wanted}; what is "
    "promised to bags must be let go first.",
    "stock-supplier-needed": "{sku} is sold by several: {known}; name one with --supplier.",
    "stock-supplier-unknown": "{sku} is not of {supplier}; it is of {known}.",
}
