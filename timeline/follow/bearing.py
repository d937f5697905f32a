"""Who is said to bear on whom: "the knight hits queen and rook", "the queen is protected by the rook on b1".

Only what the board bears out is given: men of the kind, side, file and square
that the words name, one of which really attacks or defends the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import chess

from timeline.follow.lattice import Lattice
from timeline.follow.lexer import Tok
from timeline.follow.tree import Node
from timeline.follow.vocabulary import FILE_WORDS, PIECE_WORDS, TAKE_WORDS

ATTACK = frozenset(
    """attack attacks attacking attacked hit hits hitting eye eyes eyeing eying stare stares staring target targets targeting
    targeted pressure pressures pressing pressured pin pins pinned pinning fork forks forking forked threat threaten threatens
    threatening threatened aim aims aiming bears bearing point points pointing skewers skewer skewered""".split()
)
DEFENCE = frozenset(
    "defend defends defending defended protect protects protecting protected guard guards guarding guarded cover covers"
    " covering covered hold holds held supports support supported".split()
)
_DONE_TO = frozenset(
    "attacked hit targeted pressured pinned forked threatened skewered defended protected guarded covered held supported".split()
)
_BE = frozenset("is are was were be been being am isn't aren't wasn't weren't gets get got stays remains becomes stands".split())
_NOT = frozenset(
    "not no never isn't aren't wasn't weren't doesn't don't didn't can't cannot couldn't won't nothing nobody neither nor hardly"
    " without".split()
)
_ADVERBS = frozenset(
    """now then also still just simply both really already again here there actually well once twice only not no longer never
    safely directly always currently all together suddenly immediately even of course doubly""".split()
)
_BETWEEN = (
    _ADVERBS
    | _NOT
    | frozenset("and which that who it they he she this will would can could does do did has have had is are was be been to by".split())
)
_DETERMINERS = frozenset(
    "the a an his her its my our your their this that these those both two all each white black white's black's".split()
)
_ADJECTIVES = frozenset(
    """other poor loose weak little last only free passed isolated backward central big strong dangerous light dark squared
    light-squared dark-squared old new same own enemy hanging unprotected undefended advanced active first second far""".split()
)
_TOWARDS = frozenset("at on against upon onto down towards straight directly of up right".split())
_NEW_CLAUSE = (
    _BE | _NOT | frozenset("can will would could must may might should has have had does did goes comes takes".split())
)
_IT = frozenset("it he she which that it's he's she's".split())
_JOINS = frozenset(("and", "or", "plus", "also"))
_SIDES = {"white": True, "white's": True, "black": False, "black's": False}
_LONGEST = 8
_LEAD = 4  # words before a man's name that may be part of it
_BACK = 12
_MOST = 4


@dataclass(frozen=True, slots=True)
class Men:
    """Men as words name them, tokens ``start`` to ``end`` (exclusive); ``square`` and ``file`` -1, ``side`` None: not said."""

    start: int
    end: int
    piece: int
    side: bool | None
    file: int
    square: int
    several: bool
    other: bool

    def standing(self, board: chess.Board) -> list[int]:
        """Where men of the kind, side, file and square stand."""
        sides = (True, False) if self.side is None else (self.side,)
        found = [s for side in sides for s in board.pieces(self.piece, side)]
        if self.file >= 0:
            found = [s for s in found if chess.square_file(s) == self.file]
        return [s for s in found if self.square in (-1, s)]


@dataclass(frozen=True, slots=True)
class Bearing:
    """Arrows (from, to), or ``squares`` of men of whom it is not said who bears on them; ``end``: the token after the words."""

    role: str
    arrows: tuple[tuple[int, int], ...]
    squares: tuple[int, ...]
    end: int


def bearing_at(lattice: Lattice, i: int, high: int, node: Node) -> Bearing | None:
    """What the verb at a token says of men on the board; None where it is no such verb or the board does not bear it out."""
    toks = lattice.toks
    verb = toks[i].text
    if verb not in ATTACK and verb not in DEFENCE:
        return None
    role = "attack" if verb in ATTACK else "defence"
    k = i - 1
    while k >= 0 and not toks[k].ends and toks[k].text in _ADVERBS:
        k -= 1
    before = {tok.text for tok in toks[max(0, k) : i]}
    if before & _NOT or (k > 0 and toks[k - 1].text in _NOT and not toks[k - 1].ends):
        return None
    if verb in _DONE_TO:
        by = next((j for j in range(i + 1, min(high, i + 4)) if toks[j].text == "by"), None)
        if by is not None and not any(toks[j].ends in (".", "?") for j in range(i, by)):
            return _passive(lattice, i, by + 1, high, node, role)
        if k >= 0 and toks[k].text in _BE and not toks[k].ends:
            return _unnamed(lattice, i, k, node, role)
    return _active(lattice, i, high, node, role)


def _active(lattice: Lattice, i: int, high: int, node: Node, role: str) -> Bearing | None:
    toks = lattice.toks
    k = i
    while k + 1 < min(high, i + 4) and not toks[k].ends and toks[k + 1].text in _TOWARDS | _ADVERBS:
        k += 1
    if toks[k].ends:
        return None
    targets, end = _list(lattice, k + 1, high)
    if not targets:
        return None
    doers: list[int] | None = None
    if end < high and toks[end].text == "with" and not toks[end - 1].ends:
        tool = man_at(lattice, end + 1, high)
        if tool is not None:
            doers, end = tool.standing(node.board), tool.end
    if doers is None:
        doers = _doers(lattice, i, node)
    found: list[tuple[int, int]] = []
    for doer in doers:
        aimed = [[s for s in men.standing(node.board) if _bears(node.board, doer, s, role)] for men in targets]
        if all(aimed):
            found += [(doer, s) for squares in aimed for s in squares]
    several = _subject(lattice, i)
    if len({doer for doer, _ in found}) > 1 and not any(men.several for men in several) and len(several) < 2:
        return None  # one man is meant, and nothing says which
    return Bearing(role, tuple(found[:_MOST]), (), end) if found else None


def _passive(lattice: Lattice, i: int, agent: int, high: int, node: Node, role: str) -> Bearing | None:
    board = node.board
    agents, end = _list(lattice, agent, high)
    patients = _subject(lattice, i)
    places = [s for men in patients for s in men.standing(board)]
    if not patients and node.move is not None and _it(lattice.toks, i):
        places = [node.move.to_square]
    pairs: list[tuple[int, int]] = []
    for done in places:
        doers = [[s for s in by.standing(board) if _bears(board, s, done, role)] for by in agents]
        if doers and all(doers):
            pairs += [(s, done) for squares in doers for s in squares]
    if len({done for _, done in pairs}) > 1 and len(patients) == 1 and not patients[0].several:
        moved = node.move.to_square if node.move else None
        pairs = [pair for pair in pairs if pair[1] == moved]
    return Bearing(role, tuple(pairs[:_MOST]), (), end) if pairs else None


def _it(toks: Sequence[Tok], i: int) -> bool:
    """Whether a pronoun stands for whom it is done to, as in "it's protected by the king"."""
    k = i - 1
    while k > 0 and not toks[k].ends and toks[k].text in _ADVERBS | _BE:
        k -= 1
    return k >= 0 and not toks[k].ends and toks[k].text in _IT


def _unnamed(lattice: Lattice, i: int, be: int, node: Node, role: str) -> Bearing | None:
    """ "Both queens are attacked": the men themselves, where it is clear which."""
    board = node.board
    squares: list[int] = []
    for men in _subject(lattice, be):
        if men.square >= 0:
            return None  # marked where it is named
        standing = [s for s in men.standing(board) if _is(board, s, lattice.toks[i].text, role)]
        if len(standing) != 1 and not (men.several and len(standing) == len(men.standing(board))):
            return None
        squares += standing
    return Bearing(role, (), tuple(squares[:_MOST]), i + 1) if squares else None


def _is(board: chess.Board, square: int, verb: str, role: str) -> bool:
    side = bool(board.color_at(square))
    if verb == "pinned":
        return board.is_pinned(side, square)
    return board.is_attacked_by(side if role == "defence" else not side, square)


def _bears(board: chess.Board, doer: int, done: int, role: str) -> bool:
    same = board.color_at(doer) == board.color_at(done)
    return doer != done and same == (role == "defence") and done in board.attacks(doer)


def man_at(lattice: Lattice, i: int, high: int) -> Men | None:
    """Men named from a token on: "the black knights", "his d pawn", "the rook on b1"."""
    toks = lattice.toks
    k, side, several, other = i, None, False, False
    while k < high and k - i < _LEAD and toks[k].text in _DETERMINERS | _ADJECTIVES and not toks[k].ends:
        side = _SIDES.get(toks[k].text, side)
        several |= toks[k].text in ("both", "two", "these", "those", "all")
        other |= toks[k].text == "other"
        k += 1
    file = -1
    if k + 1 < high and not toks[k].ends and toks[k + 1].text in PIECE_WORDS:
        letter = FILE_WORDS.get(toks[k].text)
        if letter and letter[1] <= 0.3:
            file, k = ord(letter[0]) - ord("a"), k + 1
    elif k + 1 < high and k > i + 1 and toks[k - 1].text == "a" and toks[k].text in PIECE_WORDS:
        file = 0  # "the a pawn"
    if k >= high or toks[k].text not in PIECE_WORDS:
        return None
    word = toks[k].text
    piece, cost = PIECE_WORDS[word]
    if cost > 0.5 or word.endswith("'s") or (k + 1 < high and toks[k + 1].text in ("side", "wing")):
        return None
    several |= word.endswith("s")
    end, square = k + 1, -1
    if end < high and not toks[k].ends:
        at = end + (toks[end].text in ("on", "at", "from"))
        named = named_square(lattice, at, high)
        if named is not None:
            square, end = named
    return Men(i, end, piece, side, file, square, several and square < 0, other)


def named_square(lattice: Lattice, i: int, high: int) -> tuple[int, int] | None:
    """The square whose bare name begins at a token, and the token after it."""
    if i >= high:
        return None
    bare = [m for m in lattice.readings(i) if m.hear < 0.45 and m.end <= high and m.desc.to >= 0 and m.kind == "pawn"]
    best = min(bare, key=lambda m: m.hear, default=None)
    return (best.desc.to, best.end) if best else None


def _list(lattice: Lattice, i: int, high: int) -> tuple[list[Men], int]:
    """Men named one after the other ("the rook and the knight"), and the token after them."""
    toks, found = lattice.toks, []
    men = man_at(lattice, i, high)
    while men is not None:
        found.append(men)
        i = men.end
        if i >= high or toks[i - 1].ends in (".", "?"):
            break
        comma, joined = bool(toks[i - 1].ends), toks[i].text in _JOINS
        if not (comma or joined) or (comma and joined and len(found) < 2):
            break
        again = i + joined < high and toks[i + joined].text == "by"  # "by the rook and by the pawn"
        men = man_at(lattice, i + joined + again, high)
        if men is not None and men.end < high and not toks[men.end - 1].ends and toks[men.end].text in _NEW_CLAUSE:
            break  # "attacks the rook and the bishop cannot be taken"
    return found, i


def _subject(lattice: Lattice, i: int) -> list[Men]:
    """The men named right before a verb, only such words between as go with it."""
    found: list[Men] = []
    for end in _ends(lattice.toks, i):
        men = _ending(lattice, end)
        while men is not None:
            found.append(men)
            joined = men.start > 0 and lattice.toks[men.start - 1].text == "and"
            men = _ending(lattice, men.start - 1) if joined else None
        if found:
            break
    return found


def _ending(lattice: Lattice, end: int) -> Men | None:
    """Men whose name ends before a token, with all words that belong to it."""
    for start in range(max(0, end - _LONGEST), end):
        if not any(tok.ends for tok in lattice.toks[start : end - 1]):
            men = man_at(lattice, start, end)
            if men is not None and men.end == end:
                return men
    return None


def _ends(toks: Sequence[Tok], i: int) -> Iterator[int]:
    """Where what is named before a verb may end, nearest first."""
    for end in range(i, max(0, i - _BACK), -1):
        if toks[end - 1].ends in (".", "?"):
            return
        yield end
        if toks[end - 1].text not in _BETWEEN | _BE:
            return


def _doers(lattice: Lattice, i: int, node: Node) -> list[int]:
    """Where the doer of a verb may stand: the men named before it, the man on a square named so, else the man just moved."""
    toks, board = lattice.toks, node.board
    moved = node.move.to_square if node.move is not None else None
    named = _subject(lattice, i)
    if named:
        places = [s for men in named for s in men.standing(board)]
        if moved in places and len(named) == 1 and not named[0].several:
            return [s for s in places if s != moved] if named[0].other else [moved]
        return places
    for end in _ends(toks, i):
        for start in (end - 2, end - 1):
            square = named_square(lattice, start, end) if start >= 0 else None
            if square is not None and square[1] == end:
                return [square[0]] if board.piece_at(square[0]) else []
    for k in range(i - 1, max(-1, i - _BACK), -1):
        if toks[k].ends in (".", "?"):
            break
        if toks[k].text in _SIDES and moved is not None and board.color_at(moved) != _SIDES[toks[k].text]:
            return []
        men = man_at(lattice, k, i)
        if men is not None and not (men.end < i and (toks[men.end].text in TAKE_WORDS or men.square >= 0)):
            return men.standing(board)
    return [moved] if moved is not None else []
