"""What the picture alone shows, in words, for those who do not see it: set-ups, moves that are not spoken, marks.

Descriptions are fitted into the pauses of the talk (and into the film's
holds), after what they describe and in order. Where no pause is long enough
soon enough, the description is *extended*: the player has to stop the film
for it (WCAG 2.2 SC 1.2.7, extended audio description). Nothing is left out.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

import chess

from timeline.captions.page import describe_position
from timeline.captions.units import core
from timeline.captions.webvtt import escape
from timeline.captions.writers import NOTHING, About, finished, stamp
from timeline.timemap import TimeMap
from timeline.tracks import BoardSpan, BoardTrack, MarkSpan, step
from timeline.transcript.words import Word

_WORD_MS = (
    333  # 180 words a minute, the upper speed of BBC Subtitle Guidelines 4, taken for a voice; a square is two words
)
_AIR_MS = 150  # between a voice and the other (ours)
_LEAST_MS = 900
_LATE_MS = 7000  # a description that would come later stops the film instead (ours)
_SPOKEN_MS = 5000  # words this near to a change may be the ones that say it
_SET_UP_MS = 20_000  # a position read aloud takes this long
_NEAR_WORDS = 4
_MOST_PLIES = 6  # more than this at once: the position instead of the moves
_SQUARE = re.compile(r"[a-h][1-8]")
_SYNONYMS = {"horse": "knight", "tower": "rook", "lady": "queen"}
_COLOURS = {chess.WHITE: "White", chess.BLACK: "Black"}


@dataclass(frozen=True, slots=True)
class Description:
    """Words for what is seen at ``start_ms`` (film time). ``extended``: the film has to wait while they are read."""

    start_ms: int
    end_ms: int
    text: str
    extended: bool = False


@dataclass(frozen=True, slots=True)
class Seen:
    """Something to describe: since when it is seen (film time), and its sentence."""

    at_ms: int
    text: str


def describe(
    board: BoardTrack,
    marks: Sequence[MarkSpan],
    words: Sequence[Word],
    written: Sequence[str],
    *,
    end_ms: int,
    timemap: TimeMap | None = None,
) -> list[Description]:
    """Descriptions in film time, in order and without overlaps.

    ``board``, ``marks``, ``words`` and ``end_ms`` are in recording time;
    ``written[k]`` is word ``k`` as corrected. English.
    """
    timemap = timemap or TimeMap()
    said = _Said(words, written)
    seen = [
        *((timemap.start(span.start_ms) if n else 0, text) for n, span, text in _changes(board, said)),
        *((timemap.start(at), text) for at, text in _marked(marks, said)),
    ]
    film_end = timemap.end(end_ms)
    events = [Seen(at, text) for at, text in sorted(seen, key=lambda pair: pair[0])]
    return _fit(events, _pauses(words, timemap, film_end), film_end)


# -- what is said anyway
class _Said:
    """The words as corrected, with the squares and pieces among them by time."""

    def __init__(self, words: Sequence[Word], written: Sequence[str]) -> None:
        self.times: list[int] = []
        self.cores: list[str] = []
        for word, text in zip(words, written, strict=True):
            for part in text.split():
                self.times.append(word.onset_ms)
                self.cores.append(core(part).removesuffix("'s"))

    def near(self, ms: int, after_ms: int = _SPOKEN_MS) -> list[str]:
        """The words around a moment."""
        return self.cores[bisect_left(self.times, ms - _SPOKEN_MS) : bisect_right(self.times, ms + after_ms)]

    def tells(self, board: chess.Board, move: chess.Move, ms: int) -> bool:
        """Whether a move is said about then: its square, and its piece close by; or that a side castles."""
        near = self.near(ms)
        if board.is_castling(move):
            return any(word.startswith("castl") for word in near)
        san = board.san(move).rstrip("+#")
        if any(word.rstrip("+#") == san.lower() for word in near):
            return True
        square, kind = chess.square_name(move.to_square), board.piece_type_at(move.from_square)
        for k, word in enumerate(near):
            if word != square:
                continue
            if kind == chess.PAWN:
                return True
            around = near[max(0, k - _NEAR_WORDS) : k + _NEAR_WORDS + 1]
            if chess.piece_name(kind or chess.PAWN) in (_SYNONYMS.get(other, other) for other in around):
                return True
        return False

    def names(self, squares: Iterable[int], ms: int, after_ms: int = _SPOKEN_MS) -> bool:
        """Whether all these squares are named about then."""
        near = set(self.near(ms, after_ms))
        return all(chess.square_name(square) in near for square in squares)


# -- what is seen
def _changes(board: BoardTrack, said: _Said) -> list[tuple[int, BoardSpan, str]]:
    found = []
    for n, span in enumerate(board.spans):
        text = _first(span, said) if n == 0 else _change(board, board.spans[n - 1], span, said)
        if text:
            found.append((n, span, text))
    return found


def _first(span: BoardSpan, said: _Said) -> str:
    """The position a lesson begins with; nothing for the start of every game."""
    return "" if span.fen == chess.STARTING_FEN else _set_up("On the board", span, said)


def _set_up(title: str, span: BoardSpan, said: _Said) -> str:
    """A position in words, unless the speaker names the square of every piece."""
    position = chess.Board(span.fen)
    if said.names(position.piece_map(), span.start_ms, _SET_UP_MS):
        return ""
    return f"{title}: {describe_position(position)}"


def _change(board: BoardTrack, before: BoardSpan, after: BoardSpan, said: _Said) -> str:
    if after.origin == "hand":
        return _set_up("Set up", after, said)
    back, moves = (0, after.path) if before.origin == "hand" else step(before, after)
    place = board_after(board, after.path[: len(after.path) - len(moves)])
    if before.origin == "hand" or (back and not moves):
        return f"Back to {name_position(board, after.path)}."
    told, lines, position = True, [], place.copy()
    for uci in moves:
        move = chess.Move.from_uci(uci)
        spoken = said.tells(position, move, after.start_ms)
        told = told and spoken
        lines.append(describe_move(position, move))
        position.push(move)
    if told:
        return ""
    if len(moves) > _MOST_PLIES:
        return f"Forward to {name_position(board, after.path)}. {describe_position(position)}"
    start = f"Back to {name_position(board, after.path[: len(after.path) - len(moves)])}. " if back else ""
    return start + ". ".join(lines) + "."


def board_after(board: BoardTrack, path: Sequence[str]) -> chess.Board:
    """The position after moves (UCI) from the track's start."""
    position = chess.Board(board.start_fen, chess960=board.chess960)
    for uci in path:
        position.push_uci(uci)
    return position


def name_position(board: BoardTrack, path: Sequence[str]) -> str:
    """A position by the move that led to it.

    >>> track = BoardTrack(chess.STARTING_FEN, ("e2e4",), ())
    >>> name_position(track, ("e2e4",)), name_position(track, ())
    ("the position after White's first move, pawn e4", 'the start')
    """
    if not path:
        return "the start"
    position = board_after(board, path[:-1])
    move = chess.Move.from_uci(path[-1])
    number = _ORDINALS.get(position.fullmove_number, "")
    which = f"{number} move" if number else f"move {position.fullmove_number}"
    return f"the position after {_COLOURS[position.turn]}'s {which}, {_bare_move(position, move)}"


_ORDINALS = dict(enumerate("first second third fourth fifth sixth seventh eighth ninth tenth".split(), 1))


def describe_move(board: chess.Board, move: chess.Move) -> str:
    """A move in words, with who makes it.

    >>> describe_move(chess.Board(), chess.Move.from_uci("g1f3"))
    'White: knight f3'
    """
    after = board.copy(stack=False)
    after.push(move)
    end = ", mate" if after.is_checkmate() else ", check" if after.is_check() else ""
    return f"{_COLOURS[board.turn]}: {_bare_move(board, move)}{end}"


def _bare_move(board: chess.Board, move: chess.Move) -> str:
    if board.is_castling(move):
        return "castles kingside" if board.is_kingside_castling(move) else "castles queenside"
    kind = board.piece_type_at(move.from_square) or chess.PAWN
    origin, square = chess.square_name(move.from_square), chess.square_name(move.to_square)
    san = board.san(move).rstrip("+#")
    bare = san.replace("x", "")
    mover = chess.piece_name(kind)
    if kind == chess.PAWN and board.is_capture(move):
        mover = f"{origin[0]} pawn"
    elif kind != chess.PAWN and len(bare) > 3:  # another such piece can go there
        mover = f"{mover} from {origin}"
    if board.is_en_passant(move):
        return f"{mover} takes {square} en passant"
    taken = board.piece_type_at(move.to_square)
    to = " to" if " from " in mover else ""
    text = f"{mover} takes {chess.piece_name(taken)} {square}" if taken else f"{mover}{to} {square}"
    return f"{text}, becomes a {chess.piece_name(move.promotion)}" if move.promotion else text


def _marked(marks: Sequence[MarkSpan], said: _Said) -> list[tuple[int, str]]:
    """Marks that begin together with one role as one sentence; not those whose squares are all named."""
    found = []
    fresh = [m for m in marks if not said.names(m.squares, m.start_ms)]
    for (at, kind, role), group in groupby(
        sorted(fresh, key=lambda m: (m.start_ms, m.kind, m.role)), key=lambda m: (m.start_ms, m.kind, m.role)
    ):
        lines = [[chess.square_name(s) for s in mark.squares] for mark in group]
        if kind == "square":
            text = f"Marked as {role}: {_listed([name for names in lines for name in names])}."
        elif kind == "arrow":
            text = f"Arrow, {role}: {_listed([f'{a} to {b}' for a, b in lines])}."
        else:
            text = f"Route: {_listed([', '.join(names) for names in lines], '; ')}."
        found.append((at, text))
    return found


def _listed(parts: Sequence[str], comma: str = ", ") -> str:
    return parts[0] if len(parts) == 1 else f"{comma.join(parts[:-1])} and {parts[-1]}"


# -- when it can be said
def need_ms(text: str) -> int:
    """How long a voice takes to read a text.

    >>> need_ms("White: knight f3.")
    1332
    """
    count = sum(2 if _SQUARE.fullmatch(core(word)) else 1 for word in text.split())
    return max(_LEAST_MS, count * _WORD_MS)


def _pauses(words: Sequence[Word], timemap: TimeMap, end_ms: int) -> list[tuple[int, int]]:
    """Stretches of film time in which nobody speaks, the film's holds too; none are known without a transcript."""
    if not words:
        return []
    found, quiet_from = [], 0
    for begin, end in _spoken(words, timemap):
        found.append((quiet_from, begin - _AIR_MS))
        quiet_from = max(quiet_from, end + _AIR_MS)
    found.append((quiet_from, end_ms))
    return [(a, b) for a, b in found if b - a >= _LEAST_MS]


def _spoken(words: Sequence[Word], timemap: TimeMap) -> Iterator[tuple[int, int]]:
    """When words are heard, in film time; a hold inside a word parts it in two."""
    for word in words:
        edges = [
            word.onset_ms,
            *(p.at_ms for p in timemap.pauses if word.onset_ms < p.at_ms < word.end_ms),
            word.end_ms,
        ]
        for begin, end in pairwise(edges):
            yield timemap.start(begin), timemap.end(end)


def _fit(events: Sequence[Seen], pauses: Sequence[tuple[int, int]], end_ms: int) -> list[Description]:
    """Events in order, each in the first pause that holds it within its time, else extended."""
    made: list[Description] = []
    room = list(pauses)
    for event in events:
        need = need_ms(event.text)
        earliest = max(event.at_ms, made[-1].start_ms + 1 if made else 0)
        free_from = max(earliest, made[-1].end_ms if made else 0)
        fitting = next(
            (
                max(begin, free_from)
                for begin, end in room
                if max(begin, free_from) <= event.at_ms + _LATE_MS and end - max(begin, free_from) >= need
            ),
            None,
        )
        if fitting is not None:
            made.append(Description(fitting, fitting + need, event.text))
        elif made and made[-1].extended and event.at_ms - made[-1].start_ms < _LEAST_MS:
            made[-1] = replace(made[-1], text=f"{made[-1].text} {event.text}")
        else:
            made.append(Description(free_from if made and not made[-1].extended else earliest, 0, event.text, True))
    return _ended(made, end_ms)


def _ended(made: Sequence[Description], end_ms: int) -> list[Description]:
    """Extended descriptions last as long as they are read, at most until the next one begins."""
    result = []
    for n, one in enumerate(made):
        if one.extended:
            following = made[n + 1].start_ms if n + 1 < len(made) else max(end_ms, one.start_ms + 1)
            one = replace(one, end_ms=max(one.start_ms + 1, min(one.start_ms + need_ms(one.text), following)))
        result.append(one)
    return result


# -- the file
_HEAD = "WEBVTT - descriptions of the picture; stop the film while a cue named extended is read\n"


def write_descriptions(descriptions: Sequence[Description], about: About = NOTHING) -> str:
    """WebVTT of the kind "descriptions" (HTML, text tracks); extended cues are named so and carry the class ``extended``."""
    blocks = [_HEAD]
    for number, one in enumerate(descriptions, 1):
        text = escape(one.text)
        name = f"{number} extended" if one.extended else str(number)
        body = f"<c.extended>{text}</c>" if one.extended else text
        blocks.append(f"{name}\n{stamp(one.start_ms)} --> {stamp(one.end_ms)}\n{body}\n")
    return finished("\n".join(blocks), about)
