"""Openings of a job: added, edited, copied, split, removed; hand overrides and releases."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from wholekit.domain.catalog.nearest_words import nearest_first
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.openings import (
    ANSWER_NEEDED,
    Opening,
    OpeningType,
    UnaskedDoor,
    joined_doors,
    plain_mark,
    without_asked,
)
from wholekit.domain.plain import to_plain
from wholekit.domain.quotes import (
    BASE,
    Job,
    JobContents,
    JobOpening,
    Override,
    OverrideKind,
    Release,
    finding_about,
)
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.worked import standing
from wholekit.services.desk import (
    Deed,
    Desk,
    check_version,
    held_job,
    need_reason,
    note,
)
from wholekit.services.jobs import need_alternate, save_unasked
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import need_right, needs
from wholekit.services.workup import Workup, work_up_contents

MOST_ALIKE = 9_999


@needs(Action.CHANGE_JOBS)
def add_openings(
    desk: Desk,
    deed: Deed,
    reference: str,
    openings: Sequence[Opening],
    alternate: str = BASE,
    unasked: Sequence[UnaskedDoor] = (),
    not_used: Sequence[str] = (),
) -> tuple[JobOpening, ...]:
    """Openings put at the end of a job, all or none. unasked: doors of their sheet that nothing was
    asked for, not_used: its headings that nothing was read from; the quote names both.

    Raises CallError; ConflictError for a mark that is taken.
    """
    if not openings:
        raise CallError("openings-needed")
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        need_alternate(job, alternate)
        added = _appended(desk, uow, job, openings, alternate)
        _note_added(uow, deed, job, added, "openings-added")
        doors = (replace(door, alternate=alternate) for door in unasked)
        columns = tuple(dict.fromkeys((*job.not_used, *not_used)))
        save_unasked(uow, deed, job, joined_doors(job.unasked, doors), columns)
        uow.commit()
    return added


@needs(Action.CHANGE_JOBS)
def edit_opening(
    desk: Desk,
    deed: Deed,
    reference: str,
    mark: str,
    change: Callable[[Opening], Opening],
    alternate: str = BASE,
    expected: int | None = None,
) -> JobOpening:
    """As `edit_openings`, of one."""
    ((entry, _),) = edit_openings(desk, deed, reference, [mark], change, alternate, expected)
    return entry


@needs(Action.CHANGE_JOBS)
def edit_openings(
    desk: Desk,
    deed: Deed,
    reference: str,
    marks: Sequence[str],
    change: Callable[[Opening], Opening],
    alternate: str = BASE,
    expected: int | None = None,
) -> tuple[tuple[JobOpening, bool], ...]:
    """Openings as `change` makes each of what is there, all or none; whether it was changed.

    The same again writes nothing. Raises CallError, ConflictError.
    """
    found = []
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        for mark in marks:
            entry = entry_of(uow, job, mark, alternate)
            check_version("opening", mark, expected, entry.version)
            wanted = edited(uow, job, entry, change)
            new = _saved(uow, deed, job, entry, wanted, "opening-edited")
            found.append((new, new is not entry))
        uow.commit()
    return tuple(found)


def edited(
    uow: UnitOfWork, job: Job, entry: JobOpening, change: Callable[[Opening], Opening]
) -> JobOpening:
    """An opening with a change, unsaved. Raises ConflictError where its new mark is taken."""
    opening = change(entry.opening)
    opening = replace(opening, mark=plain_mark(opening.mark))
    if opening.mark != entry.mark and (entry.alternate, opening.mark) in uow.jobs.marks(job.id):
        raise ConflictError("mark-taken", mark=opening.mark, alternate=entry.alternate)
    return replace(entry, opening=opening)


@needs(Action.CHANGE_JOBS)
def remove_opening(
    desk: Desk,
    deed: Deed,
    reference: str,
    mark: str,
    alternate: str = BASE,
    expected: int | None = None,
) -> JobOpening:
    """Take an opening out of a job. Raises CallError, ConflictError.

    A base mark that an alternate deducts stays until the alternate lets go of it.
    """
    (entry,) = remove_openings(desk, deed, reference, [mark], alternate, expected)
    return entry


@needs(Action.CHANGE_JOBS)
def remove_openings(
    desk: Desk,
    deed: Deed,
    reference: str,
    marks: Sequence[str],
    alternate: str = BASE,
    expected: int | None = None,
) -> tuple[JobOpening, ...]:
    """As `remove_opening`, of several, all or none.

    A mark may be of a door that nothing was asked for, too: the quote names it no more.
    """
    removed = []
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        there = uow.jobs.marks(job.id)
        unasked = {door.mark for door in without_asked(job.unasked, there)
                   if door.alternate == alternate and door.mark in marks}  # fmt: skip
        for mark in (mark for mark in marks if mark not in unasked):
            entry = entry_of(uow, job, mark, alternate)
            check_version("opening", mark, expected, entry.version)
            for option in job.alternates:
                if not alternate and mark in option.deducts:
                    raise CallError("mark-deducted", mark=mark, name=option.code, job=job.label)
            uow.jobs.remove_opening(entry, entry.version)
            note(uow, deed, "opening-removed", "opening", entry.id, job_id=job.id, before=entry)
            removed.append(entry)
        kept = (door for door in job.unasked if door.at not in {(alternate, m) for m in unasked})
        save_unasked(uow, deed, job, tuple(kept), job.not_used)
        uow.commit()
    return tuple(removed)


@needs(Action.CHANGE_JOBS)
def copy_opening(
    desk: Desk,
    deed: Deed,
    reference: str,
    mark: str,
    new_marks: Sequence[str],
    alternate: str = BASE,
    to_alternate: str | None = None,
) -> tuple[JobOpening, ...]:
    """An opening again under other marks, overrides and all; releases are not copied.

    to_alternate: put the copies there, where they may keep the mark. Raises CallError,
    ConflictError.
    """
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        target = alternate if to_alternate is None else to_alternate
        need_alternate(job, target)
        entry = entry_of(uow, job, mark, alternate)
        added = _appended(
            desk,
            uow,
            job,
            [replace(entry.opening, mark=new) for new in new_marks],
            target,
            # Not its releases: nobody has looked at the copies yet.
            overrides=entry.overrides,
        )
        _note_added(uow, deed, job, added, "opening-copied")
        uow.commit()
    return added


@needs(Action.CHANGE_JOBS)
def split_opening(
    desk: Desk,
    deed: Deed,
    reference: str,
    mark: str,
    new_mark: str,
    quantity: int,
    alternate: str = BASE,
    expected: int | None = None,
) -> tuple[JobOpening, JobOpening]:
    """So many [count] of the openings alike under a mark of their own, decisions and all.

    Raises CallError: fewer than one would be left; ConflictError.
    """
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        entry = entry_of(uow, job, mark, alternate)
        check_version("opening", mark, expected, entry.version)
        left = entry.opening.quantity - quantity
        if quantity < 1 or left < 1:
            raise CallError("split-too-many", mark=mark, quantity=entry.opening.quantity)
        kept = replace(
            entry, opening=replace(entry.opening, quantity=left), version=entry.version + 1
        )
        uow.jobs.save_opening(kept, entry.version)
        new = replace(entry.opening, mark=new_mark, quantity=quantity)
        (apart,) = _appended(
            desk, uow, job, [new], alternate, overrides=entry.overrides, releases=entry.releases
        )
        note(
            uow, deed, "opening-split", "opening", entry.id, job_id=job.id, before=entry, after=kept
        )
        _note_added(uow, deed, job, (apart,), "opening-split-off")
        uow.commit()
    return kept, apart


@needs(Action.SET_BY_HAND)
def override_opening(
    desk: Desk,
    deed: Deed,
    reference: str,
    mark: str,
    override: Override,
    alternate: str = BASE,
    expected: int | None = None,
) -> JobOpening:
    """Set size, item or price of an opening by hand, for a reason that stays visible.

    Tried on the kit before it is kept. Raises CallError (a size smaller than required, a name that
    the house does not know), InputError (an item that is not there), ConflictError.
    """
    said = need_reason(override.reason, "override")

    def changed(uow: UnitOfWork, job: Job, entry: JobOpening) -> JobOpening:
        if override.kind is OverrideKind.PRICE:
            need_right(uow, deed, Action.SET_PRICES)
        _check_override(job, override)
        done = replace(override, reason=said, by=deed.who, at=deed.at)
        # Of two about the same thing the later stands; the audit log keeps the earlier.
        new = replace(entry, overrides=standing([*entry.overrides, done]))
        # Alone, since what the other openings need changes nothing of this one's kit.
        kit = work_up_alone(uow, desk, deed, job, new).job.openings[0].kit
        required = kit.size_required
        if override.size is not None and required is not None and override.size < required:
            raise CallError("override-size-small", mark=mark, size=override.size, required=required)
        return new

    return _change(
        desk, deed, reference, (alternate, mark), expected, "opening-overridden", changed, said
    )


@needs(Action.SET_BY_HAND)
def clear_override(
    desk: Desk,
    deed: Deed,
    reference: str,
    mark: str,
    kind: OverrideKind,
    sku: str = "",
    alternate: str = BASE,
    expected: int | None = None,
) -> JobOpening:
    """Take an override back; the audit log keeps it. Raises CallError, ConflictError."""

    def changed(uow: UnitOfWork, _: Job, entry: JobOpening) -> JobOpening:
        if kind is OverrideKind.PRICE:
            need_right(uow, deed, Action.SET_PRICES)
        kept = tuple(
            override for override in entry.overrides if override.about != (kind.value, sku)
        )
        if len(kept) == len(entry.overrides):
            known = [" ".join(override.about).strip() for override in standing(entry.overrides)]
            wanted = f"{kind.value} {sku}".strip()
            raise CallError("override-unknown", mark=mark, kind=wanted, known=known)
        return replace(entry, overrides=kept)

    return _change(desk, deed, reference, (alternate, mark), expected, "override-cleared", changed)


@needs(Action.RELEASE_STOPS)
def release_stop(
    desk: Desk,
    deed: Deed,
    reference: str,
    mark: str,
    code: str,
    reason: str,
    alternate: str = BASE,
    expected: int | None = None,
) -> JobOpening:
    """Let a stop finding of an opening go, by name and for a reason that prints.

    The release holds for what the finding says now; where it comes to say something else it stops
    again. Raises CallError: no such stop, no name, no reason; ConflictError.
    """
    said = need_reason(reason, "release")
    if not deed.who.strip():
        raise CallError("name-needed", deed="release")

    def changed(uow: UnitOfWork, job: Job, entry: JobOpening) -> JobOpening:
        worked = work_up_alone(uow, desk, deed, job, entry).job.openings[0]
        if code == ANSWER_NEEDED and any(stop.code == code for stop in worked.open_stops()):
            # Nobody can take it upon himself what a customer meant.
            raise CallError("stop-needs-answer", mark=mark, name=code)
        found = [stop for stop in worked.open_stops() if stop.code == code]
        if not found:
            known = list(dict.fromkeys(stop.code for stop in worked.open_stops()))
            if any(finding.code == code for finding in worked.kit.findings):
                _refuse_release(mark, code, entry)
            raise CallError("stop-unknown", mark=mark, name=code, known=known)
        # One code may be found about several things: each is released for what it says now.
        done = tuple(
            Release(code, finding_about(finding), said, deed.who, deed.at) for finding in found
        )
        return replace(entry, releases=(*entry.releases, *done))

    return _change(
        desk, deed, reference, (alternate, mark), expected, "stop-released", changed, said
    )


def _refuse_release(mark: str, code: str, entry: JobOpening) -> None:
    """Raises CallError for a finding that is released already, or that stops nothing."""
    for release in entry.releases:
        if release.code == code:
            raise CallError(
                "stop-released-already", mark=mark, name=code, by=release.by, reason=release.reason
            )
    raise CallError("stop-none", mark=mark, name=code)


def work_up_alone(uow: UnitOfWork, desk: Desk, deed: Deed, job: Job, entry: JobOpening) -> Workup:
    """One opening of a job, worked up by itself. Raises CallError, InputError."""
    return work_up_contents(uow, desk, JobContents(job, (entry,)), deed.day)


def _check_override(job: Job, override: Override) -> None:
    if override.price is not None and override.price.currency != job.currency:
        raise CallError(
            "override-currency", currency=override.price.currency, job_currency=job.currency
        )
    if override.kind is OverrideKind.ITEM and not (override.sku or override.other_sku):
        raise CallError("override-item-needed")
    if override.quantity is not None and not 1 <= override.quantity <= MOST_ALIKE:
        raise CallError("quantity-out-of-range", given=override.quantity, most=MOST_ALIKE)


def entry_of(uow: UnitOfWork, job: Job, mark: str, alternate: str) -> JobOpening:
    """An opening of a job by its mark. Raises CallError, the marks nearest to it first."""
    need_alternate(job, alternate)
    # As given first: a store may hold marks of before they were kept in one way.
    entry = uow.jobs.opening(job.id, alternate, mark)
    entry = entry or uow.jobs.opening(job.id, alternate, plain_mark(mark))
    if entry is None:
        known = [its_mark for other, its_mark in uow.jobs.marks(job.id) if other == alternate]
        raise CallError(
            "job-mark-unknown", mark=mark, job=job.label, known=nearest_first(mark, known)
        )
    return entry


def _change(
    desk: Desk,
    deed: Deed,
    reference: str,
    where: tuple[str, str],
    expected: int | None,
    action: str,
    change: Callable[[UnitOfWork, Job, JobOpening], JobOpening],
    reason: str = "",
) -> JobOpening:
    alternate, mark = where
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        entry = entry_of(uow, job, mark, alternate)
        check_version("opening", mark, expected, entry.version)
        new = _saved(uow, deed, job, entry, change(uow, job, entry), action, reason)
        uow.commit()
    return new


def _saved(
    uow: UnitOfWork,
    deed: Deed,
    job: Job,
    entry: JobOpening,
    wanted: JobOpening,
    action: str,
    reason: str = "",
) -> JobOpening:
    """An opening saved as wanted and noted; the one that is there where nothing differs."""
    # Compared as they are kept: lengths are equal in whatever unit they were written.
    if to_plain(wanted) == to_plain(entry):
        return entry
    new = replace(wanted, version=entry.version + 1)
    uow.jobs.save_opening(new, entry.version)
    note(
        uow,
        deed,
        action,
        "opening",
        entry.id,
        job_id=job.id,
        before=entry,
        after=new,
        reason=reason,
    )
    return new


def _appended(
    desk: Desk,
    uow: UnitOfWork,
    job: Job,
    openings: Sequence[Opening],
    alternate: str,
    overrides: tuple[Override, ...] = (),
    releases: tuple[Release, ...] = (),
) -> tuple[JobOpening, ...]:
    openings = [replace(opening, mark=plain_mark(opening.mark)) for opening in openings]
    there = uow.jobs.marks(job.id)
    taken = {mark for other, mark in there if other == alternate}
    for opening in openings:
        if opening.mark in taken:
            raise ConflictError("mark-taken", mark=opening.mark, alternate=alternate)
        taken.add(opening.mark)
    last = max(there.values(), default=0)
    added = tuple(
        JobOpening(desk.ids.new(), job.id, last + number, opening, alternate, overrides, releases)
        for number, opening in enumerate(openings, start=1)
    )
    uow.jobs.add_openings(added)
    return added


def _note_added(
    uow: UnitOfWork, deed: Deed, job: Job, added: Sequence[JobOpening], action: str
) -> None:
    """One entry for openings added together; kinds that several share are written once."""
    kinds: dict[OpeningType, int] = {}
    rows = [
        [
            entry.mark,
            entry.opening.quantity,
            kinds.setdefault(entry.opening.type, len(kinds)),
            entry.opening.note,
        ]
        for entry in added
    ]
    after = {
        "alternate": added[0].alternate,
        "kinds": [to_plain(kind) for kind in kinds],
        "openings": rows,
    }
    note(uow, deed, action, "job", job.id, job_id=job.id, after=after)
