"""What the boards and the follower say of a reading of misheard words."""

from __future__ import annotations

from bisect import bisect_left

import chess

from timeline.captions.boardfacts import Boards, Facts
from timeline.captions.hearingtalk import Talk
from timeline.captions.hearingwords import LINKS, PIECES
from timeline.captions.soundings import piece_before
from timeline.follow.phonetics import SQUARE_PHONES
from timeline.follow.result import Follow
from timeline.score import Score

_STEPS = (3, 8, 20, 50)  # words
_MATES, _CHECKS = frozenset(("mate", "checkmate")), frozenset(("check", "checks"))
_SAN = {"king": "K", "queen": "Q", "rook": "R", "bishop": "B", "knight": "N"}


class Evidence:
    """What the boards and the follower say of a reading."""

    def __init__(self, follow: Follow, score: Score) -> None:
        self.boards = Boards(follow, score)
        self._squares: dict[int, set[str]] = {}
        self._played: dict[int, int] = {}
        self._meant: dict[int, int] = {}
        self._san: dict[int, str] = {}
        self._moved: dict[int, list[int]] = {}
        for reading in follow.readings:
            if reading.move:
                square = chess.Move.from_uci(reading.move).to_square
                for k in range(reading.first, reading.last + 1):
                    self._meant[k] = square
            for token in reading.tokens:
                if token.written in SQUARE_PHONES:
                    for k in range(token.first, token.last + 1):
                        self._squares.setdefault(k, set()).add(token.written)
            if reading.san:
                for k in range(reading.first, reading.last + 1):
                    self._san[k] = reading.san
        for cue in follow.cues:
            if cue.path:
                square = chess.Move.from_uci(cue.path[-1]).to_square
                self._moved.setdefault(square, []).append((cue.first + cue.last) // 2)
                for k in range(cue.first, cue.last + 1):
                    self._played[k] = square

    def told(self, talk: Talk, first: int, last: int, what: str, written: str, square: int) -> str:
        """What the follower read there: the same square, another; for words whether the move read there or next has it."""
        begin, end = talk.places[first], talk.places[last]
        if square < 0:
            san = next((self._san[k] for k in range(begin, end + 2) if k in self._san), "")
            if what == "letter":
                return "" if not san else "same" if written in (san[0], san[1:2]) else "other"
            if not san or what == "capture":
                took = san[1:2] == "x" or not written.endswith("takes")
                return "" if not san else "same" if took and san[0] == written[0] else "other"
            if written in PIECES:
                return "same" if san[0] == _SAN.get(written, "?") else "other"
            sign = {"takes": "x", "check": "+", "mate": "#", "checkmate": "#"}.get(written)
            return "" if sign is None else "same" if sign in san else "other"
        name = chess.square_name(square)
        read = set().union(*(self._squares.get(k, set()) for k in range(begin, end + 1)))
        if read:
            return "same" if name in read else "other"
        near = {of[k] for k in range(begin - 2, end + 3) for of in (self._played, self._meant) if k in of}
        return ("near" if square in near else "else") if near else ""

    def away(self, talk: Talk, first: int, square: int) -> int:
        """How many words from here the board moves to that square, in steps: negative before; 9 for far away or never."""
        if square < 0 or square not in self._moved:
            return 9
        place = talk.places[first]
        steps = min((k - place for k in self._moved[square]), key=abs)
        size = bisect_left(_STEPS, abs(steps))
        return 9 if size == len(_STEPS) else size if steps >= 0 else -size

    def level(self, talk: Talk, first: int, last: int, what: str, written: str, piece: int, square: int) -> int:
        """What the board says: 0 to 4 of a piece that is named; from 10 on of a square alone (from 16 on one that is coming, from 18 on one shown).

        Of words: 8 mate that a move shown about then gives, 9 a check, 5 a capture that can be made, else 6 and 7.
        """
        facts = self.boards.facts(talk.times[first])
        if square < 0:
            ahead = _square_ahead(talk, last)
            if what == "letter":
                return self._stands(facts, written, talk.cores[last + 1].split()[0])
            if ahead is None:
                return 8 if written in _MATES and facts.mates else 9 if written in _CHECKS and facts.checks else 7
            if written in PIECES:
                return facts.level(PIECES[written], ahead)
            return (5 if ahead in facts.captures else 6) if written.endswith("takes") else 7
        piece = piece or piece_before(talk, first)
        if piece:
            return facts.level(piece, square)
        pawn, others = facts.level(1, square), max(facts.level(kind, square) for kind in range(2, 7))
        if pawn >= 3 or others >= 3:
            return 10 + 2 * max(pawn, others) + (others > pawn)
        taken = first > 0 and talk.cores[first - 1].split()[-1] in ("takes", "captures") and square in facts.captures
        return 13 if taken else 12 if pawn == 2 else 11 if others or pawn else 10

    @staticmethod
    def _stands(facts: Facts, file: str, word: str) -> int:
        """1 where the piece that a letter belongs to stands on that file, or a line is meant; else 0."""
        piece = PIECES.get(word.removesuffix("s"), 1)
        return int(any(kind == piece and chess.FILE_NAMES[chess.square_file(at)] == file for kind, at in facts.stands))


def _square_ahead(talk: Talk, last: int) -> int | None:
    """The square that the next words name, "to" or "takes" between."""
    ahead = [] if talk.ends[last] else [w for core in talk.cores[last + 1 : last + 3] for w in core.split()]
    for word in ahead[:2]:
        if word in SQUARE_PHONES:
            return chess.parse_square(word)
        if word not in LINKS:
            return None
    return None
