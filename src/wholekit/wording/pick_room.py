"""Orders, bags and shipments in sentences: what cannot be done, and what would be right."""

ERRORS: dict[str, str] = {
    "bag-loose-gone": "{packs} of {sku} came loose out of bag {bag} into bin '{bin}', and {there} "
    "are free there now; put so many back there first, so that its packs are whole again.",
    "bag-in-wave": "Bag {bag} is in wave {wave}, of {picker}; go on with that: wholekit pick "
    "--wave {wave}.",
    "bag-not-packed": "Bag {bag} is {state}; only one that is open or closed can be unpacked.",
    "bag-not-pickable": "Bag {bag} is {state}; only one that is ready, or was begun, can be "
    "picked.",
    "bag-state": "Bag {bag} is {state}, and cannot become {to} now.",
    "bag-there": "There is a bag {bag} already.",
    "bag-unknown": "There is no bag {bag} in the pick room; its order was not released.",
    "options-exclusive": "{first} and {second} do not go together; leave one of them out.",
    "options-together": "{first} and {second} go together; give both, or neither.",
    "order-released": "{label} was released already.",
    "order-unknown": "{quote} is not in the pick room; release it first: wholekit release {quote}.",
    "priority-out-of-range": "A priority is a whole number from {least} to {most}, not {given}; 0 "
    "is usual.",
    "labels-malformed": "{given} names no bags; labels are of a bag, or of an order in a wave.",
    "labels-nothing": "{given} has no bag that a label could be made for.",
    "promise-not-enough": "What is free and what is taken do not make {taking} whole; short are "
    "{short}.",
    "promise-not-takeable": "A promise goes from a bag that is ready to one that lacks goods; "
    "{giving} is {giving_state}, {taking} is {taking_state}.",
    "release-marks-unknown": "{quote} has no opening that may go out as {marks}; held, with a stop "
    "or a missing piece: {held}.",
    "release-not-accepted": "{quote} is {state}; only what the customer accepted goes to the pick "
    "room. Write the acceptance down first: wholekit quote accept {quote}.",
    "release-nothing": "No opening of {quote} may go out; {held} are held for a stop or a missing "
    "piece.",
    "release-superseded": "{by} is in the pick room; {quote} is older than that.",
    "ship-not-closed": "Bag {bag} is {state}; only a closed bag is shipped.",
    "ship-not-of-order": "{order} has no bag {bags}.",
    "shipment-has-left": "{shipment} has left as it is: its packing slip is made again whole. Name "
    "no bags, carrier or way; --out says where it goes.",
    "shipment-unknown": "No shipment is called {shipment}; wholekit ship QUOTE --list tells those "
    "of a quote.",
    "ship-taker-needed": "Say who took them: what a customer calls for leaves no carrier's paper.",
    "ship-nothing-closed": "{order} has no closed bag to ship.",
    "wave-nothing-ready": "No bag is ready to be picked that is in no wave. In waves under way are "
    "{elsewhere}; put aside, waiting for goods, {left}.",
    "wave-size": "A wave is of 1 to {most} bags, not {given}.",
    "wave-unknown": "There is no wave {wave}.",
}
