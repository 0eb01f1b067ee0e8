"""A house's logo: a PNG or SVG that is what it says, of a size a page can bear, whole in itself."""

import stat
import struct
from io import BytesIO
from pathlib import Path
from zlib import crc32

from wholekit.domain.errors import Problem
from wholekit.domain.house_style import Logo
from wholekit.intake.logo_svg import read_svg
from wholekit.intake.text_file import require_plain

LARGEST = 2_000_000  # [bytes]
MOST_PIXELS = 8_000  # a side, before it is scaled down
# 60 mm at some 600 dots per inch, more than a printer shows.
ENOUGH_PIXELS = 1_400
MOST_RATIO = 20
_PNG = b"\x89PNG\r\n\x1a\n"


def read_logo(path: Path, problems: list[Problem], *, named: bool) -> Logo | None:
    """The logo of a file; None with every fault put down.

    named: the house's name stands in it. Refused: neither PNG nor SVG, more than 2,000,000 bytes,
    more than 8,000 pixels a side, a side more than twenty times the other, a PNG that is damaged,
    an SVG that is not whole in itself (see `read_svg`). A large PNG is scaled down.
    """
    where = str(path)
    try:
        require_plain(path)
        if not stat.S_ISREG(path.stat().st_mode):
            problems.append(Problem("logo-missing", {}, where))
            return None
        if path.stat().st_size > LARGEST:
            problems.append(Problem("logo-too-large", {"most": LARGEST}, where))
            return None
        data = path.read_bytes()
    except FileNotFoundError:
        problems.append(Problem("logo-missing", {}, where))
        return None
    except OSError as error:
        problems.append(Problem("file-not-read", {"error": error.strerror or "?"}, where))
        return None
    is_png = data.startswith(_PNG)
    logo = _png(data, where, problems, named) if is_png else _svg(data, where, problems, named)
    if logo is not None and max(logo.width, logo.height) > MOST_RATIO * min(
        logo.width, logo.height
    ):
        problems.append(Problem("logo-too-long", {"most": MOST_RATIO}, where))
        return None
    return logo


def _png(data: bytes, where: str, problems: list[Problem], named: bool) -> Logo | None:
    # Width and height stand in the first chunk (W3C PNG, 11.2.1): a small file may unfold into
    # more than memory holds, so they are read before anything is unfolded.
    sides = [int.from_bytes(data[at : at + 4], "big") for at in (16, 20)]
    if data[12:16] == b"IHDR" and max(sides) > MOST_PIXELS:
        fields = {"given": f"{sides[0]} × {sides[1]}", "most": MOST_PIXELS}
        problems.append(Problem("logo-too-many-pixels", fields, where))
        return None
    fault = _png_fault(data)
    if fault:
        problems.append(Problem("logo-damaged", {"error": fault}, where))
        return None
    from PIL import Image

    try:
        with Image.open(BytesIO(data), formats=("PNG",)) as picture:
            picture.load()
            clear = "A" in picture.getbands() or "transparency" in picture.info
            plain = picture.convert("RGBA" if clear else "RGB")
    # Whatever the library says of a damaged picture.
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError) as error:
        problems.append(Problem("logo-damaged", {"error": str(error)}, where))
        return None
    plain.thumbnail((ENOUGH_PIXELS, ENOUGH_PIXELS), Image.Resampling.LANCZOS)
    # Written anew, nothing is left in it but the picture.
    written = BytesIO()
    plain.info.clear()
    plain.save(written, "PNG", optimize=True)
    return Logo("image/png", written.getvalue(), plain.width, plain.height, named)


def _png_fault(data: bytes) -> str:
    """What is wrong with a PNG's chunks (W3C PNG, 5.3), empty for nothing.

    Looked at here since the picture library may have been told to take pictures that end early.
    """
    at, kind = len(_PNG), b""
    while kind != b"IEND":
        (length,) = struct.unpack(">I", data[at : at + 4]) if len(data) >= at + 12 else (len(data),)
        body = data[at + 4 : at + 8 + length]
        if len(body) != 4 + length or len(data) < at + 12 + length:
            return "it ends early"
        if struct.pack(">I", crc32(body)) != data[at + 8 + length : at + 12 + length]:
            return "its sums do not fit"
        kind, at = body[:4], at + 12 + length
    return ""


def _svg(data: bytes, where: str, problems: list[Problem], named: bool) -> Logo | None:
    size = read_svg(data, where, problems)
    return None if size is None else Logo("image/svg+xml", data, *size, named)
