"""What the warehouse's papers say loudly of goods that are not, or no longer, what was ordered."""

NOT_ORDERED = "NOT ORDERED: the customer has not accepted this. Do not pick, cut or ship."
ACCEPTED_AS_SENT = (
    "Accepted as it was sent: the job was changed since, and the order is not of the job as it "
    "stands."
)
CHANGED = (
    "JOB CHANGED after the order: this paper is of the order, as accepted; the job as it stands "
    "differs from it."
)


def notice_of(*, ordered: bool, changed: bool) -> str:
    """The notice for a paper; empty where the goods are ordered and the job is still the same."""
    if not ordered:
        return NOT_ORDERED
    return CHANGED if changed else ""
