"""Moves told by what they do: which of the legal moves have the effect, and which of those comes first."""

from __future__ import annotations

import pytest

from timeline.follow.effects import effect_at
from timeline.follow.lexer import tokens
from timeline.follow.matching import matches
from timeline.follow.mentions import Desc
from timeline.follow.tree import Tree
from timeline.score import read_score
from timeline.transcript.words import Word


def first_of(fen: str, effect: str, played: str = "") -> list[str]:
    """The moves that fit best, in SAN, after ``played``."""
    score = read_score(f'[SetUp "1"]\n[FEN "{fen}"]\n\n{played} *\n')
    node = Tree(score).main[-1]
    found = matches(node, Desc(effect=effect))
    return sorted(node.board.san(legal.move) for legal, cost, _ in found if cost == found[0][1])


@pytest.mark.parametrize(
    ("fen", "played", "moves"),
    [
        ("4k3/7p/8/P7/8/8/6PP/4K3 w - - 0 1", "", ["a6"]),  # the passed pawn
        ("4k3/8/2P5/P7/8/8/6PP/4K3 w - - 0 1", "", ["c7"]),  # the one that has come furthest
        ("4k3/7p/8/P7/8/8/6PP/4K3 w - - 0 1", "1. g4 Kd7", ["g5"]),  # "and pushes again"
        ("4k3/6pp/2p5/8/p7/8/6PP/4K3 b - - 0 1", "", ["a3"]),
        ("4k3/5ppp/8/8/8/8/5PPP/4K3 w - - 0 1", "", ["f3", "f4", "g3", "g4", "h3", "h4"]),
    ],
)
def test_a_push_is_the_passed_pawns_or_the_last_ones(fen: str, played: str, moves: list[str]) -> None:
    assert first_of(fen, "push", played) == moves


def test_a_king_tucked_away_castles() -> None:
    assert first_of("r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1", "castle") == ["O-O", "O-O-O"]


@pytest.mark.parametrize(
    ("said", "effect"),
    [
        ("he makes his queen", "queen"),
        ("there's a new queen", "queen"),
        ("and there is the lady", "queen"),
        ("if I wait he queens", "queen"),
        ("then you queen and win", "queen"),
        ("one more push and it is over", "push"),
        ("then I push with check", "push"),
        ("you queen with check", "queen"),
        ("he hops in front of his own pawn", "front"),
        ("check, in front of the pawn again", "front"),
        ("she tucks her king into safety", "castle"),
        ("both ladies disappear", "off5"),
        ("then the bishops leave the board", "off3"),
        ("a pair of knights is gone, the rooks were traded", "off4"),
        ("and black answers in kind", "same"),
        ("a six, and so does white", "same"),
    ],
)  # fmt: skip
def test_told(said: str, effect: str) -> None:
    toks = tokens([Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(said.split())])
    assert effect in {told.effect for i in range(len(toks)) for told in effect_at(toks, i)}


@pytest.mark.parametrize("said", ["the queens come off", "my queen is there", "if she goes, queen takes", "two queens are worth it", "the rook is in front of the pawn"])
def test_not_told(said: str) -> None:
    toks = tokens([Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(said.split())])
    assert not {"queen", "front"} & {told.effect for i in range(len(toks)) for told in effect_at(toks, i)}


@pytest.mark.parametrize("said", ["sorry in advance, he pushes", "we were told well in advance and he pushes"])
def test_in_advance_tells_of_no_push(said: str) -> None:
    toks = tokens([Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(said.split())])
    assert [toks[i].text for i in range(len(toks)) for told in effect_at(toks, i) if told.effect == "push"] == ["pushes"]
