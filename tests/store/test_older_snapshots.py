"""A revision that an older program issued: its text stays as it was, whatever becomes of it."""

import json
from datetime import timedelta

from sqlalchemy import text
from tests.documents.frozen import FORMAT_1, FORMAT_1_DIGEST
from tests.support.jobs import START, a_job, by, frozen, furnished

from wholekit.domain.quotes import Acceptance, State, snapshot_text
from wholekit.services.quote_drafts import draft_quote
from wholekit.services.quote_reading import issued_whole
from wholekit.services.quotes import close_quote
from wholekit.wording.older_snapshots import read_snapshot


def test_what_an_older_program_issued_can_be_accepted_and_keeps_its_text(store):
    desk = furnished(store)
    draft = draft_quote(desk, by(), a_job(desk, "101", "102").label)
    with store.place.engine.begin() as connection:
        connection.execute(
            text("INSERT INTO quote_snapshot (revision_id, data) VALUES (:id, :data)"),
            {"id": draft.id, "data": FORMAT_1},
        )
        connection.execute(
            text(
                "UPDATE quote_revision SET state = 'issued', quote_number = 1, issued_at = :at, "
                "issued_on = :day, issued_by = 'odo', valid_until = :until, "
                "snapshot_digest = :digest WHERE id = :id"
            ),
            {
                "id": draft.id,
                "at": START.isoformat(),
                "day": START.date().isoformat(),
                "until": (START.date() + timedelta(days=30)).isoformat(),
                "digest": FORMAT_1_DIGEST,
            },
        )
    old = read_snapshot(json.loads(FORMAT_1))
    assert snapshot_text(old) != FORMAT_1, "this program would write it in other words"
    assert frozen(issued_whole(desk, by("odo"), "Q-1")) == old
    close_quote(desk, by(), "Q-1", State.ACCEPTED, acceptance=Acceptance(("alt-1",)))
    read = issued_whole(desk, by("odo"), "Q-1")
    assert (read.state, read.accepted) == (State.ACCEPTED, ("alt-1",))
    assert (read.snapshot_digest, read.snapshot) == (FORMAT_1_DIGEST, old)
    with store.place.engine.begin() as connection:
        kept = connection.execute(text("SELECT data FROM quote_snapshot")).scalar_one()
    assert kept == FORMAT_1
