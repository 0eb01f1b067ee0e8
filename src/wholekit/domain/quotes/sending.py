"""What is written down of a quote that went out: to whom, and exactly what."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SentFile:
    """A file that was sent, by its name and the SHA-256 of its bytes [64 hexadecimal digits]."""

    name: str
    digest: str


@dataclass(frozen=True, slots=True)
class Sending:
    """An issued revision that was sent. to: addresses or names, as the sender says them.

    revision_digest: SHA-256 of what was frozen [64 hexadecimal digits], so that it can be shown
    that what was sent is what is kept. Who sent it and when stands in the entry itself.
    """

    to: tuple[str, ...]
    revision_digest: str
    files: tuple[SentFile, ...] = ()
