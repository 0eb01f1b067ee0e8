"""The archive form of a paper: PDF/A-3 (ISO 19005-3), conformance U, with the paper's data in it.

What that asks beyond plain PDF and is put here: what the colours mean (an sRGB profile), a mark of
the form in the properties, and a relation to each file carried along. Fonts come embedded, with
what each glyph means, by the layout library.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pikepdf import Object, Pdf


@dataclass(frozen=True, slots=True)
class Archive:
    """A file that goes along: its name, what it is in a few words, its type and what it holds."""

    name: str
    what: str
    media_type: str
    content: bytes


def archive(pdf: Path, kept: Archive) -> None:
    """Turn a finished paper into its archive form, with the file in it. Raises OSError.

    The same paper and file give the same bytes.
    """
    from pikepdf import Array, Name, Pdf

    with Pdf.open(pdf, allow_overwriting_input=True) as book:
        day = str(book.docinfo[Name.CreationDate])
        book.Root.OutputIntents = Array([_colours(book)])
        _carry(book, day, kept)
        # Parts of PDF 1.7 are used (tags, files); a lower number would deny them.
        book.Root.Version = Name("/1.7")
        with book.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as about:
            about["pdfaid:part"] = "3"
            about["pdfaid:conformance"] = "U"
        book.save(pdf, deterministic_id=True)


def _colours(book: "Pdf") -> "Object":
    """All colours on the papers are sRGB: the profile says what that is."""
    from importlib.resources import files

    from pikepdf import Dictionary, Name, Stream, String

    profile = Stream(book, (files("weasyprint.pdf") / "sRGB2014.icc").read_bytes())
    profile.N = 3
    return book.make_indirect(
        Dictionary(
            Type=Name.OutputIntent,
            S=Name.GTS_PDFA1,
            OutputConditionIdentifier=String("sRGB IEC61966-2.1"),
            Info=String("sRGB IEC61966-2.1"),
            DestOutputProfile=profile,
        )
    )


def _carry(book: "Pdf", day: str, kept: Archive) -> None:
    from pikepdf import Array, Dictionary, Name, Stream, String

    held = Stream(book, kept.content)
    held.Type = Name.EmbeddedFile
    held.Subtype = Name("/" + kept.media_type)
    held.Params = Dictionary(Size=len(kept.content), ModDate=String(day))
    file = book.make_indirect(
        Dictionary(
            Type=Name.Filespec,
            F=String(kept.name),
            UF=String(kept.name),
            Desc=String(kept.what),
            # The paper shows what these data say, and was made from them.
            AFRelationship=Name.Source,
            EF=Dictionary(F=held, UF=held),
        )
    )
    book.Root.AF = Array([file])
    book.Root.Names = Dictionary(EmbeddedFiles=Dictionary(Names=Array([String(kept.name), file])))
