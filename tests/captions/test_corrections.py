"""Words put right by evidence, refused, edited by a person, and written in three styles."""

from __future__ import annotations

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from talking import caption, plain, words_of

from timeline.captions.compose import compose
from timeline.captions.corrections import Pad
from timeline.captions.followhearing import from_follow
from timeline.captions.hearing import hearings
from timeline.captions.names import known_names
from timeline.captions.notation import FIGURINES, LETTERS, piece_letters, write_san
from timeline.follow.result import Follow, Reading, Token
from timeline.problems import PlylineError
from timeline.score import read_score
from timeline.transcript.markup import words_of as words_in
from timeline.transcript.words import Word

SPANISH = '[White "Marrow, Ilse"]\n[Black "Tolm, Ebbe"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6 dxc6 5. O-O f6 *\n'
OPENING = "White begins with e4, and Black answers e5."


def mended(result) -> list[tuple[str, str, str]]:
    return [(c.heard.strip(".,?!"), c.written, c.kind) for c in result.corrections if c.mends_hearing]


# -- what the followed move proves
@pytest.mark.parametrize(
    ("heard", "written"),
    [
        ("Then night f3, knight c6.", "Then knight f3, knight c6."),
        ("Then knight f three, knight see six.", "Then knight f3, knight c6."),
        ("Then knight f3, knight c6. Now fish-up b5.", "Now bishop b5."),
        ("Then knight f3, knight c6. Bishop bee five, a6. Bishop tax c6.", "Bishop takes c6."),
        ("Then knight f3, knight c6. Bishop b5, a6. Bishop takes c6, dee takes c6.", "Bishop takes c6, d takes c6."),
        ("Then knight f3, knight c6. Bishop b5, a6. Bishop takes c6, d takes c6. White cancels.", "White castles."),
    ],
)
def test_the_followed_move_mends_its_words(heard: str, written: str):
    """The misheard word goes, the speaker's own words and punctuation stay."""
    assert written in plain(caption(f"{OPENING} {heard}", SPANISH))


def test_the_speakers_own_words_are_no_mishearing():
    said = f"{OPENING} The horse comes to f3, and the other horse comes to c6."
    result = caption(said, SPANISH)
    assert plain(result) == said
    assert mended(result) == []


def test_a_correction_says_when_what_and_why():
    result = caption(f"{OPENING} Then night f3.", SPANISH)
    (one,) = [c for c in result.corrections if c.mends_hearing]
    assert (one.heard, one.written, one.reason, one.kind) == ("night", "knight", "the board: Nf3", "move")
    word = next(w for w in words_of(f"{OPENING} Then night f3.") if w.text == "night")
    assert (one.at_ms, one.end_ms) == (word.onset_ms, word.end_ms)
    assert result.written[one.first] == "knight"


def follow_of(*readings: Reading) -> Follow:
    return Follow((), readings)


@pytest.mark.parametrize(
    ("text", "tokens", "san", "changes"),
    [
        ("and eight takes g3 now", [(2, 2, "takes", False), (3, 3, "g3", False)], "hxg3", [("eight", "h")]),
        ("and see takes d5 now", [(2, 2, "takes", False), (3, 3, "d5", False)], "cxd5", [("see", "c")]),
        ("and he takes f3 now", [(2, 2, "takes", False), (3, 3, "f3", False)], "exf3", []),
        ("and if takes f3 now", [(2, 2, "takes", False), (3, 3, "f3", False)], "hxf3", []),
        ("now two takes f3 here", [(2, 2, "takes", False), (3, 3, "f3", False)], "exf3", []),
        ("again discovered and so", [(1, 1, "d7", True)], "Bd7", []),
        ("then deceiving and so", [(1, 1, "d7", True)], "Nd7", [("deceiving", "d7")]),
        ("then nike g5 now", [(2, 2, "g5", False)], "Ng5", [("nike", "knight")]),
        ("then quickly g5 now", [(2, 2, "g5", False)], "Ng5", []),
        ("black text d5 now", [(1, 1, "takes", False), (2, 2, "d5", False)], "Rxd5", [("text", "takes")]),
        ("bishops takes h7 now", [(0, 0, "bishop", False), (1, 1, "takes", False)], "Bxh7+", [("bishops", "bishop")]),
        ("both rooks takes h7", [(1, 1, "rook", False), (2, 2, "takes", False)], "Rxh7", []),
        ("his queen take f4 now", [(1, 1, "queen", False), (2, 2, "takes", False)], "Qxf4", [("take", "takes")]),
        ("can the queen take f4", [(2, 2, "queen", False), (3, 3, "takes", False)], "Qxf4", []),
        ("knight two g3", [(0, 0, "knight", False), (1, 1, "2", False), (2, 2, "g3", False)], "Ng3", [("two", "to")]),
        ("rook two e3 now", [(0, 0, "rook", False), (1, 1, "2", False), (2, 2, "e3", False)], "R2e3", []),
        ("king today for now", [(0, 0, "king", False), (1, 2, "d4", True)], "Kd4", [("today for", "to d4")]),
        ("i cattle now", [(1, 1, "castles", True)], "O-O", [("cattle", "castle")]),
        ("white cattle now", [(1, 1, "castles", True)], "O-O", [("cattle", "castles")]),
        ("but now f3 goes", [(1, 1, "knight", True), (2, 2, "f3", False)], "Nf3", []),
        ("in a five minute game", [(1, 2, "a5", False)], "a5", []),
        ("now the takes e4 here", [(2, 2, "takes", False), (3, 3, "e4", False)], "dxe4", [("the", "d")]),
        ("now the takes e4 here", [(2, 2, "takes", False), (3, 3, "e4", False)], "fxe4", []),
        ("at cheetahs f6 here", [(2, 2, "f6", False)], "gxf6", [("cheetahs", "g takes")]),
        ("just rough c8 here", [(2, 2, "c8", False)], "Rfc8", [("rough", "rook f")]),
        ("just knight be to d7", [(1, 1, "knight", False), (2, 2, "b", True), (4, 4, "d7", False)], "Nbd7", [("be", "b")]),
        ("now rook he eight here", [(1, 1, "rook", False), (2, 3, "e8", True)], "Rhe8", [("he eight", "h e8")]),
        ("now rook he eight here", [(1, 1, "rook", False), (2, 3, "e8", True)], "Re8", [("he eight", "e8")]),
        ("now knight bd two here", [(1, 1, "knight", False), (2, 3, "d2", True)], "Nbd2", [("bd two", "b d2")]),
        ("then knight he g5 here", [(1, 1, "knight", False), (3, 3, "g5", False)], "Neg5", [("he", "e")]),
        ("then night he g5 here", [(3, 3, "g5", False)], "Neg5", [("he", "e")]),
        ("then knight he g5 here", [(1, 1, "knight", False), (3, 3, "g5", False)], "Ng5", []),
        ("now checks on bee three here", [(2, 4, "b3", True)], "Qb3+", [("bee three", "b3")]),
        ("rook g2 check made grandfather", [(0, 0, "rook", False), (1, 1, "g2", False), (2, 2, "check", False)], "Rg2#",
         [("check made", "checkmate")]),
        ("rook h2 might. He", [(0, 0, "rook", False), (1, 1, "h2", False)], "Rh2#", [("might.", "mate")]),
        ("rook h2 might do", [(0, 0, "rook", False), (1, 1, "h2", False)], "Rh2#", []),
        ("rook h2 might. He", [(0, 0, "rook", False), (1, 1, "h2", False)], "Rh2+", []),
    ],
)  # fmt: skip
def test_hearings_of_a_move_that_was_read(text: str, tokens, san: str, changes):
    """Number, piece, file and capture from the move; pronouns, commands and counted things stay."""
    words = words_of(text)
    last = tokens[-1][1]
    reading = Reading(tokens[0][0], last, "move", tuple(Token(*t) for t in tokens), (), "e2e4", san, True)
    pad = Pad(words)
    from_follow(pad, follow_of(reading))
    assert [(c.heard, c.written) for c in pad.found if c.mends_hearing] == changes


def test_two_letters_written_as_one_word_are_the_file_it_comes_from_and_its_square():
    pgn = "1. Nf3 d5 2. g3 Nf6 3. Bg2 e6 4. O-O Be7 5. d3 O-O 6. Nbd2 c5 *"
    talk = "knight f3 d5 / g3 knight f6 / bishop g2 e6 / castles bishop e7 / d3 castles / knight bd two c5"
    assert "knight b d2" in plain(caption(talk, pgn)).lower()
    assert "Nbd2" in plain(caption(talk, pgn, style="algebraic"))


ROOKS = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O Nf6 5. d3 O-O 6. Re1 d6 7. c3 Bg4 8. h3 Bh5 9. Nbd2 Re8 10. Nf1 Rf8 11. Ng3 *"
TO_E1 = "e4 e5 / knight f3 knight c6 / bishop c4 bishop c5 / castles knight f6 / d3 castles / "
TO_E8 = TO_E1 + "rook e1 d6 / c3 bishop g4 / h3 bishop h5 / "


@pytest.mark.parametrize(
    ("talk", "written"),
    [
        (TO_E8 + "knight bd2 rook e8 / knight f1 or f eight / knight g3", "rook f8"),
        (TO_E1 + "and or he one d6 / c3 bishop g4", "rook e1"),
        (TO_E8 + "knight be d two rook e8", "knight b d2, rook e8"),
        (TO_E8 + "knight be d two rook e8 or f8 / knight f1 rook f8 / knight g3", "rook e8 or f8"),
        (TO_E1 + "rook e1 d6 / he can go b4 or e one / c3 bishop g4", "or e1"),
    ],
)
def test_or_before_the_square_where_a_rook_moved_is_the_rook(talk: str, written: str):
    text = plain(caption(talk, ROOKS)).lower()
    assert written in text.replace("e8, or", "e8 or").replace("b4, or", "b4 or"), text


@pytest.mark.parametrize(
    ("heard", "written"),
    [("it's made in to now", "mate in two"), ("it is mate in for moves", "mate in four"), ("and that's mate into", "mate in two")],
)
def test_mate_is_in_a_number_of_moves(heard: str, written: str):
    assert written in plain(caption(heard))


def test_a_preposition_read_with_its_square_was_said():
    reading = Reading(2, 3, "move", (Token(2, 3, "b3", False),), (), "e2e4", "Qb3+", True)
    pad = Pad(words_of("now checks on b3 here"))
    from_follow(pad, follow_of(reading))
    assert pad.found == []


def test_an_emoji_beside_a_hearing_stays():
    pgn = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 *"
    talk = "e4 e5 / knight f3 knight c6 / bishop see four😀 bishop see five / 🎉see three night f6"
    for style, moves in (("spoken", ["bishop c4 😀", "🎉 c3"]), ("algebraic", ["Bc4 😀", "🎉 c3"])):
        text = plain(caption(talk, pgn, style=style)).replace(",", "").replace(".", "")
        assert all(move in text or move.capitalize() in text for move in moves), text


def test_words_in_another_script_are_no_part_of_a_hearing():
    pgn = "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# *"
    text = plain(caption("e4 e5 / queen h5 knight c6 / bishop c4 knight f6 / queen takes f7 / شاه مات means the king is dead", pgn))
    assert "شاه مات means" in text


@pytest.mark.parametrize(
    ("text", "tokens", "san", "held"),
    [
        ("the prawn falls", [(1, 1, "pawn", False)], None, False),
        ("the pawn falls", [(1, 1, "pawn", False)], None, True),
        ("the horse falls", [(1, 1, "knight", False)], None, True),
        ("then ship b4 now", [(2, 2, "b4", False)], "Bb4", None),
    ],
)
def test_a_word_that_was_read_for_another_is_left_to_the_table(text: str, tokens, san, held):
    words = words_of(text)
    reading = Reading(tokens[0][0], tokens[-1][1], "piece", tuple(Token(*t) for t in tokens), (), None, san)
    pad = Pad(words)
    from_follow(pad, follow_of(reading))
    if held is None:
        assert [(c.heard, c.written) for c in pad.found if c.mends_hearing] == [("ship", "bishop")]
    else:
        assert pad.held[1] is held


def test_letters_are_dictated_with_a_breath_after_them():
    """A recogniser writes "D. five" or leaves a gap; the square is one word all the same."""
    assert "knight d5" in plain(caption("Here the knight D. five is strong.", SPANISH)).replace("D5", "d5")


def test_the_glossary_wins_over_everything():
    result = caption(f"{OPENING} Then night f3.", SPANISH, glossary={"night": "horsey"})
    assert "Then horsey f3." in plain(result)
    assert ("night", "horsey", "glossary") in mended(result)


@pytest.mark.parametrize(
    ("heard", "written"),
    [
        ("That is mate in too.", "That is mate in two."),
        ("This is the too knights defence.", "This is the two knights defence."),
        ("In this too nights game.", "In this two knights game."),
        ("It matters to knights and bishops too.", "It matters to knights and bishops too."),
        ("I have a mate in for the long run.", "I have a mate in for the long run."),
        ("The rook on the seventh rang is strong.", "The rook on the seventh rank is strong."),
        ("Black has two connected past ponds.", "Black has two connected past pawns."),
        ("It is a pin, and then a skua through the queen.", "It is a pin, and then a skewer through the queen."),
        ("Now king's takes e4, and Black castle's.", "Now king takes e4, and Black castles."),
        ("And the rook's taken the bishop.", "And the rook's taken the bishop."),
        ("The king's bishop and the castle's walls are here.", "The king's bishop and the castle's walls are here."),
        ("Last night I played a nice game.", "Last night I played a nice game."),
        ("It looks good, and the light is on.", "It looks good, and the light is on."),
    ],
)
def test_terms_are_mended_by_their_neighbours_only(heard: str, written: str):
    assert plain(caption(heard)) == written


def test_names_and_openings():
    result = caption("ilsa marrow plays the spanish, and eb tolm answers a6.", SPANISH, names=["Ilse Marrow"])
    assert "Ilse Marrow" in plain(result)


def test_a_word_before_a_surname_is_not_taken_for_the_first_name():
    assert plain(caption("And here Tolm thinks.", names=["Harry Tolm"])) == "And here Tolm thinks."
    assert "Harry Tolm" in plain(caption("And hairy tollem thinks.", names=["Harry Tolm"]))


def test_a_short_surname_is_proven_by_the_first_name_before_it_and_from_then_on():
    said = caption("This game tobin farro played in march. And farro won, as toby farther said.", names=["Tobin Farrow"])
    assert plain(said) == "This game Tobin Farrow played in march. And Farrow won, as toby farther said."
    assert plain(caption("I like farro soup.", names=["Tobin Farrow"])) == "I like farro soup."
    assert plain(caption("And tobin far away.", names=["Tobin Farrow"])).lower() == "and tobin far away."


ABROAD = '[White "Štěpánka Ødegård"]\n[Black "Jan Majewski"]\n\n1. e4 c6 2. d4 d5 3. Nc3 dxe4 *'


@pytest.mark.parametrize(
    ("talk", "written"),
    [
        ("today step anka plays white / e4 c6", "Štěpánka plays"),
        ("stepanka odegard begins with e4 c6", "Štěpánka Ødegård begins"),
        ("Today Stepanka Odegard begins with e4. Then c6.", "Today Štěpánka Ødegård begins"),
        ("yan my yefski has black / e4 c6", "Jan Majewski has"),
        ("e4 c6 / d4 d5 this is a caro can", "Caro-Kann"),
        ("e4 c6 / d4 d5 and now you can see a knight", "you can see"),
    ],
)
def test_names_from_abroad_as_recognisers_write_them(talk: str, written: str):
    """Letters with accents count as their plain ones; a j as in most of Europe; a name's two parts by their sound."""
    assert written in plain(caption(talk, ABROAD))


def test_a_surname_is_put_right_after_a_first_name_that_was():
    pgn = '[White "Wilhelmina Tarrow"]\n[Black "Osric Penhallow"]\n\n1. e4 e5 *'
    text = plain(caption("will helmina tarot has white / oz rick is black / e4 e5", pgn))
    assert "Wilhelmina Tarrow has White" in text
    assert "Osric is Black" in text


def test_an_article_or_a_particle_in_a_name_is_none_by_itself():
    pgn = '[White "The Doctor"]\n[Black "Ana de la Cruz"]\n\n1. d4 d5 2. c4 e6 *'
    text = plain(caption("the doctor plays d4 / and de five comes in the centre / c4 and e6 / ana de la cruz waits", pgn))
    assert "in the centre" in text
    assert "d5 comes" in text
    assert "Ana" in text


def test_only_the_opening_that_was_played_gives_names():
    """A knight that comes out on the seventh move makes no Alekhine of a King's Gambit."""
    score = read_score("1. e4 e5 2. f4 exf4 3. Bc4 Qh4+ 4. Kf1 b5 5. Bxb5 Nf6 6. Nf3 Qh6 7. d3 Nh5 8. Nc3 c6 *")
    assert [n.written for n in known_names((), score) if n.kind == "opening"] == []
    spanish = [n.written for n in known_names((), read_score(SPANISH)) if n.kind == "opening"]
    assert "Lopez" in spanish
    assert "Petroff" not in spanish
    assert "the two kings stand" in plain(caption("and now the two kings stand there", "1. e4 e5 2. f4 exf4 *"))


def test_every_hearing_ends_in_other_words_and_none_begins_with_a_square():
    for first, rows in hearings().items():
        for row in rows:
            assert row.heard[0] == first
            assert " ".join(row.heard) != row.written
            assert first not in chess.SQUARE_NAMES


# -- refusal and a person's edits
NIGHT = f"{OPENING} Then night f3, knight c6."


@pytest.mark.parametrize(
    "refusal", [{"heard": "night"}, {"at": 5300}, {"at": 5300, "heard": "Night"}], ids=["words", "time", "both"]
)
def test_a_refused_correction_is_not_made_nor_listed(refusal):
    at = next(w.onset_ms for w in words_of(NIGHT) if w.text == "night")
    if "at" in refusal:
        refusal = {**refusal, "at": f"{at / 1000:.3f}"}
    result = caption(NIGHT, SPANISH, refuse=[refusal])
    assert "Then night f3" in plain(result)
    assert mended(result) == []
    assert not [f for f in result.findings if f.code == "refusal-unused"]


def test_a_refusal_without_effect_is_told():
    result = caption(NIGHT, SPANISH, refuse=[{"at": "0:59", "heard": "sky"}])
    (finding,) = [f for f in result.findings if f.code == "refusal-unused"]
    assert "'sky' at 0:59.000" in finding.message


def test_corrections_can_be_switched_off():
    assert "night f3" in plain(caption(NIGHT, SPANISH, correct=False))


def edit_at(text: str, word: str, written: str, until: str | None = None) -> dict[str, str]:
    words = words_of(text)
    edit = {"at": f"{next(w.onset_ms for w in words if w.text == word) / 1000:.3f}", "text": written}
    if until:
        edit["until"] = f"{next(w.end_ms for w in words if w.text == until) / 1000:.3f}"
    return edit


def test_a_persons_own_text_is_one_caption_with_his_line_break():
    edit = edit_at(NIGHT, "Then", "Then the knights:\nf3 and c6.", until="c6.")
    texts = [c.text for c in caption(NIGHT, SPANISH, edits=[edit]).captions]
    assert "Then the knights:\nf3 and c6." in texts


def test_a_persons_text_survives_another_follow():
    """The transcript is heard anew: other words before it, and times that moved by less than a word."""
    edit = edit_at(NIGHT, "Then", "Then the knights come out.", until="c6.")
    later = words_of(NIGHT.replace("night", "nite").replace("begins", "starts"), start_ms=640)
    again = caption(later, SPANISH, edits=[edit])
    assert "Then the knights come out." in plain(again)
    assert "nite" not in plain(again)
    assert not [f for f in again.findings if f.code == "edit-without-words"]


def test_without_until_it_stands_for_the_words_it_resembles():
    edit = edit_at(NIGHT, "Then", "Then knight to f3, knight to c6.")
    assert plain(caption(NIGHT, SPANISH, edits=[edit])) == f"{OPENING} Then knight to f3, knight to c6."


def test_an_empty_text_takes_the_words_away():
    edit = edit_at(NIGHT, "Then", "", until="c6.")
    assert plain(caption(NIGHT, SPANISH, edits=[edit])) == OPENING


def test_a_restored_sentence_after_an_edit_begins_with_a_capital():
    talk = "the rook comes to the open file and the knight looks at it very closely / black waits here"
    edit = edit_at(talk, "the", "The rook takes over!", until="file")
    assert "The rook takes over! And the knight" in plain(caption(talk, edits=[edit]))
    assert "The rook takes over! and the knight" in plain(caption(talk, edits=[edit], restore="off"))


def test_an_edit_without_words_is_told():
    result = caption(NIGHT, SPANISH, edits=[{"at": "3:00", "text": "Nobody speaks here"}])
    (finding,) = [f for f in result.findings if f.code == "edit-without-words"]
    assert "no words are spoken at 3:00.000" in finding.message
    assert "Nobody" not in plain(result)


# -- styles
TABLE = {  # PGN standard (Edwards 1994), 8.2.1 table of section 17: pawn knight bishop rook queen king
    "cs": "PJSVDK", "da": "BSLTDK", "nl": "OPLTDK", "en": "PNBRQK", "et": "PROVLK", "fi": "PRLTDK", "fr": "PCFTDR",
    "de": "BSLTDK", "hu": "GHFBVK", "is": "PRBHDK", "it": "PCATDR", "no": "BSLTDK", "pl": "PSGWHK", "pt": "PCBTDR",
    "ro": "PCNTDR", "es": "PCATDR", "sv": "BSLTDK",
}  # fmt: skip


def test_piece_letters_of_seventeen_languages():
    """Section 17 of the PGN standard; FIDE Laws (2023) C.2 leave the abbreviation to each language."""
    assert {tag: "".join(row[piece] for piece in "PNBRQK") for tag, row in LETTERS.items()} == TABLE
    assert len(LETTERS) >= 10
    assert piece_letters("nb-NO") == LETTERS["no"]
    for unknown in ("ru", "tr", "hr-HR", "xx"):
        with pytest.raises(PlylineError, match="not known here") as told:
            piece_letters(unknown)
        assert "letters are known for cs da de en" in (told.value.findings[0].fix or "")


def test_figurines_are_those_of_the_chess_library():
    """Unicode U+2654 to U+2659, as python-chess draws White's pieces."""
    assert {p.upper(): chess.UNICODE_PIECE_SYMBOLS[p.upper()] for p in "kqrbnp"} == FIGURINES


@given(st.sampled_from(sorted(LETTERS)), st.sampled_from("KQRBN"), st.sampled_from(chess.SQUARE_NAMES))
def test_letters_change_and_squares_stay(language: str, piece: str, square: str):
    """Files a to h and ranks are the same in all languages (FIDE C.5 to C.8); back by the table it is the same move."""
    text = write_san(f"{piece}x{square}+", "algebraic", language)
    assert text[1:] == f"x{square}+"
    back = {letter: name for name, letter in LETTERS[language].items()}
    assert back[text[0]] == piece
    assert write_san(f"{square[0]}8={piece}", "figurine", language) == f"{square[0]}8={FIGURINES[piece]}"


MOVES = f"{OPENING} Then knight f3, knight c6. Bishop b5, a6. Bishop takes c6, d takes c6, and White castles."


@pytest.mark.parametrize(
    ("style", "language", "parts"),
    [
        ("spoken", "en", ["Then knight f3, knight c6.", "Bishop takes c6, d takes c6"]),
        ("algebraic", "en", ["Then Nf3, Nc6.", "Bb5, a6.", "Bxc6, dxc6, and White castles."]),
        ("figurine", "en", ["Then ♘f3, ♘c6.", "♗b5, a6.", "♗xc6, dxc6"]),
        ("algebraic", "de", ["Sf3, Sc6", "Lb5, a6", "Lxc6, dxc6"]),
        ("algebraic", "fr", ["Cf3, Cc6", "Fb5, a6", "Fxc6"]),
        ("algebraic", "es", ["Cf3, Cc6", "Ab5, a6", "Axc6"]),
    ],
)
def test_three_written_styles(style: str, language: str, parts: list[str]):
    text = plain(caption(MOVES, SPANISH, style=style, language=language))
    for part in parts:
        assert part in text


def test_words_around_a_move_are_not_lost_in_notation():
    """Only a phrase that says the move and nothing else is replaced."""
    said = f"{OPENING} Then the knight jumps quickly to f3."
    assert plain(caption(said, SPANISH, style="algebraic")) == said


@pytest.mark.parametrize(
    ("text", "first", "written"),
    [
        ("knight f6 now", 1, "Nf6 now"),
        ("the rook f6 now", 2, "the rook f6 now"),
        ("look at f6 now", 2, "look at f6 now"),
    ],
)
def test_the_piece_before_a_square_is_part_of_the_move(text: str, first: int, written: str):
    """Never "knight Nf6", and no letter where the piece was not said."""
    words = words_of(text)
    reading = Reading(first, first, "move", (Token(first, first, "f6", False),), (), "g8f6", "Nf6", True)
    units = compose(words, [], follow_of(reading), style="algebraic", language="en")
    assert " ".join(u.text for u in units) == written


def test_a_bare_transcript_gets_the_same_marks_in_every_style():
    bare = "white begins with e4 and black answers e5 / then knight f3 / knight c6 is good / what now"
    spoken, written = (caption(bare, SPANISH, style=style) for style in ("spoken", "algebraic"))
    assert plain(spoken) == "White begins with e4, and Black answers e5. Then knight f3. Knight c6 is good. What now?"
    assert plain(written) == "White begins with e4, and Black answers e5. Then Nf3. Nc6 is good. What now?"


def test_notation_swallows_no_word_of_another_move():
    words = words_of("rook takes d7 rook d1")
    tokens = (
        Token(0, 0, "rook", False),
        Token(1, 1, "takes", False),
        Token(2, 2, "d7", False),
        Token(3, 3, "rook", False),
    )
    reading = Reading(0, 3, "move", tokens, (), "d1d7", "Rxd7", True)
    units = compose(words, [], follow_of(reading), style="algebraic", language="en")
    assert " ".join(u.text for u in units) == "rook takes d7 rook d1"


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("knight takes, and so", "Nxe5, and so"),
        ("knight takes and so", "Nxe5 and so"),
        ("knight takes e5 again", "Nxe5 again"),
        ("knight takes it back", "knight takes it back"),
        ("knight takes c6 then", "knight takes c6 then"),
    ],
)
def test_a_capture_without_its_square_is_notation_only_where_nothing_else_is_taken(text: str, written: str):
    words = words_of(text)
    tokens = (Token(0, 0, "knight", False), Token(1, 1, "takes", False))
    reading = Reading(0, 1, "move", tokens, (), "f3e5", "Nxe5", True)
    units = compose(words, [], follow_of(reading), style="algebraic", language="en")
    assert " ".join(u.text for u in units) == written


@pytest.mark.parametrize(
    ("heard", "written"),
    [
        ("Then nights f3, knight c6.", "Then knight f3, knight c6."),
        ("Both nights come out, to f3 and to c6.", "Both knights come out"),
        ("Everybody develops, bish ups first, and you take with the f pond.", "bishops first, and you take with the f pawn."),
        ("That is a bishops pawn.", "That is a bishop's pawn."),
        ("So white is two pawn's down.", "white is two pawns down."),
        ("He holds the age file and my sea pawn.", "He holds the h file and my c pawn."),
        ("At my age pawns are slow.", "At my age pawns are slow."),
    ],
)
def test_a_piece_stands_in_its_number(heard: str, written: str):
    """One piece before its square; several where several are counted; a word that lost its pause keeps its plural."""
    assert written in plain(caption(f"{OPENING} {heard}", SPANISH))


def test_a_square_takes_in_the_number_that_was_heard_as_well():
    words = words_of("knight jesus seven both castle")
    reading = Reading(0, 1, "move", (Token(0, 0, "knight", False), Token(1, 1, "g7", True)), (), "f5g7", "Ng7", True)
    pad = Pad(words)
    from_follow(pad, Follow((), (reading,)))
    assert [(c.heard, c.written) for c in pad.found] == [("jesus seven", "g7")]


@pytest.mark.parametrize("said", ["He has f and h, the c one and h one more.", "You know the Spanish I like."])
def test_words_beside_a_letter_or_a_name_stay(said: str):
    assert said in plain(caption(f"{OPENING} {said}", SPANISH))


CHECKS = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Nf6 4. O-O Bc5 5. Bxf7+ Kxf7 *"


@pytest.mark.parametrize(
    ("said", "written"),
    [("And then Black brings out the other knight to f6.", "the other knight to f6."),
      ("Bishop takes f7, check. The king must take.", "Bxf7+. The king must take."),
      ("Bishop takes f7 check and the king takes.", "Bxf7+ and"),
      ("So White simply castles, and bishop c5 follows.", "White simply castles, and Bc5")],
)  # fmt: skip
def test_notation_reads_as_a_sentence(said: str, written: str):
    """No "the other Nf6", no "Bxf7+, check", no "White simply O-O"."""
    before = "White begins e4, e5, knight f3, knight c6, bishop c4."
    middle = " Knight f6." if "f7" in said or "castles" in said else ""
    more = " White castles, bishop c5." if "f7" in said else ""
    assert written in plain(caption(f"{before}{middle}{more} {said}", CHECKS, style="algebraic"))


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("White castles short, knight f6, queen e2, bishop e7, b3, d6, bishop b2.", "White castles short, Nf6"),
        ("Castles short, knight f6.", "O-O, Nf6."),
        ("Castles kingside, knight f6.", "O-O, Nf6."),
        ("Castles on the king's side, knight f6.", "O-O, Nf6."),
        ("Castles. Short and sweet. Knight f6.", "O-O. Short and sweet. Nf6."),
    ],
)
def test_castling_takes_its_side_with_it(said: str, written: str):
    pgn = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O Nf6 5. Qe2 Be7 6. b3 d6 7. Bb2 *"
    text = plain(caption(f"White begins e4, e5, knight f3, knight c6, bishop c4, bishop c5. {said}", pgn, style="algebraic"))
    assert written in text


def test_queenside_castling_takes_its_side_with_it():
    pgn = "1. d4 d5 2. Nc3 Nf6 3. Bf4 c6 4. Qd2 Bf5 5. O-O-O e6 6. f3 *"
    said = "White begins d4, d5, knight c3, knight f6, bishop f4, c6, queen d2, bishop f5. Castles long, e6."
    assert "O-O-O, e6." in plain(caption(said, pgn, style="algebraic"))


@pytest.mark.parametrize("refusal", [{"heard": "night f three"}, {"heard": "Then night f three", "at": 3940}])
def test_a_phrase_refused_is_refused_whole(refusal):
    """What a person heard as one phrase may be two corrections: of the piece, and of how its square is written."""
    pgn = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 *"
    said = "White begins e4, e5. Then night f three, night c six, bishop c4, bishop c5."
    if "at" in refusal:
        at = next(w.onset_ms for w in words_of(said) if w.text == "night")
        refusal = {**refusal, "at": f"{at / 1000:.3f}"}
    assert "Then knight f3, knight c6" in plain(caption(said, pgn))
    result = caption(said, pgn, refuse=[refusal])
    assert "Then night f three, knight c6" in plain(result)
    assert not [f for f in result.findings if f.code == "refusal-unused"]


@pytest.mark.parametrize("phrase", ["night shift", "night shift's noise", "night sky", "rock band", "rock solid nerve", "clean up"])
def test_a_phrase_of_everyday_english_was_heard_right(phrase: str):
    """Also where the follower would read a piece: "a knight", whose turn it is."""
    pgn = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. Rf1 Rb8 5. Qe2 *"
    said = f"White begins e4, e5, and I came straight from a {phrase}, so please be kind. Knight f3, knight c6."
    assert f"from a {phrase}, so" in plain(caption(said, pgn))


def test_a_word_with_nothing_tied_to_it_is_put_right():
    pgn = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 *"
    assert "e5, then knight f3" in plain(caption("White begins e4, e5, then night f3, knight c6, bishop c4.", pgn))


def test_a_word_is_a_square_where_the_next_move_begins_after_it():
    """Without marks, too, the phrase is over then: "king even queen e4" is king e1."""
    words = words_of("king even queen e4 check")
    first = Reading(0, 1, "move", (Token(0, 0, "king", False), Token(1, 1, "e1", True)), (), "f1e1", "Ke1", True)
    then = Reading(2, 3, "move", (Token(2, 2, "queen", False), Token(3, 3, "e4", False)), (), "c2e4", "Qe4+", True)
    for readings, written in (((first, then), ["e1"]), ((first,), [])):
        pad = Pad(words)
        from_follow(pad, Follow((), readings))
        assert [c.written for c in pad.found] == written


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("He takes d4.", "He takes d4."),
        ("Black takes d4.", "Black takes d4."),
        ("So Ilse takes d4.", "So Ilse takes d4."),
        ("I take on d4.", "I take on d4."),
        ("And takes d4.", "And exd4."),
        ("Takes d4.", "exd4."),
        ("Well, takes d4.", "Well, exd4."),
    ],
)
def test_a_capture_with_a_subject_keeps_its_verb(said: str, written: str):
    """Notation in place of a verb leaves a sentence without one ("Black exd4")."""
    pgn = "1. e4 e5 2. Nf3 Nc6 3. d4 exd4 4. Nxd4 Nf6 *"
    told = f"White goes e4, e5. Knight f3, knight c6. Then d4. {said} And knight takes d4."
    assert f"Then d4. {written} And Nxd4." in plain(caption(told, pgn, style="algebraic"))


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("i once lost to us too weak in the same line", "I once lost to Osterwick in the same line."),
        ("so drow go shells plays knight f3 here", "So Drogoshel plays knight f3 here."),
        ("here farm hot is in trouble at last", "Here Varnholt is in trouble at last."),
        ("so they tell me drogoshel read it to me", "So they tell me Drogoshel read it to me."),
        ("that was easter week when we met", "That was easter week when we met."),
        ("he lives on a farm hot as it is", "He lives on a farm hot as it is."),
    ],
)
def test_a_name_split_into_common_words_that_say_nothing_there_is_put_together(said: str, written: str):
    result = caption(said, names=["Bram Osterwick", "Petra Drogoshel", "Ilka Varnholt", "Drogoshel Repetto"])
    assert plain(result).replace(",", "") == written


def test_in_another_language_plain_english_judges_no_words():
    said = "Und hier farm hot wohl etwas zu viel."
    assert plain(caption(said, names=["Ilka Varnholt"], language="de")) == said
    assert "Varnholt" in plain(caption("And here farm hot is in trouble.", names=["Ilka Varnholt"]))


def test_an_article_is_not_swallowed_by_the_word_before_it():
    pgn = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Nd4 4. Nxe5 Qg5 5. Nxf7 Qxg2 6. Rf1 Qxe4+ 7. Be2 Nf3# 0-1"
    talk = (
        "e four e five night f three night see six bishop sea four night d four night takes e five queen g five night takes f seven "
        "queen takes g two rook f one queen takes e four check bishop e two and night f three is made a smothered made for black"
    )
    assert "is mate a smothered mate" in plain(caption(talk, pgn)).replace(",", "").replace(".", "").lower()


def test_a_dash_between_words_has_spaces_however_it_is_typed():
    words = [Word(t, 500 + 400 * k, 800 + 400 * k) for k, t in enumerate(words_in("Two things -- the knight--and g2 - or\nI was --"))]
    assert plain(caption(words)) == "Two things – the knight – and g2 – or I was–"
