"""How well a colour reads on white paper, in colour and in black and white.

Relative luminance and contrast ratio as WCAG 2.2 defines them (W3C, "relative luminance" and
"contrast ratio"); the least ratio is that of its success criterion 1.4.3 for text.
"""

import re

LEAST_CONTRAST = 4.5
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


def is_colour(text: str) -> bool:
    """Whether a text is a colour as this module takes it: `#` and six hexadecimal digits."""
    return _COLOUR.fullmatch(text) is not None


def luminance(colour: str) -> float:
    """Relative luminance of `#rrggbb` [0 black to 1 white]. Source: WCAG 2.2.

    >>> luminance("#ffffff"), luminance("#000000")
    (1.0, 0.0)
    """
    red, green, blue = (_linear(value / 255) for value in _parts(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast_on_white(colour: str) -> float:
    """Contrast ratio of `#rrggbb` with white [1 to 21]. Source: WCAG 2.2.

    >>> contrast_on_white("#000000")
    21.0
    """
    return 1.05 / (luminance(colour) + 0.05)


def legible(colour: str) -> str:
    """The colour, or the lightest shade of it that reads on white, as `#rrggbb`.

    >>> legible("#7A2E1F"), legible("#FFFFFF")
    ('#7a2e1f', '#767676')
    """
    parts = _parts(colour)
    # Shares of the colour, not of its luminance: the hue stays. A thousandth is under one step.
    shades = ("#" + "".join(f"{value * share // 1000:02x}" for value in parts)
              for share in range(1000, -1, -1))  # fmt: skip
    return next(shade for shade in shades if contrast_on_white(shade) >= LEAST_CONTRAST)


def _parts(colour: str) -> tuple[int, ...]:
    return tuple(int(colour[at : at + 2], 16) for at in (1, 3, 5))


def _linear(share: float) -> float:
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4
