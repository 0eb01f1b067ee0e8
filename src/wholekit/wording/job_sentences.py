"""Jobs, quotes and customers: sentences for what may not be done, and words for what was."""

from wholekit.domain.quotes.roles import Action

ERRORS: dict[str, str] = {
    "alternate-code-needed": "An alternate needs a code, such as alt-1.",
    "alternate-deducts-twice": "Alternate {name} takes a mark out twice; name each once.",
    "alternate-not-empty": "Alternate {name} still has openings or lines; take them out first, "
    "with: wholekit job remove {job} MARK --alternate {name}, or wholekit job remove-line {job} "
    "LINE.",
    "alternate-not-quoted": "{label} quotes no alternate {name}; it quotes {known}.",
    "alternate-stopped": "Opening {mark} of alternate {name} is stopped or not whole; without it "
    "the alternate would only take marks out. Settle it, or take the alternate out of the job.",
    "alternate-title-needed": "Alternate {name} needs a title that says what it offers: --title "
    "TEXT.",
    "alternate-unknown": "{job} has no alternate {name}; it has {known}. Add one with: wholekit "
    "job alternate {job} {name} --title TEXT.",
    "alternates-exclude": "Alternates {first} and {second} both take {mark} out of the base bid; "
    "only one of them can be accepted.",
    "alternates-none": "{label} quotes no alternates, so {name} is none of it.",
    "accepted-on-wrong-day": "{label} was issued on {issued}, and today is {today}; it cannot have "
    "been accepted on {given}.",
    "alternates-unwanted": "Alternates, an order number and a day of acceptance are of an accepted "
    "quote, not of one {to}.",
    "amount-wrong": "{given} is not an amount; write it as 412.50, without the currency's sign.",
    "bag-id-malformed": "{given} is no bag's label; a label is like Q12R2P7B3B, and no opening's "
    "mark. Scan the square code of the bag's label, or type what stands under it.",
    "bag-id-misread": "{given} was read or typed wrongly: its last character does not fit the "
    "others. Scan the label again.",
    "catalog-item-unknown": "Catalogue {id} has no item {sku}; look for it with: wholekit catalog "
    "items {id}.",
    "catalog-load-of-nothing": "Loading {id} would change nothing; nothing was loaded.",
    "catalog-other-than-shown": "What was looked over is not what would be loaded now: catalogue "
    "{id}, the file or what was told of it has changed in between. Nothing was loaded; look it "
    "over again.",
    "price-sheet-none": "Nothing is kept of the price sheets of {id}; there is nothing to take "
    "back.",
    "price-sheet-over-limit": "More than {most} headings for one supplier's price sheets, the most "
    "that is kept; take them back with: wholekit catalog sheet {id} --clear.",
    "price-sheet-ahead": "A sheet that is loaded holds from then on; its date names its edition "
    "alone, and {day} is to come. Load it on that day, or note a rise, which waits for its day.",
    "price-sheet-taken": "Somebody else kept choices for {name}'s price sheets just now; look "
    "again.",
    "rise-gone": "The rise that was planned for {id} is no longer there: somebody has loaded it or "
    "taken it out. Nothing was loaded.",
    "rise-not-yet": "These prices hold from {day} on; they can be loaded on that day, not before. "
    "Note the rise, and it waits for its day.",
    "rise-noted-already": "That rise of {id} from {day} on is noted already.",
    "rise-series-unknown": "Catalogue {id} has no series {given}; it has {known}.",
    "rise-share-wrong": "A rise is up to 50% up or down and not 0%, such as 6% or 6.25%; "
    "{given} is not.",
    "rise-unknown": "There is no such planned rise; it may have been loaded or taken out.",
    "catalog-revision-unknown": "The store has no revision {revision} of catalogue {catalog}; "
    "see: wholekit catalog list {catalog}.",
    "choice-marks-needed": "Give marks and the word of a choice, such as 101 102 next-size; or one "
    "word with --all.",
    "choice-not-offered": "{given} is not offered for {marks}; why, tells: wholekit job choices "
    "{job} {first}. Nothing was written; with --where-offered the others are set.",
    "choice-one-place": "An opening of alternate {name} cannot be quoted as an alternate again; "
    "choose for the base bid, or without --good, --better, --best and --as-alternate.",
    "choice-price-agreed": "A price is agreed for the whole of opening {mark}, whatever its kit; "
    "take it back first with: wholekit job clear {job} {mark} KIND, the kind being price.",
    "choice-unknown": "{given} is no choice for opening {mark}; there are {known}.",
    "choice-word-needed": "Say which: the word of a choice, as wholekit job choices JOB MARK "
    "tells.",
    "code-wrong": "'{given}' cannot be a code; right would be small letters, digits, points and "
    "hyphens, 1 to {most} of them, such as saltmarsh.",
    "compare-currencies": "The revisions are in {first} and {second}; compare two of one currency.",
    "compare-jobs": "{first} is of {first_job}, {second} of {second_job}; compare two revisions "
    "of one job.",
    "customer-accepted": "{label} was accepted by {name}, so the job stays theirs; make another "
    "job for the other customer.",
    "customer-currency": "Customer {name} buys in {currency}, but {job} is in {job_currency}; "
    "make a new job for them instead.",
    "customer-name-needed": "The customer needs a name: wholekit customer add CODE NAME.",
    "customer-taken": "There is a customer {name} already; choose another code, or change that "
    "one with: wholekit customer set {name}.",
    "customer-unknown": "There is no customer {name}; wholekit customer list has them all, and "
    "wholekit customer add {name} NAME enters a new one.",
    "dates-reversed": "The last day, {last}, is before the first, {first}.",
    "discount-out-of-range": "{given} is no discount; right would be from 0% to under 100%.",
    "draft-none": "{job} has no draft; make one with: wholekit quote draft {job}.",
    "draft-only": "{label} was issued and stays; only a draft can be taken away.",
    "draft-there": "{job} has a draft already; issue it with: wholekit quote issue {job}, or "
    "take it away with: wholekit quote discard {job}.",
    "finish-unreadable": "{given} is no finish; right would be {right}.",
    "freight-currencies": "Freight rate {freight} is in {currency} but free from an amount in "
    "{other}; give both in one currency.",
    "freight-currency": "Ship-to {name} charges freight in {currency}, the job is in "
    "{job_currency}; give another place with --ship-to, or set this one anew with: wholekit "
    "customer ship-to {name} NAME --currency {job_currency} --freight AMOUNT.",
    "freight-name-needed": "Each freight rate of ship-to {name} needs a name.",
    "freight-name-twice": "Ship-to {name} has two freight rates of one name; give each its own, "
    "such as --freight 'parcel=12.50' --freight 'dock truck=45.00+3%'.",
    "freight-of-nothing": "A freight rate is an amount, a share of the hardware, or both: "
    "--freight 45.00 --freight-share 3%.",
    "freight-options-apart": "--freight-share and --freight-free-from go with one plain amount "
    "only, not with {given}; write it in one: --freight 'dock truck=45.00+3%, free from 2000'.",
    "freight-share-out-of-range": "Freight rate {freight}: a share of the hardware is from 0% to "
    "under 100%.",
    "freight-unknown": "Ship-to {name} has no freight rate {freight}; it has {known}. Choose one "
    "of them with --freight NAME, or its usual one with --freight ''.",
    "freight-without-place": "A freight rate is one of a ship-to's, and the job has none; give "
    "one with --ship-to CODE.",
    "freight-wrong": "{given} is no freight rate; right would be an amount, a share of the "
    "hardware or both, such as 'dock truck=45.00+3%' or 'dock truck=45.00, free from 2000'.",
    "holiday-name-needed": "The holiday of {day} needs a name: wholekit house holiday add "
    "{day} NAME.",
    "holiday-other": "The holiday of {day} is {name}, not {given}; nothing was taken out.",
    "holiday-there": "{day} is a holiday already, {name}; take it out first, with: wholekit house "
    "holiday remove {day}.",
    "holiday-unknown": "{day} is no holiday of the house; see: wholekit house holiday list.{near}",
    "job-currency": "{job} is in {currency}, but the catalogue of {supplier} is in {other}; "
    "price it on one in {currency} with: wholekit job reprice {job} --supplier ID.",
    "job-field-unknown": "A job has no field {field} to be set; there are {known}.",
    "answer-needed-in-line": "{given} answers no question; right would be wholekit job answer JOB "
    "COLUMN=VALUE MARK, such as egress=yes 101-117.",
    "answer-not-open": "No opening of {job} leaves {columns} open; what is stated is changed with: "
    "wholekit job edit {job} MARK column=value.",
    "answer-stated": "{mark} of {job} states {column}={stated} already, so {column}={given} is no "
    "answer; change it with: wholekit job edit {job} {mark} {column}={given}.",
    "job-mark-needed": "{job} has several openings or none; name one: J-12 101. It has {known}.",
    "job-mark-unknown": "{job} has no opening {mark} there; it has {known}.",
    "job-name-needed": "The job needs a name: wholekit job new NAME --customer CODE.",
    "job-unknown": "There is no job {job}; see: wholekit job list.",
    "job-without-catalogs": "{job} is priced on no catalogue, so its openings have no kits: load "
    "one in {currency} with wholekit catalog load DIR, then run: wholekit job reprice {job}.",
    "limit-needed": "Say which limit of {role} to set: --most-discount or --least-margin.",
    "limit-of-needed": "Say whose limit this is with --limit-of: one of {known}.",
    "limit-of-owner": "{role} has no limits to quote within; --limit-of takes one of {known}.",
    "line-cost-without-price": "A line with a cost needs a price; a line of text has neither.",
    "line-description-needed": "The line needs a description.",
    "line-over-limit": "{quantity} times that comes to more than any line may; give a smaller "
    "quantity or amount.",
    "line-price-negative": "A line of {given} would be a discount past the limits; give one with: "
    "wholekit job discount {job} SHARE --reason TEXT.",
    "line-unknown": "{job} has no extra line {line}; it has {count}, numbered from 1 as wholekit "
    "job show {job} tells.",
    "lost-reason-unknown": "{given} is no reason for losing; right would be one of {known}.",
    "lost-reason-unwanted": "A reason for losing belongs to declined, not to {to}.",
    "margin-out-of-range": "No price earns a margin of {given}; right would be under 100%.",
    "mark-deducted": "Alternate {name} takes {mark} out of the base bid; set the alternate "
    "without it first, with: wholekit job alternate {job} {name} --title TEXT.",
    "mark-taken": "There is an opening {mark} already; each has a mark of its own. Nothing was "
    "written.",
    "mark-without-supplier": "--mark says on which openings another supplier's kits are tried; "
    "give --supplier with it.",
    "name-needed": "Say who does this with --by: {deed} goes by name.",
    "net-under-lines": "A net of {given} {currency} leaves nothing for hardware: the extra lines "
    "alone come to {lines} {currency}.",
    "one-change-needed": "Say what is to be set: {right}.",
    "one-of-needed": "Give exactly one of {right}.",
    "override-currency": "The amount is in {currency}, the job in {job_currency}.",
    "override-item-needed": "Say which item: --item SKU=OTHER, --add-item SKU or --leave-out SKU.",
    "override-size-small": "The rules ask for size {required} on opening {mark}; {size} is smaller "
    "and no size setting. Put the body in with --item SKU=OTHER; it is checked then.",
    "override-unknown": "Opening {mark} has no {kind} set by hand; set by hand: {known}.",
    "owner-first": "The first person to be entered must be an owner: --role owner.",
    "owner-last": "{who} is the only owner and stays one; enter another owner first.",
    "owner-needed": "Only an owner may {what}; {who} is none. Let an owner do it, by name: --by "
    "NAME.",
    "owner-unknown": "The house has entered no owner who could approve: wholekit house person "
    "NAME --role owner.",
    "person-taken": "{name} was entered by somebody else just now; look again with: wholekit "
    "house people.",
    "person-unknown": "The house knows nobody named {who} who could {what}; it knows {known}. "
    "Say who does this with --by, or have an owner enter them: wholekit house person {who} "
    "--role ROLE.",
    "remedy-gone": "Opening {mark} was changed since, and this way out is none any more. Nothing "
    "was changed; look again.",
    "right-needed": "{who} may not {what}: {role} is none of {having}, who may. Ask one of them.",
    "name-asked": "Say who asks with --by NAME: not everybody may {what}.",
    "request-none": "Nobody waits for an owner's word on {label}; see what does with: wholekit "
    "quote waiting.",
    "prefer-not-priced": "A job prefers among the catalogues it is priced on, {known}; "
    "{supplier} is none of them.",
    "quantity-out-of-range": "{given} is no quantity here; right would be from 1 to {most}.",
    "quote-over-limit": "{job} comes to more than a quote may hold; see to the quantities and "
    "prices of its marks and lines.",
    "quote-empty": "{job} has neither openings nor lines to quote; add some with: wholekit job "
    "add {job}.",
    "quote-none-issued": "{job} has no issued revision to compare with; issue one with: wholekit "
    "quote issue {job}.",
    "quote-reference-wrong": "{given} names no quote; write Q-00012 or Q-00012/3.",
    "quote-unchanged": "Nothing has changed since {label}; nothing was written.",
    "quote-unknown": "There is no issued quote {quote}; wholekit job list tells the quote of "
    "each job.",
    "reason-needed": "Give a reason with --reason: {deed} stays visible.",
    "revision-not-movable": "{label} is {state}; it cannot become {to}.",
    "revision-still-valid": "{label} holds until {until}; it cannot expire before.",
    "revision-taken": "Somebody else has just made revision {number}; nothing was written, look "
    "again.",
    "salesperson-unknown": "No job is {name}'s, and the house knows nobody of that name; see: "
    "wholekit house people.",
    "sent-over-limit": "More than {most} names or files in one go, the most that is written down; "
    "say it in several.",
    "sent-to-needed": "Say to whom {quote} was sent with --to, an address or a name, once for "
    "each.",
    "sheet-choices-over-limit": "More than {most} choices for one customer's sheets, the most that "
    "is kept; take them back with --clear and choose anew.",
    "sheet-taken": "Somebody else kept choices for {name} just now; look again.",
    "ship-to-taken": "There is a ship-to {name} already; nothing was written, look again.",
    "ship-to-unknown": "There is no ship-to {name}; wholekit customer ship-tos has them all, and "
    "wholekit customer ship-to {name} NAME sets a new one.",
    "snapshot-frozen": "{label} was issued; what was sent cannot be changed. Make a new revision.",
    "split-too-many": "Opening {mark} stands for {quantity}; at least one must stay and one go.",
    "stop-none": "{name} of opening {mark} is no stop, so there is nothing to release.",
    "stop-needs-answer": "Stop {name} of opening {mark} cannot be released: ask, and state what "
    "was meant.",
    "stop-released-already": "Stop {name} of opening {mark} is released already, by {by}: "
    "{reason}.",
    "stop-unknown": "Opening {mark} has no stop {name}; open stops: {known}.",
    "supplier-currency": "Catalogue {supplier} is in {currency}, the job in {job_currency}; a "
    "job is priced on catalogues of its own currency.",
    "supplier-not-in-store": "The store has no catalogue {supplier}; it has {known}.",
    "tax-kind-unknown": "{given} is no kind of line that is taxed; there are {known}.",
    "tax-name-twice": "Ship-to {name} has a tax twice from the same day; name each once.",
    "tax-rate-out-of-range": "A tax rate is from 0% to under 100%.",
    "tax-wrong": "{given} is no tax; right would be NAME=RATE or NAME=RATE:KINDS, such as "
    "state=6.25%:hardware,freight.",
    "text-not-plain": "The {what} holds a character that cannot be printed in a line; write "
    "plain text.",
    "text-too-long": "The {what} is longer than {most} characters; shorten it.",
    "tier-kind-unknown": "{given} is no kind of item; there are {known}.",
    "tier-over": "The tier's last day, {last}, is past, so it would never count; give a later "
    "day with --to.",
    "tier-overruled": "The tier would never count: tier {place} of the same scope, from {first}, "
    "is later and goes before it. Begin it later with --from, or end that one with: wholekit "
    "customer end-tier {customer} {place} --to DATE.",
    "tier-series-unknown": "No catalogue among {among} has a series {given}; there are {known}.",
    "tier-supplier-unknown": "The store has no catalogue {given}; it has {known}.",
    "tier-unknown": "There is no price tier {place}; the customer has {count}, numbered from 1.",
    "valid-days-out-of-range": "{given} is not a number of days a quote may hold; right would be "
    "from 1 to {most}.",
    "version-of-one-mark": "--if-version is for one opening; {known} were named.",
    "version-stale": "Somebody else has changed the {what} {id} since you looked: you saw version "
    "{expected}, it is now {found}. Nothing was changed; look again.",
}
PROBLEMS: dict[str, str] = {
    "choice-supplier-gone": "the job's catalogues have nothing of {supplier}, whose goods were "
    "chosen; take that back with: wholekit job choose JOB {mark} as-quoted",
    "changed-twice": "{given} is changed twice, to unlike values; right would be one of them",
    "change-unreadable": "{given!r} is no change; right would be column=value, such as finish=690",
    "override-item-unknown": "the job's catalogues have no item {sku} to put in by hand; name "
    "one of theirs, or take the setting back with: wholekit job clear JOB {mark} KIND --sku SKU",
    "override-not-in-kit": "the kit has no {sku} that a hand could set; name an item of the kit, "
    "or take the setting back with: wholekit job clear JOB {mark} KIND --sku {sku}",
}
ACTIONS: dict[str, str] = {
    "price-sheet-cleared": "choices for price sheets taken back",
    "price-sheet-kept": "choices for price sheets kept",
    "rise-dropped": "planned rise taken out",
    "rise-noted": "rise noted",
    "alternate-removed": "alternate removed",
    "alternate-set": "alternate set",
    "approval-asked": "an owner's approval asked for",
    "catalog-loaded": "price book loaded",
    "customer-added": "customer added",
    "customer-edited": "customer changed",
    "discount-set": "discount set",
    "draft-approved": "draft approved",
    "draft-discarded": "draft discarded",
    "draft-edited": "draft changed",
    "draft-made": "draft made",
    "holiday-added": "holiday added",
    "holiday-removed": "holiday taken out",
    "job-created": "job created",
    "job-edited": "job changed",
    "job-repriced": "job moved to other catalogue revisions",
    "kit-chosen": "kit chosen",
    "line-added": "extra line added",
    "line-edited": "extra line changed",
    "line-removed": "extra line removed",
    "opening-copied": "opening copied",
    "opening-edited": "opening changed",
    "opening-answered": "question answered",
    "opening-overridden": "opening set by hand",
    "opening-removed": "opening removed",
    "opening-split": "opening split",
    "opening-split-off": "opening split off",
    "openings-added": "openings added",
    "override-cleared": "hand setting taken back",
    "person-set": "person entered",
    "account-given": "account given",
    "account-ended": "account ended",
    "account-reset": "password given anew",
    "password-changed": "password changed",
    "codes-on": "one-time codes asked for",
    "codes-off": "one-time codes no longer asked for",
    "token-given": "token given to a machine",
    "seats-ended": "signed out everywhere",
    "signed-in": "signed in",
    "signed-out": "signed out",
    "order-cancelled": "order taken back from the pick room",
    "order-released": "order sent to the pick room",
    "promise-taken": "promise given to another bag",
    "policy-set": "settings changed",
    "bags-shipped": "bags shipped",
    "books-corrected": "books put right by a short",
    "books-restored": "short taken back, books as before",
    "purchase-placed": "purchase order placed",
    "purchase-sent": "purchase order sent to the supplier",
    "purchase-cancelled": "purchase order called off",
    "purchase-received": "goods received",
    "stock-returned": "goods returned",
    "count-entered": "count entered",
    "quote-accepted": "quote accepted",
    "quote-declined": "quote declined",
    "quote-expired": "quote expired",
    "quote-issued": "quote issued",
    "quote-sent": "quote sent",
    "quote-superseded": "quote superseded",
    "request-refused": "price refused",
    "sheet-choices-cleared": "choices for sheets taken back",
    "sheet-choices-kept": "choices for sheets kept",
    "ship-to-set": "ship-to set",
    "stop-released": "stop released",
    "terms-agreed": "terms agreed to",
}
# For those who may see cost.
LIMITS: dict[str, str] = {
    "discount-over-limit": "The discount off the agreed terms is {found}; {role} may give "
    "{allowed} at most.",
    "margin-under-limit": "The margin is {found}; {role} may go down to {allowed}.",
}
# For the others: with the margin's figure anybody could work out what things cost.
LIMITS_TOLD: dict[str, str] = {
    "discount-over-limit": "The discount needs the owner's approval: it is {found} off the agreed "
    "terms; {role} may give {allowed} at most.",
    "margin-under-limit": "The price needs the owner's approval.",
}
# What is done with a reason or by name, as a sentence names it.
DEEDS_SAID: dict[str, str] = {
    "adjustment": "an adjustment",
    "return": "a return",
    "agreement": "an agreement",
    "approval": "an approval",
    "cancellation": "a cancellation",
    "change": "a change",
    "discount": "a discount",
    "override": "an override",
    "refusal": "a refusal",
    "release": "a release",
    "substitution": "a substitution",
    "taking": "taking from a promise",
    "unpacking": "unpacking a bag",
    "scrap": "throwing stock away",
}
RIGHTS_SAID: dict[Action, str] = {
    Action.SEE_CATALOGS: "look into catalogues",
    Action.SEE_PRICES: "see prices",
    Action.SEE_COST: "see cost and margin",
    Action.SEE_CUSTOMERS: "look up customers",
    Action.SEE_JOBS: "look into jobs",
    Action.SEE_QUOTES: "look into quotes",
    Action.SEE_PICK_PAPERS: "make pick lists, labels and setting cards",
    Action.ASK_PAPERS: "have papers made",
    Action.SEE_STOCK: "see what is in stock",
    Action.SEE_ORDERS: "see what is in the pick room",
    Action.RELEASE_ORDERS: "send an order to the pick room",
    Action.ALLOCATE_STOCK: "promise stock to bags",
    Action.TAKE_PROMISES: "take from a promise",
    Action.RETURN_UNNAMED: "take back what no bag or order is named for",
    Action.PICK_BAGS: "pick into bags",
    Action.SHIP_BAGS: "ship bags",
    Action.SEE_PURCHASES: "see what is bought",
    Action.SEE_REQUESTS: "see what waits for approval",
    Action.SEE_PEOPLE: "see who is of the house",
    Action.SEE_HOLIDAYS: "see the holidays",
    Action.SEE_SETTINGS: "see the settings",
    Action.SEE_LOG: "see the log of the house",
    Action.LOAD_CATALOGS: "load a price book",
    Action.EDIT_CUSTOMERS: "enter or change a customer",
    Action.SET_TERMS: "set a customer's multiplier or tiers",
    Action.AGREE_TERMS: "agree to a customer's terms",
    Action.SET_SHIP_TOS: "set a ship-to",
    Action.CHANGE_JOBS: "make or change a job",
    Action.GIVE_DISCOUNTS: "give a discount",
    Action.SET_BY_HAND: "set something by hand",
    Action.SET_PRICES: "set a price by hand",
    Action.RELEASE_STOPS: "release a stop",
    Action.DRAFT_QUOTES: "draft a quote",
    Action.ISSUE_QUOTES: "issue a quote",
    Action.APPROVE_PRICES: "approve a price",
    Action.REFUSE_PRICES: "refuse a price",
    Action.SEND_QUOTES: "say that a quote was sent",
    Action.CLOSE_QUOTES: "close a quote",
    Action.RECEIVE_STOCK: "receive or move stock",
    Action.ADJUST_STOCK: "adjust stock or throw it away",
    Action.COUNT_STOCK: "count stock",
    Action.BUY_GOODS: "buy goods",
    Action.ENTER_PEOPLE: "enter people",
    Action.KEEP_ACCOUNT: "keep an account",
    Action.CHANGE_SETTINGS: "change the settings",
    Action.COPY_STORE: "back up or restore the store",
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
