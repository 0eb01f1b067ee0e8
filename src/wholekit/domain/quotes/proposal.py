"""The number of an offer that nobody has numbered: the day, and a short digest of what is in it."""

from base64 import b32encode
from dataclasses import replace
from hashlib import sha256

from wholekit.domain.quotes.own import Snapshot, snapshot_text

WORD = "PROPOSAL"
LENGTH = 6


def as_proposal(snapshot: Snapshot) -> Snapshot:
    """The snapshot with the number of a proposal, such as `PROPOSAL 2026-11-26 K7QXNA`.

    The digest is of all that was quoted and what it costs, so two schedules, or one at two prices,
    differ; the same on the same day is numbered the same. Its signs are those of base 32 (RFC 4648,
    section 6), which has no 0, 1, 8 and 9 to be read as letters.
    """
    offer = replace(snapshot.offer, quote="")
    whole = sha256(snapshot_text(replace(snapshot, offer=offer)).encode()).digest()
    short = b32encode(whole).decode()[:LENGTH]
    number = f"{WORD} {offer.issued.isoformat()} {short}"
    return replace(snapshot, offer=replace(offer, quote=number))
