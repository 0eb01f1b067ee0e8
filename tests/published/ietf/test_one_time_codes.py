"""One-time codes against RFC 6238, appendix B (values of the SHA-1 table, from memory of the
printed page; six digits are the last six of its eight)."""

from base64 import b32encode
from datetime import UTC, datetime

import pytest
from tests.support.accounts import KEYS

SECRET = b32encode(b"12345678901234567890").decode()
TABLE = [
    (59, "94287082", 0x1),
    (1111111109, "07081804", 0x23523EC),
    (1111111111, "14050471", 0x23523ED),
    (1234567890, "89005924", 0x273EF07),
    (2000000000, "69279037", 0x3F940AA),
]


@pytest.mark.parametrize(("seconds", "code", "step"), TABLE)
def test_the_codes_of_the_standards_table_are_taken_at_their_steps(seconds, code, step):
    at = datetime.fromtimestamp(seconds, UTC)
    assert KEYS.step_of(SECRET, code[-6:], at) == step
    assert KEYS.step_of(SECRET, f"{code[-6:-3]} {code[-3:]}", at) == step
    other = str((int(code[-6:]) + 1) % 1_000_000).zfill(6)
    assert KEYS.step_of(SECRET, other, at) is None
