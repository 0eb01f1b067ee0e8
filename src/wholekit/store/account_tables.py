"""The tables of signing in: accounts, seats that were taken, tries."""

from sqlalchemy import Index

from wholekit.store.columns import COUNTED, KEYED, Row, counted_key, rule, whole, words


class AccountRow(Row, table=True):
    """What proves that somebody is a person of the house. password: a hash."""

    __tablename__ = "account"
    __table_args__ = (
        rule("password", "length(password) > 0"),
        rule("must_change", "must_change IN (0, 1)"),
        rule("step", "step >= 0"),
        KEYED,
    )
    name: str = words(key=True, to="person.name")
    password: str = words()
    secret: str = words()
    step: int = whole()
    must_change: int = whole()
    version: int = whole()


class SeatRow(Row, table=True):
    """A seat at a browser, or a token of a machine (label). digest: of what shows it."""

    __tablename__ = "account_seat"
    __table_args__ = (
        Index("ix_account_seat_name", "name"),
        rule("digest", "length(digest) = 64"),
        KEYED,
    )
    digest: str = words(key=True)
    name: str = words(to="account.name")
    form_key: str = words()
    opened_at: str = words()
    seen_at: str = words()
    ends_at: str = words()
    label: str = words()


class SignInTryRow(Row, table=True):
    """Somebody tried to sign in. at: seconds since 1970, so that zones do not disturb the order;
    the name may be nobody's."""

    __tablename__ = "sign_in_try"
    __table_args__ = (
        Index("ix_sign_in_try_name", "name", "at"),
        Index("ix_sign_in_try_address", "address", "at"),
        rule("good", "good IN (0, 1)"),
        COUNTED,
    )
    id: int = counted_key()
    name: str = words()
    address: str = words()
    at: int = whole()
    good: int = whole()
