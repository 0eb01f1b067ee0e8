"""Passwords by Argon2id, one-time codes by RFC 6238, tokens from the system's randomness."""

import re
import secrets
from datetime import datetime
from hashlib import sha256

import pyotp
from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error, InvalidHashError

STEP = 30
TOKEN_BYTES = 32
# Four of them hold 40 bits, enough for what is changed at once and guarded by a limit of tries.
_SYLLABLES = [first + second for first in "bdfghklmnprstvz" for second in "aeiou"]
_LONGEST_CODE = 8
# RFC 4226, section 4: at least 128 bits; base32 holds five in a sign.
_SECRET = re.compile("[A-Z2-7]{26,128}")


class HouseKeys:
    """Secrets made and checked; the library's own cost (RFC 9106, low memory) for each hash."""

    def __init__(self, hasher: PasswordHasher | None = None) -> None:
        self._hasher = PasswordHasher() if hasher is None else hasher

    def hashed(self, password: str) -> str:
        """The hash of a password, with its salt."""
        return self._hasher.hash(password)

    def fits(self, password: str, hashed: str) -> bool:
        """Whether a password is the one that was hashed."""
        try:
            return self._hasher.verify(hashed, password)
        except (Argon2Error, InvalidHashError):
            return False

    def is_old(self, hashed: str) -> bool:
        """Whether the hash was made in a way that is no longer ours."""
        return self._hasher.check_needs_rehash(hashed)

    def token(self) -> str:
        """A token that nobody can guess."""
        return secrets.token_urlsafe(TOKEN_BYTES)

    def digest(self, token: str) -> str:
        """What is kept of a token: it is as random as a key, and needs no slow hash."""
        return sha256(token.encode("utf-8", "surrogatepass")).hexdigest()

    def words(self) -> str:
        """A password to tell somebody at the counter once: four groups that can be spoken."""
        groups = ("".join(secrets.choice(_SYLLABLES) for _ in range(2)) for _ in range(4))
        return "-".join(groups)

    def secret(self) -> str:
        """A new secret of one-time codes [base32]."""
        return pyotp.random_base32()

    def address(self, secret: str, name: str, house: str) -> str:
        """A secret as an authenticator reads it off a code: the de-facto `otpauth` address."""
        return pyotp.TOTP(secret).provisioning_uri(name=name, issuer_name=house or "wholekit")

    def step_of(self, secret: str, code: str, at: datetime) -> int | None:
        """The step [count of 30 s] whose one-time code this is, now or one step off; else None.

        RFC 6238, section 5.2: one step off for clocks that differ.
        """
        said = "".join(code.split())
        if not said or len(said) > _LONGEST_CODE or not _SECRET.fullmatch(secret):
            return None
        now = int(at.timestamp()) // STEP
        codes = pyotp.TOTP(secret)
        for step in (now, now - 1, now + 1):
            if secrets.compare_digest(codes.at(step * STEP).encode(), said.encode()):
                return step
        return None
