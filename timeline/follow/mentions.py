"""Mentions: every stretch of words that may name a move, with what it says and what hearing it so costs.

A small nondeterministic grammar over tokens. Nothing is decided here: one
start can give several readings ("knight b d two", "bishop he seven"), and the
search picks among them with the board.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import chess

from timeline.follow.effects import effect_at
from timeline.follow.hearing import fuzzy_piece, fuzzy_squares, fuzzy_take, run_together
from timeline.follow.lexer import SAN, Tok
from timeline.follow.result import Token
from timeline.follow.vocabulary import (
    ARTICLES,
    CASTLE_WORDS,
    CHECK_WORDS,
    FILE_WORDS,
    FILLERS,
    MATE_WORDS,
    MOTION,
    MOTION_TAILS,
    PIECE_NAMES,
    PIECE_WORDS,
    PREPOSITIONS,
    PROMOTE_WORDS,
    RANK_WORDS,
    TAKE_WORDS,
)

ORDINALS = {
    "first": "1", "second": "2", "third": "3", "fourth": "4", "fifth": "5", "sixth": "6", "seventh": "7", "eighth": "8",
    "back-rank": "8",
}  # fmt: skip
_SIDES = {
    "long": "q", "queenside": "q", "short": "k", "kingside": "k", "queen-side": "q", "king-side": "k",
}  # fmt: skip
_FILE_OF = {"king": "e", "queen": "d", "rook": "", "knight": "", "night": "", "bishop": ""}
_FLANKS = {"king": "e", "king's": "e", "kings": "e", "queen": "d", "queen's": "d", "queens": "d"}
_GLUED = re.compile(r"([a-h1-8])([a-h][1-8])")
_MAX_TOKENS = 13
_MAX_FILLERS = 7


class Desc(NamedTuple):
    """What a mention says of the move; 0, -1 and "" mean "not said". ``chk``: 1 check, 2 mate."""

    piece: int = 0
    ff: str = ""
    fr: str = ""
    fsq: int = -1
    to: int = -1
    to_file: str = ""
    to_rank: str = ""
    cap: bool = False
    victim: int = 0
    promo: int = 0
    castle: str = ""
    chk: int = 0
    other: bool = False
    both: bool = False
    effect: str = ""


@dataclass(frozen=True, slots=True)
class Mention:
    """Tokens ``start`` to ``end`` (exclusive) read as ``desc``.

    ``kind``: full, pawn, to, capsq, cap, take, castle, check, pcheck, piece,
    other, promo, san, effect. ``hear`` is the cost of the hearing in natural-log
    units; ``prep`` the preposition before the target; ``motion`` whether a
    verb of motion was said.
    """

    start: int
    end: int
    desc: Desc
    kind: str
    hear: float
    fillers: int
    motion: bool
    prep: str
    parts: tuple[tuple[int, int, str, bool], ...]
    tail: str = ""

    def tokens(self, toks: Sequence[Tok]) -> tuple[Token, ...]:
        """The parts as word ranges with what they stand for."""
        return tuple(Token(toks[a].word, toks[b].word, written, mended) for a, b, written, mended in self.parts)


@dataclass(slots=True)
class _State:
    k: int
    desc: Desc
    hear: float = 0.0
    fillers: int = 0
    run: int = 0
    motion: bool = False
    tail: str = ""
    prep: str = ""
    with_: bool = False
    parts: tuple[tuple[int, int, str, bool], ...] = ()


class Grammar:
    """Readings of one token sequence."""

    def __init__(self, toks: Sequence[Tok]) -> None:
        self.toks = toks
        self.n = len(toks)

    # -- atoms
    def squares(self, k: int) -> list[tuple[int, int, float, bool]]:
        """Exact or homophone squares at ``k``: (square, tokens used, cost, mended)."""
        found = []
        word = self.toks[k].text
        bare = word[:-2] if word.endswith("'s") else word
        if len(bare) == 2 and bare[0] in "abcdefgh" and bare[1] in "12345678":
            return [(chess.parse_square(bare), 1, 0.0, False)]
        if len(bare) == 3 and bare[:2] in chess.SQUARE_NAMES and bare[2] == "s":
            return [(chess.parse_square(bare[:2]), 1, 0.2, False)]
        if word in FILE_WORDS and k + 1 < self.n and not self.toks[k].ends:
            following = self.toks[k + 1].text
            if following in RANK_WORDS:
                file, cf = FILE_WORDS[word]
                rank, cr = RANK_WORDS[following]
                cost = cf + cr + (0.3 if word == "a" else 0.0)
                if cf > 0.4 and cr > 0.4:
                    cost += 0.9
                exact = cf == 0 and cr == 0
                found.append((chess.parse_square(file + rank), 2, cost, not exact))
        return found

    def descriptive(self, k: int) -> list[tuple[int, int, float, bool]]:
        """Squares named from a player's own side ("queen's knight three"), as seen from White and from Black."""
        j, flank = k, ""
        word = self.toks[j].text
        if word in ("king's", "queen's", "kings", "queens", "king", "queen") and j + 1 < self.n:
            following = self.toks[j + 1].text
            if following in ("rook", "knight", "bishop", "night"):
                flank, j, word = word[0], j + 1, following
        if word not in _FILE_OF or j + 1 >= self.n or self.toks[j].ends:
            return []
        if word in ("rook", "knight", "bishop", "night") and not flank:
            return []
        rank = RANK_WORDS.get(self.toks[j + 1].text)
        if rank is None or rank[1] > 0.3 or self.toks[j + 1].text in "12345678":
            return []
        file = _FILE_OF[word]
        if flank:
            file = {"r": "ah", "k": "bg", "n": "bg", "b": "cf"}[word[0]]["qk".index(flank)]
        number = int(rank[0])
        used = j + 2 - k
        return [
            (chess.parse_square(f"{file}{number}"), used, 0.7, True),
            (chess.parse_square(f"{file}{9 - number}"), used, 0.7, True),
        ]

    def fuzzy(self, k: int) -> list[tuple[int, int, float, bool]]:
        """Squares that one or two tokens only sound like."""
        found = []
        first = self.toks[k].text
        for square, cost in fuzzy_squares((first,)):
            found.append((square, 1, cost, True))
        if k + 1 < self.n and not self.toks[k].ends and not self.toks[k + 1].san:
            exact = {s for s, n, _, _ in self.squares(k) if n == 2}
            for square, cost in fuzzy_squares((first, self.toks[k + 1].text)):
                if square not in exact:
                    found.append((square, 2, cost, True))
        return found

    def pieces(self, k: int) -> list[tuple[int, int, float, bool]]:
        word = self.toks[k].text
        if word in PIECE_WORDS:
            piece, cost = PIECE_WORDS[word]
            return [(piece, 1, cost, cost >= 0.3 and word.rstrip("s'") != PIECE_NAMES[piece])]
        return []

    def fuzzy_pieces(self, k: int) -> list[tuple[int, int, float, bool]]:
        """Words before a square or a capture that only sound like a piece."""
        found = []
        for length in (1, 2):
            if k + length >= self.n or any(self.toks[k + j].ends for j in range(length)):
                break
            follows = k + length
            if not (self.squares(follows) or self.toks[follows].text in ("takes", "captures")):
                continue
            words = tuple(self.toks[k + j].text for j in range(length))
            for piece, cost in fuzzy_piece(words):
                found.append((piece, length, cost, True))
        return found

    # -- readings
    def at(self, i: int) -> list[Mention]:
        """All readings that begin at token ``i``; the fewest words first."""
        tok = self.toks[i]
        if tok.san:
            return self._san(i)
        heads: list[_State] = []
        for piece, length, cost, mended in self.pieces(i) or self.fuzzy_pieces(i):
            part = (i, i + length - 1, PIECE_NAMES[piece], mended)
            heads.append(_State(i + length, Desc(piece=piece), cost, parts=(part,)))
        if not heads:
            heads.extend(self._run_together(i))
        if tok.text in _FLANKS and i + 1 < self.n and self.toks[i + 1].text == "pawn" and not tok.ends:
            flank = (i, i + 1, f"{_FLANKS[tok.text]} pawn", False)
            heads.append(_State(i + 2, Desc(piece=chess.PAWN, ff=_FLANKS[tok.text]), 0.2, parts=(flank,)))
        if tok.text == "other" and i + 1 < self.n:
            for piece, length, cost, mended in self.pieces(i + 1):
                part = (i + 1, i + length, PIECE_NAMES[piece], mended)
                heads.append(_State(i + 1 + length, Desc(piece=piece, other=True), cost, parts=(part,)))
        for square, length, cost, mended in self.squares(i):
            part = (i, i + length - 1, chess.square_name(square), mended)
            heads.append(_State(i + length, Desc(to=square), cost, parts=(part,)))
            if i + length < self.n and not self.toks[i + length - 1].ends:
                for piece, plen, pcost, pmended in self.pieces(i + length):
                    end = i + length + plen
                    parts = (part, (i + length, end - 1, PIECE_NAMES[piece], pmended))
                    heads.append(_State(end, Desc(piece=piece, fsq=square), cost + pcost, parts=parts))
        if not heads and (i == 0 or self.toks[i - 1].ends or tok.starts):
            for square, length, cost, mended in self.fuzzy(i):
                if self.toks[i + length - 1].ends:  # a clause of its own that sounds like a square ("beside.")
                    part = (i, i + length - 1, chess.square_name(square), mended)
                    heads.append(_State(i + length, Desc(to=square), cost, parts=(part,)))
        if tok.text in FILE_WORDS and i + 1 < self.n and not tok.ends:
            heads.extend(self._file_head(i))
        glued = _GLUED.fullmatch(tok.text)
        if glued and glued[1].isalpha() and glued[1] != glued[2][0]:
            desc = Desc(piece=chess.PAWN, ff=glued[1], cap=True, to=chess.parse_square(glued[2]))
            heads.append(_State(i + 1, desc, 0.1, parts=((i, i, f"{glued[1]} takes {glued[2]}", False),)))
        if tok.text in TAKE_WORDS:
            heads.append(
                _State(
                    i + 1, Desc(cap=True), TAKE_WORDS[tok.text], parts=((i, i, "takes", tok.text in ("tax", "cakes")),)
                )
            )
        if tok.text in CASTLE_WORDS or (
            tok.text in _SIDES and i + 1 < self.n and self.toks[i + 1].text in CASTLE_WORDS
        ):
            heads.extend(self._castle_head(i))
        if tok.text in ("both", "everyone", "everybody", "sides"):
            heads.extend(self._both_head(i))
        if tok.text in CHECK_WORDS:
            heads.append(
                _State(i + 1, Desc(chk=1), CHECK_WORDS[tok.text], parts=((i, i, "check", tok.text[:5] != "check"),))
            )
        if tok.text in PROMOTE_WORDS:
            heads.append(_State(i + 1, Desc(promo=chess.QUEEN), 0.3, parts=((i, i, tok.text, False),)))
        if tok.text in MOTION and tok.text not in MOTION_TAILS:
            # "goes to d7", "puts the bishop on c4": the verb leads, the piece may follow.
            heads.append(_State(i + 1, Desc(), 0.0, 1, 1, True))
        elif tok.text in PREPOSITIONS or tok.text == "back":
            heads.append(
                _State(
                    i + 1,
                    Desc(),
                    0.0,
                    1,
                    1,
                    tok.text == "back",
                    "back" if tok.text == "back" else "",
                    tok.text if tok.text != "back" else "",
                )
            )
        found: dict[tuple[int, Desc], Mention] = {}
        for head in heads:
            self._grow(i, head, found, 0)
        for effect, used in effect_at(self.toks, i):
            desc = Desc(effect=effect)
            found[i + used, desc] = Mention(
                i, i + used, desc, "effect", 0.0, 0, False, "", ((i, i + used - 1, tok.text, False),)
            )
        return sorted(found.values(), key=lambda m: (m.end, m.hear))[:24]

    def _run_together(self, i: int) -> list[_State]:
        heads = []
        words: tuple[str, ...] = (self.toks[i].text,)
        for length in (1, 2):
            if length == 2:
                if self.toks[i].ends or i + 1 >= self.n or self.toks[i + 1].san:
                    break
                words = (*words, self.toks[i + 1].text)
            for piece, square, cost in run_together(words):
                parts = ((i, i + length - 1, f"{PIECE_NAMES[piece]} {chess.square_name(square)}", True),)
                heads.append(_State(i + length, Desc(piece=piece, to=square), cost, parts=parts))
        return heads

    def _file_head(self, i: int) -> list[_State]:
        heads = []
        file, cost = FILE_WORDS[self.toks[i].text]
        following = self.toks[i + 1].text
        part = (i, i, file, cost > 0)
        if following in TAKE_WORDS and TAKE_WORDS[following] <= 0.25:
            extra = 0.2 if cost < 0.3 else 0.8
            parts = (part, (i + 1, i + 1, "takes", False))
            heads.append(_State(i + 2, Desc(piece=chess.PAWN, ff=file, cap=True), cost + extra, parts=parts))
        elif following in PIECE_WORDS and PIECE_WORDS[following][0] == chess.PAWN:
            extra = 0.6 if self.toks[i].text == "a" else 0.0
            parts = (part, (i + 1, i + 1, "pawn", False))
            heads.append(_State(i + 2, Desc(piece=chess.PAWN, ff=file), cost + extra, parts=parts))
        elif following in FILE_WORDS and following != "a" and cost == 0 and self.toks[i].text != "a":
            # "d e5": a pawn capture with the verb left out
            for square, length, scost, mended in self.squares(i + 1):
                if length and chess.FILE_NAMES[chess.square_file(square)] != file:
                    parts = (part, (i + 1, i + length, chess.square_name(square), mended))
                    heads.append(
                        _State(
                            i + 1 + length,
                            Desc(piece=chess.PAWN, ff=file, cap=True, to=square),
                            scost + 0.6,
                            parts=parts,
                        )
                    )
        elif cost == 0 and self.toks[i].text != "a":
            for square, length, scost, mended in self.squares(i + 1):
                if chess.FILE_NAMES[chess.square_file(square)] != file:
                    parts = (part, (i + 1, i + length, chess.square_name(square), mended))
                    heads.append(
                        _State(
                            i + 1 + length,
                            Desc(piece=chess.PAWN, ff=file, cap=True, to=square),
                            scost + 0.5,
                            parts=parts,
                        )
                    )
        return heads

    def _castle_head(self, i: int) -> list[_State]:
        k, side, cost = i, "any", 0.0
        if self.toks[k].text in _SIDES:
            side = _SIDES[self.toks[k].text]
            k += 1
        word = self.toks[k].text
        cost += CASTLE_WORDS[word]
        if word in ("o-o", "0-0"):
            side = "k"
        elif word in ("o-o-o", "0-0-0"):
            side = "q"
        mended = word.startswith(("canc", "cattl", "hass", "tass", "kass", "cass"))
        parts: tuple[tuple[int, int, str, bool], ...] = ((k, k, "castles" if mended else word, mended),)
        k += 1
        j = k
        while j < min(self.n, k + 3) and not self.toks[j - 1].ends:
            word = self.toks[j].text
            if word in _SIDES:
                return [_State(j + 1, Desc(castle=_SIDES[word]), cost, parts=parts)]
            if word in ("queen", "king") and j + 1 < self.n and self.toks[j + 1].text in ("side", "side's", "sides"):
                return [_State(j + 2, Desc(castle="q" if word == "queen" else "k"), cost, parts=parts)]
            if word not in ("on", "the", "to", "to", "in", "his", "her"):
                break
            j += 1
        return [_State(k, Desc(castle=side), cost, parts=parts)]

    def _both_head(self, i: int) -> list[_State]:
        for j in range(i + 1, min(self.n, i + 4)):
            word = self.toks[j].text
            if word in CASTLE_WORDS:
                return [replace_state(state, both=True) for state in self._castle_head(j)]
            if word not in ("sides", "players", "have", "will", "now", "then", "sides,", "just", "side"):
                break
        return []

    def _san(self, i: int) -> list[Mention]:
        tok = self.toks[i]
        assert tok.san
        match = SAN.fullmatch(tok.san)
        assert match
        piece = {"K": 6, "Q": 5, "R": 4, "B": 3, "N": 2}.get(match["piece"] or "", 1)
        promo = {"Q": 5, "R": 4, "B": 3, "N": 2}.get(match["promo"] or "", 0)
        desc = Desc(
            piece=piece, ff=match["ff"] or "", fr=match["fr"] or "", to=chess.parse_square(match["to"]),
            cap=bool(match["x"]), promo=promo, chk=2 if "#" in match["chk"] else 1 if "+" in match["chk"] else 0,
        )  # fmt: skip
        part = (i, i, tok.san, False)
        return [Mention(i, i + 1, desc, "san", 0.0, 0, False, "", (part,))]

    def _grow(self, i: int, s: _State, found: dict[tuple[int, Desc], Mention], depth: int) -> None:
        mention = self._emit(i, s)
        if mention is not None:
            key = (mention.end, mention.desc)
            old = found.get(key)
            if old is None or mention.hear < old.hear:
                found[key] = mention
        if depth > 12 or s.k >= self.n or s.k - i >= _MAX_TOKENS or len(found) > 60:
            return
        before = self.toks[s.k - 1]
        if before.ends in (".", "?"):
            return
        comma = 0.5 if before.ends else 0.0
        if comma and before.word == self.toks[i].word and not s.parts:
            return
        tok, d = self.toks[s.k], s.desc
        # check and mate, said after the move
        if (d.to >= 0 or d.cap or d.castle or (d.piece and not comma)) and not d.chk:
            if tok.text in CHECK_WORDS:
                self._grow(
                    i,
                    self._next(s, d._replace(chk=1), 1, CHECK_WORDS[tok.text], "check", tok.text[:5] != "check"),
                    found,
                    depth + 1,
                )
            if tok.text in MATE_WORDS:
                self._grow(
                    i, self._next(s, d._replace(chk=2), 1, MATE_WORDS[tok.text], tok.text, False), found, depth + 1
                )
        if d.castle or (d.chk and not d.piece and d.to < 0 and not d.cap):
            return
        if tok.san:
            return
        # the target, or where the piece stands
        squares = self.squares(s.k)
        if d.to < 0:
            options = squares
            if not squares and d.piece and s.prep:
                options = self.descriptive(s.k)
            if (d.piece or d.cap) and not comma and (not squares or squares[0][2] > 0.5):
                options = options + self.fuzzy(s.k)
            for square, length, cost, mended in options:
                name = chess.square_name(square)
                self._grow(
                    i, self._next(s, d._replace(to=square), length, cost + comma, name, mended), found, depth + 1
                )
                if d.piece and d.fsq < 0 and not d.cap and s.prep in ("on", "from", "at") and not mended:
                    state = self._next(s, d._replace(fsq=square), length, cost, name, mended)
                    state.prep = ""
                    self._grow(i, state, found, depth + 1)
        if comma:
            return
        if d.to < 0 and tok.text in FILE_WORDS and s.k + 1 < self.n and not tok.ends:
            self._grow_file(i, s, found, depth)
        if d.to < 0 and d.piece and not d.cap and tok.text in RANK_WORDS and not d.fr and s.k + 1 < self.n:
            rank, cost = RANK_WORDS[tok.text]
            if cost < 0.5 and (self.toks[s.k + 1].text in ("to", "takes") or self.squares(s.k + 1)):
                self._grow(i, self._next(s, d._replace(fr=rank), 1, cost + 0.1, rank, cost > 0), found, depth + 1)
        if d.to < 0 and d.piece and s.prep in ("to", "on", "into", "onto") and tok.text in ORDINALS and not d.to_rank:
            self._grow(
                i, self._next(s, d._replace(to_rank=ORDINALS[tok.text]), 1, 0.2, tok.text, False), found, depth + 1
            )
        glued = _GLUED.fullmatch(tok.text)
        if glued and d.to < 0 and d.piece and not d.cap:
            origin, name = glued.groups()
            desc = d._replace(to=chess.parse_square(name))
            desc = desc._replace(ff=origin) if origin.isalpha() else desc._replace(fr=origin)
            self._grow(i, self._next(s, desc, 1, 0.0, tok.text, False), found, depth + 1)
        # a capture
        if not d.cap and d.to < 0:
            taking: float | None = TAKE_WORDS.get(tok.text)
            mended = tok.text in ("tax", "cakes", "aches", "steaks")
            if taking is None and d.piece:
                taking, mended = fuzzy_take(tok.text), True
            if taking is not None and (d.piece or s.motion or not s.prep):
                self._grow(i, self._next(s, d._replace(cap=True), 1, taking, "takes", mended), found, depth + 1)
        # a second piece: what is taken, or what takes
        for piece, length, cost, mended in self.pieces(s.k):
            name = PIECE_NAMES[piece]
            if d.cap and s.with_:
                self._grow(i, self._next(s, d._replace(piece=piece), length, cost, name, mended), found, depth + 1)
            elif d.cap and not d.victim:
                self._grow(i, self._next(s, d._replace(victim=piece), length, cost, name, mended), found, depth + 1)
            elif (not d.piece and not d.cap and s.motion and d.to < 0) or (d.to >= 0 and s.with_ and not d.piece):
                self._grow(i, self._next(s, d._replace(piece=piece), length, cost, name, mended), found, depth + 1)
            elif (
                d.to >= 0
                and not d.promo
                and chess.square_rank(d.to) in (0, 7)
                and d.piece in (0, chess.PAWN)
                and 1 < piece < 6
            ):
                self._grow(
                    i,
                    self._next(s, d._replace(promo=piece, piece=chess.PAWN), length, cost + 0.2, name, mended),
                    found,
                    depth + 1,
                )
        if tok.text in PROMOTE_WORDS and d.to >= 0 and not d.promo:
            self._grow(
                i,
                self._next(s, d._replace(promo=chess.QUEEN, piece=chess.PAWN), 1, 0.1, tok.text, False),
                found,
                depth + 1,
            )
        # words between
        if (
            tok.text in FILLERS
            and s.fillers < _MAX_FILLERS
            and s.run < 6
            and not (d.to >= 0 and tok.text not in ("with", "the", "a", "and", "his", "her", "my", "comes", "is"))
        ):
            state = _State(
                s.k + 1, d, s.hear, s.fillers + 1, s.run + 1, s.motion or tok.text in MOTION, tok.text if tok.text in MOTION_TAILS else s.tail,
                tok.text if tok.text in PREPOSITIONS else ("" if tok.text not in ARTICLES else s.prep),
                s.with_ or tok.text == "with", s.parts,
            )  # fmt: skip
            self._grow(i, state, found, depth + 1)

    def _grow_file(self, i: int, s: _State, found: dict[tuple[int, Desc], Mention], depth: int) -> None:
        tok, d = self.toks[s.k], s.desc
        file, cost = FILE_WORDS[tok.text]
        following = self.toks[s.k + 1].text
        if d.cap and s.with_ and following in PIECE_WORDS and PIECE_WORDS[following][0] == chess.PAWN:
            state = self._next(s, d._replace(piece=chess.PAWN, ff=file), 2, cost, "pawn", False)
            self._grow(i, state, found, depth + 1)
        if (
            d.cap
            and d.piece == chess.PAWN
            and not d.to_file
            and cost < 0.3
            and tok.text != "a"
            and following not in RANK_WORDS
        ):
            self._grow(i, self._next(s, d._replace(to_file=file), 1, 0.2, file, cost > 0), found, depth + 1)
        if (
            not d.piece
            and not d.cap
            and s.motion
            and following in PIECE_WORDS
            and PIECE_WORDS[following][0] == chess.PAWN
        ):
            state = self._next(s, d._replace(piece=chess.PAWN, ff=file), 2, cost, "pawn", False)
            self._grow(i, state, found, depth + 1)
        if d.piece and not d.cap:
            if following == "file" and s.prep:
                self._grow(
                    i, self._next(s, d._replace(to_file=file), 2, cost, file + " file", cost > 0), found, depth + 1
                )
            elif not d.ff and (cost < 0.5 or following in ("to", "takes")):
                easy = self.squares(s.k + 1) or following in ("to", "takes", "pawn") or following in TAKE_WORDS
                if easy and not (
                    tok.text == "a" and not s.prep and following not in ("to", "takes") and not self.squares(s.k + 1)
                ):
                    self._grow(i, self._next(s, d._replace(ff=file), 1, cost + 0.1, file, cost > 0), found, depth + 1)

    def _next(self, s: _State, desc: Desc, length: int, cost: float, written: str, mended: bool) -> _State:
        part = (s.k, s.k + length - 1, written, mended)
        return _State(
            s.k + length, desc, s.hear + cost, s.fillers, 0, s.motion, s.tail, s.prep, s.with_, (*s.parts, part)
        )

    def _emit(self, i: int, s: _State) -> Mention | None:
        d = s.desc
        moving = d.piece and d.to < 0 and not d.cap and s.motion
        if s.run and not moving and not (d.piece and s.tail):
            return None
        if d.castle:
            kind = "castle"
        elif d.to >= 0:
            if d.cap:
                kind = "capsq"
            elif d.piece:
                kind = "full"
            elif d.promo:
                kind = "promo"
            elif s.prep or s.motion:
                kind = "to"
            else:
                kind = "pawn"
        elif d.cap:
            kind = "cap" if d.piece or d.victim or d.ff else "take"
        elif d.chk:
            kind = "pcheck" if d.piece else "check"
        elif d.promo:
            kind = "promo"
        elif d.other:
            kind = "other"
        elif d.piece and (s.motion or s.tail or d.to_file or d.to_rank or (d.piece == chess.PAWN and d.ff)):
            kind = "piece"
        else:
            return None
        bare = kind in ("piece", "cap", "take", "other", "pcheck") and s.k < self.n and not self.toks[s.k - 1].ends
        if bare and any(cost < 0.4 for _, _, cost, _ in self.squares(s.k)):
            return None  # a square that follows at once belongs to the move: without it the phrase is cut in two
        if kind == "piece" and d.piece == chess.PAWN and d.ff == "a" and not s.motion and not s.tail:
            return None
        return Mention(i, s.k, d, kind, s.hear, s.fillers, s.motion, s.prep, s.parts, s.tail if kind == "piece" else "")


def replace_state(state: _State, *, both: bool) -> _State:
    """The same state, for both sides."""
    return replace(state, desc=state.desc._replace(both=both))
