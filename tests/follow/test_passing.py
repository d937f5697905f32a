"""Moves passed over in a word, and where the talk goes on after them."""

from __future__ import annotations

import pytest
from followtalk import words

from timeline.follow import follow_words
from timeline.follow.lexer import tokens
from timeline.follow.passing import passes
from timeline.score import read_score

GAME = (
    "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d3 d6 6. O-O a6 7. Bb3 Ba7 8. h3 O-O 9. Re1 h6 10. Nbd2 Re8 11. Nf1 Be6 12. Bc2 d5 *"
)
TOLD = "E4, e5, knight f3, knight c6, bishop c4, bishop c5."
LONG = "Look at the centre for a while, because nothing is decided in it and both kings will soon be safe."
AFTER = "Now the rook goes to e8, the other knight comes to f1, bishop e6, bishop c2 and d5."


@pytest.mark.parametrize(
    "said",
    [
        "a few moves later.", "and after that several quiet moves go by.", "so let me skip ahead.", "I'll jump over it.",
        "and we get this position.", "after which we get to here.", "then there's a bit of tidying up on both sides.",
        "both sides develop.", "some ordinary developing moves.", "I'll be quick.", "it's all quite regular.", "that brings us to this position.",
    ],
)  # fmt: skip
def test_words_that_pass_over_moves(said: str) -> None:
    toks = tokens(words(said))
    assert passes(toks, 0) == len(toks)


@pytest.mark.parametrize(
    "said",
    [
        "he has two moves.", "let's run it.", "we get the pawn.", "the knight jumps over the pawn.", "do we move it?", "we get this pawn.",
        "he develops the bishop.", "five moves after I put it there.", "all the moves are forced.",
    ],
)  # fmt: skip
def test_words_that_do_not(said: str) -> None:
    assert not passes(tokens(words(said)), 0)


@pytest.mark.parametrize(
    "passed",
    ["A few moves later we get this position.", "Then some ordinary developing moves, and we get this.", "I'll skip ahead to here."],
)
def test_the_board_goes_to_where_the_game_is_told_again(passed: str) -> None:
    """Before rook e8, which is told next; without such words it stays until then."""
    cues = follow_words(words(f"{TOLD} {passed} {LONG} {AFTER}"), read_score(GAME), marks=False).cues
    begun = len(TOLD.split())
    ahead = cues[[cue.address for cue in cues].index("10w")]
    assert begun <= ahead.first < begun + len(passed.split())
    assert [cue.address for cue in cues if cue.first >= begun][:3] == ["10w", "10b", "11w"]


def test_nothing_is_passed_over_where_the_next_move_is_told_next() -> None:
    told = "The next few moves are well known. A few moves later people get lost. But first things first, c3 and knight f6, d3, d6."
    cues = follow_words(words(f"{TOLD} {told}"), read_score(GAME), marks=False).cues
    assert [cue.address for cue in cues][-4:] == ["4w", "4b", "5w", "5b"]
