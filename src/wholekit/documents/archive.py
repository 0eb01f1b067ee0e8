"""The archive form of a paper: PDF/A-3 (ISO 19005-3), conformance U, with the paper's data in it.

What that asks beyond plain PDF and is put here: what the colours mean (an sRGB profile), a mark of
the form in the properties that says the same as the older ones beside it, and a relation to each
file carried along. Fonts come embedded, with what each glyph means, by the layout library.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wholekit.documents.flow import Flow

if TYPE_CHECKING:
    from pikepdf import Object, Pdf


@dataclass(frozen=True, slots=True)
class Archive:
    """A file that goes along: its name, what it is in a few words, its type and what it holds."""

    name: str
    what: str
    media_type: str
    content: bytes


def make_archive(book: "Pdf", flow: Flow, kept: Archive) -> None:
    """Turn a book into its archive form, with the file in it."""
    from pikepdf import Array, Name

    book.Root.OutputIntents = Array([_colours(book)])
    _carry(book, flow, kept)
    # Parts of PDF 1.7 are used (tags, files); a lower number would deny them.
    book.Root.Version = Name("/1.7")
    # No history and no editor's name: equal papers have equal bytes.
    with book.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as about:
        about["dc:title"] = flow.title
        about["dc:creator"] = [flow.author]
        about["dc:language"] = {flow.language}
        about["xmp:CreateDate"] = f"{flow.day}T00:00:00Z"
        about["pdfaid:part"] = "3"
        about["pdfaid:conformance"] = "U"


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


def _carry(book: "Pdf", flow: Flow, kept: Archive) -> None:
    from pikepdf import Array, Dictionary, Name, Stream, String

    day = String(f"D:{flow.day.replace('-', '')}000000Z")
    held = Stream(book, kept.content)
    held.Type = Name.EmbeddedFile
    held.Subtype = Name("/" + kept.media_type)
    held.Params = Dictionary(Size=len(kept.content), ModDate=day)
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
