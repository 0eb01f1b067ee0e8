"""The language words come in: English, which stands in the code, or one that has a catalogue.

A message is its own key, as in gettext. `speaking` sets the language for all that is worded
inside it; English needs no catalogue, and nothing is imported for it. Catalogues are PO files in
`wording/languages`; what one lacks is said in English.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import lru_cache
from gettext import GNUTranslations
from io import BytesIO
from pathlib import Path

ENGLISH = "en"
# By CLDR code, with the name in English.
LANGUAGES = {ENGLISH: "English", "es": "Spanish", "fr": "French"}
# What a language shortens an inch to, where it is not `in`.
INCHES = {"es": "pulg", "fr": "po"}
CATALOGUES = Path(__file__).parent / "languages"
_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_INCH = re.compile(r"(?<=\d) in\b")


@dataclass(frozen=True, slots=True)
class _Speech:
    """A language in use. decimal: the sign before the decimals in the locale; inch: as it is
    shortened."""

    words: GNUTranslations
    locale: str
    decimal: str
    inch: str


# Not a plain variable: several threads or tasks may word papers in several languages at once.
_SPEECH: ContextVar[_Speech | None] = ContextVar("speech", default=None)
# How English writes its amounts; each other language does as its own locale.
_ENGLISH_OF: ContextVar[str] = ContextVar("english_of", default=ENGLISH)


def language_of(locale: str) -> str:
    """The language, of those there are words for, that a locale's papers come in.

    >>> language_of("es_MX"), language_of("fr-CA"), language_of("de_DE")
    ('es', 'fr', 'en')
    """
    language = _subtag(locale)
    return language if language in LANGUAGES else ENGLISH


def has_words(locale: str) -> bool:
    """Whether there are words in the locale's own language."""
    return _subtag(locale) in LANGUAGES


def in_english(locale: str) -> str:
    """The locale of a paper in English, for which the customer's own may not serve.

    >>> in_english("en_CA"), in_english("fr_CA")
    ('en_CA', 'en_US')
    """
    return locale if _subtag(locale) == ENGLISH else "en_US"


@contextmanager
def speaking(locale: str) -> Iterator[None]:
    """Words inside come in the locale's language, their figures with its decimal sign."""
    language = language_of(locale)
    speech = None if language == ENGLISH else _speech(language, locale.replace("-", "_"))
    token, english = _SPEECH.set(speech), _ENGLISH_OF.set(in_english(locale))
    try:
        yield
    finally:
        _SPEECH.reset(token)
        _ENGLISH_OF.reset(english)


def spoken() -> object:
    """What words depend on, besides their message: equal where they come in one language."""
    return _SPEECH.get()


def tr(message: str) -> str:
    """The message in the language in use."""
    speech = _SPEECH.get()
    if speech is None:
        return message
    said = speech.words.gettext(message)
    # Older Pythons do not look for the singular of an entry that has a plural.
    return said if said != message else speech.words.ngettext(message, message, 1)


def trn(singular: str, plural: str, count: int) -> str:
    """The message for so many, in the language in use."""
    speech = _SPEECH.get()
    if speech is None:
        return singular if count == 1 else plural
    return speech.words.ngettext(singular, plural, count)


def quoted(text: str) -> str:
    """What somebody wrote, between the marks of the language in use.

    >>> quoted("B")
    '“B”'
    """
    return tr("“{text}”").format(text=text)


def figure(text: str) -> str:
    """A figure or measure written with a decimal point and `in`, with the decimal sign and the
    short form of an inch in use.

    >>> with speaking("fr_CA"):
    ...     figure("0.5 in"), figure("45.5 kg")
    ('0,5 po', '45,5 kg')
    """
    speech = _SPEECH.get()
    if speech is None:
        return text
    if speech.inch:
        text = _INCH.sub(f" {speech.inch}", text)
    return text if speech.decimal == "." else _POINT.sub(speech.decimal, text)


def language_spoken() -> str:
    """The language in use [CLDR code]."""
    locale = spoken_locale()
    return ENGLISH if locale is None else language_of(locale)


def spoken_locale() -> str | None:
    """The locale in use where it is not English's."""
    speech = _SPEECH.get()
    return None if speech is None else speech.locale


def amounts_locale() -> str:
    """The locale that amounts among the words in use are written in.

    >>> with speaking("en_CA"):
    ...     amounts_locale()
    'en_CA'
    """
    speech = _SPEECH.get()
    return _ENGLISH_OF.get() if speech is None else speech.locale


def _subtag(locale: str) -> str:
    return locale.replace("-", "_").partition("_")[0].lower()


@lru_cache(maxsize=16)
def _speech(language: str, locale: str) -> _Speech:
    from babel.numbers import get_decimal_symbol

    from wholekit.wording.amounts import read_locale

    decimal = get_decimal_symbol(read_locale(locale))
    return _Speech(_catalogue(language), locale, decimal, INCHES.get(language, ""))


@lru_cache(maxsize=len(LANGUAGES))
def _catalogue(language: str) -> GNUTranslations:
    """A language's PO file; entries marked fuzzy and obsolete ones are left out."""
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    with (CATALOGUES / f"{language}.po").open("rb") as file:
        read = read_po(file, locale=language)
    # gettext reads compiled catalogues only. Made in memory, so no file of them can be out of date.
    compiled = BytesIO()
    write_mo(compiled, read)
    compiled.seek(0)
    return GNUTranslations(compiled)
