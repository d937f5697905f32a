"""Words to tokens."""

from __future__ import annotations

import pytest
from followtalk import texts, words
from hypothesis import given

from timeline.follow.lexer import tokens
from timeline.follow.numbers import move_number, number_at, number_before
from timeline.transcript.words import Word


def split(text: str) -> list[str]:
    return [tok.text for tok in tokens(words(text))]


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Knight f3, please!", ["knight", "f3", "please"]),
        ("c-takes d-file", ["c", "takes", "d", "file"]),
        ("e4/e5 bishop-b5", ["e4", "e5", "bishop", "b5"]),
        ("exd5", ["exd5"]),
        ("O-O and 0-0-0", ["o-o", "and", "o-o-o"]),
        ("nf3 be7 knight bd2 bxc3 no4", "nf3 be7 knight bd2 bxc3 no4".split()),
        ("(the “rook”)", ["the", "rook"]),
        ("White’s knight's", ["white's", "knight's"]),
        ("… — ,", []),
        ("1.e4 e5 2.Nf3, (3.Bb5!) 5...Nxd5 6.0-0", "1 e4 e5 2 nf3 3 bb5 5 nxd5 6 o-o".split()),
        ("12…Rxd5?! [7.O-O-O] 1.e2-e4 2.Knight 40.e8=Q+", "12 rxd5 7 o-o-o 1 e2 e4 2 knight 40 e8=q+".split()),
        ("3.5 pawns, 1.20 on the clock, 10.30pm", "3.5 pawns 1.20 on the clock 10.30pm".split()),
    ],
)
def test_parts(text: str, parts: list[str]) -> None:
    assert split(text) == parts


@pytest.mark.parametrize(("typed", "san"), [("nf3", "Nf3"), ("qxd4+", "Qxd4+"), ("be7", "Be7"), ("rad1", "Rad1"), ("e4", None), ("bxc3", "bxc3")])
def test_notation_in_small_letters(typed: str, san: str | None) -> None:
    assert tokens(words(typed))[0].san == san


@pytest.mark.parametrize("san", ["Nf3", "exd5", "Rad1", "R1e3", "a8=Q", "Qxf7#", "Bb5+"])
def test_notation_is_kept_as_notation(san: str) -> None:
    """SAN as of the PGN standard, 8.2.3."""
    (tok,) = tokens(words(san))
    assert tok.san == san


def test_a_bare_square_is_no_notation() -> None:
    (tok,) = tokens(words("e4"))
    assert tok.san is None


def test_punctuation_pauses_and_places() -> None:
    said = [
        Word("Castles.", 0, 400),
        Word("“Why?”", 1400, 1700),
        Word("knight-f3,", 1700, 2500),
        Word("—", 2500, 2500),
        Word("so", 2600, 2700),
    ]
    toks = tokens(said)
    assert [(t.text, t.ends, t.starts, t.gap_ms, t.word) for t in toks] == [
        ("castles", ".", True, 0, 0),
        ("why", "?", True, 1000, 1),
        ("knight", "", True, 0, 2),
        ("f3", ",", False, 0, 2),
        ("so", "", False, 100, 4),
    ]
    assert (toks[2].onset_ms, toks[3].onset_ms, toks[3].end_ms) == (1700, 2100, 2500)


def test_a_number_written_to_its_move_takes_no_time_from_it() -> None:
    said = [Word("so", 0, 200), Word("12.Nxd5,", 300, 900)]
    assert [(t.text, t.onset_ms, t.end_ms, t.gap_ms, t.ends, t.starts, t.san) for t in tokens(said)[1:]] == [
        ("12", 300, 300, 100, ".", False, None),
        ("nxd5", 300, 900, 0, ",", True, "Nxd5"),
    ]


@given(texts)
def test_tokens_of_any_words_are_in_order_and_point_at_their_words(parts: list[str]) -> None:
    said = words(" ".join(p for p in parts if p.split()))
    toks = tokens(said)
    assert [t.word for t in toks] == sorted(t.word for t in toks)
    for tok in toks:
        assert tok.text
        assert said[tok.word].onset_ms <= tok.onset_ms <= tok.end_ms <= said[tok.word].end_ms


def test_a_raised_digit_is_no_number() -> None:
    assert number_at(tokens([Word("²", 0, 300)]), 0) == (0, 0)
    assert number_at(tokens([Word("12", 0, 300)]), 0) == (12, 1)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("move twelve", (12, 2)),
        ("the twelfth move", (12, 2)),
        ("the twenty first move", (21, 3)),
        ("black's tenth,", (10, 2)),
        ("white's twenty second move", (22, 4)),
        ("the seventh rank", (0, 0)),
        ("black's second rank", (0, 0)),
        ("black's", (0, 0)),
    ],
)
def test_numbers_of_moves_as_they_are_said(said: str, found: tuple[int, int]) -> None:
    toks = tokens(words(said))
    first = 1 if said.startswith("the ") else 0
    assert move_number(toks, first) == found


@pytest.mark.parametrize(
    ("said", "number"),
    [("move one e4", 1), ("One, e4", 1), ("well, twelve, e4", 12), ("the greedy one, f4", 0), ("the clever one e4", 0)],
)
def test_a_number_said_before_a_move(said: str, number: int) -> None:
    toks = tokens(words(said))
    assert number_before(toks, len(toks) - 1)[0] == number
