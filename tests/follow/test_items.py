"""Lists of tries told one after the other: "One, … Two, …"."""

from __future__ import annotations

import pytest
from followtalk import words

from timeline.follow.follow import follow_words
from timeline.follow.items import items
from timeline.follow.lexer import tokens
from timeline.score import read_score

SCORE = read_score("1. e4 e5 2. Nf3 Nc6 3. Bc4 Nf6 4. d3 Be7 5. O-O O-O 6. Re1 d6 *")
GAME = "E four, e five. Knight f three, knight c six. Bishop c four."


def found(said: str) -> list[str]:
    toks = tokens(words(said))
    return [f"{toks[i].text} {toks[i + 1].text}" for i in items(toks)]


@pytest.mark.parametrize(
    ("said", "firsts"),
    [
        ("One, he takes on e five, which is bold. Two, knight f six at once.", ["two knight"]),
        ("First, the pawn goes to a six there. And second, the bishop comes out. Third, castles.", ["and second", "third castles"]),
        ("Candidate one. Bishop c five and d three. Candidate two. Knight f six.", ["candidate two"]),
        ("Door number one is king g eight there. And door number two, the king comes out. Move number three is mine.", ["door number", "and door"]),
        ("Number one is bishop c five here. Number two is knight f six.", ["number one", "number two"]),
        ("Now then. Try one, bishop g five. It is annoying. Try two, e four.", ["try one", "try two"]),
        ("C five was the first card. Last one. Bishop c five.", ["last one"]),
        ("The last one takes. This last one, too.", []),
        ("To take is the first. Pawn takes e four. The second is to run past, h five.", ["the second"]),
        ("The first idea is bishop c five here. And the third idea is knight f six.", ["and the"]),
        ("The second way, castles, is mine. The second rank is full of pawns.", []),
        ("How many attackers? One, two, three.", []),
        ("Two pawns are hanging there, and three pieces look at them.", []),
        ("Second, I would like a cup of tea.", []),  # nothing was first
    ],
)
def test_items_of_a_list(said: str, firsts: list[str]) -> None:
    assert found(said) == firsts


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("One, bishop c five, c three, and d six, which is quiet.", "Two, h six first. It keeps the bishop out."),
        ("Number one, bishop c five, d three, then d six.", "And number two, h six. That is an old move."),
        ("Candidate one. Bishop c five, castles, d six.", "Candidate two. H six. Slow, you see."),
        ("To develop is the first. Bishop c five, castles, d six.", "The second is to wait a little. H six. Slow, you see."),
        ("Say bishop c five, castles, d six.", "Last one. H six. Slow, you see."),
        ("Say bishop c five, castles, d six.", "The second idea is to wait a little. H six. Slow, you see."),
    ],
)
def test_the_next_item_begins_where_the_last_began(one: str, two: str) -> None:
    before = f"{GAME} What are the moves? {one}"
    cues = follow_words(words(f"{before} {two}"), SCORE, marks=False).cues
    back = next(cue.address for cue in cues if cue.first >= len(before.split()))
    assert back in ("3w", "3w h6")
