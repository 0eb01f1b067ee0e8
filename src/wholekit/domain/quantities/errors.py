"""The one error that reading a quantity raises."""


class QuantityError(ValueError):
    """A text that is not the quantity asked for.

    Carries a code and the text as given; the sentence a person reads, with what would be right,
    is made in `wholekit.wording`.
    """

    def __init__(self, code: str, given: str, **fields: object) -> None:
        super().__init__(f"{code}: {given!r}")
        self.code = code
        self.given = given
        self.fields = fields
