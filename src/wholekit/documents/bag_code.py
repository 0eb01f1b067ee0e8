"""A bag's id as a QR code, drawn so that each module is whole dots of a label printer."""

from io import BytesIO

DOTS_PER_INCH = 203  # of the usual label printer (8 dots to the millimetre)
MM_PER_INCH = 25.4
QUIET = 4  # light modules all round (ISO/IEC 18004; from memory, not read)


def code_drawing(text: str, dots: int) -> str:
    """The QR code of a text at error level M, as an SVG document. dots: to a module [count].

    The level stays M where a higher one would fit: a code must look the same for every bag.
    """
    import segno

    code = segno.make_qr(text, error="m", boost_error=False)
    out = BytesIO()
    code.save(
        out,
        kind="svg",
        scale=dots * MM_PER_INCH / DOTS_PER_INCH,
        unit="mm",
        border=QUIET,
        xmldecl=False,
        nl=False,
        svgclass=None,
        lineclass=None,
    )
    return out.getvalue().decode()
