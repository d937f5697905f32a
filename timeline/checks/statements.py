"""Statements in a talk: found by ``reading``, decided on the positions they may be about.

A statement is called wrong only when it is false in every position it can
plausibly mean: those on the board while it is said, those of the same sentence,
the one before and the one after, and positions after moves spoken of nearby.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import chess

from timeline.checks import gamefacts, mobility, positional, tactics  # noqa: F401  (they fill DECIDERS)
from timeline.checks.claims import DECIDERS, MATE_NODES, QUICK_NODES, Spot, Talk, Verdict, some
from timeline.checks.grammar import Claim
from timeline.checks.likened import likened
from timeline.checks.nouns import moves_named, parse_noun
from timeline.checks.reading import read_statements
from timeline.checks.sentence import Sentence
from timeline.checks.spots import FLOOR, Positions, distinct
from timeline.checks.talk import lesson_sentences, player_sides
from timeline.follow.result import Follow
from timeline.score import Score
from timeline.tracks import BoardTrack
from timeline.transcript.words import Word

SURE_OF_NOUNS = 0.9  # how sure a reading by weights must be that its nouns are judged by themselves
RUN_ON = 16  # words to either side of a statement that belong to it where a transcript has no stops
ALONE = 3  # a sentence of so few words goes with the one before

# Below these, the position on the board is too doubtful to call anyone wrong. Facts of the game need no position;
# what changes slowly (pawns, material) bears a ply more or less.
SURE, SURE_SLOW = 0.85, 0.7
ANYWHERE = frozenset(["result", "players", "opening", "move_number_played"])
_SLOW = frozenset(
    "isolated passed backward doubled hanging_pawns open_file half_open weak_square bishop_pair opposite_bishops "
    "fianchetto castled uncastled shade".split()
)
# Between a move's words and a bare "check" or "mate" only such words may stand, else another move was spoken of.
_LINKS = frozenset(", and it is a an with that this the there now here of course then gives so which on to".split())

_BARE = frozenset(
    "check checkmate stalemate double_check discovered_check discovered_attack fork skewer mate_in only_legal "
    "material exchange_up attacks defends".split()
)
# Words that tell a move; where the follower made nothing of them, the board may be behind the talk.
_MOVING = re.compile(
    r"[a-h][1-8]|takes?|captures?|recaptures|jumps?|hops?|blocks?|moves?|goes|steps|slides|retreats?|runs|pushes|castles|"
    r"drops|comes|interposes|advances|promotes"
)

_TAKING = re.compile(r"takes?|captures?|recaptures|castles|[a-h][1-8]")

# Statements about a place of a piece are looked up in more positions: people look back and ahead.
WIDE_KINDS = frozenset(["standing"])


@dataclass(frozen=True, slots=True)
class Statement:
    """One statement and its verdict. ``spots``: the positions asked, the likeliest first."""

    claim: Claim
    sentence: Sentence
    verdict: Verdict
    spots: tuple[Spot, ...]

    @property
    def words(self) -> tuple[int, int]:
        """First and last index of its words in the transcript."""
        tokens = self.sentence.tokens
        return tokens[self.claim.first].first, tokens[self.claim.last].last


_ME = re.compile(
    r" (?:i am|i was|i had|i have|i have got|i got|i play|i played|i am playing|i was playing|me with|i 'm|we have|"
    r"we are|we had|we play|we sit on|we are playing|i took|me as|myself with) (?:the |with |as |got )*"
    r"(?:the )?(white|black)(?! (?:king|queen|rook|bishop|knight|pawn|has|is|to|can|will|plays|should))"
)


def teacher_side(talk: Sequence[Sentence]) -> chess.Color | None:
    """The side of a teacher who tells of an own game ("I had White"), when it is said and never contradicted."""
    said = {match[1] for sentence in talk for match in _ME.finditer(sentence.text)}
    return None if len(said) != 1 else said == {"white"}


def misplaced_nouns(claim: Claim, talk: Talk) -> Iterator[Claim]:
    """For each piece that the claim names with its square ("the knight on f3"): the claim that it stands there."""
    if 0 < claim.sure < SURE_OF_NOUNS:
        return  # what was taken for a piece on a square may be a move and the next one: "e6 bishop d2"
    for part in "abc":
        text = claim.parts.get(part)
        found = parse_noun(text, talk.me) if text else None
        if found is None or found.square is None or claim.kind in ("standing", "check", "opening"):
            continue
        if re.match(r"(?:the|this|that|his|her|my|our|your|white 's|black 's|white|black) ", text or "") and _AT.search(
            text or ""
        ):
            yield Claim("standing", {"a": claim.parts[part]}, claim.first, claim.last)


_AT = re.compile(r" (?:on|at|over on|there on|here on) [a-h][1-8]$")


def decide(claim: Claim, spots: Sequence[Spot], talk: Talk) -> Verdict:
    """True if true in any of the positions, False if false in all of them, else None."""
    if claim.others:
        return some(decide(each, spots, talk) for each in (replace(claim, others=()), *claim.others))
    function = DECIDERS.get(claim.kind)
    if function is None or not spots:
        return None
    if "checked" in claim.parts:
        # "He has only one square": a king's only where the likeliest position has one in check.
        spots = [s for s in spots if s.board.is_check()] if spots[0].board.is_check() else []
    if claim.kind == "mate_in":
        # First a quick look everywhere: a long search of the wrong position helps nobody.
        talk.effort = QUICK_NODES
        if any(function(claim, spot, talk) is True for spot in spots):
            return True
        talk.effort = MATE_NODES
    verdicts = []
    for spot in [s for s in spots if _fits(claim, s, talk)] or spots:
        verdict = function(claim, spot, talk)
        if verdict is True:
            return True
        verdicts.append(verdict)
    return None if not verdicts or any(v is None for v in verdicts) else False


_OF_PAWNS = frozenset(["isolated", "passed", "backward"])


def _fits(claim: Claim, spot: Spot, talk: Talk) -> bool:
    """Whether every piece that the claim names with its square stands there: else it speaks of another position."""
    for part in "abc":
        text = claim.parts.get(part)
        found = parse_noun(text, talk.me) if text else None
        if found is not None and found.square is not None and claim.kind != "standing" and not found.found(spot.board):
            return False
    if claim.kind in _OF_PAWNS and "sq" in claim.parts:
        return spot.board.piece_type_at(chess.parse_square(claim.parts["sq"])) == chess.PAWN
    return True


def _doubtful(claim: Claim, spots: Sequence[Spot]) -> bool:
    """Whether the follower was too unsure of the positions most likely meant."""
    if claim.kind in ANYWHERE or (claim.kind == "shade" and "sq" in claim.parts):
        return False
    return min(s.sure for s in spots[:2]) < (SURE_SLOW if claim.kind in _SLOW else SURE)


def _loose_board(claim: Claim, positions: Positions, times: tuple[int, int]) -> bool:
    """Whether the board around may have been followed wrongly; what no position bears on is not touched."""
    return claim.kind not in ANYWHERE and claim.kind != "shade" and positions.unsettled(times[0])


def _beyond(
    claim: Claim, sentence: Sentence, before: Sentence | None, words: Sequence[Word], positions: Positions
) -> bool:
    """ "Takes, block, mate": a bare check or mate at the end of moves that the board did not follow.

    ``before``: the sentence before; it counts in whole when "check" stands alone in its own.
    """
    if claim.kind not in _BARE or {"sq", "a", "side", "by", "poss"} & set(claim.parts):
        return False
    first = sentence.tokens[claim.first].first
    shown = positions.track.at(words[first].end_ms)
    tokens = list(sentence.tokens[: claim.first])
    if before is not None:
        alone = len(sentence.tokens) <= ALONE
        tokens = [*(t for t in before.tokens if alone or _TAKING.fullmatch(t.text)), *tokens]
    between = [t for t in tokens if words[t.first].onset_ms >= shown.start_ms]
    if any(_MOVING.fullmatch(t.text) and t.first not in positions.understood for t in between) and positions.understood:
        return True
    return shown.origin == "sideline" and sum(t.text not in _LINKS for t in between) > 2


_MAN = re.compile("(?:king|queen|rook|bishop|knight|pawn)s?")
_OBJECTIVE = frozenset("the a an his her my your our their another this that".split())
_TO_IT = frozenset(", and with by of or then but from on at".split())


def _another_moved(claim: Claim, sentence: Sentence, spots: Sequence[Spot]) -> bool:
    """ "The queen eats the pawn with check": where no queen has just moved, the words tell a move that is not shown."""
    if claim.kind not in _BY_MOVES or {"side", "poss", "ar", "aq"} & set(claim.parts):
        return False
    texts = [t.text for t in sentence.tokens[: claim.last + 1]]
    named = [i for i, text in enumerate(texts) if i > len(texts) - 10 and _MAN.fullmatch(text)]
    if not named:
        return False
    mover = last = named[-1]
    if len(named) > 1 and last - named[-2] <= 4 and last > 1 and texts[last - 1] in _OBJECTIVE:
        mover = last if texts[last - 2] in _TO_IT else named[-2]
    piece = chess.PIECE_NAMES.index(texts[mover].removesuffix("s"))
    placed = mover + 2 < len(texts) and _PLACE.fullmatch(" ".join(texts[mover + 1 : mover + 3]))
    if piece == chess.KING or placed:
        return False
    return not any(s.last is not None and s.board.piece_type_at(s.last.to_square) == piece for s in spots)


_BY_MOVES = frozenset(["check", "checkmate", "double_check", "discovered_check", "stalemate"])
_PLACE = re.compile("(?:on|at) [a-h][1-8]")
_SAID_MOVE = re.compile(
    r"(?<= )(?:(?:king|queen|rook|bishop|knight|pawn) "
    r"(?:takes (?:on )?|captures (?:on )?|to |goes to |comes to )?[a-h][1-8]|"
    r"(?:[a-h] )?takes (?:on )?[a-h][1-8]|castles(?: kingside| queenside)?)(?= )"
)


def _after_moves(sentence: Sentence, claim: Claim, near: Sequence[Spot]) -> list[Spot]:
    """Positions after the moves that the sentence names before the claim ("bishop takes c6 doubles the pawns")."""
    before = " " + " ".join(t.text for t in sentence.tokens[: claim.first]) + " "
    found: list[Spot] = []
    here = list(near[:3])
    for match in _SAID_MOVE.finditer(before):
        after = []
        for spot in here:
            for move in moves_named(spot.board, match[0])[:2]:
                board = spot.board.copy(stack=False)
                board.push(move)
                after.append(Spot(board, (*spot.path, move), spot.board, move, spot.address, spot.sure))
        found += after
        here = after or here
    return found


_OF_GAME = frozenset(["result", "in_the_game"])
_TO_GAME = re.compile(r"\b(?:game|actual|actually|real|really|reality)\b", re.IGNORECASE)


def _of_a_line(said: Sequence[Word], track: BoardTrack, times: tuple[int, int]) -> bool:
    """ "So that was the draw", said while a sideline stands on the board: how the line ends, not the game."""
    return track.at(times[0]).origin == "sideline" and not any(_TO_GAME.search(word.text) for word in said)


_HITS = frozenset(["attacks", "attacked_by", "attackers"])
_AIMS = frozenset(
    "point points pointing pointed aim aims aiming aimed look looks looking stare stares staring gaze gazing eye eyes "
    "eyeing bear bears bearing trained directed glare glaring target targets targeting targeted pressure eying".split()
)
_CASTLING = frozenset("castled uncastled castle_right castle_lost".split())


def _names_no_move(claim: Claim) -> bool:
    """Whether its words name pieces by where they stand, or castling as a fact: no move is announced by them."""
    parts = claim.parts
    placed = claim.kind == "standing" or any(f"{part}r" in parts for part in "abc")
    return claim.kind in _CASTLING or (placed and "aq" not in parts and "move" not in parts)


def _around(sentence: Sentence, claim: Claim) -> tuple[int, int]:
    """The words of a claim's sentence; where nobody set a stop, those around it: it may run on for ever."""
    ahead = 0 if sentence.end else max(0, claim.first - RUN_ON)
    behind = len(sentence.tokens) - 1 if sentence.end else min(len(sentence.tokens) - 1, claim.last + RUN_ON)
    return sentence.tokens[ahead].first, sentence.tokens[behind].last


def judge(
    score: Score,
    words: Sequence[Word],
    track: BoardTrack,
    follow: Follow | None = None,
    said: Sequence[Sentence] | None = None,
) -> tuple[list[Statement], Talk]:
    """Every statement of a lesson with its verdict, in order of time. ``said``: its sentences, if they are at hand."""
    if said is None:
        said = lesson_sentences(words, score, follow)
    talk = Talk(score, teacher_side(said), player_sides(score))
    positions = Positions(score, track, follow, words)
    found: list[Statement] = []
    for sentence, claim, before in read_statements(said):
        first, last = sentence.tokens[claim.first].first, sentence.tokens[claim.last].last
        whole = _around(sentence, claim)
        times = words[first].onset_ms, words[last].end_ms
        own = (first, last) if _names_no_move(claim) else None
        near = positions.near(*times, words[whole[0]].onset_ms, words[whole[1]].end_ms, own)
        texts = {t.text for t in sentence.tokens[claim.first : claim.last + 1]}
        # "The pawn on e6 was defended once": a look back names what stood there.
        named = () if texts & {"was", "were", "had"} else misplaced_nouns(claim, talk)
        for each in (claim, *named):
            spots = near
            verdict = decide(each, spots, talk)
            if verdict is False and (more := _after_moves(sentence, each, near)):
                verdict = decide(each, [*spots, *more], talk)
            if verdict is False and each.kind in WIDE_KINDS:
                spots = distinct([*near, *positions.wide(*times, own)])
                verdict = decide(each, spots, talk)
            if verdict is False and each.kind == "opening" and likened(words, first, last, each.parts["opening"]):
                verdict = None
            if verdict is False and each.kind in _HITS and "king" in texts and texts & _AIMS:
                verdict = None  # "two bishops pointing at his king": a direction, not a check
            if verdict is False and each.kind in _OF_GAME and _of_a_line(words[first : last + 1], track, times):
                verdict = None
            if verdict is False and _beyond(each, sentence, before, words, positions):
                verdict = None
            if verdict is False and follow is not None and _another_moved(each, sentence, spots):
                verdict = None
            if verdict is False and each.kind not in _SLOW and positions.stale(times[0]):
                verdict = None
            if verdict is False and (_doubtful(each, spots) or _loose_board(each, positions, times)):
                # Wrong in whatever else may stand there, too? Below the floor nobody is called wrong at all.
                spots = distinct([*near, *positions.wide(*times, own)])
                sure = min(s.sure for s in near[:2])
                verdict = decide(each, spots, talk) if sure >= FLOOR else None
            found.append(Statement(each, sentence, verdict, tuple(spots)))
    return found, talk
