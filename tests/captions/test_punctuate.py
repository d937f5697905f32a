"""Sentence borders, commas, capitals and question marks where the transcript has none, marked as restored."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from talking import caption, plain, units_of, words_of

from timeline.captions.clauses import begins_clause, belongs, is_condition
from timeline.captions.punctuate import restore
from timeline.captions.questions import is_question
from timeline.captions.units import core
from timeline.transcript.words import Timing

BARE = "the rook comes to the open file / black has to defend the seventh rank / what would you play here"


def restored(text: str, language: str = "en", **options: bool):
    return restore(units_of(text), language, pauses_known=options.get("pauses_known", True))


def test_sentences_begin_after_pauses_and_with_capitals():
    text = plain(caption(BARE))
    assert text.startswith("The rook comes to the open file. Black has to defend the seventh rank.")
    assert text.endswith("What would you play here?")


def test_a_few_names_with_capitals_do_not_make_a_transcript_cased():
    bare = (
        "the rook comes in / Queen's Gambit Declined was played by Tilda / / and white waits / the knight looks at it"
    )
    text = plain(caption(bare))
    assert text.startswith("The rook comes in.")
    assert "White waits" in text


def test_a_square_stays_with_the_word_that_names_it():
    text = plain(caption("look at the weak square d6 and the long diagonal"))
    assert "square d6" in text


def test_a_capture_and_its_square_are_one_move_even_when_the_follower_read_two():
    pgn = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Nd4 4. Nxe5 Qg5 5. Nxf7 Qxg2 *"
    talk = (
        "white begins with e4 black answers e5 / knight f3 knight c6 / bishop c4 knight d4 / "
        "knight takes e5 queen g5 / knight takes f7 and now queen takes gee too that's the point"
    )
    assert "queen takes g2" in plain(caption(talk, pgn)).lower()


@pytest.mark.parametrize(
    ("talk", "begins"),
    [
        ("good morning everyone today we look at the rook", "Good morning everyone. Today"),
        ("good morning chess monsters today we look at the rook", "Good morning chess"),
    ],
)
def test_a_greeting_ends_where_the_talk_begins(talk: str, begins: str):
    assert plain(caption(talk)).replace(",", "").startswith(begins)


def test_what_is_said_twice_is_parted_and_what_is_its_own_is_not():
    text = plain(caption("hello everyone / sit down sit down / and now you see that c2's weak and a4's weak too"))
    assert "it down, sit down" in text or "it down. Sit down" in text
    assert "c2's weak" in text
    assert "a4's weak" in text


def test_what_is_put_in_is_marked_as_restored():
    units = restored(BARE)
    assert units[0].restored == ("capital",)
    assert units[0].text == "The"
    assert next(u for u in units if u.text == "file.").restored == (".",)
    assert next(u for u in units if u.text == "here?").restored == ("?",)
    assert next(u for u in units if u.text == "rook").restored == ()


@pytest.mark.parametrize(
    "text",
    ["The rook is strong. It goes to e8. What now? White wins.", "Der Turm ist stark. Er geht nach e8. Was nun? Ende."],
)
def test_a_punctuated_transcript_is_left_alone(text: str):
    assert plain(caption(text, language="en" if text.startswith("The") else "de")) == text


def test_restoring_can_be_switched_off():
    assert plain(caption(BARE, restore="off")) == BARE.replace(" /", "")


def test_squares_keep_their_small_letter_and_i_gets_its_capital():
    text = plain(caption("e4 is played / and then i play d5 / on monday black plays the french"))
    assert text.startswith("e4 is played. And then I play d5.")
    assert text.replace(",", "").endswith("On Monday Black plays the French.")


def test_what_leads_into_a_sentence_is_none_by_itself():
    """"On Monday" and "here" get a comma at most, however long the breath after them."""
    text = plain(caption("that was a holiday move / here / black should wait / on monday / he plays the french / he did"))
    assert not re.search(r"(?:^|[.?] )(?:Here|On Monday)\.", text)


def test_colours_are_small_and_players_capital():
    text = plain(caption("white has the light squares and the white bishop / black waits"))
    assert text.startswith("White has the light squares")
    assert "and the white bishop" in text
    assert "Black waits" in text


def test_other_languages_break_at_pauses_only():
    text = plain(caption("der turm steht gut / die dame auch", language="de"))
    assert text == "Der turm steht gut. Die dame auch."


@pytest.mark.parametrize(
    ("sentence", "asks"),
    [
        ("what would you play here", True),
        ("is it mate", True),
        ("so can black take the rook", True),
        ("he can take it can't he", True),
        ("which rook", True),
        ("what a move", False),
        ("when the rook comes black resigns", False),
        ("what i learned is simple", False),
        ("the rook is strong", False),
    ],
)
def test_questions_by_their_form(sentence: str, asks: bool):
    assert is_question(sentence.split()) is asks


WORDS = "the a knight takes e5 so and what he queen is good i black then castles it's".split()


@given(st.lists(st.sampled_from(WORDS), max_size=60), st.booleans(), st.sampled_from(["en", "de", "xx"]))
def test_restoring_changes_no_word(words: list[str], pauses: bool, language: str):
    units = units_of(" ".join(words))
    result = restore(units, language, pauses_known=pauses)
    assert [core(u.text) for u in result] == [core(u.text) for u in units]
    assert [(u.onset_ms, u.end_ms) for u in result] == [(u.onset_ms, u.end_ms) for u in units]
    for before, after in zip(units, result, strict=True):
        assert (before.text == after.text) == (not after.restored)


def test_a_long_stretch_without_pauses_gets_borders():
    """A caption reader needs an end at least every 34 words (ours)."""
    units = restored("and the knight looks at the square while the bishop waits behind it " * 8)
    ends = [k for k, u in enumerate(units) if u.text[-1] in ".,?"]
    assert max(b - a for a, b in zip([-1, *ends], ends, strict=False)) <= 36


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("hello everyone today we look at a game", "Hello everyone. Today"),
        ("we stop here thanks for watching", "We stop here. Thanks for watching."),
        ("if he takes the rook then queen takes e8 is mate", "then queen takes e8"),
        ("then rook takes d7 rook d1 and black is lost", "ook takes d7, rook d1"),
        ("he takes knight takes e5 is what he missed", "takes, knight takes e5"),
        ("look at the d7 rook takes e5 never works", "the d7 rook"),
    ],
)
def test_borders_that_are_certain(said: str, written: str):
    text = plain(caption(said)).replace(" D7", " d7")
    assert written in text
    assert ". Then queen" not in text


def test_files_keep_their_small_letter_at_the_start():
    """As squares do: a capital letter would be a piece's (PGN standard 8.2.3.2)."""
    assert plain(caption("d takes e5 / a rook is lost / a takes b5")) == "d takes e5. A rook is lost. a takes b5."


def test_names_put_right_do_not_stop_capitals_from_being_restored():
    text = plain(caption("morphy plays well / the rook waits / morphy wins", names=["Paul Morphy"]))
    assert text == "Morphy plays well. The rook waits. Morphy wins."


@pytest.mark.parametrize(
    ("talk", "parted"),
    [("and that is what i wanted to show you bishop f6 and the game goes on", ("you", "bishop")),
      ("the queen went there and she takes it knight takes g5 and so on", ("it", "knight")),
      ("if she wants that pawn let him have it rook to e4 is fine for us", ("it", "rook"))],
)  # fmt: skip
def test_a_move_told_without_an_article_does_not_run_on_from_a_pronoun(talk: str, parted: tuple[str, str]):
    """ "it knight takes g5": a piece without an article is nothing that "it" could go on with."""
    marked = [u.text for u in restore(units_of(talk), "en", pauses_known=False)]
    k = next(n for n in range(1, len(marked)) if (core(marked[n - 1]), core(marked[n])) == parted)
    assert marked[k - 1][-1] in ".,", " ".join(marked)


@pytest.mark.parametrize("glued", [" ", ""])
def test_a_full_stop_stands_before_a_closing_emoji(glued: str):
    talk = words_of(f"see you all on wednesday{glued}🙂 / / bye bye")
    assert plain(caption(talk)) == "See you all on Wednesday. 🙂 Bye bye."


def test_a_name_that_plain_english_hardly_knows_is_taken_for_a_name():
    talk = "queen back to e2 and the king walks to f8 i asked ida about this afterwards and she said she was afraid"
    marked = plain(caption(words_of(talk, timing=Timing.BLOCK), names=["Ida Quill"]))
    assert "asked Ida about" in marked


def test_a_way_back_to_the_game_begins_anew():
    def mark(talk: str) -> str:
        marked = [u.text for u in restore(units_of(talk), "en", pauses_known=False)]
        return marked[[core(t) for t in marked].index("back") - 1][-1]

    assert mark("that rook is stuck and it is horrible to play back to the game knight e7 and rook takes e4") in ".,"
    assert mark("that rook is stuck and it is horrible so let's go back to the game knight e7 and rook takes e4") == "o"


@pytest.mark.parametrize(
    ("talk", "parted"),
    [
        ("the queen eyes the pawn on b2 is it poisoned", "b2 | is"),
        ("black does what he can he goes for the king", "can | he"),
        ("what did white do he gave the check", "do | he"),
        ("i was slow that day why because i feared the rook", "why | because"),
        ("the bishop went to c4 better was the other one", "c4 | better"),
        ("which rook did he move there", ""),
        ("i wonder how fast can i push it", ""),
        ("nor does she see it", ""),
        ("so can he take it", ""),
        ("it is what they did to us", ""),
    ],
)
def test_a_clause_begins_where_the_verb_says_so(talk: str, parted: str):
    words = talk.split()
    found = [f"{words[k - 1]} | {words[k]}" for k in range(1, len(words)) if begins_clause(words, k)]
    assert found == ([parted] if parted else [])


@pytest.mark.parametrize(
    ("talk", "bound"),
    [
        ("this is round two of the league", ["round two"]),
        ("i sat on board three with a cold", ["board three"]),
        ("so he played knight c3 at once", ["played knight"]),
        ("and here i went d4", ["i went", "went d4"]),
        ("white to move three checks to choose from", []),
        ("it is a funny game two kings look at each other", []),
        ("what would you play knight d7 is strong", []),
        ("and back he goes h4 is coming", ["he goes"]),
    ],
)
def test_a_number_and_an_announced_move_belong_to_the_word_before(talk: str, bound: list[str]):
    words = talk.split()
    assert [f"{words[k - 1]} {words[k]}" for k in range(1, len(words)) if belongs(words, k)] == bound


@pytest.mark.parametrize(
    ("talk", "bound"),
    [
        ("so he took it and White plays on", ["he took", "White plays"]),
        ("it guards these three and attacks e5", ["guards these", "attacks e5"]),
        ("is it doing about three jobs or covering the king", ["doing about", "covering the"]),
        ("let me repeat the idea and compare three ways to bother the bishop", ["repeat the", "bother the"]),
        ("it can offer a pawn as good as any", ["offer a", "good as"]),
        ("he wants to take the rook goes there", ["he wants"]),
        ("why not go the king is safe", []),
    ],
)
def test_a_verb_its_subject_and_its_object_belong_together(talk: str, bound: list[str]):
    words = [w.lower() for w in talk.split()]
    assert [f"{words[k - 1]} {words[k]}" for k in range(1, len(words)) if belongs(words, k)] == [b.lower() for b in bound]


@pytest.mark.parametrize("together", ["guards these three", "he took it", "repeat the idea"])
def test_no_mark_parts_them_whatever_the_pause(together: str):
    first, rest = together.split()[0], together.split()[1]
    talk = "well now the rook on the side guards these three pawns and so he took it and let me repeat the idea now"
    words = words_of(talk)
    at = next(k for k in range(1, len(words)) if (words[k - 1].text, words[k].text) == (first, rest))
    late = [replace(w, onset_ms=w.onset_ms + 400 * (k >= at), end_ms=w.end_ms + 400 * (k >= at)) for k, w in enumerate(words)]
    assert together in plain(caption(late))


def test_a_round_and_its_number_stay_in_one_caption_and_one_line():
    for talk in ("we are in the last hall and this is round two against the team from the warehouse", "we sat down and I had board three"):
        text = " ".join(c.text.replace("\n", " | ") for c in caption(talk).captions)
        assert re.search("round two|board three", text.lower()), text


@pytest.mark.parametrize(
    ("talk", "end"),
    [
        ("and the knight comes to d5, anybody see it", "anybody see it?"),
        ("he has a choice now, can he take the pawn", "take the pawn?"),
        ("he takes the pawn, which is brave", "which is brave."),
        ("here comes the trick, do it", "do it."),
    ],
)
def test_the_last_clause_may_ask(talk: str, end: str):
    units = restore(units_of(talk), "en", pauses_known=True)
    assert " ".join(u.text for u in units).endswith(end)


def test_a_name_that_was_put_right_is_not_parted():
    """Two words that became one name are one, whatever the words around look like."""
    talk = "the microphone was off so this one will be quick emanuel lasker twenty years old plays white and bower plays black"
    marked = plain(caption(words_of(talk, timing=Timing.BLOCK), names=["Emanuel Lasker"]))
    assert "Emanuel Lasker" in marked
    known = plain(caption(words_of(talk, timing=Timing.BLOCK), names=["Lasker"]))
    assert "Emanuel Lasker" in known


@pytest.mark.parametrize(
    ("talk", "together"),
    [
        ("it can also go to g6 knight g6 knight f3 bishop b4 check and the bishop is gone", "knight g6"),
        ("he thinks for a while about the bishop and then he goes knight / d5 and the fork is there", "knight d5"),
        ("he gives the last check and / / / rook g4 that's the bridge / white wins", "and rook g4"),
        ("we go to the end of the / / long line and wait there / white is better", "of the long line"),
    ],
)
def test_what_cannot_end_a_clause_gets_no_mark_whatever_the_pause(talk: str, together: str):
    assert together.lower() in plain(caption(talk)).lower()


@pytest.mark.parametrize(
    ("talk", "parted"),
    [
        ("he protects it with the knight / d5 is weak now / and white comes in", "the knight. d5 is"),
        ("now look at the other pawn / d6 comes next / and white eats it", "other pawn"),
    ],
)
def test_a_pause_still_parts_a_piece_that_is_a_noun_from_the_next_square(talk: str, parted: str):
    text = plain(caption(talk))
    assert parted in text
    assert "pawn d6" not in text


@pytest.mark.parametrize(
    ("talk", "alone"),
    [
        ("a takes b5 / first / we have c takes b3 in the corner / and that is bad", "First."),
        ("queen behind the bishop on d2 / already / you see where they are looking / white waits", "Already."),
        ("the queen goes to h7 / instead / white blocks with c3 and it is over / that is all", "Instead."),
    ],
)
def test_an_adverb_is_no_sentence_by_itself(talk: str, alone: str):
    assert alone not in plain(caption(talk))


@pytest.mark.parametrize(
    ("talk", "together"),
    [
        ("black is fine here / if he takes / now that was the plan / and white resigns", "If he takes, now"),
        ("the road is long / and when the king runs / my rook gives check / that is all", "when the king runs, my rook"),
    ],
)
def test_a_condition_waits_for_what_follows(talk: str, together: str):
    assert together.lower() in plain(caption(talk)).lower()


@pytest.mark.parametrize(
    ("words", "alone"),
    [
        ("if he takes", True),
        ("and if the king runs", True),
        ("if he takes i win", False),
        ("if knight takes bishop takes", False),
        ("what if he takes", False),
        ("because he is pinned", False),
    ],
)
def test_conditions_without_their_main_clause(words: str, alone: bool):
    assert is_condition(words.split()) is alone


def test_well_is_no_sentence_by_itself():
    """Random House or any style guide: an introductory "well" has a comma."""
    text = plain(caption("what is the idea / well / if white takes the pawn on e5 then the queen comes to g5 and hits two things"))
    assert "Well, if White takes" in text
