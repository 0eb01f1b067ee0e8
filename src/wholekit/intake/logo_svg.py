"""An SVG looked through: it may draw, and nothing else.

What is not known to be harmless is refused, with its line: addresses and files of any kind,
scripts, entities, text (which would look different on each machine) and effects that are pictures
made while it is drawn. Source of the names: SVG 1.1 and 2 (W3C).
"""

import re
from math import isfinite
from xml.parsers import expat

from wholekit.domain.errors import Problem

SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"
DRAWS = frozenset(
    {
        "svg", "g", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "defs",
        "linearGradient", "radialGradient", "stop", "clipPath", "mask", "use", "symbol", "title",
        "desc", "metadata", "style",
    }
)  # fmt: skip
TEXTS = frozenset({"text", "tspan", "textPath"})
ALIKE = frozenset(
    {"image", "foreignObject", "svg", "use", "style", "filter", "pattern", "marker", "script"}
)
REFUSED = "!"
MOST_ELEMENTS = 5_000
MOST_FAULTS = 20
_URL = re.compile(r"url\s*\(\s*['\"]?\s*(?!#)([^)'\"\s]*)", re.IGNORECASE)
# A backslash may spell any letter in a style, and so an address past whoever looks for one.
_STYLED = re.compile(r"@import|@font-face|expression\s*\(|javascript:|\\", re.IGNORECASE)
_NUMBER = re.compile(
    r"\s*([0-9]*\.?[0-9]+(?:e[+-]?[0-9]+)?)\s*(?:px|pt|mm|cm|in|pc)?\s*", re.IGNORECASE
)


def read_svg(data: bytes, where: str, problems: list[Problem]) -> tuple[float, float] | None:
    """Width and height of an SVG, only their ratio counting; None with every fault put down."""
    look = _Look(where)
    parser = expat.ParserCreate(namespace_separator=" ")
    look.parser = parser
    parser.StartElementHandler = look.start
    parser.EndElementHandler = look.end
    parser.CharacterDataHandler = look.text
    parser.StartDoctypeDeclHandler = look.doctype
    parser.ProcessingInstructionHandler = look.instruction
    try:
        parser.Parse(data, True)
    except _Enough:
        pass
    except expat.ExpatError as error:
        said = expat.ErrorString(error.code)
        look.faults.append(Problem("logo-not-picture", {"error": said}, where, error.lineno))
    if not look.faults:
        look.check_uses()
        if look.size is None:
            look.put("logo-without-size")
    problems += look.faults
    return None if look.faults else look.size


class _Enough(Exception):  # noqa: N818  # no error: all is told that need be
    pass


class _Look:
    """What is seen of a document while it is read."""

    parser: expat.XMLParserType

    def __init__(self, where: str) -> None:
        self.where = where
        self.faults: list[Problem] = []
        self.size: tuple[float, float] | None = None
        self._open: list[tuple[str, str]] = []
        self._count = 0
        self._style = ""
        # By the id of an element: how many it holds with itself, and the ids its uses name.
        self._held: dict[str, list[int]] = {}
        self._uses: list[tuple[str, tuple[str, ...]]] = []

    def put(self, code: str, **fields: object) -> None:
        """A fault at the line that is being read. Raises _Enough after many."""
        line = self.parser.CurrentLineNumber
        self.faults.append(Problem(code, fields, self.where, line))
        if len(self.faults) >= MOST_FAULTS:
            raise _Enough

    def doctype(self, *_: object) -> None:
        self.put("logo-doctype")
        raise _Enough

    def instruction(self, target: str, _: str) -> None:
        self.put("logo-element", given=f"?{target}")

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        space, _, name = tag.rpartition(" ")
        self._count += 1
        if self._count > MOST_ELEMENTS:
            self.put("logo-too-rich", most=MOST_ELEMENTS)
            raise _Enough
        # Whoever draws it may look at names alone; others' notes beside the drawing stay.
        drawn = space in ("", SVG) or name in TEXTS | ALIKE
        refused = bool(self._open) and self._open[-1][0] == REFUSED
        if not self._open:
            self._root(space, name, attributes)
        elif drawn and not refused and (name not in DRAWS or name == "svg"):
            # With all that is in it: one fault tells enough.
            refused = True
            self.put("logo-text" if name in TEXTS else "logo-element", given=name)
        shown = REFUSED if refused else name if drawn else ""
        self._open.append((shown, attributes.get("id", "")))
        if refused:
            return
        for _, named in self._open:
            if named:
                self._held.setdefault(named, [0])[0] += 1
        for key, value in attributes.items():
            self._attribute(key, value)
        if drawn and name == "use":
            target = attributes.get("href", attributes.get(f"{XLINK} href", ""))
            self._uses.append((target.removeprefix("#"), tuple(named for _, named in self._open)))

    def end(self, _: str) -> None:
        name, _id = self._open.pop()
        if name == "style":
            self._css(self._style)
            self._style = ""

    def text(self, text: str) -> None:
        if self._open and self._open[-1][0] == "style":
            self._style += text

    def check_uses(self) -> None:
        """A use may not name what holds a use: a few lines could draw for hours."""
        with_use = {named for _, opened in self._uses for named in opened if named}
        drawn = self._count + sum(self._held.get(target, [0])[0] for target, _ in self._uses)
        if any(target in with_use for target, _ in self._uses):
            self.put("logo-use-nested")
        elif drawn > MOST_ELEMENTS:
            self.put("logo-too-rich", most=MOST_ELEMENTS)

    def _root(self, space: str, name: str, attributes: dict[str, str]) -> None:
        if (space, name) != (SVG, "svg"):
            self.put("logo-not-picture", error=f"its first element is {name}")
            raise _Enough
        self.size = _size(attributes)

    def _attribute(self, key: str, value: str) -> None:
        name = key.rpartition(" ")[2].lower()
        if name.startswith("on"):
            self.put("logo-script", given=name)
        elif name in ("href", "src", "base") and not value.strip().startswith("#"):
            self.put("logo-fetches", given=_short(value))
        else:
            self._css(value)

    def _css(self, text: str) -> None:
        asked = _URL.search(text)
        styled = _STYLED.search(text)
        if asked:
            self.put("logo-fetches", given=_short(asked[1]))
        elif styled:
            self.put("logo-fetches", given=_short(styled[0]))


def _size(attributes: dict[str, str]) -> tuple[float, float] | None:
    """Width and height: those of the view box, else those stated."""
    box = re.split(r"[\s,]+", attributes.get("viewBox", "").strip())
    given = box[2:] if len(box) == 4 else [attributes.get(side, "") for side in ("width", "height")]
    found = [_NUMBER.fullmatch(side) for side in given]
    sizes = [float(match[1]) for match in found if match]
    if len(sizes) == 2 and all(isfinite(size) and 0 < size < 1e7 for size in sizes):
        return sizes[0], sizes[1]
    return None


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:60]}…"
