"""Tags, which tell a screen reader what is a heading, a table or a cell, kept as pages are joined.

Each group's file has a tree of tags of its own (ISO 32000-1, 14.7). Its branches hang, page by
page, from one node, so a paper's tree is all branches of the pages it has, under one node again.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pikepdf import Name, Object, Pdf


class Tags:
    """The tree of a book of pages that come file by file."""

    def __init__(self, book: "Pdf") -> None:
        from pikepdf import Array, Dictionary, Name

        self._book = book
        self._root = book.make_indirect(Dictionary(Type=Name.StructTreeRoot))
        self._document = book.make_indirect(
            Dictionary(Type=Name.StructElem, S=Name.Document, P=self._root)
        )
        self._branches = Array()
        self._numbers = Array()
        self._next = 0
        self._files = 0

    def bring(self, source: "Pdf", first: int) -> None:
        """Take over the tags of a file whose pages are the book's from `first` (0 is its first).

        A file without tags brings none.
        """
        from pikepdf import Array, Name

        tree = source.Root.get(Name.StructTreeRoot)
        if tree is None:
            return
        self._files += 1
        # Pages were copied before, so the tags' copies lead to the book's own. Of a page that is
        # not in the book nothing is copied: where its branches name their page, nothing stands.
        copied = self._book.copy_foreign(tree)
        theirs = copied.K[0]
        for branch in theirs.K:
            if branch.get(Name.Pg) is not None:
                branch.P = self._document
                self._branches.append(branch)
        owners = copied.ParentTree.Nums
        held = {int(owners[at]): owners[at + 1] for at in range(0, len(owners), 2)}
        for page in self._book.pages[first:]:
            self._renumber(page.obj, Name.StructParents, held)
            for note in page.obj.get(Name.Annots, Array()):
                self._renumber(note, Name.StructParent, held)
        self._mark_cells(theirs)

    def close(self) -> None:
        """Hang the tree into the book, if any file had tags."""
        from pikepdf import Array, Dictionary, Name

        if not self._files:
            return
        self._document.K = self._branches
        self._root.K = Array([self._document])
        # Keys of a number tree rise (ISO 32000-1, 7.9.7), and so they were given.
        self._root.ParentTree = self._book.make_indirect(Dictionary(Nums=self._numbers))
        self._root.ParentTreeNextKey = self._next
        self._book.Root[Name.StructTreeRoot] = self._root
        self._book.Root[Name.MarkInfo] = Dictionary(Marked=True)

    def _renumber(self, marked: "Object", key: "Name", held: dict[int, "Object"]) -> None:
        number = marked.get(key)
        if number is None:
            return
        self._numbers.append(self._next)
        self._numbers.append(held[int(number)])
        marked[key] = self._next
        self._next += 1

    def _mark_cells(self, top: "Object") -> None:
        """Headings say whether they head a column or a row, and are named apart file by file.

        Cells name their headings by an identifier that is a file's own: the file is added to it.
        """
        from pikepdf import Array, Dictionary, Name, String

        def apart(name: "Object") -> String:
            return String(f"{self._files}-{name}")

        waiting = [top]
        while waiting:
            node = waiting.pop()
            if Name.ID in node:
                node.ID = apart(node.ID)
            if node.S == Name.TH:
                node.A = Dictionary(O=Name.Table, Scope=_scope(node.P))
            said = node.get(Name.A)
            if said is not None and Name.Headers in said:
                said.Headers = Array([apart(name) for name in said.Headers])
            children = node.get(Name.K, Array())
            if isinstance(children, Array):
                waiting.extend(child for child in children if isinstance(child, Dictionary))


def _scope(row: "Object") -> "Name":
    """What a heading in this row heads (ISO 32000-1, table 349): one beside cells heads its row."""
    from pikepdf import Name

    beside = any(cell.S == Name.TD for cell in row.K)
    return Name.Row if beside and Name.THead != row.P.S else Name.Column
