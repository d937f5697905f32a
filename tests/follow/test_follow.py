"""The follower: small talks whose right boards are plain, and promises that hold for any words."""

from __future__ import annotations

from itertools import pairwise

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from timeline.follow import FixedPoint, Follow, follow_words
from timeline.follow.effects import effect_at
from timeline.follow.explain import explain
from timeline.follow.follow import worth_showing
from timeline.follow.hearing import run_together
from timeline.follow.hypotheses import Hyp, key_of
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.lookahead import Lookahead
from timeline.follow.matching import fit_of, matches
from timeline.follow.mentions import Desc
from timeline.follow.numbers import move_number, number_before, place_number
from timeline.follow.openings import Openings
from timeline.follow.result import FollowedCue
from timeline.follow.sense import exchanged
from timeline.follow.tree import Node, Tree
from timeline.score import Score, read_score
from timeline.transcript.words import Word

# A public-domain miniature (Legal's pattern); moves are facts.
LEGAL = "1. e4 e5 2. Nf3 d6 3. Bc4 Bg4 4. Nc3 g6 5. Nxe5 Bxd1 6. Bxf7+ Ke7 7. Nd5# 1-0"


def words(text: str, *, step_ms: int = 350) -> list[Word]:
    return [Word(w, i * step_ms, i * step_ms + 300) for i, w in enumerate(text.split())]


def boards(text: str, pgn: str = LEGAL) -> list[str]:
    score = read_score(pgn)
    return [c.address for c in follow_words(words(text), score).cues]


def test_plain_moves_step_with_the_words() -> None:
    shown = boards("E4, e5, knight f3, d6, bishop c4, bishop g4, knight c3, g6.")
    assert shown == ["1w", "1b", "2w", "2b", "3w", "3b", "4w", "4b"]


@pytest.mark.parametrize(
    ("talk", "move"),
    [
        ("Then E4, e5, night f three.", "2w"),
        ("E four, e five, knight eff three.", "2w"),
        ("E4, e5, the horse comes out to f3.", "2w"),
        ("Pawn to e4, pawn to e5, and White brings the knight out to f3.", "2w"),
    ],
)
def test_mishearings_and_wordings_of_one_move(talk: str, move: str) -> None:
    assert boards(talk)[-1] == move


def test_ellipses_of_captures() -> None:
    pgn = "1. e4 d5 2. exd5 Qxd5 3. Nc3 Qa5 *"
    assert boards("E4, d5, takes, takes, knight c3.", pgn) == ["1w", "1b", "2w", "2b", "3w"]
    assert boards("E4, d5, e takes d5, and the queen takes back.", pgn)[-2:] == ["2w", "2b"]


def test_castling_on_both_sides_is_one_cue() -> None:
    pgn = "1. e4 e5 2. Nf3 Nf6 3. Be2 Be7 4. O-O O-O 5. d3 *"
    shown = boards("E4, e5, knight f3, knight f6, bishop e2, bishop e7, they both castle, d3.", pgn)
    assert shown[-2:] == ["4b", "5w"]


def test_disambiguation_by_file() -> None:
    pgn = '[FEN "4k3/8/8/8/8/8/8/R4RK1 w - - 0 1"]\n[SetUp "1"]\n\n1. Rad1 Ke7 2. Rfe1+ *'
    assert boards("Rook a to d1, king e7, rook f to e1 check.", pgn) == ["1w", "1b", "2w"]


def test_a_sideline_opens_goes_on_and_returns() -> None:
    shown = boards(
        "E4, e5, knight f3. If Black plays f6 here, knight takes e5, pawn takes, queen h5 check. "
        "So back to the game. Black played d6, and bishop c4."
    )
    assert "2w f6" in shown
    assert "2w f6 Nxe5 fxe5 Qh5+" in shown
    assert shown[-2:] == ["2b", "3w"]


def test_what_is_only_spoken_of_does_not_move_the_board() -> None:
    shown = boards("E4, e5. Look at the weak square f7, and remember the pawn on e4.")
    assert shown == ["1w", "1b"]


def test_the_pgn_s_own_fen_and_chess_derive_every_followed_board() -> None:
    """Every path is replayed by python-chess from the score's start."""
    score = read_score(LEGAL)
    follow = follow_words(words("E4 e5 knight f3 d6 suppose bishop e7 instead d4 takes takes"), score)
    for cue in follow.cues:
        board = score.start.copy()
        for uci in cue.path:
            move = chess.Move.from_uci(uci)
            assert move in board.legal_moves
            board.push(move)
        assert score.resolve(cue.address) == tuple(chess.Move.from_uci(u) for u in cue.path)


def test_cues_carry_their_evidence() -> None:
    score = read_score(LEGAL)
    talk = words("E4, e5, knight f3.")
    cue = follow_words(talk, score).cues[-1]
    assert [w.text for w in talk[cue.first : cue.last + 1]] == ["knight", "f3."]
    assert 0.0 <= cue.sure <= 1.0
    assert cue.margin >= 0.0


def test_a_mended_hearing_says_so() -> None:
    score = read_score(LEGAL)
    follow = follow_words(words("E4, e5, night f three."), score)
    tokens = [t for r in follow.readings if r.played for t in r.tokens]
    assert ("knight", True) in {(t.written, t.mended) for t in tokens}


def test_questions_ask_for_the_move_that_follows() -> None:
    score = read_score(LEGAL)
    talk = words("E4, e5, knight f3, d6, bishop c4, bishop g4, knight c3, g6. Can you find the move? Pause here.")
    late = [Word(w, 12_000 + i * 350, 12_300 + i * 350) for i, w in enumerate("Knight takes e5!".split())]
    follow = follow_words([*talk, *late], score)
    assert len(follow.asks) == 1
    assert talk[-1].end_ms <= follow.asks[0].at_ms < late[0].onset_ms
    assert follow.asks[0].spoken_pause_ms > 3000


@pytest.mark.parametrize(
    "question", ["How does White deal with that check on e1 now?", "What would you play here, with knight takes e5 in mind?"]
)
def test_a_pause_comes_after_the_last_word_of_a_marked_question(question: str) -> None:
    score = read_score(LEGAL)
    talk = words(f"E4, e5, knight f3, d6, bishop c4, bishop g4, knight c3, g6. {question}")
    late = [Word(w, 12_000 + i * 350, 12_300 + i * 350) for i, w in enumerate("Knight takes e5! Bishop takes d1.".split())]
    (ask,) = follow_words([*talk, *late], score).asks
    assert talk[-1].end_ms <= ask.at_ms < late[-1].onset_ms


def test_pointing_gives_marks_with_roles() -> None:
    score = read_score(LEGAL)
    talk = words("E4, e5, knight f3. The knight attacks the pawn. And look at the weak square f7 for a moment.")
    marks = follow_words(talk, score).marks
    assert any(m.kind == "arrow" and m.squares == (chess.F3, chess.E5) and m.role == "attack" for m in marks)
    assert any(m.kind == "square" and m.squares == (chess.F7,) and m.role == "weakness" for m in marks)


def test_fixed_points_stand_and_the_rest_agrees() -> None:
    score = read_score(LEGAL)
    talk = words("E4, e5, and now something quite different, knight f6, knight c3.")
    path = ("e2e4", "e7e5", "f1c4")
    follow = follow_words(talk, score, fixed=[FixedPoint(talk[2].onset_ms, path)])
    after = [c for c in follow.cues if c.at_ms >= talk[2].onset_ms]
    assert after[0].path == path
    assert after[-1].path == (*path, "g8f6", "b1c3")


def test_a_persons_cue_stays_where_the_same_word_names_a_move() -> None:
    talk = words("And now e4, then e5, knight f3.")
    start = FixedPoint(talk[2].onset_ms, ())
    follow = follow_words(talk, read_score(LEGAL), fixed=[FixedPoint(talk[4].onset_ms, ("d2d4",)), start])
    shown = [(c.at_ms, c.path) for c in follow.cues]
    assert (talk[4].onset_ms, ("d2d4",)) in shown
    assert all(b - a >= 300 for (a, _), (b, _) in pairwise(shown))
    near = follow_words(talk, read_score(LEGAL), fixed=[FixedPoint(talk[2].onset_ms + 10, ("d2d4",))])
    assert [c.at_ms for c in near.cues if c.path == ("d2d4",)] == [talk[2].onset_ms]


def test_explain_names_the_winner_and_the_way_to_the_second() -> None:
    text = explain(words("E4, e5, knight f3."), read_score(LEGAL), 700, folder="my-lesson")
    assert "2w" in text or "1b" in text
    assert "transcript says" in text


VOCABULARY = (
    "knight night bishop rook queen king pawn takes take check mate castles e4 e5 f3 d6 c4 g4 h5 a1 before see six to for "
    "four five back game if suppose instead better and so but the a on he white black goes back, e4. check! what? other "
    "both sides promotes d takes undo let's Nf3 O-O exd5 knight's 17 move seventeen"
).split()


@given(
    st.lists(st.one_of(st.sampled_from(VOCABULARY), st.text(max_size=6)), max_size=60),
    st.integers(0, 2**32),
)
@settings(max_examples=40)
def test_any_words_over_any_game_give_ordered_legal_cues(texts: list[str], seed: int) -> None:
    import random

    rnd = random.Random(seed)
    board, moves = chess.Board(), []
    for _ in range(rnd.randint(0, 30)):
        legal = list(board.legal_moves)
        if not legal:
            break
        moves.append(board.san(rnd.choice(legal)))
        board.push_san(moves[-1])
    score = read_score("e4 *" if not moves else " ".join([*moves, "*"]))
    talk = words(" ".join(t for t in texts if t.split()))
    first, second = follow_words(talk, score), follow_words(talk, score)
    assert first == second
    _ordered_and_legal(first, score, len(talk))


def _ordered_and_legal(follow: Follow, score: Score, count: int) -> None:
    last = -1
    for cue in follow.cues:
        assert cue.at_ms > last
        last = cue.at_ms
        score.board_at(tuple(chess.Move.from_uci(u) for u in cue.path))
        assert -1 <= cue.first <= cue.last < count
    for mark in follow.marks:
        assert mark.start_ms < mark.end_ms


def test_fast_legal_moves_and_checks_are_those_of_the_chess_library() -> None:
    """Every position of random games: the same moves, victims and checks as python-chess says."""
    import random

    rnd = random.Random(7)
    for start in (chess.STARTING_FEN, "8/PPPk1ppp/8/2pP4/4p3/8/ppp2PPP/4K2R w K c6 0 1"):
        for _ in range(12):
            board = chess.Board(start)
            for _ in range(40):
                node = Node(None, None, board.copy(stack=False), 0, 1)
                assert {m.move for m in node.legal} == set(board.legal_moves)
                for m in node.legal:
                    assert bool(node.checks(m)) == board.gives_check(m.move)
                    assert bool(m.victim) == board.is_capture(m.move)
                if not node.legal:
                    break
                board.push(rnd.choice(node.legal).move)


@pytest.mark.parametrize(
    ("fen", "move", "gain"),
    [
        # the two customary examples of static exchange evaluation (from memory), in pawns
        ("1k1r4/1pp4p/p7/4p3/8/P5P1/1PP4P/2K1R3 w - - 0 1", "e1e5", 1),
        ("1k1r3q/1ppn3p/p4b2/4p3/8/P2N2P1/1PP1R1BP/2K1Q3 w - - 0 1", "d3e5", -2),
        # the knight on c3 is pinned: the queen may take on e4
        ("rnb1k2r/pppp1ppp/2n5/8/1b1NP2q/2N5/PPP1BPPP/R1BQK2R b KQkq - 0 1", "h4e4", 1),
    ],
)
def test_exchanges_are_worth_what_the_pieces_say(fen: str, move: str, gain: int) -> None:
    node = Node(None, None, chess.Board(fen), 0, 1)
    legal = next(m for m in node.legal if m.move.uci() == move)
    assert exchanged(node, legal) == gain


def test_move_numbers_are_read() -> None:
    toks = tokens(words("on move twenty one, rook d1. Move number 9 was bad. Twelve, queen d2."))
    texts = [t.text for t in toks]
    assert move_number(toks, texts.index("move")) == (21, 3)
    assert move_number(toks, texts.index("number") - 1) == (9, 3)
    assert number_before(toks, texts.index("queen")) == (12, False)
    assert number_before(toks, texts.index("rook")) == (21, True)


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("let us go back to move twelve", 12),
        ("it has stood there since move twelve", 0),
        ("white resigned here, at move twelve", 0),
        ("it ended on move thirty eight", 0),
        ("white resigned after move twelve", 0),
        ("he resigned. On move twelve he was better", 12),
        ("by move twelve the king is out", 12),
        ("the king comes over on move twelve", 12),
        ("it was over on move twelve", 0),
        ("see how it ends after move twelve", 12),
    ],
)
def test_a_move_s_number_names_a_place_or_only_a_time(said: str, place: int) -> None:
    toks = tokens(words(said))
    assert max(place_number(toks, k)[0] for k in range(len(toks))) == place


def test_an_opening_s_name_is_found_only_where_the_game_reaches_it() -> None:
    declined = Openings(Tree(read_score("1. c4 e6 2. d4 d5 3. Nc3 *")))
    node = declined.named("it was a queen's gambit declined")
    assert node is not None
    assert node.ply == 4
    assert declined.named("as in the sicilian") is None


@pytest.mark.parametrize(
    ("talk", "effect"),
    [
        ("he blocks.", "block"),
        ("steps aside,", "aside"),
        ("doubles the rooks.", "double"),
        ("and makes a new queen.", "queen"),
        ("in the corner", "corner"),
        ("retreats.", "back"),
        ("he goes behind the passed pawn.", "behind"),
        ("takes the direct opposition.", "facing"),
        ("she offers an exchange of queens.", "offer5"),
        ("and offers a trade.", "offer0"),
    ],
)
def test_effects_are_heard(talk: str, effect: str) -> None:
    toks = tokens(words(talk))
    assert effect in {told.effect for i in range(len(toks)) for told in effect_at(toks, i)}


@pytest.mark.parametrize(
    ("fen", "effect", "moves"),
    [
        ("8/3k4/8/8/3K4/8/8/8 w - - 0 1", "facing", {"d4d5"}),
        ("8/8/4k3/8/8/8/3K4/8 w - - 0 1", "facing", set()),
        ("7k/8/8/4P3/8/8/8/R6K w - - 0 1", "behind", {"a1e1"}),
        ("1k6/8/R7/4p3/8/8/8/7K w - - 0 1", "behind", {"a6e6"}),
        ("k7/8/8/4p3/8/8/8/R6K w - - 0 1", "behind", set()),
        ("3q3k/8/8/8/8/8/8/Q6K w - - 0 1", "offer5", {"a1a5", "a1a8", "a1d1", "a1d4", "a1f6"}),
    ],
)
def test_effects_fit_the_moves_that_have_them(fen: str, effect: str, moves: set[str]) -> None:
    """By hand; the opposition: kings on one line, one square between them (common practice)."""
    node = Node(None, None, chess.Board(fen), 0, 1)
    assert {m.move.uci() for m in node.legal if fit_of(node, m, Desc(effect=effect)) == 0.0} == moves


@pytest.mark.parametrize(
    ("talk", "squares"),
    [("The better square is c6.", {"b8"}), ("It swings all the way over to c6.", {"b8"}), ("He goes to c6.", {"b8", "c7"})],
)
def test_what_pawns_do_not_do_is_told_of_a_piece(talk: str, squares: set[str]) -> None:
    """From where each reading can go to c6 in the first position, Black to move."""
    node = Node(None, None, chess.Board("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR b KQkq - 0 1"), 0, 1)
    lattice = Lattice(tokens(words(talk)))
    readings = [m for i in range(lattice.n) for m in lattice.readings(i) if m.desc.to == chess.C6 and m.kind in ("to", "pawn")]
    longest = min(readings, key=lambda m: m.start)
    assert {chess.square_name(legal.from_sq) for legal, _, _ in matches(node, longest.desc)} == squares


def test_run_together_piece_and_square() -> None:
    heard = run_together(("rookie", "two"))
    assert (chess.ROOK, chess.E2) in {(piece, square) for piece, square, _ in heard}


def test_the_words_to_come_tell_which_of_two_moves_was_meant() -> None:
    """ "Takes" may be two captures; only after one of them can the queen go where the next words say."""
    score = read_score("1. e4 e5 2. Nf3 *")
    toks = tokens(words("queen h5 check"))
    tree = Tree(score)
    ahead = Lookahead(Lattice(toks), tree)
    opened = tree.at((chess.Move.from_uci("e2e4"), chess.Move.from_uci("f7f6")))
    shut = tree.at((chess.Move.from_uci("d2d4"), chess.Move.from_uci("f7f6")))
    assert ahead.run(opened, 0).worth > 0
    assert ahead.run(shut, 0).stopped


def test_lines_that_only_change_the_order_of_moves_are_one() -> None:
    tree = Tree(read_score("1. e4 e5 *"))

    def reached(*ucis: str) -> Node:
        return tree.at(tuple(map(chess.Move.from_uci, ucis)))

    one, other = reached("g1f3", "g8f6", "b1c3"), reached("b1c3", "g8f6", "g1f3")
    assert one is not other
    assert one.place == other.place
    assert key_of(Hyp(0.0, one, 0)) == key_of(Hyp(0.0, other, 0))
    later = reached("e2e4", "e7e5", "g1f3")  # it leaves the game elsewhere: the way back is another
    assert later.place not in {one.place, tree.root.place, reached("e2e4", "e7e5").place}


def test_bare_captures_do_not_leave_a_piece_hanging_for_another() -> None:
    """The attacked knight takes; a pawn's capture would lose it (who takes is said by nobody)."""
    pgn = "1. d4 Nf6 2. c4 e6 3. Nf3 d5 4. Nc3 c5 5. cxd5 Nxd5 6. e3 Nc6 *"
    talk = "D4, knight f6, c4, e6, knight f3, d5, knight c3, c5, c takes d5, knight takes d5. You can go e4 here. Takes, takes."
    shown = [c.address for c in follow_words(words(talk), read_score(pgn)).cues]
    assert shown[-2:] == ["5b e4 Nxc3", "5b e4 Nxc3 bxc3"]


def test_a_square_named_again_is_no_capture_there() -> None:
    """Black's pawn has come to d5 unnamed; "d5" is that move, not e takes d5."""
    pgn = "1. e4 e6 2. d4 d5 3. exd5 exd5 4. Nf3 Nf6 *"
    talk = "E4, e6, d4. Black pushes the d pawn two squares, and there it stands. D5. I like it. Now e takes d5, e takes d5, knight f3."
    cues = follow_words(words(talk), read_score(pgn)).cues
    again = talk.split().index("D5.")
    assert not any(cue.first == again for cue in cues)
    assert [cue.address for cue in cues] == ["1w", "1b", "2w", "2b", "3w", "3b", "4w"]


@pytest.mark.parametrize(
    ("likely", "shown"),
    [
        ((0.45, 0.45), ["1w c5", "1w c5 Nf3"]),
        ((0.35, 0.35), []),  # a doubtful line is hidden, and so is what follows from it
        ((0.45, 0.38), ["1w c5", "1w c5 Nf3"]),  # a line that is shown goes on
        ((0.45, 0.3), ["1w c5"]),
        ((0.38, 0.7), ["1w c5", "1w c5 Nf3"]),  # on the way to what is sure
    ],
)
def test_sidelines_that_are_worth_showing(likely: tuple[float, float], shown: list[str]) -> None:
    cues = [
        FollowedCue(0, ("e2e4",), "1w", 0, 0, 0.9),
        FollowedCue(1000, ("e2e4", "c7c5"), "1w c5", 1, 1, likely[0]),
        FollowedCue(2000, ("e2e4", "c7c5", "g1f3"), "1w c5 Nf3", 2, 2, likely[1]),
    ]
    assert [cue.address for cue in worth_showing(cues)] == ["1w", *shown]
