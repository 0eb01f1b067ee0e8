"""Quotes that were sent, written into the history of their job."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.sending import Sending, SentFile
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, need_line, note
from wholekit.services.quote_reading import revision_of
from wholekit.services.rights import needs

MOST_NAMED = 50


@dataclass(frozen=True, slots=True)
class Sent:
    """What was written down: of which revision, of what job, by whom and when."""

    label: str
    job_id: str
    deed: Deed
    sending: Sending


@needs(Action.SEND_QUOTES)
def record_sending(
    desk: Desk,
    deed: Deed,
    reference: str,
    to: Sequence[str],
    files: Sequence[SentFile] = (),
    remark: str = "",
) -> Sent:
    """Write down that an issued revision was sent; nothing is sent by it, and nothing changed.

    to: whom, each an address or a name. Raises CallError (`sent-to-needed`, `sent-over-limit`; a
    quote that was never issued; a text that cannot be printed in a line).
    """
    names = tuple(dict.fromkeys(" ".join(each.split()) for each in to if each.strip()))
    if not names:
        raise CallError("sent-to-needed", quote=reference)
    if max(len(names), len(files)) > MOST_NAMED:
        raise CallError("sent-over-limit", most=MOST_NAMED)
    for name in (*names, *(file.name for file in files)):
        need_line(name, "name", LONGEST_NAME)
    need_line(remark, "remark")
    with desk.store.writing() as uow:
        revision = revision_of(uow, reference)
        sending = Sending(names, revision.snapshot_digest, tuple(files))
        note(
            uow,
            deed,
            "quote-sent",
            "revision",
            revision.id,
            job_id=revision.job_id,
            after=sending,
            reason=remark,
        )
        uow.commit()
    return Sent(revision.label, revision.job_id, deed, sending)
