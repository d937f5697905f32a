"""The readings of the words from one token on: a small nondeterministic grammar over tokens.

Nothing is decided here: one start can give several readings ("knight b d
two", "bishop he seven"), and the search picks among them with the board.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import chess

from timeline.follow.beginnings import beginnings
from timeline.follow.effects import effect_at, with_a_man
from timeline.follow.hearing import fuzzy_take
from timeline.follow.lexer import SAN, Tok
from timeline.follow.mentions import Desc, Mention
from timeline.follow.naming import GLUED, descriptive, fuzzy, own_pawn, pieces, squares
from timeline.follow.numbers import NTH
from timeline.follow.phrase import Phrase, finished, further, steps_said
from timeline.follow.vocabulary import (
    ARTICLES,
    CHECK_WORDS,
    CLASSES,
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

_ORDINALS = {word: str(n) for word, n in NTH.items() if n <= 8} | {"back-rank": "8"}
_MAX_TOKENS = 13
_AFTER_COMMA = 0.15
_GIVES = frozenset("give gives gave giving given trade trades traded swap swaps swapped sacrifice sacrifices sacrificed".split())
_MUST_RETREAT = re.compile(r"(?:must|(?:has|had|have) to) (?:retreat|return|withdraw|(?:go|come|move|step|drop|run) (?:back|home))(?: |$)")
_DEFINITE = frozenset("the that this his her my our your".split())
_MAX_FILLERS = 7
_TOWARDS = frozenset("to into onto on over up down across back in out".split())
_SAYS_MORE = frozenset((*PIECE_WORDS, *TAKE_WORDS, *CHECK_WORDS, *MATE_WORDS, *PROMOTE_WORDS, "rank", "file"))


class Grammar:
    """Readings of one token sequence."""

    def __init__(self, toks: Sequence[Tok]) -> None:
        self.toks = toks
        self.n = len(toks)

    def at(self, i: int) -> list[Mention]:
        """All readings that begin at token ``i``; the fewest words first."""
        tok = self.toks[i]
        if tok.san:
            return [_written(tok, i)]
        found: dict[tuple[int, Desc], Mention] = {}
        for head in beginnings(self.toks, i):
            self._grow(i, head, found, 0)
        for effect, used, piece, file in effect_at(self.toks, i):
            desc = Desc(effect=effect, piece=piece, ff=file)
            kind = "piece" if piece else "effect"
            part = (i, i + used - 1, self.toks[i].text, False)
            found[i + used, desc] = Mention(i, i + used, desc, kind, 0.0, 0, bool(piece), "", (part,))
        return sorted(found.values(), key=lambda m: (m.end, m.hear))[:24]

    def _grow(self, i: int, s: Phrase, found: dict[tuple[int, Desc], Mention], depth: int) -> None:
        mention = finished(self.toks, i, s)
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
                    further(s, d._replace(chk=1), 1, CHECK_WORDS[tok.text], "check", tok.text[:5] != "check"),
                    found,
                    depth + 1,
                )
            if tok.text in MATE_WORDS:
                self._grow(i, further(s, d._replace(chk=2), 1, MATE_WORDS[tok.text], tok.text, False), found, depth + 1)
        if d.chk and not d.piece and d.to < 0 and not d.cap and not comma:
            self._stands(i, s, found, depth)
            by, file, used = with_a_man(self.toks, s.k)
            if by:  # "check with the rook"
                written = f"{file} {PIECE_NAMES[by]}".strip()
                self._grow(i, further(s, d._replace(piece=by, ff=file), used, 0.0, written, False), found, depth + 1)
        if d.castle or (d.chk and not d.piece and d.to < 0 and not d.cap):
            return
        if tok.san:
            return
        if d.piece == chess.PAWN and d.to < 0 and not d.cap and not d.steps and not comma:
            steps = steps_said(self.toks, s.k)
            if steps:
                self._grow(i, further(s, d._replace(steps=steps), 2, 0.0, tok.text, False), found, depth + 1)
        # the target, or where the piece stands
        placed = squares(self.toks, s.k)
        if d.to < 0:
            options = placed
            if not placed and d.piece and s.prep:
                options = descriptive(self.toks, s.k)
            if (d.piece or d.cap) and not comma and (not placed or placed[0][2] > 0.5):
                options = options + fuzzy(self.toks, s.k)
            for square, length, cost, mended in options:
                name = chess.square_name(square)
                self._grow(i, further(s, d._replace(to=square), length, cost + comma, name, mended), found, depth + 1)
                stands = s.prep in ("on", "from", "at") or (not s.prep and self._leaves(s.k + length))
                if d.piece and d.fsq < 0 and not d.cap and stands and not mended:
                    state = further(s, d._replace(fsq=square), length, cost, name, mended)
                    state.prep = ""
                    self._grow(i, state, found, depth + 1)
        if comma:
            if d.cap and d.to < 0:  # "takes the other pawn, on e6"
                self._stands(i, s, found, depth, _AFTER_COMMA)
            return
        by_file = d.to < 0 or (s.with_ and not d.piece)
        if by_file and tok.text in FILE_WORDS and s.k + 1 < self.n and not tok.ends:
            self._grow_file(i, s, found, depth)
        if d.to < 0 and d.piece and not d.cap and tok.text in RANK_WORDS and not d.fr and s.k + 1 < self.n:
            rank, cost = RANK_WORDS[tok.text]
            if cost < 0.5 and (self.toks[s.k + 1].text in ("to", "takes") or squares(self.toks, s.k + 1)):
                self._grow(i, further(s, d._replace(fr=rank), 1, cost + 0.1, rank, cost > 0), found, depth + 1)
        if d.to < 0 and d.piece and s.prep in ("to", "on", "into", "onto") and tok.text in _ORDINALS and not d.to_rank:
            self._grow(
                i, further(s, d._replace(to_rank=_ORDINALS[tok.text]), 1, 0.2, tok.text, False), found, depth + 1
            )
        glued = GLUED.fullmatch(tok.text)
        if glued and d.to < 0 and d.piece and not d.cap:
            origin, name = glued.groups()
            desc = d._replace(to=chess.parse_square(name))
            desc = desc._replace(ff=origin) if origin.isalpha() else desc._replace(fr=origin)
            self._grow(i, further(s, desc, 1, 0.0, tok.text, False), found, depth + 1)
        # a capture
        if not d.cap and d.to < 0:
            taking: float | None = TAKE_WORDS.get(tok.text)
            mended = tok.text in ("tax", "cakes", "aches", "steaks")
            if taking is None and d.piece:
                taking, mended = fuzzy_take(tok.text), True
            if taking is not None and (d.piece or s.motion or not s.prep):
                self._grow(i, further(s, d._replace(cap=True), 1, taking, "takes", mended), found, depth + 1)
            if d.piece and tok.text == "for" and not s.prep:
                self._given(i, s, found, depth)
        # a second piece: what is taken, or what takes
        _, pawn = own_pawn(self.toks, s.k)
        second = [(chess.PAWN, pawn, 0.2, False)] if pawn else pieces(self.toks, s.k)
        for piece, length, cost, mended in second:
            name = PIECE_NAMES[piece]
            if d.cap and s.with_:
                self._grow(i, further(s, d._replace(piece=piece), length, cost, name, mended), found, depth + 1)
            elif d.cap and not d.victim:
                self._grow(i, further(s, d._replace(victim=piece), length, cost, name, mended), found, depth + 1)
            elif (not d.piece and not d.cap and s.motion and d.to < 0) or (d.to >= 0 and s.with_ and not d.piece):
                self._grow(i, further(s, d._replace(piece=piece), length, cost, name, mended), found, depth + 1)
            elif (
                d.to >= 0
                and not d.promo
                and chess.square_rank(d.to) in (0, 7)
                and d.piece in (0, chess.PAWN)
                and 1 < piece < 6
            ):
                self._grow(
                    i,
                    further(s, d._replace(promo=piece, piece=chess.PAWN), length, cost + 0.2, name, mended),
                    found,
                    depth + 1,
                )
        if tok.text in PROMOTE_WORDS and d.to >= 0 and not d.promo:
            self._grow(
                i,
                further(s, d._replace(promo=chess.QUEEN, piece=chess.PAWN), 1, 0.1, tok.text, False),
                found,
                depth + 1,
            )
        # words between
        manner = s.motion and bool(d.piece) and d.to < 0 and not d.cap and not s.prep and self._manner(s.k)
        if (
            (tok.text in FILLERS or manner or self._obliged(s) or (tok.text == "other" and d.cap and not d.victim))
            and s.fillers < _MAX_FILLERS
            and s.run < 6
            and not (d.to >= 0 and tok.text not in ("with", "the", "a", "and", "his", "her", "my", "comes", "is"))
        ):
            state = Phrase(
                s.k + 1, d, s.hear, s.fillers + 1, s.run + 1, s.motion or tok.text in MOTION, tok.text if tok.text in MOTION_TAILS else s.tail,
                tok.text if tok.text in PREPOSITIONS else ("" if tok.text not in ARTICLES else s.prep),
                s.with_ or tok.text == "with", s.parts,
            )  # fmt: skip
            self._grow(i, state, found, depth + 1)

    def _manner(self, k: int) -> bool:
        """Whether the word at token ``k`` says how a man moves to a square named next: "comes happy to e6", "hops boldly in"."""
        tok = self.toks[k]
        if tok.ends or not tok.text.isalpha() or len(tok.text) < 4 or tok.text in CLASSES or tok.text in _SAYS_MORE:
            return False
        j = k + 1
        while j < min(self.n - 1, k + 4) and self.toks[j].text in _TOWARDS and not self.toks[j].ends:
            j += 1
        return j > k + 1 and bool(squares(self.toks, j))

    def _obliged(self, s: Phrase) -> bool:
        """Whether the words after a man say that it must go back: "the knight must retreat", "has to go home"."""
        if not s.desc.piece or s.desc.to >= 0 or s.desc.cap or s.prep or s.motion:
            return False
        words: list[str] = []
        for tok in self.toks[s.k : s.k + 4]:
            words.append(tok.text)
            if tok.ends:
                break
        return bool(_MUST_RETREAT.match(" ".join(words)))

    def _leaves(self, k: int) -> bool:
        """Whether a piece's square, just named, is left in the words from token ``k`` on: "knight g1 to f3"."""
        if k + 1 >= self.n or self.toks[k - 1].ends:
            return False
        return self.toks[k].text in ("to", "back") or TAKE_WORDS.get(self.toks[k].text, 1.0) <= 0.25

    def _given(self, i: int, s: Phrase, found: dict[tuple[int, Desc], Mention], depth: int) -> None:
        """A man given for another: "White gives up the bishop for the knight"."""
        if not any(tok.text in _GIVES for tok in self.toks[max(0, i - 3) : i]) or s.k + 2 >= self.n:
            return
        if self.toks[s.k].ends or self.toks[s.k + 1].text not in _DEFINITE:
            return
        for victim, length, cost, mended in pieces(self.toks, s.k + 2):
            state = further(s, s.desc._replace(cap=True, victim=victim), 2 + length, cost + 0.2, PIECE_NAMES[victim], mended)
            self._grow(i, state, found, depth + 1)

    def _stands(
        self, i: int, s: Phrase, found: dict[tuple[int, Desc], Mention], depth: int, cost_before: float = 0.0
    ) -> None:
        """A check and where it is given from, a capture and where: "check on b4", "takes the other pawn, on e6"."""
        prep = self.toks[s.k].text
        if prep in ("on", "at", "from") and s.k + 1 < self.n and not self.toks[s.k].ends:
            there = replace(s, k=s.k + 1, prep=prep)
            for square, length, cost, mended in squares(self.toks, there.k):
                name, cost = chess.square_name(square), cost + cost_before
                self._grow(i, further(there, s.desc._replace(to=square), length, cost, name, mended), found, depth + 1)

    def _grow_file(self, i: int, s: Phrase, found: dict[tuple[int, Desc], Mention], depth: int) -> None:
        tok, d = self.toks[s.k], s.desc
        file, cost = FILE_WORDS[tok.text]
        following = self.toks[s.k + 1].text
        if d.cap and s.with_ and following in PIECE_WORDS and PIECE_WORDS[following][0] == chess.PAWN:
            state = further(s, d._replace(piece=chess.PAWN, ff=file), 2, cost, "pawn", False)
            self._grow(i, state, found, depth + 1)
        elif d.cap and s.with_ and not d.piece and cost == 0.0:
            for piece, length, extra, mended in pieces(self.toks, s.k + 1):  # "takes on e5 with the g knight"
                if 1 < piece < 6 and extra < 0.4:
                    name = f"{file} {PIECE_NAMES[piece]}"
                    state = further(s, d._replace(piece=piece, ff=file), 1 + length, extra, name, mended)
                    self._grow(i, state, found, depth + 1)
        if (
            d.cap
            and d.piece == chess.PAWN
            and not d.to_file
            and cost < 0.3
            and tok.text != "a"
            and following not in RANK_WORDS
        ):
            self._grow(i, further(s, d._replace(to_file=file), 1, 0.2, file, cost > 0), found, depth + 1)
        if (
            not d.piece
            and not d.cap
            and s.motion
            and following in PIECE_WORDS
            and PIECE_WORDS[following][0] == chess.PAWN
        ):
            state = further(s, d._replace(piece=chess.PAWN, ff=file), 2, cost, "pawn", False)
            self._grow(i, state, found, depth + 1)
        if d.piece and not d.cap:
            if following == "file" and s.prep:
                self._grow(i, further(s, d._replace(to_file=file), 2, cost, file + " file", cost > 0), found, depth + 1)
            elif not d.ff and (cost < 0.5 or following in ("to", "takes")):
                easy = squares(self.toks, s.k + 1) or following in ("to", "takes", "pawn") or following in TAKE_WORDS
                if easy and not (
                    tok.text == "a"
                    and not s.prep
                    and following not in ("to", "takes")
                    and not squares(self.toks, s.k + 1)
                ):
                    self._grow(i, further(s, d._replace(ff=file), 1, cost + 0.1, file, cost > 0), found, depth + 1)


def _written(tok: Tok, i: int) -> Mention:
    """A move in algebraic notation."""
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
    return Mention(i, i + 1, desc, "san", 0.0, 0, False, "", (part,))
