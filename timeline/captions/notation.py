"""Moves as captions write them: piece letters by language, figurines.

The letters are those of the PGN standard (S. J. Edwards, 1994), section 17.
FIDE's Laws of Chess (2023), appendix C.2 and C.3, leave each player the
abbreviation of the own language and recommend figurines in print. Files and
scores always use the English letters; these are for people to read. A language
that the standard does not list has none here: English letters in its place
would be other pieces to a reader.
"""

from __future__ import annotations

import re

from timeline.captions.settings import Style
from timeline.problems import PlylineError

# Order of the standard's table: pawn knight bishop rook queen king.
_TABLE = """
cs P J S V D K
da B S L T D K
nl O P L T D K
en P N B R Q K
et P R O V L K
fi P R L T D K
fr P C F T D R
de B S L T D K
hu G H F B V K
is P R B H D K
it P C A T D R
no B S L T D K
pl P S G W H K
pt P C B T D R
ro P C N T D R
es P C A T D R
sv B S L T D K
"""
_ALIASES = {"nb": "no", "nn": "no"}

LETTERS: dict[str, dict[str, str]] = {
    row.split()[0]: dict(zip("PNBRQK", row.split()[1:], strict=True)) for row in _TABLE.strip().splitlines()
}
"""Language to piece letters, by the English letter (PGN standard, section 17)."""

FIGURINES = dict(zip("KQRBNP", "♔♕♖♗♘♙", strict=True))
"""Unicode U+2654 to U+2659. One set for both sides, as figurine notation is printed (common practice)."""

_CASTLES = re.compile(r"O-O(-O)?")


NO_LETTERS_FIX = f"use style: figurine, or spoken; letters are known for {' '.join(sorted([*LETTERS, *_ALIASES]))}"


def has_letters(language: str) -> bool:
    """Whether the piece letters of a BCP 47 language tag are known."""
    return _head(language) in LETTERS


def piece_letters(language: str) -> dict[str, str]:
    """The letters of a BCP 47 language tag, by the English ones; PlylineError (``no-piece-letters``) where none are known."""
    if not has_letters(language):
        raise PlylineError.of(
            "no-piece-letters", f"the piece letters of the language {language!r} are not known here", fix=NO_LETTERS_FIX
        )
    return LETTERS[_head(language)]


def _head(language: str) -> str:
    head = language.split("-")[0].lower()
    return _ALIASES.get(head, head)


def in_english(move: str, language: str) -> str:
    """A move in a language's letters with the English ones; as it is where the language's are not known.

    >>> in_english("Sxe5+", "de"), in_english("Rf1", "fr"), in_english("Nf3", "ru")
    ('Nxe5+', 'Kf1', 'Nf3')
    """
    if _CASTLES.match(move) or not has_letters(language):
        return move
    table = {own: letter for letter, own in piece_letters(language).items() if letter != "P"}
    return "".join(table.get(char, char) for char in move)


def write_san(san: str, style: Style, language: str) -> str:
    """A move in SAN with the language's letters, or figurines. ``spoken`` leaves it as it is.

    >>> write_san("Nxe5+", "algebraic", "de"), write_san("e8=Q#", "figurine", "en"), write_san("O-O", "algebraic", "fr")
    ('Sxe5+', 'e8=♕#', 'O-O')
    """
    if style == "spoken" or _CASTLES.match(san):
        return san
    table = FIGURINES if style == "figurine" else piece_letters(language)
    return "".join(table[char] if char in "KQRBN" else char for char in san)
