"""Pauses as punctuation, where a transcript has none."""

from __future__ import annotations

from timeline.follow.lexer import tokens
from timeline.follow.pauses import CLAUSE_MS, SENTENCE_MS, heard_punctuation
from timeline.transcript.words import Word


def spoken(text: str) -> list[Word]:
    """Words of 200 ms; a number between them is a pause in ms."""
    found: list[Word] = []
    at = 0
    for part in text.split():
        if part.isdigit() and len(part) > 1:
            at += int(part)
            continue
        found.append(Word(part, at, at + 200))
        at += 200
    return found


def marks(text: str) -> str:
    return " ".join(tok.text + tok.ends for tok in heard_punctuation(tokens(spoken(text))))


def test_long_pauses_end_sentences_and_short_ones_clauses() -> None:
    assert marks("he resigned 600 so 150 what next") == "he resigned. so, what next"


def test_the_word_after_a_sentence_starts_one() -> None:
    toks = heard_punctuation(tokens(spoken(f"he resigned {SENTENCE_MS} so there")))
    assert [tok.starts for tok in toks] == [True, False, True, False]


def test_a_breath_shorter_than_a_clause_is_nothing() -> None:
    assert marks(f"he {CLAUSE_MS - 1} resigned") == "he resigned"


def test_a_speaker_who_thinks_inside_a_move_does_not_part_it() -> None:
    assert marks("knight 700 f3 900 then the 500 bishop to 800 b 400 five") == "knight f3. then the bishop to b five"


def test_a_text_with_marks_of_its_own_keeps_them() -> None:
    assert marks("He resigned. 50 So 900 there") == "he resigned. so there"


def test_nothing_said_is_nothing_heard() -> None:
    assert heard_punctuation([]) == []
