"""Signing in and out, passwords, one-time codes and tokens."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from wholekit.domain.accounts import (
    LONGEST_SEAT,
    LONGEST_TOKEN,
    MOST_BY_ADDRESS,
    MOST_BY_NAME,
    TRY_WINDOW,
    PersonAccount,
    Seat,
    SignInTry,
    need_label,
    need_password,
)
from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Person
from wholekit.domain.quotes.roles import Action
from wholekit.services.account_port import Keys
from wholekit.services.desk import Deed, Desk, note
from wholekit.services.ports import Store, UnitOfWork
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class ToldSignIn:
    """What somebody says at the door. code: of the one-time kind, empty without; address: where
    the call comes from."""

    name: str
    password: str = field(repr=False)
    code: str = field(default="", repr=False)
    address: str = ""


@dataclass(frozen=True, slots=True)
class TakenSeat:
    """A seat and the token that shows it, which is told this once."""

    seat: Seat
    token: str = field(repr=False)
    must_change: bool = False


@dataclass(frozen=True, slots=True)
class Seated:
    """Who sits there: the person, the seat, and whether a password is to be chosen first."""

    person: Person
    seat: Seat
    must_change: bool = False

    def deed(self, at: datetime) -> Deed:
        """What this person does or asks."""
        return Deed(self.person.name, at, named=True, proven=True)


def sign_in(store: Store, keys: Keys, at: datetime, told: ToldSignIn) -> TakenSeat:
    """Let somebody in, and write down who tried.

    Raises CallError (`sign-in-wrong`, the same for a name that is not known, a wrong password and a
    wrong code; `sign-in-later` after too many wrong ones).
    """
    name = told.name.strip().casefold()
    with store.reading() as uow:
        by_name, by_address = uow.accounts.failures(name, told.address, at - TRY_WINDOW)
        account = uow.accounts.get(name)
        person = uow.people.get(name)
    if by_name >= MOST_BY_NAME or by_address >= MOST_BY_ADDRESS:
        # Not judged, so that waiting is all that helps.
        raise CallError("sign-in-later", minutes=int(TRY_WINDOW.total_seconds() // 60))
    # Outside the transaction: hashing takes its time, and nobody else is to wait for it. Hashed
    # also where nobody is known, so that the time tells nothing.
    fits = keys.fits(told.password, keys.hashed("") if account is None else account.password)
    step: int | None = 0
    if account is not None and account.secret:
        step = keys.step_of(account.secret, told.code, at)
        step = step if step is not None and step > account.step else None
    good = fits and account is not None and person is not None and step is not None
    fresh = keys.hashed(told.password) if good and account and keys.is_old(account.password) else ""
    if not good or account is None or step is None:
        with store.writing() as uow:
            uow.accounts.tried(SignInTry(name, told.address, at, good=False))
            uow.commit()
        raise CallError("sign-in-wrong")
    token = keys.token()
    seat = Seat(keys.digest(token), name, keys.token(), at, at, at + LONGEST_SEAT)
    with store.writing() as uow:
        if step or fresh:
            new = replace(
                account,
                step=step or account.step,
                password=fresh or account.password,
                version=account.version + 1,
            )
            # Of two by the same one-time code the second is refused by the version.
            uow.accounts.save(new, account.version)
        uow.accounts.tried(SignInTry(name, told.address, at, good=True))
        uow.accounts.clear(at - 2 * TRY_WINDOW)
        uow.accounts.sit(seat)
        note(uow, Deed(name, at), "signed-in", "account", name, after={"address": told.address})
        uow.commit()
    return TakenSeat(seat, token, account.must_change)


def seated(store: Store, keys: Keys, at: datetime, token: str) -> Seated | None:
    """Who sits on the seat of a token; None where it shows none that still holds."""
    if not token:
        return None
    digest = keys.digest(token)
    with store.reading() as uow:
        found = uow.accounts.sitting(digest)
    if found is None or not found[0].holds(at):
        return None
    seat, person, must_change = found
    if seat.is_due(at):
        with store.writing() as uow:
            uow.accounts.seen(digest, at)
            uow.commit()
    return Seated(person, seat, must_change)


def sign_out(store: Store, at: datetime, seat: Seat) -> None:
    """Give a seat up."""
    with store.writing() as uow:
        uow.accounts.stand([seat.digest])
        note(uow, Deed(seat.name, at), "signed-out", "account", seat.name)
        uow.commit()


def has_accounts(store: Store) -> bool:
    """Whether names are proven in this house."""
    with store.reading() as uow:
        return uow.accounts.any()


@needs(Action.ENTER_PEOPLE)
def give_account(desk: Desk, deed: Deed, keys: Keys, name: str, password: str = "") -> str:
    """An account for a person of the house, or a new password where theirs is lost.

    All their seats and tokens end, and one-time codes are taken off. Returns the password to tell
    them, which they change when they first sign in; empty where one is given and stays. Raises
    CallError (`person-not-entered`, a password that may be none).
    """
    told = "" if password else keys.words()
    hashed = keys.hashed(need_password(password or told, name))
    with desk.store.writing() as uow:
        if uow.people.get(name) is None:
            known = [person.name for person in uow.people.all()]
            raise CallError("person-not-entered", who=name, known=known)
        old = uow.accounts.get(name)
        if old is None:
            uow.accounts.add(PersonAccount(name, hashed, must_change=bool(told)))
            note(uow, deed, "account-given", "account", name)
        else:
            new = PersonAccount(name, hashed, "", old.step, bool(told), old.version + 1)
            uow.accounts.save(new, old.version)
            note(uow, deed, "account-reset", "account", name)
        _stand(uow, name)
        uow.commit()
    return told


@needs(Action.KEEP_ACCOUNT)
def change_password(desk: Desk, deed: Deed, keys: Keys, old: str, new: str, keep: str = "") -> None:
    """Another password of one's own; all one's other seats end. keep: digest of the seat that
    stays. Raises CallError (`password-wrong`, one that may be none)."""
    account = _own(desk.store, deed)
    if not keys.fits(old, account.password):
        raise CallError("password-wrong")
    need_password(new, deed.who)
    if new == old:
        raise CallError("password-same")
    hashed = keys.hashed(new)
    with desk.store.writing() as uow:
        changed = replace(account, password=hashed, must_change=False, version=account.version + 1)
        uow.accounts.save(changed, account.version)
        _stand(uow, deed.who, keep)
        note(uow, deed, "password-changed", "account", deed.who)
        uow.commit()


@needs(Action.KEEP_ACCOUNT)
def set_codes(
    desk: Desk, deed: Deed, keys: Keys, password: str, secret: str = "", code: str = ""
) -> None:
    """Ask for a one-time code from now on, once one was shown to work; empty: no longer.

    Raises CallError (`password-wrong`, `one-time-code-wrong`).
    """
    account = _own(desk.store, deed)
    if not keys.fits(password, account.password):
        raise CallError("password-wrong")
    step = keys.step_of(secret, code, deed.at) if secret else 0
    if step is None:
        raise CallError("one-time-code-wrong")
    with desk.store.writing() as uow:
        changed = replace(account, secret=secret, step=step, version=account.version + 1)
        uow.accounts.save(changed, account.version)
        if secret:
            note(uow, deed, "codes-on", "account", deed.who)
        else:
            note(uow, deed, "codes-off", "account", deed.who)
        uow.commit()


@needs(Action.KEEP_ACCOUNT)
def asks_codes(desk: Desk, deed: Deed) -> bool:
    """Whether one's own account asks for one-time codes. Raises CallError (`account-needed`)."""
    return bool(_own(desk.store, deed).secret)


@needs(Action.ENTER_PEOPLE)
def end_codes(desk: Desk, deed: Deed, name: str) -> None:
    """Ask somebody for no one-time code any more, whose telephone is lost; all their seats end.

    Raises CallError (`account-needed`).
    """
    with desk.store.writing() as uow:
        account = uow.accounts.get(name)
        if account is None:
            raise CallError("account-needed", who=name)
        if account.secret:
            changed = replace(account, secret="", version=account.version + 1)
            uow.accounts.save(changed, account.version)
            _stand(uow, name)
            note(uow, deed, "codes-off", "account", name)
        uow.commit()


@needs(Action.SEE_PEOPLE)
def coded_names(desk: Desk, deed: Deed) -> Sequence[str]:
    """Whoever is asked for a one-time code."""
    with desk.store.reading() as uow:
        return uow.accounts.with_codes()


@needs(Action.ENTER_PEOPLE)
def give_token(desk: Desk, deed: Deed, keys: Keys, name: str, label: str, days: int) -> TakenSeat:
    """A token for a machine that works in somebody's name and role, for so long [d].

    Raises CallError (`person-not-entered`, `account-needed`, `token-label-wrong`,
    `token-days-wrong`).
    """
    said = need_label(label)
    if not 1 <= days <= LONGEST_TOKEN.days:
        raise CallError("token-days-wrong", given=days, most=LONGEST_TOKEN.days)
    token = keys.token()
    seat = Seat(
        keys.digest(token), name, keys.token(), deed.at, deed.at, deed.at + timedelta(days), said
    )
    with desk.store.writing() as uow:
        if uow.people.get(name) is None:
            known = [person.name for person in uow.people.all()]
            raise CallError("person-not-entered", who=name, known=known)
        if uow.accounts.get(name) is None:
            raise CallError("account-needed", who=name)
        uow.accounts.sit(seat)
        note(uow, deed, "token-given", "account", name, after={"label": said, "days": days})
        uow.commit()
    return TakenSeat(seat, token)


@needs(Action.ENTER_PEOPLE)
def end_seats(desk: Desk, deed: Deed, name: str, label: str = "") -> int:
    """All seats of a person end, or the tokens of a label. Returns how many [count]."""
    with desk.store.writing() as uow:
        gone = [
            seat.digest for seat in uow.accounts.seats(name) if not label or seat.label == label
        ]
        uow.accounts.stand(gone)
        note(uow, deed, "seats-ended", "account", name, after={"label": label})
        uow.commit()
    return len(gone)


@needs(Action.ENTER_PEOPLE)
def end_account(desk: Desk, deed: Deed, name: str) -> None:
    """Somebody signs in no more: their account, seats and tokens end. What they did stays theirs,
    and they stay a person of the house, who may be given an account anew.

    Raises CallError (`account-needed`; `account-own`, so that somebody is left who gives others).
    """
    if name == deed.who:
        raise CallError("account-own")
    with desk.store.writing() as uow:
        if uow.accounts.get(name) is None:
            raise CallError("account-needed", who=name)
        _stand(uow, name)
        uow.accounts.remove(name)
        note(uow, deed, "account-ended", "account", name)
        uow.commit()


@needs(Action.SEE_PEOPLE)
def account_names(desk: Desk, deed: Deed) -> Sequence[str]:
    """Whoever has an account."""
    with desk.store.reading() as uow:
        return uow.accounts.names()


def _own(store: Store, deed: Deed) -> PersonAccount:
    with store.reading() as uow:
        account = uow.accounts.get(deed.who)
    if account is None:
        raise CallError("account-needed", who=deed.who)
    return account


def _stand(uow: UnitOfWork, name: str, keep: str = "") -> None:
    uow.accounts.stand([each.digest for each in uow.accounts.seats(name) if each.digest != keep])
