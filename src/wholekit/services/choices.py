"""Choices side by side: the kits an opening may have, one of them chosen, three of them quoted."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, time
from fractions import Fraction

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.nearest_words import nearest_first
from wholekit.domain.errors import CallError
from wholekit.domain.kits import Shelf
from wholekit.domain.kits.choices import AS_QUOTED, WORDS, Wish, supplier_wish, wished
from wholekit.domain.openings import Opening, marks_named
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import BASE, Alternate, CatalogRef, Job, JobContents, JobOpening
from wholekit.domain.quotes.choices import (
    Choice,
    Choices,
    Refused,
    Sum,
    choice_set,
    choices_of,
    chosen_entry,
    quoted_choice,
    sum_of,
    try_wish,
    without_agreed,
)
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.totals import base_totals
from wholekit.domain.quotes.worked import WorkBench
from wholekit.domain.rules import RuleBook
from wholekit.services.desk import (
    Deed,
    Desk,
    held_job,
    job_of,
    need_line,
    need_plain,
    note,
    shelf_of,
)
from wholekit.services.jobs import need_alternate
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs
from wholekit.services.workup import Workup

MIXED = "mixed"


@dataclass(frozen=True, slots=True)
class Chosen:
    """An opening with what was chosen for it, and the choice; left: why it stays as it was."""

    entry: JobOpening
    choice: Choice | None = None
    left: Refused | None = None


@dataclass(frozen=True, slots=True)
class Where:
    """Where a choice goes: into the openings themselves (empty code), or into an alternate that
    takes them out of the base bid. title: of the alternate, empty keeps the one it has, or else
    new_title is taken."""

    code: str = BASE
    title: str = ""
    new_title: str = ""


HERE = Where()


def schedule_choices(workup: Workup, shelf: Shelf, rules: RuleBook) -> tuple[Choices, ...]:
    """The choices of each opening of a schedule; openings alike are worked out once.

    Raises RuleError.
    """
    bench, at = _bench_of(workup, shelf, rules)
    known: dict[object, Choices] = {}
    found = []
    for opening in workup.job.openings:
        entry = opening.entry
        key = (entry.opening.type, entry.opening.quantity)
        if key not in known:
            known[key] = choices_of(entry, bench, at)
        found.append(replace(known[key], entry=entry))
    return tuple(found)


def schedule_sums(workup: Workup, shelf: Shelf, rules: RuleBook) -> tuple[Sum, ...]:
    """A schedule as quoted, then in each supplier's goods, then in each finish it is quoted in.

    Raises RuleError.
    """
    bench, at = _bench_of(workup, shelf, rules)
    return _sums([opening.entry for opening in workup.job.openings], bench, at)


def throughout(
    openings: Sequence[Opening], wishes: Sequence[Wish], shelf: Shelf
) -> tuple[tuple[Opening, ...], Shelf]:
    """Openings and shelf as wishes for all of them have it."""
    for wish in wishes:
        openings = tuple(
            replace(opening, type=wished(opening.type, wish, shelf)[0]) for opening in openings
        )
    for wish in wishes:
        if openings:
            _, shelf = wished(openings[0].type, wish, shelf)
    return tuple(openings), shelf


def beside_mixed(mixed: Workup, workup: Workup, wishes: Sequence[Wish]) -> tuple[Sum, ...]:
    """A schedule as it would be without wishes for all of it, and as it was worked up with them."""
    sums: list[Sum] = []
    first = Money.zero(mixed.job.currency)
    for word, of in ((AS_QUOTED, mixed), ("+".join(wish.word for wish in wishes), workup)):
        price = base_totals(of.job, of.place).hardware
        first = price if not sums else first
        loose = tuple(opening.entry.mark for opening in of.job.openings if not opening.firm)
        sums.append(Sum(word, price, price - first, (), loose))
    return tuple(sums)


def wishes_throughout(
    supplier: str, finish: str, shelf: Shelf, rules: RuleBook
) -> tuple[Wish, ...]:
    """The wishes for one supplier's goods and one finish, empty = none. Raises CallError."""
    of_supplier = _of_supplier(supplier.strip().lower(), shelf) if supplier else None
    of_finish = finish_wished(finish, rules) if finish else None
    return tuple(wish for wish in (of_supplier, of_finish) if wish is not None)


def finish_wished(written: str, rules: RuleBook) -> Wish:
    """The wish for one finish, however it is written. Raises CallError (`finish-unreadable`)."""
    book = FinishBook(rules)
    code = book.read(written)
    if code is None:
        raise CallError("finish-unreadable", given=written, right=book.right_ones(written))
    return Wish(f"finish-{code}", finish=code)


@needs(Action.SEE_JOBS)
def job_choices(
    desk: Desk, deed: Deed, reference: str, marks: Sequence[str], alternate: str = BASE
) -> tuple[Choices, ...]:
    """The choices of openings of a job, at its customer's prices of the deed's day.

    Raises CallError, InputError.
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        entries = _entries(uow, job, marks, alternate)
        bench = bench_of_job(uow, desk, job, deed)
        return tuple(choices_of(entry, bench, deed.at, deed.who) for entry in entries)


@needs(Action.SEE_JOBS)
def job_sums(desk: Desk, deed: Deed, reference: str) -> tuple[Sum, ...]:
    """The kits of a base bid as quoted, in each supplier's goods, and in each finish of it.

    Where the house has more catalogues in the job's currency than it is priced on, also what all
    of them together would give (`mixed`). Raises CallError, InputError.
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        entries = _entries(uow, job, (), BASE)
        found = _sums(entries, bench_of_job(uow, desk, job, deed), deed.at)
        wide = _widened(uow, job)
        if wide != job.catalogs and entries:
            whole = replace(job, catalogs=wide)
            mixed = sum_of(entries, None, bench_of_job(uow, desk, whole, deed), deed.at)
            found += (replace(mixed, word=MIXED, difference=mixed.price - found[0].price),)
        return found


@needs(Action.CHANGE_JOBS)
def choose(
    desk: Desk,
    deed: Deed,
    reference: str,
    marks: Sequence[str],
    wanted: str | Wish,
    *,
    alternate: str = BASE,
    into: Where = HERE,
    where_offered: bool = False,
    reason: str = "",
) -> tuple[Chosen, ...]:
    """Set the kit of openings (no marks: all of them) by the word of a choice, or by a wish.

    `as-quoted` takes a choice back, and out of an alternate again. where_offered: openings for
    which it is not offered stay as they are; else they refuse the whole. Raises CallError,
    InputError, ConflictError.
    """
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        if into.code and alternate:
            raise CallError("choice-one-place", name=alternate)
        entries = _entries(uow, job, marks, alternate)
        if not entries:
            raise CallError("openings-needed")
        bench = bench_of_job(uow, desk, job, deed)
        said = need_line(" ".join(reason.split()), "reason")
        found = [_found(entry, wanted, bench, deed, job, into) for entry in entries]
        _refuse(found, wanted, job, where_offered)
        if into.code:
            done = _put_beside(uow, desk, deed, job, found, into, said)
        else:
            done = [_put_here(uow, deed, job, each, said) for each in found]
        uow.commit()
    return tuple(done)


def _of_supplier(supplier: str, shelf: Shelf) -> Wish:
    """The wish for one supplier's goods alone. Raises CallError (`supplier-unknown`)."""
    known = [catalog.id for catalog in shelf.catalogs]
    if supplier not in known:
        raise CallError("supplier-unknown", supplier=supplier, known=known)
    return supplier_wish(supplier)


def _found(
    entry: JobOpening, wanted: str | Wish, bench: WorkBench, deed: Deed, job: Job, into: Where
) -> Chosen:
    """What a word or wish comes to at one opening. Raises CallError for a word nobody knows."""
    word = wanted if isinstance(wanted, str) else wanted.word
    agreed = without_agreed(entry) is not entry
    if agreed and not into.code and word != _word_set(entry):
        raise CallError("choice-price-agreed", mark=entry.mark, job=job.label)
    if isinstance(wanted, Wish):
        quoted = quoted_choice(entry, bench)
        tried = try_wish(entry, wanted, quoted, bench, deed.at, deed.who)
        if isinstance(tried, Choice):
            return Chosen(entry, tried)
        return Chosen(entry, left=tried or Refused(word))
    if word == AS_QUOTED:
        return Chosen(entry, quoted_choice(entry, bench))
    choices = choices_of(entry, bench, deed.at, deed.who)
    choice = choices.choice_of(word)
    if choice is not None:
        wish = choice.wishes[word]
        if wish is None and into.code:
            # Beside a base bid with another kit chosen the one as quoted needs a word of its own.
            wish = next((each for each in choice.wishes.values() if each is not None), None)
        return Chosen(entry, replace(choice, wishes={word: wish}))
    suppliers = [supplier_wish(catalog.id).word for catalog in bench.shelf.catalogs]
    if word not in (*WORDS, *suppliers):
        known = nearest_first(word, choices.words)
        raise CallError("choice-unknown", mark=entry.mark, given=word, known=known)
    refused = (refused for refused in choices.refused if refused.word == word)
    return Chosen(entry, left=next(refused, Refused(word)))


def _refuse(found: Sequence[Chosen], wanted: str | Wish, job: Job, where_offered: bool) -> None:
    """Raises CallError where it is not offered: at any opening, or where_offered at all of them."""
    left = [each for each in found if each.choice is None]
    if not left or (where_offered and len(left) < len(found)):
        return
    raise CallError(
        "choice-not-offered",
        given=wanted if isinstance(wanted, str) else wanted.word,
        marks=[each.entry.mark for each in left],
        job=job.label,
        first=left[0].entry.mark,
    )


def _put_here(uow: UnitOfWork, deed: Deed, job: Job, chosen: Chosen, reason: str) -> Chosen:
    """The choice set on the opening itself; the same again writes nothing."""
    entry, choice = chosen.entry, chosen.choice
    if choice is None:
        return chosen
    wish = next(iter(choice.wishes.values()))
    if wish == choice_set(entry):
        return chosen
    said = reason or ("" if wish is None else wish.word)
    new = chosen_entry(entry, wish, deed.at, deed.who, said)
    new = replace(new, version=entry.version + 1)
    uow.jobs.save_opening(new, entry.version)
    _note(uow, deed, job, entry, new, reason)
    return replace(chosen, entry=new)


def _put_beside(
    uow: UnitOfWork,
    desk: Desk,
    deed: Deed,
    job: Job,
    found: Sequence[Chosen],
    into: Where,
    reason: str,
) -> list[Chosen]:
    """The choice as an alternate's own openings, in place of those of the base bid."""
    there = {
        entry.mark: entry for entry in _contents(uow, job).openings if entry.alternate == into.code
    }
    last = max(uow.jobs.marks(job.id).values(), default=0)
    done, fresh = [], []
    for each in found:
        own = there.get(each.entry.mark)
        if each.choice is None:
            done.append(each)
            continue
        wish = next(iter(each.choice.wishes.values()))
        if wish is None:
            if own is not None:
                uow.jobs.remove_opening(own, own.version)
                note(uow, deed, "opening-removed", "opening", own.id, job_id=job.id, before=own)
            done.append(each)
            continue
        last += 1
        new = replace(
            chosen_entry(without_agreed(each.entry), wish, deed.at, deed.who, reason or wish.word),
            id=desk.ids.new() if own is None else own.id,
            position=last if own is None else own.position,
            alternate=into.code,
            version=1 if own is None else own.version + 1,
        )
        if own is None:
            fresh.append(new)
        else:
            uow.jobs.save_opening(new, own.version)
        _note(uow, deed, job, own, new, reason)
        done.append(replace(each, entry=new))
    if fresh:
        uow.jobs.add_openings(fresh)
    _set_alternate(uow, deed, job, done, into)
    return done


def _set_alternate(
    uow: UnitOfWork, deed: Deed, job: Job, done: Sequence[Chosen], into: Where
) -> None:
    """The job's header with the alternate that holds the choices; one left empty is gone."""
    old = next((each for each in job.alternates if each.code == into.code), None)
    deducts = dict.fromkeys(() if old is None else old.deducts)
    for each in done:
        deducts.pop(each.entry.mark, None)
        if each.entry.alternate == into.code:
            deducts[each.entry.mark] = None
    title = into.title or (into.new_title if old is None else old.title)
    if not title:
        raise CallError("alternate-title-needed", name=into.code)
    alternate = Alternate(into.code, title, tuple(deducts))
    need_plain(alternate)
    contents = _contents(uow, job)
    filled = any(opening.alternate == into.code for opening in contents.openings) or any(
        extra.alternate == into.code for extra in contents.extras
    )
    others = [each for each in job.alternates if each.code != into.code]
    kept = sorted([*others, alternate] if filled or deducts else others, key=lambda each: each.code)
    new = replace(job, alternates=tuple(kept), version=job.version + 1)
    if new.alternates == job.alternates:
        return
    uow.jobs.save(new, job.version)
    note(uow, deed, "alternate-set", "job", job.id, job_id=job.id, before=job, after=new)


def _note(
    uow: UnitOfWork, deed: Deed, job: Job, old: JobOpening | None, new: JobOpening, reason: str
) -> None:
    note(
        uow,
        deed,
        "kit-chosen",
        "opening",
        new.id,
        job_id=job.id,
        before=old,
        after=new,
        reason=reason,
    )


def _word_set(entry: JobOpening) -> str:
    wish = choice_set(entry)
    return AS_QUOTED if wish is None else wish.word


def _entries(
    uow: UnitOfWork, job: Job, marks: Sequence[str], alternate: str
) -> tuple[JobOpening, ...]:
    """The openings of marks in their order, each once; of none, all. Raises CallError."""
    need_alternate(job, alternate)
    there = {
        entry.mark: entry for entry in _contents(uow, job).openings if entry.alternate == alternate
    }
    if not marks:
        return tuple(there.values())
    found, unknown = marks_named(marks, list(there))
    if unknown:
        known = nearest_first(unknown[0], there)
        raise CallError("job-mark-unknown", mark=unknown[0], job=job.label, known=known)
    return tuple(there[mark] for mark in found)


def _contents(uow: UnitOfWork, job: Job) -> JobContents:
    contents = uow.jobs.contents(job.id)
    if contents is None:
        raise CallError("job-unknown", job=job.label)
    return contents


def bench_of_job(uow: UnitOfWork, desk: Desk, job: Job, deed: Deed) -> WorkBench:
    """A bench for openings of a job, at its customer's prices of the day. Raises CallError."""
    customer = uow.customers.get(job.customer)
    if customer is None:
        raise CallError("customer-unknown", name=job.customer)
    shelf = shelf_of(uow, desk, job)
    return WorkBench(shelf, desk.rules, customer, job.discount, deed.day, offering=False)


def _bench_of(workup: Workup, shelf: Shelf, rules: RuleBook) -> tuple[WorkBench, datetime]:
    """A bench for a schedule at hand, and the moment of its choices."""
    day = workup.place.day
    bench = WorkBench(shelf, rules, workup.job.customer, Fraction(0), day, offering=False)
    return bench, datetime.combine(day, time(), UTC)


def _sums(entries: Sequence[JobOpening], bench: WorkBench, at: datetime) -> tuple[Sum, ...]:
    wishes: list[Wish | None] = [None]
    if len(bench.shelf.catalogs) > 1:
        wishes += [supplier_wish(catalog.id) for catalog in bench.shelf.catalogs]
    finishes = {quoted_choice(entry, bench).opening.kit.finish for entry in entries}
    # A job in one finish as it is has nothing to be seen here.
    if len(finishes) > 1:
        wishes += [Wish(f"finish-{finish}", finish=finish) for finish in sorted(finishes)]
    return tuple(sum_of(entries, wish, bench, at) for wish in wishes)


def _widened(uow: UnitOfWork, job: Job) -> tuple[CatalogRef, ...]:
    """The job's catalogues, and the latest of every other supplier in its currency."""
    own = {ref.catalog_id for ref in job.catalogs}
    others = (
        CatalogRef(stored.catalog_id, stored.revision)
        for stored in uow.catalogs.current()
        if stored.currency == job.currency and stored.catalog_id not in own
    )
    return (*job.catalogs, *others)
