"""Stock in sentences: what cannot be moved, and what would be right."""

ERRORS: dict[str, str] = {
    "bag-short": "Bag {bag} holds {there} of {sku} ({supplier}), not {wanted}; take out no more "
    "than it holds.",
    "bin-short": "There are {there} of {sku} ({supplier}) in {branch} bin {bin}, not {wanted}; "
    "take no more than that, or name the bin that they are in.",
    "branch-taken": "There is a branch {name} already.",
    "movement-differs": "A movement with the key {key} was written down before, and it was "
    "another; a new movement needs a key of its own.",
    "promise-short": "Bag {bag} is promised {there} of {sku} ({supplier}), not {wanted}; promise "
    "it more first, or take no more than that.",
    "stock-short": "{there} of {sku} ({supplier}) are free at {branch}, not {wanted}; what is "
    "promised to bags must be let go first.",
}
