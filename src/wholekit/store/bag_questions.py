"""What the store is asked of one bag."""

from sqlalchemy import ColumnElement, bindparam, literal_column, null, select, union_all

from wholekit.store.order_rows import COUNTING
from wholekit.store.tables import METADATA

BAG = METADATA.tables["bag"]
NEED = METADATA.tables["bag_need"]
EVENT = METADATA.tables["bag_event"]
# In the order in which `bag_row` gives its values.
BAG_COLUMNS = (
    "id", "order_id", "mark", "place", "number", "state", "branch", "promised_on", "wave",
    "picker", "packed", "shipment", "version",
)  # fmt: skip
# Made once, since a scan waits for each of them.
WHOLE = select(*(BAG.c[name] for name in BAG_COLUMNS), BAG.c.demand).where(
    BAG.c.id == bindparam("_bag")
)
# Its key stays, so that rows which refer to it need not wait.
WHOLE_HELD = WHOLE.with_for_update(of=BAG, key_share=True)
NOTHING: ColumnElement[int] = literal_column("0")
# What no event is: an item needed, and that an id is there.
NEEDED, KNOWN = "need", "known"
# Of a bag that is held, in a question of its own: what was written while it was waited for counts.
WHAT_HAPPENED = union_all(
    select(
        EVENT.c.id.label("at"),
        EVENT.c.kind.label("kind"),
        EVENT.c.data.label("data"),
        null().label("sku"),
        NOTHING.label("packs"),
    ).where(EVENT.c.bag_id == bindparam("_bag"), EVENT.c.kind.in_(COUNTING)),
    select(
        NOTHING,
        literal_column(f"'{NEEDED}'"),
        NEED.c.supplier,
        NEED.c.sku,
        NEED.c.packs,
    ).where(NEED.c.bag_id == bindparam("_bag")),
    select(EVENT.c.id, literal_column(f"'{KNOWN}'"), null(), null(), literal_column("0")).where(
        EVENT.c.event_id == bindparam("_event")
    ),
).order_by("at")
