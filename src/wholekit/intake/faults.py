"""The faults of one file or line, gathered until all can be told at once."""

from wholekit.domain.errors import InputError, Problem

MOST_PROBLEMS = 200


class Faults:
    """Gathers the problems of one place; past two hundred it gives up and raises.

    A column pasted one to the left makes every row of a schedule wrong in the same way: two
    hundred problems show that as well as a hundred thousand.
    """

    def __init__(self, where: str, most: int = MOST_PROBLEMS, *, gives_up: bool = True) -> None:
        """most: problems at which to give up; 1 where only whether there is any is asked.

        gives_up: whether it raises there, or keeps those and counts no more, for a reader that has
        more to tell than faults.
        """
        self.where = where
        self._most = most
        self._gives_up = gives_up
        self._problems: list[Problem] = []

    def put(self, code: str, row: int | None = None, column: str = "", **fields: object) -> None:
        """One problem more. Raises InputError once there are too many."""
        if len(self._problems) >= self._most:
            return
        self._problems.append(Problem(code, fields, self.where, row, column))
        if self._gives_up and len(self._problems) == self._most:
            raise InputError([*self._problems, self._last()])

    def __bool__(self) -> bool:
        return bool(self._problems)

    @property
    def problems(self) -> list[Problem]:
        """Those so far, by row; where there are too many, that behind them."""
        found = sorted(self._problems, key=lambda problem: problem.row or 0)
        return [*found, self._last()] if len(found) >= self._most else found

    def refuse(
        self, code: str, row: int | None = None, column: str = "", **fields: object
    ) -> InputError:
        """The error to raise where nothing further can be read: this problem behind the others."""
        return InputError([*self._problems, Problem(code, fields, self.where, row, column)])

    def raise_if_any(self) -> None:
        """Raises InputError with every problem so far, by row."""
        if self._problems:
            raise InputError(self.problems)

    def _last(self) -> Problem:
        return Problem("too-many-problems", {"count": self._most}, self.where)
