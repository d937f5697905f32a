"""Statements in a talk: found by the grammar, decided on the positions they may be about.

A statement is called wrong only when it is false in every position it can
plausibly mean: those on the board while it is said, those of the same sentence,
the one before and the one after, and positions after moves spoken of nearby.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

import chess

from timeline.checks import gamefacts, mobility, positional, tactics  # noqa: F401  (they fill DECIDERS)
from timeline.checks.answers import answered
from timeline.checks.antecedents import ABOUT_ONE, ABOUT_TWO, restated, second_halves, with_antecedents
from timeline.checks.claims import DECIDERS, MATE_NODES, PRONOUNS, QUICK_NODES, Spot, Talk, Verdict, some
from timeline.checks.grammar import Claim
from timeline.checks.guards import unreal, why_not
from timeline.checks.learned import read_learned, sharpened
from timeline.checks.loose import read_loosely
from timeline.checks.nouns import moves_named, parse_noun
from timeline.checks.sayings import GRAMMAR, PLAYERS
from timeline.checks.sentence import Sentence, Token, sentence_of
from timeline.checks.speech import sentences
from timeline.checks.spots import FLOOR, Positions, distinct
from timeline.follow.result import Follow
from timeline.score import Score
from timeline.tracks import BoardTrack
from timeline.transcript.words import Word

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


def player_sides(score: Score) -> dict[str, str]:
    """Names of the players in lower case -> "white" or "black"; names that both share are left out."""
    found: dict[str, set[str]] = {}
    for tag, side in (("White", "white"), ("Black", "black")):
        for part in re.split(r"[\s,.]+", score.header(tag) or ""):
            name = part.lower().strip("'\"()")
            if len(name) >= 3 and name not in _NOT_NAMES:
                found.setdefault(name, set()).add(side)
    return {name: next(iter(sides)) for name, sides in found.items() if len(sides) == 1}


_NOT_NAMES = frozenset(
    "king queen rook bishop knight pawn white black check mate castle the and game jr sen anonymous amateur player "
    "student teacher guest club team board allies computer engine master grandmaster".split()
)
_ME = re.compile(
    r" (?:i am|i was|i had|i have|i have got|i got|i play|i played|i am playing|i was playing|me with|i 'm|we have|"
    r"we are|we had|we play|we sit on|we are playing|i took|me as|myself with) (?:the |with |as |got )*"
    r"(?:the )?(white|black)(?! (?:king|queen|rook|bishop|knight|pawn|has|is|to|can|will|plays|should))"
)


def teacher_side(talk: Sequence[Sentence]) -> chess.Color | None:
    """The side of a teacher who tells of an own game ("I had White"), when it is said and never contradicted."""
    said = {match[1] for sentence in talk for match in _ME.finditer(sentence.text)}
    return None if len(said) != 1 else said == {"white"}


def read_statements(talk: Sequence[Sentence]) -> Iterator[tuple[Sentence, Claim, Sentence | None]]:
    """Every statement that is to be judged, with its sentence and the one before."""
    talk = answered(talk)
    for number, sentence in enumerate(talk):
        following = talk[number + 1] if number + 1 < len(talk) else None
        sentence = with_antecedents(sentence, talk[number - 1] if number else None)
        claims = _read(sentence)
        if any(t.name for t in sentence.tokens):
            named = [Token(t.name or t.text, t.first, t.last) for t in sentence.tokens]
            claims += PLAYERS.read(sentence_of(named, sentence.end))
        previous = talk[number - 1] if number else None
        yield from _about_it(sentence, claims, talk[max(0, number - 2) : number], following)
        yield from _said_second(sentence, claims, previous, following)
        for claim in map(partial(_with_side, sentence), map(partial(_with_move, sentence), claims)):
            if claim.parts.get("a") in PRONOUNS:
                if previous is not None and (previous.end == "?" or unreal(previous.text)):
                    continue  # "it" may be what was only thought of
                claim = _with_subjects(claim, sentence, talk[max(0, number - 2) : number])
            if why_not(sentence, claim, following, previous) is None and not _runs_into_move(sentence, claim):
                yield sentence, claim, previous


def _read(sentence: Sentence) -> list[Claim]:
    """Every statement in a sentence: by the rules, then in other words, then by learned weights."""
    claims = [*GRAMMAR.read(sentence)]
    claims += read_loosely(sentence, claims)
    claims += read_learned(sentence, claims)
    claims = [sharpened(sentence, claim) for claim in claims]
    return [_beside(sentence, _or_pins(sentence, claim)) for claim in claims]


_NEXT_TO = re.compile(
    r" (king|queen|rook|bishop|knight|pawn) (?:right |just )?(?:behind|before|beside|under|above|near|next to|"
    r"in front of|opposite|against|supporting|guarding|protecting|facing|chasing) "
    r"(?:(?:the|this|that|his|her|my|our|a|an) )*$"
)


def _beside(sentence: Sentence, claim: Claim) -> Claim:
    """ "The rook behind the pawn on a1": the square may be that of either."""
    if claim.kind != "standing" or "ar" not in claim.parts:
        return claim
    one = _NEXT_TO.search(" " + " ".join(t.text for t in sentence.tokens[: claim.first]) + " ")
    if one is None:
        return claim
    there = {"a": f"the {one[1]} on {claim.parts['ar']}", "ar": claim.parts["ar"]}
    return replace(claim, others=(*claim.others, Claim("standing", there, claim.first, claim.last)))


def _or_pins(sentence: Sentence, claim: Claim) -> Claim:
    """ "A pin, the bishop on g5 against the knight on f6": the second piece may be the one that is pinned."""
    after = [t.text for t in sentence.tokens[claim.last + 1 : claim.last + 3]]
    if claim.kind != "pinned_to" or "piece" not in claim.parts or not _PLACE.fullmatch(" ".join(after)):
        return claim
    one, two = claim.parts["a"], f"the {claim.parts['piece']} on {after[1]}"
    pins = tuple(Claim("pins", {"a": a, "b": b}, claim.first, claim.last) for a, b in ((one, two), (two, one)))
    return replace(claim, others=(*claim.others, *pins))


def _said_second(
    sentence: Sentence, claims: Sequence[Claim], previous: Sentence | None, following: Sentence | None
) -> Iterator[tuple[Sentence, Claim, Sentence | None]]:
    """Statements of a second half that leaves its subject out, where nothing else was read."""
    for half in second_halves(sentence):
        start = half.tokens[0].first
        if any(c.kind != "standing" and sentence.tokens[c.last].last >= start for c in claims):
            continue
        for claim in _read(half):
            if claim.kind != "standing" and why_not(half, claim, following, previous) is None:
                yield half, _with_side(half, claim), previous


def _about_it(
    sentence: Sentence, claims: Sequence[Claim], before: Sequence[Sentence], following: Sentence | None
) -> Iterator[tuple[Sentence, Claim, Sentence | None]]:
    """Statements about "it", said of each piece that may be meant: wrong only if wrong of all."""
    for said in restated(sentence, before):
        start = said[0].tokens[0].first
        if any(c.kind != "standing" and sentence.tokens[c.last].last >= start for c in claims):
            continue
        told = [{c.kind: c for c in _read(again) if c.kind in ABOUT_ONE | ABOUT_TWO} for again in said]
        for kind in told[0]:
            if all(kind in each for each in told):
                claim = replace(told[0][kind], others=tuple(each[kind] for each in told[1:]))
                previous = before[-1] if before else None
                if why_not(said[0], claim, following, previous) is None:
                    yield said[0], claim, previous


def _runs_into_move(sentence: Sentence, claim: Claim) -> bool:
    """ "..., guarding, well, queen h8 mate": the last piece of the claim is the first word of a move."""
    texts = [t.text for t in sentence.tokens]
    if not re.fullmatch("king|queen|rook|bishop|knight|pawn", texts[claim.last]) or claim.last == claim.first:
        return False
    return (
        texts[claim.last - 1] == ","
        and re.fullmatch("[a-h][1-8]|takes|to|captures", [*texts, ""][claim.last + 1]) is not None
    )


_ANY_PIECE = re.compile(
    r"(?<= )(?:(?:the|this|that|his|her|my|our|your|white 's|black 's|white|black) )*(?:[a-h] )?"
    r"(?:king|queen|rook|bishop|knight|pawn)(?: (?:on|at) [a-h][1-8])?(?= )"
)


def _with_subjects(claim: Claim, sentence: Sentence, before: Sequence[Sentence]) -> Claim:
    """ "It hits the queen": what moved last, or any piece named before; wrong only if wrong of each."""
    text = " ".join(t.text for t in sentence.tokens[: claim.first])
    texts = [*(s.text for s in before), f" {text} "]
    named = dict.fromkeys(m[0] for t in texts for m in _ANY_PIECE.finditer(t))
    return replace(claim, others=tuple(replace(claim, parts={**claim.parts, "a": noun}) for noun in named))


_SUBJECT = re.compile(r"^ (?:(?:and|so|but|now|well|here|okay|then|, ?) )*(white|black)(?= (?:'s )?[a-z]+)")
_OWNER = re.compile(r"^ (?:(?:and|so|but|now|well|here|okay|then|,) )*(white|black) (?:has|have|is|gets|had)(?= )")
MOST_BEFORE = 5
_HE = frozenset("he she they his her their".split())


_FOR_SIDE = re.compile(r"^ (?:for|of) (white|black)(?= (?:$|,|and|here|now|at|in))")
_HAS_SIDE = frozenset(["castle_lost", "castle_right", "castled", "uncastled", "bishop_pair", "only_legal", "stalemate"])


def _with_side(sentence: Sentence, claim: Claim) -> Claim:
    """ "White has won a rook, he is a rook up": the only side named, at the sentence's head, is meant."""
    if claim.kind in _HAS_SIDE and "side" not in claim.parts and claim.parts.get("poss", "the") in ("the", "a", "an"):
        after = " " + " ".join(t.text for t in sentence.tokens[claim.last + 1 :]) + " "
        side = _FOR_SIDE.match(after) or (_OWNER.match(sentence.text) if claim.first < MOST_BEFORE else None)
        if side is not None:
            return replace(claim, parts={**claim.parts, "side": side[1]})
    parts = {part: claim.parts[part] for part in ("side", "poss") if claim.parts.get(part) in _HE}
    subject = _SUBJECT.match(sentence.text)
    before = " " + " ".join(t.text for t in sentence.tokens[: claim.first]) + " "
    if not parts or subject is None or len(set(re.findall(r" (white|black|opponent)(?= )", before))) != 1:
        return claim
    return replace(claim, parts={**claim.parts, **{p: subject[1] + (" 's" if p == "poss" else "") for p in parts}})


def _with_move(sentence: Sentence, claim: Claim) -> Claim:
    """A bare "with check" or "mate" gets the square of the move named just before it."""
    if claim.kind not in ("check", "checkmate") or "sq" in claim.parts or "aq" in claim.parts or "side" in claim.parts:
        return claim
    before = [t.text for t in sentence.tokens[max(0, claim.first - 4) : claim.first]]
    for word in reversed(before):
        if re.fullmatch("[a-h][1-8]", word):
            return Claim(claim.kind, {**claim.parts, "by": word}, claim.first, claim.last)
        if word in ("check", "takes", "but", "because"):
            break
    return claim


def misplaced_nouns(claim: Claim, talk: Talk) -> Iterator[Claim]:
    """For each piece that the claim names with its square ("the knight on f3"): the claim that it stands there."""
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
    return None if any(v is None for v in verdicts) else False


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


def mended_words(follow: Follow | None) -> dict[int, tuple[int, str]]:
    """What the follower heard instead of the transcript's words."""
    if follow is None:
        return {}
    return {t.first: (t.last, t.written) for r in follow.readings for t in r.tokens if t.mended}


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


def _of_a_line(texts: set[str], track: BoardTrack, times: tuple[int, int]) -> bool:
    """ "So that was the draw", said while a sideline stands on the board: how the line ends, not the game."""
    return track.at(times[0]).origin == "sideline" and "game" not in texts


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


def judge(
    score: Score, words: Sequence[Word], track: BoardTrack, follow: Follow | None = None
) -> tuple[list[Statement], Talk]:
    """Every statement of a lesson with its verdict, in order of time."""
    names = player_sides(score)
    said = sentences(words, mended=mended_words(follow), sides=names)
    talk = Talk(score, teacher_side(said), names)
    positions = Positions(score, track, follow, words)
    found: list[Statement] = []
    for sentence, claim, before in read_statements(said):
        first, last = sentence.tokens[claim.first].first, sentence.tokens[claim.last].last
        whole = sentence.tokens[0].first, sentence.tokens[-1].last
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
            if verdict is False and each.kind in _HITS and "king" in texts and texts & _AIMS:
                verdict = None  # "two bishops pointing at his king": a direction, not a check
            if verdict is False and each.kind == "result" and _of_a_line(texts, track, times):
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
