"""Hearings that the followed moves prove wrong: the follower read a move there, so the words meant that move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import chess

from timeline.captions.corrections import Pad, counts
from timeline.captions.everyday import CHESS, is_plain
from timeline.captions.hearing import hearings
from timeline.follow.phonetics import SQUARE_PHONES, alikeness, letter_phones, phones
from timeline.follow.result import Follow, Reading, Token
from timeline.follow.vocabulary import FILE_WORDS, PIECE_NAMES, PIECE_WORDS, RANK_WORDS

_SYNONYMS = frozenset(
    "horse horsey horsie horses steed lady tower castle monarch officer ladies towers castles royal".split()
)
_LETTERS_HEARD = frozenset("see sea si cee bee dee de gee ji jee aitch age ef eff ay".split())
_RANK_NAMES = frozenset("one two three four five six seven eight".split())
_RANK_SOUNDS = frozenset(RANK_WORDS) - {"to", "too", "for"}
_BEFORE_RANK = frozenset("the this these that they he she be a i see each to".split())
_NOT_CAPTURES = frozenset("cakes tax taxes steaks stakes aches tags tapes tasks text texts tex takers".split())
"""Words that the follower knows as hearings of "takes"; its other words for a capture are the speaker's own."""
_PIECE_OF = {"N": "knight", "B": "bishop", "R": "rook", "Q": "queen", "K": "king"}
_SUBJECTS = frozenset(
    "he she it who that which we you they i one also simply just then and now white black both".split()
)
_BARE_SUBJECTS = frozenset("i you we they to can can't could will would should must cannot couldn't both let's".split())
_MODAL = frozenset(
    "can could should would will must may might let does did do doesn't didn't can't couldn't won't wouldn't shouldn't if "
    "make makes to i'd you'd we'd he'd she'd they'd i'll you'll we'll he'll she'll they'll and or rooks knights pawns".split()
)
_LEADS = frozenset("on from to at with by".split())
_SEVERAL = frozenset("both two three four all these those of".split())
_PIECE_LIKE = 0.62  # alikeness up to which an unknown word before its square is the piece that moved
_LETTER_LIKE = 0.75  # the same for the file of a pawn that takes; one phone against one or two, so a wide limit
_ONE_WORD_LIKE = 0.8  # one word is a square only this near to its sound
_LOST_SYLLABLE, _SYLLABLE = 0.3, 4
_WHICH_LIKE = 0.72  # the same for a piece and the file that tells which: a longer sound
_CAPTURE_LIKE = 0.6  # a word of no sense there is the pawn's file and "takes" up to this ("cheetahs": g takes)
_MATE_LIKE = 0.35  # what follows a mating move is "mate" this near to its sound
_SQUARE_LIKE = 0.36  # everyday words are the square that was played only this near to its sound


def from_follow(pad: Pad, follow: Follow) -> None:
    """Lay changes over the words that the follower read, and hold those it read as they are."""
    begun = {reading.first for reading in follow.readings if reading.san}
    for before, reading in zip((None, *follow.readings), follow.readings, strict=False):
        tokens = [_without_lead(pad, t) for t in reading.tokens if 0 <= t.first <= t.last < len(pad.words)]
        refused = False
        if tokens and reading.san and reading.san.endswith("#"):
            _mate(pad, reading, tokens[-1])
        for n, token in enumerate(tokens):
            square = token.written if token.written in chess.SQUARE_NAMES else None
            _which_before(pad, reading, tokens, n)
            whole = _with_rank(pad, reading, token)
            if whole:
                pad.change(*whole, _why(reading), "move")
                continue
            if not token.mended:
                _as_heard(pad, reading, tokens, n, square)
                continue
            if refused or _is_own_word(pad, token):
                refused = True
                continue
            free_from = tokens[n - 1].last + 1 if n else 0
            named = reading.played and n > 0
            told = named and (pad.ends[token.last] or token.last + 1 in begun)
            which = _joined(pad, reading, token)
            found = (
                (token.first, which or token.written)
                if which or _tells_which(tokens, n)
                else _mended_token(pad, token, square, free_from, named=named, told=told)
            )
            if found:
                first, written = found
                if written == token.written + "s" and _is_single(pad, tokens, n):
                    written = token.written
                pad.change(first, _whole(pad, token, square), written, _why(reading), "move")
        if tokens and reading.san and not refused:
            _before(pad, reading, tokens[0])
            if _is_rook(pad, before, reading, tokens[0]):
                pad.change(tokens[0].first - 1, tokens[0].first - 1, "rook", _why(reading), "move")


def _without_lead(pad: Pad, token: Token) -> Token:
    """A square's token without the preposition that the follower reads with it ("check on b3"): that was said, too."""
    heard = pad.cores[token.first : token.last + 1]
    if token.written not in chess.SQUARE_NAMES or len(heard) < 2 or heard[0] not in _LEADS:
        return token
    spelled = heard[1:] == [token.written] or literal_square(heard[1:]) == token.written
    return replace(token, first=token.first + 1) if spelled else token


def _why(reading: Reading) -> str:
    return f"the board: {reading.san}" if reading.san else "the position on the board"


def _as_heard(pad: Pad, reading: Reading, tokens: Sequence[Token], n: int, square: str | None) -> None:
    """A token that the follower took as it was heard: spelled as notation, put into number, or held."""
    token = tokens[n]
    heard = pad.cores[token.first : token.last + 1]
    which = _joined(pad, reading, token)
    if which:
        pad.change(token.first, token.last, which, _why(reading), "move")
    elif square and heard != [square + "'s"] and not counts(pad, token.last):
        pad.change(token.first, token.last, square, "notation written as notation", "spelling")
    elif len(token.written) == 1 and token.written in "bcdefgh" and heard == [token.written]:
        pad.change(token.first, token.last, token.written, "notation written as notation", "spelling")
    elif token.written == "takes" and (heard[0] in _NOT_CAPTURES or (heard == ["take"] and _one_takes(pad, tokens, n))):
        pad.change(token.first, token.last, "takes", _why(reading), "move")
    elif (
        token.written == "2" and heard[0] in ("two", "too") and reading.san and "2" not in reading.san[:-2].rstrip("+#")
    ):
        pad.change(token.first, token.last, "to", _why(reading), "move")
    elif reading.san and heard == [token.written + "s"] and _is_single(pad, tokens, n):
        pad.change(token.first, token.last, token.written, _why(reading), "move")
    else:
        pad.hold(token.first, token.last - _is_misheard(heard[-1], token.written))


def _is_misheard(heard: str, written: str) -> bool:
    """Whether a word was read for what it stands for ("prawn" for pawn) and is no word for that itself: left to the table."""
    return any(row.written.removesuffix("s") == written for row in hearings().get(heard, ()))


def _one_takes(pad: Pad, tokens: Sequence[Token], n: int) -> bool:
    """Whether a piece stands before "take" as its subject, and nothing asks for the bare verb."""
    if not n or tokens[n - 1].written not in PIECE_NAMES.values() or tokens[n - 1].last + 1 != tokens[n].first:
        return False
    first = tokens[n - 1].first
    return not set(pad.cores[max(0, first - 4) : first]) & _MODAL and not pad.cores[tokens[n - 1].last].endswith("s")


def _tells_which(tokens: Sequence[Token], n: int) -> bool:
    """Whether a letter stands between a piece and its square or "takes" ("knight be to d7"): then it is no word of its own."""
    if not 0 < n < len(tokens) - 1 or len(tokens[n].written) != 1:
        return False
    before, after = tokens[n - 1], tokens[n + 1]
    return (
        before.written in PIECE_NAMES.values()
        and before.last + 1 == tokens[n].first
        and (after.written == "takes" or after.written in chess.SQUARE_NAMES)
        and after.first - tokens[n].last <= 2
    )


def _joined(pad: Pad, reading: Reading, token: Token) -> str | None:
    """The file a piece comes from and its square, where a transcript writes their two letters as one word: "rook he one" (h e1)."""
    letters, san = pad.cores[token.first], reading.san or ""
    if token.last != token.first + 1 or len(letters) != 2 or token.written not in chess.SQUARE_NAMES:
        return None
    tells = san[:1] in _PIECE_OF and san[1:4] == letters[0] + token.written and letters[1] == token.written[0]
    return f"{letters[0]} {token.written}" if tells else None


def _with_rank(pad: Pad, reading: Reading, token: Token) -> tuple[int, int, str] | None:
    """Words and square where the letter before a square was read as part of it: "be d | two" is d2, by the knight from b."""
    square, k, san = token.written, token.last + 1, reading.san or ""
    if square not in chess.SQUARE_NAMES or token.last != token.first + 1 or k >= len(pad.words) or pad.ends[token.last]:
        return None
    heard, file, rank = pad.cores[token.first], pad.cores[token.last], pad.cores[k]
    if file != square[0] or RANK_WORDS.get(rank, ("", 1.0))[0] != square[1] or counts(pad, k):
        return None
    which = FILE_WORDS.get(heard, ("",))[0]
    if san[:1] in _PIECE_OF and which and san[1:4] == which + square:
        return token.first, k, f"{which} {square}"
    return token.last, k, square


def _which_before(pad: Pad, reading: Reading, tokens: Sequence[Token], n: int) -> None:
    """A word between a piece and its square that is the file it comes from, as the move says: "knight he g5" (Neg5)."""
    token, san, k = tokens[n], reading.san or "", tokens[n].first - 1
    if k < 1 or (n and tokens[n - 1].last != k - 1) or token.written not in chess.SQUARE_NAMES:
        return
    piece, before = _PIECE_OF.get(san[:1], ""), pad.cores[k - 1]
    if pad.ends[k - 1] or not (before == piece or _is_misheard(before, piece)):
        return
    letter = FILE_WORDS.get(pad.cores[k], ("",))[0]
    if piece and letter and san[1:4] == letter + token.written and not pad.ends[k]:
        pad.change(k, k, letter, _why(reading), "move")


def _is_rook(pad: Pad, before: Reading | None, reading: Reading, token: Token) -> bool:
    """Whether "or" before a square was "rook": a rook moved there in the game, and no other way is offered ("rook e8 or f8")."""
    k = token.first - 1
    if k < 0 or pad.cores[k] != "or" or pad.ends[k] or not pad.free(k, k) or token.written not in chess.SQUARE_NAMES:
        return False
    if not reading.played or (reading.san or "")[:1] != "R":
        return False
    return before is None or before.last != k - 1 or (before.played and (before.san or "")[:1] != "R")


def _mate(pad: Pad, reading: Reading, token: Token) -> None:
    """What follows a move that mates: "check made" is checkmate, "might" alone is mate."""
    check = token.last if pad.cores[token.last] == "check" else token.last + 1
    if check < len(pad.cores) and pad.cores[check] == "check" and not pad.ends[check]:
        k, written, first = check + 1, "checkmate", check
    else:
        k, written, first = token.last + 1, "mate", token.last + 1
        if k >= len(pad.cores) or not pad.ends[k]:
            return  # "might" may lead on
    if k < len(pad.cores) and pad.cores[k] not in CHESS and pad.free(first, k):
        if pad.cores[k] and alikeness(phones(pad.cores[k]), phones("mate")) <= _MATE_LIKE:
            pad.change(first, k, written, _why(reading), "move")


def _is_single(pad: Pad, tokens: Sequence[Token], n: int) -> bool:
    """Whether a piece's name in the plural is one piece that moves: its capture or square follows at once."""
    k = tokens[n].last + 1
    if n + 1 >= len(tokens) or pad.ends[tokens[n].last]:
        return False
    before = pad.cores[tokens[n].first - 1] if tokens[n].first else ""
    return (
        tokens[n + 1].first == k
        and pad.cores[k] not in ("take", "on", "and")
        and not (tokens[n].written == "pawn" or before in _SEVERAL)
    )


def _is_own_word(pad: Pad, token: Token) -> bool:
    """Whether an everyday word was read as a piece: one that no table knows as a hearing ("now"), or in a phrase of its own."""
    heard = pad.cores[token.first : token.last + 1]
    if token.written not in PIECE_NAMES.values() or len(heard) != 1 or heard[0] == token.written:
        return False
    if pad.in_phrase(token.last):
        return True
    if heard[0] in PIECE_WORDS:
        return False
    return is_plain(heard[0]) and not any(row.written == token.written for row in hearings().get(heard[0], ()))


def _mended_token(
    pad: Pad, token: Token, square: str | None, free_from: int, *, named: bool, told: bool
) -> tuple[int, str] | None:
    """Where the hearing begins and what it stands for; None where the follower reads too much into it.

    ``named``: the move was played and its piece or capture is named before.
    ``told``: the phrase ends here as well; only then a word that makes sense of its own is
    taken for a square ("bishop before").
    """
    heard = pad.cores[token.first : token.last + 1]
    if len(heard) == 1 and (heard[0] in _SYNONYMS or heard[0] in PIECE_NAMES.values()):
        return None
    if len(token.written) == 1:  # a file's letter: pronouns and conjunctions stay what they are
        return (token.first, token.written) if heard[0] in _LETTERS_HEARD else None
    if square:
        return _mended_square(pad, token, square, free_from, named=named, told=told)
    if token.written == "castles" and token.first and pad.cores[token.first - 1] in _BARE_SUBJECTS:
        return token.first, "castle"
    return token.first, inflected(" ".join(heard), token.written)


def _mended_square(
    pad: Pad, token: Token, square: str, free_from: int, *, named: bool, told: bool
) -> tuple[int, str] | None:
    heard = pad.cores[token.first : token.last + 1]
    if any(word in PIECE_NAMES.values() for word in heard):
        return None  # "queen three": the speaker's own way to name a square
    literal = literal_square(heard)
    if literal and _nearer(heard, literal, square):
        return None if counts(pad, token.last) else (token.first, literal)
    if set(heard) & CHESS:
        return None
    sure = len(heard) > 1 and (heard[-1] in _RANK_NAMES or (named and heard[-1] in _RANK_SOUNDS))
    if all(is_plain(word) for word in heard) and not sure and not (told and len(heard) == 1):
        return _sounded_square(heard, token, square) if named and len(heard) > 1 else None
    if counts(pad, token.last):
        return None
    if len(heard) == 1 and alikeness(phones(heard[0]), SQUARE_PHONES[square]) > _ONE_WORD_LIKE:
        return None
    first = token.first
    if len(heard) == 1 and heard[0] in RANK_WORDS and first > free_from and pad.cores[first - 1] in _BEFORE_RANK:
        if not pad.ends[first - 1]:
            first -= 1  # "the five": the letter was heard as a little word
    if len(heard) > 1 and (with_to := _sounded_square(heard, token, square)) and with_to[1] != square:
        return with_to
    return first, square


def _whole(pad: Pad, token: Token, square: str | None) -> int:
    """The last word of a square's hearing: the number after it too, where only with that the sound is whole ("jesus seven")."""
    k = token.last + 1
    if square is None or token.first < token.last or k >= len(pad.cores) or pad.ends[token.last] or not pad.free(k, k):
        return token.last
    if RANK_WORDS.get(pad.cores[k], ("", 1.0))[0] != square[1] or counts(pad, k):
        return token.last
    heard, said = phones(pad.cores[token.first]), SQUARE_PHONES[square]
    return k if alikeness(heard + phones(pad.cores[k]), said) < alikeness(heard, said) else token.last


def _nearer(heard: Sequence[str], literal: str, square: str) -> bool:
    """Whether the words sound clearly more like the square they spell than like the one that the board wants."""
    sound = tuple(p for word in heard for p in phones(word))
    return literal == square or alikeness(sound, SQUARE_PHONES[literal]) < alikeness(sound, SQUARE_PHONES[square]) - 0.1


def _sounded_square(heard: Sequence[str], token: Token, square: str) -> tuple[int, str] | None:
    """Several words as a square by their sound, with the "to" that they may have swallowed ("today for": to d4)."""
    sound = tuple(p for word in heard for p in phones(word))
    plain = alikeness(sound, SQUARE_PHONES[square])
    with_to = alikeness(sound, phones("to") + SQUARE_PHONES[square])
    if min(plain, with_to) > _SQUARE_LIKE:
        return None
    return token.first, square if plain <= with_to else f"to {square}"


def _before(pad: Pad, reading: Reading, token: Token) -> None:
    """What stands before the first word that the follower read: the piece, or the file of a pawn that takes."""
    k, san = token.first - 1, reading.san or ""
    if k < 0 or pad.ends[k] or pad.held[k] or not pad.cores[k]:
        return
    word = pad.cores[k]
    if token.written in chess.SQUARE_NAMES or token.written == "takes":
        piece = _PIECE_OF.get(san[0])
        if piece and not is_plain(word) and word not in PIECE_WORDS and word not in CHESS:
            which = san[1] if san[1:2] in "abcdefgh" and san[2:3] in (*"abcdefghx",) else ""
            if which and _sounds(word, piece, which) < _like_piece(word, piece):
                piece = f"{piece} {which}"
            alike = _sounds(word, *piece.split()) if " " in piece else _like_piece(word, piece)
            if alike <= (_WHICH_LIKE if " " in piece else _PIECE_LIKE):
                pad.change(k, k, piece, _why(reading), "move")
            return
    if token.written == san[2:4] and san[1:2] == "x" and not is_plain(word) and word not in PIECE_WORDS:
        taker = _PIECE_OF.get(san[0], san[0])
        if _sounds(word, taker, "takes") <= _CAPTURE_LIKE:
            pad.change(k, k, f"{taker} takes", _why(reading), "move")
        return
    if token.written == "takes" and san[1:2] == "x" and san[0] in "abcdefgh" and word not in (san[0], *_SUBJECTS):
        if (
            word in CHESS
            or word in PIECE_WORDS
            or (is_plain(word) and word != "eight" and not _may_be_file(word, san[0]))
        ):
            return
        if word == "the" or alikeness(phones(word), letter_phones(san[0])) <= _LETTER_LIKE:
            pad.change(k, k, san[0], _why(reading), "move")


def _sounds(word: str, *said: str) -> float:
    """How alike one heard word is to several that were said; a single letter by its name."""
    return alikeness(phones(word), tuple(p for w in said for p in (letter_phones(w) if len(w) == 1 else phones(w))))


def _may_be_file(word: str, file: str) -> bool:
    """Whether an everyday word is a hearing of the file's letter, or of one that rhymes with it ("be" for c)."""
    if word == "the":
        return file == "d"  # no verb follows "the"
    letter = FILE_WORDS.get(word, ("",))[0]
    return letter == file or {letter, file} <= set("bcdeg")


def _like_piece(word: str, piece: str) -> float:
    """How alike a word is to a piece's name; or, at a price, to what is left of "bishop" without its first syllable."""
    heard, said = phones(word), phones(piece)
    whole = alikeness(heard, said)
    return min(whole, _LOST_SYLLABLE + alikeness(heard, said[2:])) if len(said) > _SYLLABLE else whole


def literal_square(heard: Sequence[str]) -> str | None:
    """The square that two words spell by their sound ("see six"), or one with a digit ("c 6")."""
    if len(heard) != 2 or heard[0] not in FILE_WORDS or heard[1] not in RANK_WORDS:
        return None
    (file, _), (rank, _) = FILE_WORDS[heard[0]], RANK_WORDS[heard[1]]
    return file + rank


def inflected(heard: str, written: str) -> str:
    """A piece's name in the number and case in which it was heard ("rocks" are rooks)."""
    if written not in PIECE_NAMES.values():
        return written
    if heard.endswith("'s"):
        return written + "'s"
    if heard.endswith("s") and heard[:-1] in PIECE_WORDS:
        return written + "s"
    return written
