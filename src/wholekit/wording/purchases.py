"""Purchase orders and deliveries in sentences: what cannot be done, and what would be right."""

ERRORS: dict[str, str] = {
    "address-of-one": "An address is of one supplier; name that one alone with --supplier.",
    "address-too-long": "An address has {most} lines at most.",
    "counts-not-pressed": "Nothing was taken in: press the button that takes in what was counted, "
    "or scan an item.",
    "counts-unreadable": "{given} says no packs of an item; write SKU=12.",
    "delivery-differs": "Delivery note {note} of {order} was entered by {who} on {day} with other "
    "packs: {packs}. Enter what came besides under a note of its own.",
    "delivery-empty": "Nothing was counted of {order}; name what came, such as SKU=12, or scan it "
    "with --scan.",
    "delivery-entered": "Delivery note {note} of {order} was entered by {who} on {day} as a list; "
    "scan what came besides under a note of its own.",
    "delivery-item-wrong": "{given} was not ordered with {order}; it asks for {ordered}.",
    "delivery-over": "{given} of {sku} are more than {order} still asks for: {open} (ordered "
    "{ordered}, received {received}). Count again; if they are to stay, enter it with --over.",
    "delivery-taken": "Delivery note {note} of {order} was entered meanwhile.",
    "nothing-of-supplier": "Nothing is to be bought of {name}; the buy list has {known}.",
    "nothing-to-buy": "Nothing is to be bought for {branch}: nothing is short, and nothing is at "
    "or below its reorder point.",
    "purchase-cancelled": "{order} was cancelled. What came all the same goes back to the "
    "supplier, or onto a shelf with wholekit stock receive.",
    "purchase-not-draft": "{order} is {state}, no draft.",
    "purchase-not-sent": "{order} was not sent to the supplier yet; an owner says so with wholekit "
    "buy send {order}.",
    "purchase-over": "{order} is {state}: nothing is open of it.",
    "purchase-received": "Something of {order} has come, so that it cannot be cancelled; end "
    "it with wholekit receive {order} --close-short.",
    "purchase-too-large": "What is to be bought of {supplier} comes to more than an order can "
    "hold; look at the reorder points and costs of its price book.",
    "purchase-unknown": "There is no purchase order {order}; wholekit buy orders lists them.",
}
# How far an order to a supplier has come, by the code of its state.
STATES: dict[str, str] = {
    "draft": "not with the supplier yet",
    "sent": "with the supplier",
    "part": "partly here",
    "closed": "nothing more is expected",
    "cancelled": "called off",
}
