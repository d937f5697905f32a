"""How bad a break is between two words: for cue borders and for line breaks alike.

From best to worst (BBC Subtitle Guidelines 3.4, a streaming service's public
timed text guide, DCMP Captioning Key): after a sentence, after a comma or
dash, before a conjunction, before a preposition; never between an article
and its noun, a preposition and its phrase, a pronoun and its verb, an
auxiliary or negation and its verb, a verb and its particle, the two names of
a person. The chess bonds (piece, verb and square; letter and number; move
number and move; "mate in" and its number) are ours, on the same ground:
closely integrated phrases stay whole.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.captions.clauses import NUMBERS, counted
from timeline.captions.language import ENGLISH, WordClasses, word_classes
from timeline.captions.units import Unit, core, ends_clause, ends_sentence, is_wordless
from timeline.follow.vocabulary import PIECE_NAMES

FREE, CLAUSE, CONJUNCTION, PREPOSITION, PLAIN = 0.0, 8.0, 22.0, 34.0, 50.0
TIED, BOUND = 80.0, 100.0
_NEVER = 130.0
_MOVE_WORDS = 4  # piece, which one, takes, square

_SQUARE = re.compile(r"[a-h][1-8]('s)?")
_NOTATION = re.compile(r"[kqrbnsldtj♔♕♖♗♘]?[a-h]?[1-8]?x?[a-h][1-8](?:=[qrbn])?[+#]?|o-o(?:-o)?[+#]?")
_PIECES = frozenset(
    "king queen rook bishop knight pawn kings queens rooks bishops knights pawns king's queen's rook's bishop's knight's "
    "pawn's".split()
)
_CAPTURES = frozenset(
    "takes take took taking captures capture captured recaptures recapture retakes grabs snatches eats".split()
)
_HITS = frozenset(
    "attacks attacking defends protects guards eyes hits threatens controls pins forks blocks covers".split()
)
_COLOURS = frozenset("white black light dark light-squared dark-squared".split())
_SIDES = frozenset("short long kingside queenside castled".split())
_WINGS = frozenset("king queen king's queen's".split())
_LINES = frozenset("file files rank ranks pawn pawns square squares diagonal diagonals".split())
_NUMBERS = frozenset("one two three four five six seven eight nine ten eleven twelve".split())
_LETTERS = frozenset("abcdefgh")
_OWNERS = frozenset("the a an his her my your our their that this white's black's".split())
_WHICH = _OWNERS | ENGLISH.articles | ENGLISH.modifiers
_CAPITALS = frozenset("i white black".split())
_LEADING = frozenset("from except of than like as".split())  # prepositions that lead another one: "from behind"
_PARTED = frozenset("up down out off away back".split())  # particles that are hardly ever prepositions


def break_costs(units: Sequence[Unit], language: str, names: frozenset[tuple[str, str]] = frozenset()) -> list[float]:
    """The cost of a break before each unit, 0 (a sentence ends) to some 130 (never here); ``costs[0]`` is 0.

    ``names`` holds pairs of neighbouring words (lower case) that are one name.
    """
    classes = word_classes(language)
    cores = [core(u.text) for u in units]
    costs = [FREE]
    pictures = [u.source == "word" and is_wordless(u.text) for u in units]
    said = 0  # the last unit with letters, or a sign that ends the sentence
    for k in range(1, len(units)):
        said = said if pictures[k - 1] and not ends_sentence(units[k - 1].text) else k - 1
        before, after = units[said], units[k]
        if (
            before.source == "label"
            or after.source == "label"
            or before.speaker != after.speaker
            or (ends_sentence(before.text) and not _abbreviates(cores[k - 1], classes) and not _numbers_move(cores, units, k))
        ):
            costs.append(
                _NEVER if pictures[k] and before.speaker == after.speaker and before.source == "word" else FREE
            )
        elif pictures[k]:
            costs.append(_NEVER)
        elif ends_clause(before.text):
            costs.append(CLAUSE)
        elif _numbers_move(cores, units, k):
            costs.append(BOUND + 8)
        else:
            costs.append(_inside(cores, units, k, classes, names))
    return costs


def _numbers_move(cores: Sequence[str], units: Sequence[Unit], k: int) -> bool:
    """Whether word ``k`` begins the move whose number stands before it: "12. Nf3", "12... Nc6", "move 23 | knight takes"."""
    left, right = cores[k - 1], cores[k]
    if not (left.isdigit() or left in NUMBERS):
        return False
    if not (_NOTATION.fullmatch(right) or right in _PIECES or right.startswith(("castle", "o-o"))):
        return False
    written = re.fullmatch(r"\d{1,3}(?:\.{1,3}|…)?", units[k - 1].text) and bool(_NOTATION.fullmatch(right))
    return bool(written) or (k > 1 and cores[k - 2] == "move" and not ends_sentence(units[k - 1].text))


def _abbreviates(word: str, classes: WordClasses) -> bool:
    return word in classes.titles or word == "vs" or (len(word) == 1 and word.isalpha() and word not in "abcdefghi")


def _inside(
    cores: Sequence[str], units: Sequence[Unit], k: int, classes: WordClasses, names: frozenset[tuple[str, str]]
) -> float:
    left, right = cores[k - 1], cores[k]
    chess = _chess_bond(cores, units, k)
    if chess:
        return chess
    if (left, right) in names or left in classes.titles:
        return _NEVER
    if _is_one_name(units, k):
        return BOUND
    stranded = _is_stranded(cores, k, classes)
    if stranded:
        return stranded
    if right in classes.conjunctions and left not in classes.conjunctions:
        cost = CONJUNCTION
    elif right in classes.relatives:
        cost = CONJUNCTION + 6
    elif right in classes.prepositions:
        cost = PREPOSITION
    elif right in classes.pronouns:
        cost = PREPOSITION + 4
    else:
        cost = PLAIN
    if right in classes.conjunctions and (left in classes.modifiers | classes.pronouns or left in _NUMBERS):
        return cost  # "castles long and", "mate in three and", "over there and": nothing that they belong to follows
    if left in classes.articles:
        return max(cost, BOUND)
    if left.endswith("'s"):
        return max(cost, TIED)  # "c2's weak", "the king's bishop"
    if left in classes.prepositions and not (left in classes.particles and right in classes.prepositions):
        return max(cost, TIED + 10)
    if left in classes.pronouns or left in classes.conjunctions or left in classes.relatives:
        return max(cost, TIED + 6)
    if left in classes.auxiliaries:
        return max(cost, TIED)
    if left in classes.modifiers:
        return max(cost, TIED - 5)
    if k > 1 and cores[k - 2] in classes.articles and _is_open(left, classes) and _is_open(right, classes):
        return max(cost, PLAIN + 16)  # "a cheeky move": most likely a modifier and its noun
    if right in _PARTED and left not in classes.particles:
        return max(cost, TIED - 6)
    if right in classes.particles and right not in classes.conjunctions and left not in classes.particles:
        return max(cost, PREPOSITION + 16)
    return cost


def _is_one_name(units: Sequence[Unit], k: int) -> bool:
    """Whether two capitals inside a sentence make one name."""
    left, right = units[k - 1].text, units[k].text
    if k < 2 or not (left[:1].isupper() and right[:1].isupper()) or ends_sentence(units[k - 2].text):
        return False
    return not {core(left), core(right)} & _CAPITALS and not core(left).startswith("i'")


def _is_stranded(cores: Sequence[str], k: int, classes: WordClasses) -> float:
    """The cost where a preposition belongs to the verb before it: another one follows it ("fell into against"); else 0."""
    pairs = classes.prepositions - classes.particles - _LEADING
    if cores[k - 1] in pairs and cores[k] in classes.prepositions:
        return PREPOSITION
    if k + 1 < len(cores) and cores[k] in pairs and cores[k + 1] in classes.prepositions:
        return TIED - 6
    return 0.0


def _is_open(word: str, classes: WordClasses) -> bool:
    """Whether a word is of no closed class and not of the game."""
    closed = (classes.prepositions, classes.conjunctions, classes.relatives, classes.pronouns, classes.auxiliaries,
              classes.articles, classes.particles, _PIECES, _CAPTURES, _HITS, _LINES, _NUMBERS, _LETTERS)  # fmt: skip
    return not any(word in group for group in closed) and not _SQUARE.fullmatch(word)


def _chess_bond(cores: Sequence[str], units: Sequence[Unit], k: int) -> float:
    """The cost inside a chess phrase; 0 where there is none."""
    left, right = cores[k - 1], cores[k]
    if units[k].phrase >= 0 and units[k].phrase == units[k - 1].phrase:
        return BOUND + 8
    if units[k].phrase >= 0 and left in _PIECES and _SQUARE.fullmatch(right) and not _ends_move(units, k - 1):
        if not names_move(cores, k):
            return 0.0  # the follower read the square as a move of its own
    if left in _PIECES and (_SQUARE.fullmatch(right) or right in _CAPTURES or (right in _LETTERS and len(right) == 1)):
        return BOUND + 8
    if right in _PIECES and _SQUARE.fullmatch(left) and k > 1 and cores[k - 2] in _OWNERS:
        return BOUND  # "the d7 rook"
    if left in _CAPTURES and (right in _PIECES or _SQUARE.fullmatch(right) or right == "on"):
        return BOUND + 4
    if left in _HITS and (right in _PIECES or _SQUARE.fullmatch(right)):
        return BOUND
    if left in _LETTERS and (right in _CAPTURES or right in _LINES or right in _NUMBERS or right.isdigit()):
        return _NEVER
    if left in ("to", "on", "from", "for") and _SQUARE.fullmatch(right):
        return BOUND + 8
    if right == "to" and _SQUARE.fullmatch(left) and k + 1 < len(cores) and _SQUARE.fullmatch(cores[k + 1]):
        return BOUND  # "knight g1 to f3", "from a1 to d1"
    if (left in _WINGS and right == "side") or (left.startswith("castl") and right in _WINGS and cores[k + 1 : k + 2] == ["side"]):
        return BOUND + 8
    if right in ("to", "on") and left in _PIECES and k + 1 < len(cores) and _SQUARE.fullmatch(cores[k + 1]):
        return BOUND
    if left in ("mate", "in") and right in ("in", *_NUMBERS):
        if left == "mate" or (k > 1 and cores[k - 2] == "mate") or right != "in":
            return BOUND + 8
    if (left.startswith("castle") and right in _SIDES) or (right.startswith("castl") and left in _SIDES):
        return BOUND + 8
    if (
        left in _LINES
        and (_SQUARE.fullmatch(right) or (right in _LETTERS and right != "a"))
        and not right.endswith("'s")
    ):
        return BOUND + 8  # "the weak square d6", "the pawn e4"
    if counted(cores, k) or (left in ("move", "rank", "number") and (right in _NUMBERS or right[:1].isdigit())):
        return BOUND + 4
    if re.fullmatch(r"\d+", left) and _SQUARE.fullmatch(right):
        return BOUND
    if left in _COLOURS and (right in _PIECES or right in _LINES):
        return BOUND
    if right == "check" and (_SQUARE.fullmatch(left) or left in _CAPTURES):
        return TIED - 4
    return 0.0


def names_move(cores: Sequence[str], k: int) -> bool:
    """Whether word ``k`` is the square of the piece before it: "knight d5", but not "the knight | d5", "the f pawn | d4".

    Of 4,109 pieces before a square in the narrations of ``tests/data/lessons``
    62 have a mark between; in 55 of these the piece is a noun with its article
    or whatever else says which one is meant.
    """
    if cores[k - 1] not in PIECE_NAMES.values() or not _SQUARE.fullmatch(cores[k]):
        return False
    return not any(w in _WHICH or w in _LETTERS or w.endswith("'s") for w in cores[max(0, k - 3) : k - 1])


def begins_move(units: Sequence[Unit], k: int) -> bool:
    """Whether a move is told from unit ``k`` on: its square is among the next words, or it castles."""
    words = [core(u.text) for u in units[k : k + _MOVE_WORDS]]
    return any(_SQUARE.search(word) or word.startswith(("castle", "o-o")) for word in words)


def _ends_move(units: Sequence[Unit], k: int) -> bool:
    """Whether unit ``k`` is the last of a phrase that began before it."""
    return k > 0 and units[k].phrase >= 0 and units[k - 1].phrase == units[k].phrase
