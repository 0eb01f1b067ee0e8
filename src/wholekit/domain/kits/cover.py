"""The exact least-cost set of items that covers a kit's needs.

The model. One body is chosen; an item that holds bodies may be used only if all of them are the
chosen one (a kit never carries a second kind of body). Each other need takes one piece out of its
alternatives, all of it of that one piece (a joint is not screwed with two kinds of screw); needs
that take the same piece take it one after the other. Items are bought whole, any number of each,
and everything in them counts. The least total score wins; of equal scores the one whose items stand
first in the shelf's order.

How it is solved. Body first, then only what fits it: needs that nothing loose links are
independent of each other and solved apart, each once for all bodies; a box that holds the body
lowers what is left to buy, and equal remainders are solved once. Inside a part the search is a
shortest path over what is still needed, dominated items left out. All of it is exact.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

Ranks: TypeAlias = tuple[int, ...]
Answer: TypeAlias = tuple[int, Ranks]
State: TypeAlias = tuple[int, ...]
Vector: TypeAlias = tuple[int, int, State]
_Rest: TypeAlias = tuple[int, Ranks, dict[int, str]]


@dataclass(frozen=True, slots=True)
class CoverItem:
    """An item as the cover sees it: its rank in the shelf's order, score, pieces [count]."""

    rank: int
    score: int
    supplies: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class CoverNeed:
    """So many [count] of one piece out of the alternatives."""

    quantity: int
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Alternative:
    """Bodies that share needs: each with the pieces of it that are wanted [count]."""

    bodies: Mapping[str, Mapping[str, int]]
    needs: tuple[CoverNeed, ...]


@dataclass(frozen=True, slots=True)
class Cover:
    """The answer: body, items by rank, piece chosen for each need, needs unmet.

    chosen[i] is the piece of need i, None where nobody sells one; missing lists those needs.
    """

    score: int
    body: str
    ranks: Ranks
    chosen: tuple[str | None, ...]
    missing: tuple[int, ...]

    @property
    def key(self) -> tuple[int, int, Ranks]:
        """Sort key: fewest unmet needs, least score, first in the shelf's order."""
        return (len(self.missing), self.score, self.ranks)


class Market:
    """All that can be bought in one finish: boxes with a body, and loose items.

    boxes: items that hold a body and no other one, by body. loose: items without a body, by each
    piece they supply. What was solved for one set of needs is kept for the next kit that has it.
    """

    def __init__(
        self,
        boxes: Mapping[str, Sequence[CoverItem]],
        loose: Mapping[str, Sequence[CoverItem]],
    ) -> None:
        self.boxes = {
            # Cheapest first: every loop over boxes stops at the first one that is too dear, and a
            # body's first box is the least any kit with it can cost.
            body: tuple(sorted(items, key=lambda item: (item.score, item.rank)))
            for body, items in boxes.items()
            if items
        }
        self.loose = {piece: tuple(items) for piece, items in loose.items() if items}
        self.boxed = frozenset(
            piece for items in self.boxes.values() for item in items for piece in item.supplies
        )
        self._searches: dict[tuple[CoverNeed, ...], CoverSearch] = {}

    def search(self, needs: tuple[CoverNeed, ...]) -> "CoverSearch":
        """The solver of a set of needs, made once."""
        search = self._searches.get(needs)
        if search is None:
            search = self._searches[needs] = CoverSearch(needs, self)
        return search


def least_cover(
    alternative: Alternative, market: Market, to_beat: tuple[int, int, Ranks] | None = None
) -> Cover | None:
    """The best cover over an alternative's bodies, None if none is sold or beats `to_beat`.

    A need that nothing supplies is reported as missing, not paid for; fewest missing come first.
    """
    search = market.search(alternative.needs)
    best: Cover | None = None
    bound = to_beat
    order = sorted(
        (boxes[0].score, body)
        for body in alternative.bodies
        if (boxes := market.boxes.get(body)) is not None
    )
    # A bound, since every kit with this body holds at least its cheapest box and lacks at least
    # what nobody sells. Bodies come in the order of that box, so the first one past the bound ends
    # the search. Past it, not at it: of equal scores the ranks decide, and they are not known yet.
    for floor, body in order:
        if bound is not None and (search.least_missing, floor) > bound[:2]:
            break
        found = search.with_body(body, alternative.bodies[body], bound)
        if found is not None and (bound is None or found.key < bound):
            best, bound = found, found.key
    return best


class CoverSearch:
    """One set of needs: its parts, solved once for all bodies."""

    def __init__(self, needs: tuple[CoverNeed, ...], market: Market) -> None:
        self._needs = needs
        self._market = market
        self._unsold = tuple(
            index
            for index, need in enumerate(needs)
            if not any(piece in market.loose for piece in need.pieces)
        )
        self.least_missing = sum(
            1
            for index in self._unsold
            # What no box of any body holds either is missing whichever body is taken.
            if not any(piece in market.boxed for piece in needs[index].pieces)
        )
        self._parts = [
            _Part(indexes, needs, market.loose, market.boxed)
            for indexes in _linked(needs, market.loose)
        ]
        # Of all that a box may bring, what these needs can use.
        self._most: dict[str, int] = {}
        for need in needs:
            for piece in need.pieces:
                self._most[piece] = self._most.get(piece, 0) + need.quantity
        self._useful = tuple(piece for piece in self._most if piece in market.boxed)
        # Keyed by what is left to supply and not by the boxes, so that all boxes alike share one
        # answer.
        self._rests: dict[tuple[State, frozenset[int]], _Rest | None] = {}

    def floor(self, body: str) -> int | None:
        """A score no complete cover with one of this body can be under, None if there is none.

        With one box it is that box and the least rest; with more, at least two of the cheapest.
        """
        items = self._market.boxes[body]
        if self._unmet(items):
            return None
        # Two boxes cost at least twice the cheapest, whatever they spare; with one box the rest is
        # worked out. The lesser of the two holds for any number of boxes.
        best = 2 * items[0].score
        for item in items:
            rest = self._rest(item.supplies, frozenset())
            if rest is not None and item.score + rest[0] < best:
                best = item.score + rest[0]
        return best

    def with_body(
        self,
        body: str,
        wanted: Mapping[str, int],
        bound: tuple[int, int, Ranks] | None = None,
    ) -> Cover | None:
        """The best cover with one body, of which `wanted` pieces are needed; None if unbeaten."""
        items = self._market.boxes[body]
        missing = self._unmet(items)
        best: Cover | None = None
        for score, ranks, supplied in self._box_sets(wanted, items, missing, bound):
            # The sets come by the bound of the start; a better kit found since is looked at here.
            # A bound, since what is bought beside the boxes costs nothing or more.
            if bound is not None and (len(missing), score) > bound[:2]:
                continue
            found = self._complete(body, score, ranks, supplied, missing)
            if found is not None and (bound is None or found.key < bound):
                best, bound = found, found.key
        return best

    def _unmet(self, items: Sequence[CoverItem]) -> frozenset[int]:
        """Needs that neither a loose item nor one of these boxes can supply."""
        if not self._unsold:
            return frozenset()
        # Any number of boxes may be bought: one that holds the piece at all is enough.
        in_boxes = {piece for item in items for piece in item.supplies}
        return frozenset(
            index
            for index in self._unsold
            if not any(piece in in_boxes for piece in self._needs[index].pieces)
        )

    def _box_sets(
        self,
        wanted: Mapping[str, int],
        items: Sequence[CoverItem],
        missing: frozenset[int],
        bound: tuple[int, int, Ranks] | None,
    ) -> Iterator[tuple[int, Ranks, Mapping[str, int]]]:
        """Every set of boxes worth trying: enough bodies, and each box of use when added.

        A box is added past the bodies only while it costs no more than buying what is left
        without it, so the sets stay few and none that could win is left out.
        """
        stack: list[tuple[int, int, Ranks, Mapping[str, int]]] = [(0, 0, (), {})]
        while stack:
            start, score, ranks, supplied = stack.pop()
            limit: int | None = None
            if all(supplied.get(piece, 0) >= count for piece, count in wanted.items()):
                yield score, ranks, supplied
                rest = self._rest(supplied, missing)
                limit = None if rest is None else rest[0]
            for position in range(start, len(items)):
                item = items[position]
                # A bound: the kit without this box is yielded already and costs the boxes so far
                # and the rest. With a dearer box than that rest every kit is dearer. At equal cost
                # the box may still win by its rank. The boxes are sorted, so that all later ones
                # go too.
                if limit is not None and item.score > limit:
                    break
                if bound is not None and (len(missing), score + item.score) > bound[:2]:
                    break
                # A box that brings nothing still lacking only adds to the score; so does every set
                # that holds it, for the same set without it supplies as much.
                if not self._of_use(item, wanted, supplied):
                    continue
                together = item.supplies if not supplied else _added(supplied, item.supplies)
                # From this position on, not the next: the same box may be bought twice, and each
                # set of boxes comes up once, in one order.
                stack.append((position, score + item.score, (*ranks, item.rank), together))

    def _of_use(
        self, item: CoverItem, wanted: Mapping[str, int], supplied: Mapping[str, int]
    ) -> bool:
        if any(
            piece in item.supplies and supplied.get(piece, 0) < count
            for piece, count in wanted.items()
        ):
            return True
        return any(supplied.get(piece, 0) < self._most.get(piece, 0) for piece in item.supplies)

    def _rest(self, supplied: Mapping[str, int], missing: frozenset[int]) -> _Rest | None:
        """What is still to be bought beside the boxes; solved once for all boxes alike."""
        key = (tuple([supplied.get(piece, 0) for piece in self._useful]), missing)
        if key in self._rests:
            return self._rests[key]
        score = 0
        ranks: list[int] = []
        chosen: dict[int, str] = {}
        rest: _Rest | None = None
        # Least part by part is least of all. The ranks too: items cost more than nothing, so that
        # of two equal answers of a part neither is the start of the other, and the one that is
        # first stays first when the ranks of the other parts are sorted in.
        for part in self._parts:
            solved = part.solve(supplied, missing)
            if solved is None:
                break
            (cost, bought), pieces = solved
            score += cost
            ranks += bought
            chosen.update(zip(part.indexes, pieces, strict=True))
        else:
            rest = (score, tuple(ranks), chosen)
        self._rests[key] = rest
        return rest

    def _complete(
        self,
        body: str,
        score: int,
        ranks: Ranks,
        supplied: Mapping[str, int],
        missing: frozenset[int],
    ) -> Cover | None:
        rest = self._rest(supplied, missing)
        if rest is None:
            return None
        chosen = tuple(
            None if index in missing else rest[2][index] for index in range(len(self._needs))
        )
        return Cover(
            score + rest[0],
            body,
            tuple(sorted((*ranks, *rest[1]))),
            chosen,
            tuple(sorted(missing)),
        )


def _added(first: Mapping[str, int], second: Mapping[str, int]) -> Mapping[str, int]:
    together = dict(first)
    for piece, quantity in second.items():
        together[piece] = together.get(piece, 0) + quantity
    return together


class _Part:
    """Needs that pieces or loose items link, solved apart from all others."""

    def __init__(
        self,
        indexes: tuple[int, ...],
        needs: Sequence[CoverNeed],
        loose: Mapping[str, Sequence[CoverItem]],
        boxed: frozenset[str],
    ) -> None:
        self.indexes = indexes
        self._needs = tuple(needs[index] for index in indexes)
        self._loose = loose
        self._vectors: dict[tuple[str, ...], tuple[tuple[Vector, ...], ...]] = {}
        options = [
            # A name nobody sells under keeps a need in its place that cannot be met; it is skipped
            # then.
            [piece for piece in need.pieces if piece in boxed or piece in loose] or [""]
            for need in self._needs
        ]
        self.assignments = tuple(product(*options))
        self._counted = tuple(_counted_at(pieces) for pieces in self.assignments)
        self._paths: dict[tuple[int, State], Answer | None] = {}

    def solve(
        self, supplied: Mapping[str, int], skipped: frozenset[int]
    ) -> tuple[Answer, tuple[str, ...]] | None:
        """Least answer given pieces already supplied, and the piece chosen for each need."""
        best: Answer | None = None
        chosen: tuple[str, ...] = ()
        for number, pieces in enumerate(self.assignments):
            wanted = [
                0 if index in skipped else need.quantity
                for index, need in zip(self.indexes, self._needs, strict=True)
            ]
            counted = self._counted[number]
            # Two joints with one kind of screw need the sum. Counted one by one, the same screws
            # would hold both.
            if counted is not None:
                wanted = [
                    sum(count for at, count in zip(counted, wanted, strict=True) if at == position)
                    for position in range(len(wanted))
                ]
            state = tuple(
                [
                    max(0, count - supplied.get(piece, 0))
                    for count, piece in zip(wanted, pieces, strict=True)
                ]
            )
            answer = self._least(number, pieces, state)
            # By score, then by ranks: the tie rule is the order of tuples.
            if answer is not None and (best is None or answer < best):
                best, chosen = answer, pieces
        return None if best is None else (best, chosen)

    def _least(self, number: int, pieces: tuple[str, ...], state: State) -> Answer | None:
        """Shortest path from what is needed to nothing; memo over states."""
        # Whatever completes the kit holds an item for its first need, and in which order items are
        # added does not matter. So only the items for that need are tried, and no kit is lost.
        position = next((index for index, left in enumerate(state) if left), None)
        if position is None:
            return (0, ())
        key = (number, state)
        if key in self._paths:
            return self._paths[key]
        best: Answer | None = None
        for score, rank, vector in self._covering(pieces)[position]:
            # A bound: an item costs its score at least, the items come cheapest first, so no later
            # one can win. At equal score one might, by its rank.
            if best is not None and score > best[0]:
                break
            rest = self._least(
                number,
                pieces,
                tuple(
                    left - gain if left > gain else 0
                    for left, gain in zip(state, vector, strict=True)
                ),
            )
            if rest is None:
                continue
            total = score + rest[0]
            if best is None or total < best[0]:
                best = (total, tuple(sorted((*rest[1], rank))))
            # The tie rule: of equal scores the ranks that are first in the shelf's order.
            elif total == best[0]:
                best = min(best, (total, tuple(sorted((*rest[1], rank)))))
        self._paths[key] = best
        return best

    def _covering(self, pieces: tuple[str, ...]) -> tuple[tuple[Vector, ...], ...]:
        """For each need: the undominated loose items that supply its piece, cheapest first."""
        known = self._vectors.get(pieces)
        if known is not None:
            return known
        found: dict[int, Vector] = {}
        # More of a piece than is needed is of no use: uncut, a dear pack of a hundred screws would
        # escape a cheap pack of ten that does as well.
        most = [
            sum(
                need.quantity
                for other, need in zip(pieces, self._needs, strict=True)
                if other == piece
            )
            for piece in pieces
        ]
        for piece in pieces:
            for item in self._loose.get(piece, ()):
                if item.rank not in found:
                    found[item.rank] = (
                        item.score,
                        item.rank,
                        tuple(
                            min(item.supplies.get(other, 0), count)
                            for other, count in zip(pieces, most, strict=True)
                        ),
                    )
        kept: list[Vector] = []
        # In the order of score, then rank, whatever dominates a candidate has been looked at
        # before it; and where that was itself dominated, its own better one dominates the
        # candidate too.
        for candidate in sorted(found.values()):
            if not any(_dominates(other, candidate) for other in kept):
                kept.append(candidate)
        # Dominated items may go, and the answer stays the same item by item. In a kit that holds
        # one put in its place the one that dominates it: what is needed is still supplied. Where
        # that is cheaper, the kit is cheaper. Where it costs the same it stands earlier, so the
        # sorted ranks come earlier and the tie rule prefers the kit. No best kit holds a dominated
        # item.
        covering = tuple(
            tuple(vector for vector in kept if vector[2][position])
            for position in range(len(pieces))
        )
        self._vectors[pieces] = covering
        return covering


def _counted_at(pieces: tuple[str, ...]) -> tuple[int, ...] | None:
    """Where each need is counted: at the first that takes the same piece; None if all differ."""
    if len(set(pieces)) == len(pieces):
        return None
    return tuple(pieces.index(piece) for piece in pieces)


def _dominates(first: Vector, second: Vector) -> bool:
    """No dearer, no later in the shelf's order, and supplies at least as much of everything."""
    # Score and rank are compared as a pair: a cheaper item may stand later, one that costs the
    # same may not. Score alone would let a later item push out an earlier one of the same cost.
    return first[:2] <= second[:2] and all(
        more >= less for more, less in zip(first[2], second[2], strict=True)
    )


def _linked(
    needs: Sequence[CoverNeed], loose: Mapping[str, Sequence[CoverItem]]
) -> list[tuple[int, ...]]:
    """Needs in groups that a piece or some loose item links; each group can be solved apart."""
    group = list(range(len(needs)))

    def root(index: int) -> int:
        while group[index] != index:
            index = group[index]
        return index

    first_use: dict[int | str, int] = {}
    for index, need in enumerate(needs):
        for piece in need.pieces:
            items: list[int | str] = [item.rank for item in loose.get(piece, ())]
            # A piece links needs even where nothing loose sells it: a box may bring it, and what a
            # box brings must not be counted in two groups.
            for used in (piece, *items):
                other = first_use.setdefault(used, index)
                if other != index:
                    group[root(index)] = root(other)
    parts: dict[int, list[int]] = {}
    for index in range(len(needs)):
        parts.setdefault(root(index), []).append(index)
    return [tuple(members) for members in parts.values()]
