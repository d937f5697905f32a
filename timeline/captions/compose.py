"""From words and their corrections to written units, in the style asked for."""

from __future__ import annotations

import re
from collections.abc import Sequence

import chess

from timeline.captions.corrections import Correction
from timeline.captions.language import ENGLISH
from timeline.captions.notation import write_san
from timeline.captions.settings import Style
from timeline.captions.units import Unit, core, ends_clause, ends_sentence
from timeline.follow.result import Follow, Reading
from timeline.transcript.words import Word

_HEAD = re.compile(r"^[\"'“‘«(\[¿¡]+(?=\w)")
_TAIL = re.compile(r"[\"'”’»)\]….,;:!?–—/*|<>=~&]+$")
_NAMES = {"K": "king", "Q": "queen", "R": "rook", "B": "bishop", "N": "knight"}
_PICTURE = "[\u2190-\u2653\u2660-\u266c\u2670-\u2bff\U0001f000-\U0001faff][\ufe0e\ufe0f\u200d\U000e0020-\U000e007f]*"
"""Arrows to pictographs in Unicode's blocks, piece signs (2654 to 265F) and ♭♮♯ left out, with what joins them."""
_PICTURES = re.compile(rf"((?:{_PICTURE})*)(.*?\w.*?)((?:(?:{_PICTURE})+[….,;:!?]*)?)")
_SIGNS = re.compile(f"(?:{_PICTURE})+")
_SIDE = re.compile(
    r"(?:(?:on|to) the )?(?:(short|king-?side|king(?:'s)? side) |(?:long|queen-?side|queen(?:'s)? side) )"
)
_CAPTURES = frozenset("takes take captures".split())
_GLUE = frozenset("to on the at".split())
_OWNERS = frozenset("the a an his her my your our their this that its other same second white's black's".split())
_NO_SUBJECTS = ENGLISH.conjunctions | frozenset("then now so here finally next first just also again simply instead".split())
"""What may stand before a capture that has no subject ("and takes d4")."""
_NOT_A_NOUN = frozenset("the that this if whether out it your his her for".split())
"""What follows "check" as a verb."""
_SUBJECTS = frozenset(
    "he she i we you they it white black who both to can't can cannot could couldn't should must will would has had never".split()
)


def compose(
    words: Sequence[Word], corrections: Sequence[Correction], follow: Follow | None, *, style: Style, language: str
) -> list[Unit]:
    """Units in order, every word in one of them. Punctuation stands where the transcript has it."""
    by_first = {c.first: c for c in corrections}
    moves = _moves(words, follow, by_first, style, language) if follow and style != "spoken" else {}
    phrase_of = _phrases(follow, len(words))
    units: list[Unit] = []
    k = 0
    while k < len(words):
        if k in moves:
            last, text = moves[k]
        elif k in by_first:
            last, text = by_first[k].last, by_first[k].written
        else:
            last, text = k, words[k].text
            if not core(text) and units:  # a stray dash or mark: it belongs to the word before
                before = units[-1]
                units[-1] = Unit(
                    f"{before.text} {text}" if text in "–—-" else before.text + text,
                    before.first, k, before.onset_ms, max(before.end_ms, words[k].end_ms), before.speaker,
                    phrase=before.phrase,
                )  # fmt: skip
                k += 1
                continue
        if k in moves or k in by_first:
            text = _dressed(text, [w.text for w in words[k : last + 1]], _starts_sentence(words, k))
        parts = with_signs_apart(text).split() or [text]
        if parts[-1].endswith("–") and last + 1 < len(words) and words[last + 1].speaker == words[k].speaker:
            parts[-1] = parts[-1][:-1] + " –"  # between words a dash has its spaces; what is broken off has none
        span = max(0, words[last].end_ms - words[k].onset_ms)
        for n, part in enumerate(parts):
            begin = words[k].onset_ms + span * n // len(parts)
            end = words[k].onset_ms + span * (n + 1) // len(parts)
            first_word = k if n == 0 else last
            units.append(Unit(part, first_word, last, begin, end, words[k].speaker, phrase=phrase_of[k]))
        k = last + 1
    return units


def with_signs_apart(text: str) -> str:
    """A word with a space between it and the emoji before or after it, which transcripts give as one with it.

    Piece signs stay before their square.

    >>> with_signs_apart("played!🙂"), with_signs_apart("♘f3"), with_signs_apart("20°")
    ('played! 🙂', '♘f3', '20°')
    """
    if text.isascii():
        return text
    match = _PICTURES.fullmatch(text)
    return " ".join(part for part in match.groups() if part) if match else text


def _starts_sentence(words: Sequence[Word], k: int) -> bool:
    return k == 0 or ends_sentence(words[k - 1].text)


def _dressed(written: str, heard: Sequence[str], starts: bool) -> str:
    """The written form with the punctuation, capital and emoji that the heard words had."""
    head, tail = _HEAD.search(heard[0]), _TAIL.search(heard[-1])
    first = heard[0].lstrip("\"'“‘«([")[:1]
    if first.isupper() and starts and not is_notation(written):
        written = written[:1].upper() + written[1:]
    text = (head[0] if head else "") + written + (tail[0] if tail else "")
    before = _SIGNS.match(heard[0])
    after = "".join(_SIGNS.findall(" ".join(heard))[bool(before) :])
    return f"{before[0] if before else ''} {text} {after}".strip()


def is_notation(text: str) -> bool:
    """Whether a word is a square or a move in notation, whose letters keep their case."""
    bare = text.strip("\"'“”‘’()[]….,;:!?")
    return bare.removesuffix("'s") in chess.SQUARE_NAMES or bool(
        re.fullmatch(r"(?:[KQRBN♔♕♖♗♘]?[a-h]?[1-8]?x?[a-h][1-8](?:=[QRBN♕♖♗♘])?|O-O(?:-O)?)[+#]?", bare)
    )


def _phrases(follow: Follow | None, count: int) -> list[int]:
    """For each word the number of the move phrase that it is part of, -1 for none."""
    phrase_of = [-1] * count
    for n, reading in enumerate(follow.readings if follow else ()):
        if reading.last - reading.first <= 6:
            for k in range(max(0, reading.first), min(count - 1, reading.last) + 1):
                phrase_of[k] = n
    return phrase_of


def _moves(
    words: Sequence[Word], follow: Follow, changes: dict[int, Correction], style: Style, language: str
) -> dict[int, tuple[int, str]]:
    """First word of each phrase that is a move and nothing else, to its last word and the move in notation."""
    heard: list[str] = [core(w.text) for w in words]
    for change in changes.values():
        heard[change.first : change.last + 1] = [change.written.lower()] + [""] * (change.last - change.first)
    found: dict[int, tuple[int, str]] = {}
    taken = -1
    for reading in follow.readings:
        if reading.san is None or reading.first <= taken or not _is_bare(reading, heard):
            continue
        first, last = _with_piece(reading, heard, words), _with_square(reading, heard, words)
        if first is None or last is None or first <= taken:
            continue
        if first and not ends_sentence(words[first - 1].text):
            if heard[first - 1] in _OWNERS or (reading.san.startswith("O-O") and _subject(heard, first) in _SUBJECTS):
                continue
            if heard[first] in _CAPTURES and not ends_clause(words[first - 1].text) and heard[first - 1] not in _NO_SUBJECTS:
                continue  # "Black takes d4", "I take c6": somebody does it, and notation would be no verb
        if reading.san.startswith("O-O"):
            side = _side(heard, words, last)
            if side and side[1] != (reading.san.rstrip("+#") == "O-O"):
                continue
            last = side[0] if side else last
        if reading.san[-1] in "+#" and _says_check(heard, words, last):
            last += 1
        if any(c.first < first <= c.last or c.first <= last < c.last for c in changes.values()):
            continue
        found[first] = (last, write_san(reading.san, style, language))
        taken = last
    return found


def _subject(heard: Sequence[str], first: int) -> str:
    """The word before a verb and its adverbs ("White simply castles")."""
    k = first - 1
    while k > 0 and (heard[k].endswith("ly") or heard[k] in ("just", "now", "then", "also", "never", "always", "")):
        k -= 1
    return heard[k]


def _side(heard: Sequence[str], words: Sequence[Word], last: int) -> tuple[int, bool] | None:
    """The last word of the side that is named after castling, and whether it is the king's; None where none is named."""
    ahead: list[int] = []
    k = last
    while len(ahead) < 4 and k + 1 < len(heard) and not (ends_sentence(words[k].text) or ends_clause(words[k].text)):
        k += 1
        if heard[k]:
            ahead.append(k)
    match = _SIDE.match(" ".join(heard[k] for k in ahead) + " ")
    return (ahead[len(match[0].split()) - 1], bool(match[1])) if match else None


def _says_check(heard: Sequence[str], words: Sequence[Word], last: int) -> bool:
    """Whether the word after a move only says the check that its sign shows."""
    if (
        last + 1 >= len(heard)
        or ends_sentence(words[last].text)
        or heard[last + 1] not in ("check", "mate", "checkmate")
    ):
        return False
    return last + 2 >= len(heard) or ends_sentence(words[last + 1].text) or heard[last + 2] not in _NOT_A_NOUN


def _with_piece(reading: Reading, heard: Sequence[str], words: Sequence[Word]) -> int | None:
    """The first word of the move with its piece, which may stand before what the follower read; None without it."""
    name = _NAMES.get((reading.san or "")[:1])
    if name is None or name in heard[reading.first : reading.last + 1]:
        return reading.first
    k = reading.first - 1
    if k >= 0 and heard[k] == name and not (ends_sentence(words[k].text) or ends_clause(words[k].text)):
        return k
    return None


def _with_square(reading: Reading, heard: Sequence[str], words: Sequence[Word]) -> int | None:
    """The last word of the move with its square; None where something else is taken ("rook takes it")."""
    last = reading.last
    if heard[last] not in ("takes", "captures") or ends_sentence(words[last].text) or ends_clause(words[last].text):
        return last
    k = last + 1
    while k < len(heard) and not heard[k]:
        k += 1
    if k >= len(heard) or heard[k] in ("and", "check", "then", "with"):
        return last
    if heard[k] != (reading.san or "").rstrip("+#")[-2:]:
        return None
    while k + 1 < len(heard) and not heard[k + 1]:  # words that belong to the square's hearing
        k += 1
    return k


def _is_bare(reading: Reading, heard: Sequence[str]) -> bool:
    """Whether the words say the move and nothing besides: piece, captures, square, check, mate, castling."""
    held: set[int] = set()
    for token in reading.tokens:
        held.update(range(token.first, token.last + 1))
    for k in range(reading.first, reading.last + 1):
        if k not in held and heard[k] and heard[k] not in _GLUE:
            return False
    spans = [heard[token.first : token.last + 1] for token in reading.tokens]
    said = [part for span in spans for word in span for part in word.split() if part not in _GLUE]
    plain = {"king", "queen", "rook", "bishop", "knight", "pawn", "takes", "take", "captures", "x", "check", "mate",
             "checkmate", "castles", "castle", "short", "long", "kingside", "queenside", *"abcdefgh"}  # fmt: skip
    if not all(word in plain or word in chess.SQUARE_NAMES for word in said):
        return False
    squares = [n for n, word in enumerate(said) if word in chess.SQUARE_NAMES]
    if squares and "=" not in (reading.san or "") and set(said[squares[-1] :]) & set(_NAMES.values()):
        return False  # "rook takes d7 rook": the last word begins another move
    if not squares and not said[0].startswith("castle"):
        return len(said) == 2 and said[1] in ("takes", "captures")
    return True
