"""Jobs, quotes and customers: sentences for what may not be done, and words for what was."""

ERRORS: dict[str, str] = {
    "alternate-code-needed": "An alternate needs a code, such as alt-1.",
    "alternate-deducts-twice": "Alternate {name} takes a mark out twice; name each once.",
    "alternate-not-empty": "Alternate {name} still has openings or lines; remove them first.",
    "alternate-not-quoted": "{label} quotes no alternate {name}; it quotes {known}.",
    "alternate-unknown": "{job} has no alternate {name}; it has {known}.",
    "alternates-exclude": "Alternates {first} and {second} both take {mark} out of the base bid; "
    "only one of them can be accepted.",
    "alternates-none": "{label} quotes no alternates, so {name} is none of it.",
    "alternates-unwanted": "Alternates are taken with an accepted quote, not with one {to}.",
    "amount-wrong": "{given} is not an amount; write it as 412.50, without the currency's sign.",
    "catalog-revision-unknown": "The store has no revision {revision} of catalogue {catalog}.",
    "code-wrong": "{given} cannot be a code: small letters, digits, points and hyphens, at most "
    "{most}.",
    "compare-currencies": "The revisions are in {first} and {second}; only one currency can be "
    "compared.",
    "compare-jobs": "{first} is of {first_job}, {second} of {second_job}; only revisions of one "
    "job can be compared.",
    "customer-name-needed": "The customer needs a name.",
    "customer-taken": "There is a customer {name} already; choose another code, or change that "
    "one with: wholekit customer set {name}.",
    "customer-unknown": "There is no customer {name}; add one with: wholekit customer add {name}.",
    "dates-reversed": "The last day, {last}, is before the first, {first}.",
    "discount-out-of-range": "{given} is no discount; right would be from 0% to under 100%.",
    "draft-none": "{job} has no draft; make one with: wholekit quote draft {job}.",
    "draft-only": "{label} was issued; only a draft can be taken away.",
    "draft-there": "{job} has a draft already; change, issue or discard it.",
    "freight-unknown": "Ship-to {name} has no freight rate {freight}; it has {known}.",
    "freight-currency": "Ship-to {name} charges freight in {currency}, the job is in "
    "{job_currency}.",
    "job-currency": "{job} is in {currency}, but the catalogue of {supplier} is in {other}.",
    "job-field-unknown": "A job has no field {field} to be set; there are {known}.",
    "job-mark-unknown": "{job} has no opening {mark} there; it has {known}.",
    "job-name-needed": "The job needs a name.",
    "job-unknown": "There is no job {job}; see: wholekit job list.",
    "job-without-catalogs": "{job} has no catalogue to make kits from: load one in its currency, "
    "then run: wholekit job reprice {job} --supplier ID.",
    "limit-needed": "Say which limit of {role} to set: --most-discount or --least-margin.",
    "limit-of-needed": "Say whose limit this is with --limit-of: one of {known}.",
    "limit-of-owner": "An owner has no limits; --limit-of takes one of {known}.",
    "line-cost-without-price": "A line with a cost needs a price; a line of text has neither.",
    "line-description-needed": "The line needs a description.",
    "line-price-negative": "A line of {given} would be a discount past the limits; give one with: "
    "wholekit job discount {job} SHARE --reason TEXT.",
    "line-unknown": "{job} has no extra line {line}; it has {count}.",
    "lost-reason-unknown": "Say why it was declined, one of {known}, not {given}.",
    "lost-reason-unwanted": "A reason for losing belongs to declined, not to {to}.",
    "margin-out-of-range": "No price earns a margin of {given}; right would be under 100%.",
    "mark-deducted": "Alternate {name} takes {mark} out; let it go of the mark first.",
    "mark-taken": "There is an opening {mark} already; each has a mark of its own. Nothing was "
    "added.",
    "mark-without-supplier": "--mark says on which openings another supplier's kits are tried; "
    "give --supplier with it.",
    "name-needed": "Say who does this with --by: {what} goes by name.",
    "net-under-lines": "A net of {given} {currency} leaves nothing for hardware: the extra lines "
    "alone come to {lines} {currency}.",
    "one-change-needed": "Say what is to be set: {right}.",
    "one-of-needed": "Give exactly one of {right}.",
    "override-currency": "The amount is in {currency}, the job in {job_currency}.",
    "override-item-needed": "Say which item: --item SKU=OTHER, --add-item SKU or --leave-out SKU.",
    "override-size-small": "The rules ask for size {required} on opening {mark}; {size} is smaller "
    "and no size setting. Put the body in with --item SKU=OTHER; it is checked then.",
    "override-unknown": "Opening {mark} has no such {kind} set by hand.",
    "owner-first": "The first person to be entered must be an owner: --role owner.",
    "owner-last": "{who} is the only owner and stays one; enter another owner first.",
    "owner-needed": "Only an owner may {what}; {who} is none.",
    "owner-unknown": "The house has entered no owner who could approve: wholekit house person "
    "NAME --role owner.",
    "person-taken": "{name} was entered by somebody else just now; look again.",
    "person-unknown": "The house knows nobody named {who} who could {what}; it knows {known}. "
    "Say who does this with --by, or have an owner enter them: wholekit house person {who} "
    "--role ROLE.",
    "quantity-out-of-range": "{given} is no quantity here; right would be from 1 to {most}.",
    "quote-empty": "{job} has neither openings nor lines to quote.",
    "quote-none-issued": "{job} has no issued revision to compare with.",
    "quote-reference-wrong": "{given} names no quote; write Q-00012 or Q-00012/3.",
    "quote-unchanged": "Nothing has changed since {label}; nothing was written.",
    "quote-unknown": "There is no issued quote {quote}; see: wholekit quote list.",
    "reason-needed": "Give a reason with --reason: {what} stays visible.",
    "revision-not-movable": "{label} is {state}; it cannot become {to}.",
    "revision-still-valid": "{label} holds until {until}; it cannot expire before.",
    "revision-taken": "Somebody else has just made revision {number}; look again.",
    "ship-to-taken": "There is a ship-to {name} already.",
    "ship-to-unknown": "There is no ship-to {name}; see: wholekit customer ship-tos.",
    "salesperson-unknown": "No job is {name}'s, and the house knows nobody of that name; see: "
    "wholekit house people.",
    "snapshot-frozen": "{label} was issued; what was sent cannot be changed. Make a new revision.",
    "split-too-many": "Opening {mark} stands for {quantity}; at least one must stay and one go.",
    "stop-unknown": "Opening {mark} has no open stop {name}; its stops: {known}.",
    "tax-name-twice": "Ship-to {name} has a tax twice from the same day; name each once.",
    "tax-rate-out-of-range": "A tax rate is from 0% to under 100%.",
    "tax-wrong": "{given} is no tax; right would be NAME=RATE or NAME=RATE:KINDS, such as "
    "state=6.25%:hardware,freight.",
    "text-not-plain": "The {what} holds a character that cannot be printed in a line; write plain "
    "text.",
    "text-too-long": "The {what} is longer than {most} characters; shorten it.",
    "tier-unknown": "There is no price tier {place}; the customer has {count}.",
    "valid-days-out-of-range": "{given} is not a number of days from 1 to {most}.",
    "version-stale": "Somebody else has changed the {what} {id} since you looked: you saw version "
    "{expected}, it is now {found}. Nothing was changed; look again.",
}
PROBLEMS: dict[str, str] = {
    "change-unreadable": "{given!r} is no change; right would be column=value, such as finish=690",
    "override-item-unknown": "the catalogues of the job have no item {sku}; take the override back",
    "share-unreadable": "{given} is not a share; right would be such as 5% or 0.05",
    "override-not-in-kit": "the kit has no {sku} that a hand could set; take the override back",
}
ACTIONS: dict[str, str] = {
    "alternate-removed": "alternate removed",
    "alternate-set": "alternate set",
    "customer-added": "customer added",
    "customer-edited": "customer changed",
    "discount-set": "discount set",
    "draft-approved": "draft approved",
    "draft-discarded": "draft discarded",
    "draft-edited": "draft changed",
    "draft-made": "draft made",
    "job-created": "job created",
    "job-edited": "job changed",
    "job-repriced": "job moved to other catalogue revisions",
    "line-added": "extra line added",
    "line-edited": "extra line changed",
    "line-removed": "extra line removed",
    "opening-copied": "opening copied",
    "opening-edited": "opening changed",
    "opening-overridden": "opening set by hand",
    "opening-removed": "opening removed",
    "opening-split": "opening split",
    "opening-split-off": "opening split off",
    "openings-added": "openings added",
    "override-cleared": "hand setting taken back",
    "person-set": "person entered",
    "policy-set": "settings changed",
    "quote-accepted": "quote accepted",
    "quote-declined": "quote declined",
    "quote-expired": "quote expired",
    "quote-issued": "quote issued",
    "quote-superseded": "quote superseded",
    "ship-to-set": "ship-to set",
    "stop-released": "stop released",
}
LIMITS: dict[str, str] = {
    "discount-over-limit": "The discount is {found}; {role} may give {allowed} at most.",
    "margin-under-limit": "The margin is {found}; {role} may go down to {allowed}.",
}
LOST: dict[str, str] = {
    "price": "price",
    "lead-time": "lead time",
    "product": "another product wanted",
    "job-dropped": "the job was dropped",
    "other-supplier": "another supplier by habit or contract",
    "no-answer": "no answer",
    "other": "other",
}
