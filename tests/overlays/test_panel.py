"""Notation that follows, titles and names of any length, captions in their box, cards and logos."""

from __future__ import annotations

from pathlib import Path
from textwrap import fill

import chess
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from overlays import samples
from overlays.cards import card_picture
from overlays.lettering import Lettering
from overlays.logo import LogoError, load_logo
from overlays.notation import Column, numbered, tokens
from overlays.painter import BoardPainter
from overlays.palette import rgb_of
from overlays.panel import LEAST_TITLE, caption_picture, caption_rows, caption_size, think_picture, title_rows
from overlays.screenplay import Moves
from overlays.stage import Box
from overlays.text import BOLD, Typesetter
from overlays.theme import load_theme
from timeline.filmsettings import FilmSettings

LETTERS = Lettering(load_theme("lagoon"), Typesetter(), 1.0)
MAIN = samples.track(samples.GAME.split()).mainline
BOX = Box(0, 0, 708, 530)


def test_tokens_are_san_with_numbers() -> None:
    """PGN standard, 8.2.2 and 8.2.3; san by python-chess."""
    found = tokens(chess.STARTING_FEN, False, MAIN[:4], False)
    assert [(t.number, t.text) for t in found] == [("1.", "e4"), ("1…", "e5"), ("2.", "Nf3"), ("2…", "Nc6")]
    assert tokens(chess.STARTING_FEN, False, MAIN[:3], True)[2].text == "♘f3"


def test_a_game_that_black_begins() -> None:
    found = tokens("4k3/8/8/8/8/8/8/4K2R b - - 0 31", False, ("e8e7", "h1h7", "e7e6"), False)
    assert [[t.text for t in row] for row in numbered(found)] == [["Ke7"], ["Rh7+", "Ke6"]]
    assert found[0].number == "31…"
    assert found[1].number == "32."


def plate(picture: np.ndarray, colour: str) -> tuple[slice, slice] | None:
    """Where the plate of the current move stands."""
    rows, columns = np.nonzero((picture == rgb_of(colour)).all(axis=2))
    return None if not len(rows) else (slice(rows.min(), rows.max() + 1), slice(columns.min(), columns.max() + 1))


def column(start_fen: str = chess.STARTING_FEN, mainline: tuple[str, ...] = MAIN) -> Column:
    return Column(LETTERS, start_fen, mainline, chess960=False, figurines=False)


@given(st.integers(1, 300), st.sampled_from([Box(0, 0, 708, 530), Box(0, 0, 972, 320), Box(0, 0, 800, 66)]))
@settings(max_examples=20)
def test_the_current_move_is_always_in_view(plies: int, box: Box) -> None:
    """In a long game, rows or one line: exactly one plate, whole inside the box."""
    shuffle = ("g1f3", "g8f6", "f3g1", "f6g8") * 75
    stage = LETTERS.theme.stage
    picture = column(mainline=shuffle).picture(box, Moves(shuffle[:plies], plies, plies), "score")
    place = plate(picture, stage.here)
    assert place is not None
    rows, columns = place
    assert rows.start > 0
    assert rows.stop < box.height
    assert columns.stop < box.width


def test_a_sideline_is_set_in_and_has_its_own_plate() -> None:
    board = chess.Board()
    for uci in MAIN[:15]:
        board.push_uci(uci)
    board.push_san("Bc5")
    path = tuple(m.uci() for m in board.move_stack)
    stage = LETTERS.theme.stage
    picture = column().picture(BOX, Moves(path, 15, 17), "sideline")
    assert plate(picture, stage.here) is None
    bar = plate(picture, stage.sideline)
    assert bar is not None
    assert bar[1].start > 20
    main = column().picture(BOX, Moves(MAIN[:15], 15, 17), "score")
    assert plate(main, stage.sideline) is None


def test_moves_that_were_not_shown_yet_stay_unseen() -> None:
    """A lesson asks for the next move: the column must not tell it."""
    early = column().picture(BOX, Moves(MAIN[:4], 4, 4), "score")
    late = column().picture(BOX, Moves(MAIN[:4], 4, 9), "score")
    assert not np.array_equal(early, late)
    assert np.array_equal(early[:100], late[:100])


@given(st.lists(st.text("abcdefgh ÄÖß", min_size=1, max_size=18), min_size=1, max_size=30).map(" ".join))
def test_titles_of_any_length_stay_in_their_box(title: str) -> None:
    box = Box(0, 0, 708, 132)
    rows, size = title_rows(LETTERS, box, title)
    assert 0 < len(rows) <= 3 or not title.strip()
    assert all(LETTERS.type.width(row, size, BOLD) <= box.width for row in rows)
    assert size * 1.14 * len(rows) <= box.height


@pytest.mark.parametrize("height", [64, 74, 132])
def test_a_title_is_cut_only_where_its_smallest_letters_do_not_fit(height: int) -> None:
    """And then as far right as they reach."""
    box = Box(0, 0, 876, height)
    for words in range(4, 40):
        title = " ".join(["position"] * words)
        rows, size = title_rows(LETTERS, box, title)
        assert size >= min(LEAST_TITLE, height / 1.24)
        if not rows[-1].endswith("…"):
            continue
        assert LETTERS.type.width(rows[-1], size, BOLD) > box.width - 4 * size
        assert (len(rows) + 1) * 1.14 * size + 0.1 * size > box.height or len(rows) == 3


@given(st.lists(st.text("abcdefghijk lmno", min_size=1, max_size=60), min_size=1, max_size=3).map("\n".join))
@settings(max_examples=12)
def test_captions_stay_in_their_box(text: str) -> None:
    """BBC Subtitle Guidelines 1.2.5, 9.2.4: the plate reaches half an em beyond the text."""
    box = Box(0, 0, 1440, 148)
    picture = caption_picture(LETTERS, box, text, caption_size(LETTERS, box, [text]), False)
    assert picture.shape == (148, 1440, 4)
    if text.strip():
        assert picture[:, [0, -1], 3].max() == 0, "the plate is cut off"


@given(
    st.lists(
        st.lists(st.sampled_from("a bishop is thrown away on purpose".split()), min_size=1, max_size=14),
        min_size=1,
        max_size=4,
    ),
    st.sampled_from([(1440, 148), (972, 148), (972, 250)]),
)
@settings(max_examples=30)
def test_captions_of_one_film_have_one_size_and_lose_no_word(talk: list[list[str]], place: tuple[int, int]) -> None:
    """Texts of up to 84 characters in two lines, or three: each fits its box at the size that all share."""
    box = Box(0, 0, *place)
    texts = [fill(" ".join(words)[:84].strip(), 42) for words in talk]
    size = caption_size(LETTERS, box, texts)
    assert size == min(caption_size(LETTERS, box, [text]) for text in texts)
    assert 0.62 * 0.35 * box.height - 0.01 <= size <= 0.35 * box.height
    for text in texts:
        rows = caption_rows(LETTERS, box, text, size)
        assert " ".join(rows).split() == text.split()
        assert all(LETTERS.type.width(row, size) + size <= box.width for row in rows)
        assert len(rows) * size / 0.7 <= box.height + 0.1


def test_a_caption_that_is_broken_again_has_no_single_word_in_a_line() -> None:
    box = Box(0, 0, 972, 250)
    text = "I show you a small game in which a bishop\nis thrown away on purpose."
    rows = caption_rows(LETTERS, box, text, caption_size(LETTERS, box, [text]))
    assert min(len(row) for row in rows) * 1.5 > max(len(row) for row in rows)
    assert caption_rows(LETTERS, box, "Bishop takes h7,\ncheck.", 60) == ["Bishop takes h7,", "check."]


def test_the_countdown_changes_a_little_at_a_time() -> None:
    """Far below the quarter of ten degrees' field that a flash needs (WCAG 2.2, 2.3.1: 21 824 px of 1024 x 768)."""
    box = Box(0, 0, 708, 130)
    before = think_picture(LETTERS, box, 8, 6, False)
    after = think_picture(LETTERS, box, 8, 5, False)
    changed = (before != after).any(axis=2).sum()
    assert 100 < changed < 900


@pytest.mark.parametrize("size", ["1920x1080", "1080x1920", "1080x1080"])
@pytest.mark.parametrize("kind", ["opening", "closing"])
def test_cards_say_long_titles_and_names_whole(monkeypatch: pytest.MonkeyPatch, kind: str, size: str) -> None:
    show = samples.game_show(long_names=True)
    layout = {"1920x1080": "board-panel", "1080x1920": "tall", "1080x1080": "square"}[size]
    painter = BoardPainter(show, FilmSettings(size=size, layout=layout))
    said: list[str] = []
    sprite = painter.type.sprite
    monkeypatch.setattr(painter.type, "sprite", lambda text, *a: said.append(text) or sprite(text, *a))
    card_picture(kind, show, painter.stage, painter.theme, painter.type)
    assert not [row for row in said if "…" in row]
    whole = " ".join(said)
    assert show.title in whole
    assert show.teacher in whole
    assert kind == "closing" or show.white in whole


def test_title_cards_cover_everything_and_go() -> None:
    painter = BoardPainter(samples.game_show(long_names=True), FilmSettings(size="360p", opening_s=2))
    card = painter.rgb(painter.screenplay.at(0))
    assert tuple(card[0, 0]) == rgb_of(painter.theme.stage.background)
    assert (card != painter.rgb(painter.screenplay.at(2500))).any()


def test_a_logo_keeps_its_shape(tmp_path: Path) -> None:
    path = tmp_path / "logo.png"
    Image.new("RGBA", (400, 100), (255, 0, 0, 128)).save(path)
    assert load_logo(str(path), Box(0, 0, 180, 86)).shape == (45, 180, 4)
    svg = tmp_path / "logo.svg"
    svg.write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 20"><rect width="10" height="20"/></svg>')
    assert load_logo(str(svg), Box(0, 0, 180, 86)).shape == (86, 43, 4)
    painter = BoardPainter(samples.game_show(), FilmSettings(size="360p", logo=str(path)))
    bare = BoardPainter(samples.game_show(), FilmSettings(size="360p"))
    assert (painter.rgb(painter.screenplay.at(0)) != bare.rgb(bare.screenplay.at(0))).any()


@pytest.mark.parametrize(("data", "words"), [(b"text", "no picture that can be read"), (None, "cannot be read")])
def test_a_logo_that_is_none(tmp_path: Path, data: bytes | None, words: str) -> None:
    path = tmp_path / "logo.png"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(LogoError, match=words):
        load_logo(str(path), Box(0, 0, 10, 10))
