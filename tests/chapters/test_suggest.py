"""Chapters found in a talk, and a person's own."""

from __future__ import annotations

import json
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.buildtracks import Tracks, build_tracks
from timeline.chapters.make import build_chapters
from timeline.chapters.openings import opening_of
from timeline.chapters.rules import MOST_TITLE_CHARS, check_chapters, in_film_time, whole
from timeline.chapters.settings import ChapterSettings, ChapterSpec
from timeline.chapters.suggest import suggest_chapters, typical_s
from timeline.chapters.titles import Section, title_sections
from timeline.lesson import CueSpec, Lesson
from timeline.score import read_score
from timeline.timemap import TimeMap
from timeline.tracks import Chapter, ThinkPause
from timeline.transcript.words import Timing, Word

SCORE = read_score("1. e4 e5 2. f4 exf4 3. Nf3 g5 4. h4 g4 5. Ne5 Nf6 6. Bc4 d5 *\n")
ENDING = read_score('[FEN "8/5k2/8/8/8/8/4P3/4K3 w - - 0 1"]\n[SetUp "1"]\n\n1. e4 Ke6 2. Kf2 Kd6 *\n')


def talk(*sentences: tuple[float, str]) -> list[Word]:
    """Words of 0.3 s from sentences, each after a silence of so many seconds."""
    words: list[Word] = []
    at = 0
    for silence, sentence in sentences:
        at += round(silence * 1000)
        for text in sentence.split():
            words.append(Word(text, at, at + 300, 1.0, Timing.WORD))
            at += 320
    return words


FILLER = " ".join(["and we keep talking about the same thing for a while, as bakers do"] * 4) + "."
TALK = talk(
    (0.5, "Good evening and welcome to the tea house. Tonight a short and wild game."),
    (0.4, FILLER),
    (1.4, "White begins with e4. Black says e5. And f4, the gambit."),
    (0.4, FILLER),
    (0.4, FILLER),
    (1.4, "Now let's look at the fork. The fork comes on f7, a fork of queen and rook."),
    (0.4, FILLER),
    (0.4, "Knight e5. Knight f6. The fork is in the air."),
    (0.4, FILLER),
    (1.4, "So what did we learn? Bring out your knights, and count the attackers."),
    (0.4, FILLER),
)


def starts(first: str, second: str) -> int:
    """When two words in a row begin, ms."""
    return next(a.onset_ms for a, b in pairwise(TALK) if (a.text, b.text) == (first, second))


GAME, FORK = starts("White", "begins"), starts("Now", "let's")
KNIGHT, END = starts("Knight", "e5."), starts("So", "what")
CUES = [CueSpec(at=GAME + 600 * i, show=show) for i, show in enumerate(["1w", "1b", "2w", "2b"])]
CUES += [CueSpec(at=KNIGHT, show="5w"), CueSpec(at=KNIGHT + 700, show="5b")]


def suggest(words=TALK, cues=CUES, end_ms=150_000, **more) -> list[tuple[float, str]]:
    board = build_tracks(SCORE, cues, end_ms).board
    return [(c.start_ms / 1000, c.title) for c in suggest_chapters(words, board, SCORE, **more)]


def test_chapters_begin_where_the_talk_turns():
    assert suggest() == [
        (0.0, "Introduction"),
        (GAME / 1000, "The opening: King's Gambit"),
        (FORK / 1000, "The fork"),
        (END / 1000, "What to remember"),
    ]


def test_titles_are_never_sentences_of_the_talk():
    said = " ".join(word.text for word in TALK).lower()
    for _, title in suggest():
        assert title.lower() not in said or len(title.split()) <= 3


def test_a_set_up_position_begins_with_the_position():
    board = build_tracks(ENDING, [CueSpec(at=40_000, show="1w")], 120_000).board
    found = suggest_chapters(TALK, board, ENDING)
    assert found[0] == Chapter(0, "The position")


def test_a_question_and_a_try_give_their_names():
    cues = [CueSpec(at=5000, show="3w"), CueSpec(at=61_000, show="3w d6"), CueSpec(at=100_000, show="3b")]
    board = build_tracks(SCORE, cues, 150_000).board
    bounds = [0, 20_000, 60_000, 105_000, 150_000]
    sections = [Section(start, end, ()) for start, end in pairwise(bounds)]
    assert title_sections(sections, board, SCORE, [25_000], english=True) == [
        "The opening: King's Gambit",
        "Black to move: your turn",
        "The try 3...d6",
        "The last word",
    ]


@pytest.mark.parametrize(
    ("second", "title"),
    [
        (["A fork is in the air."], "The fork"),
        ([FILLER, FILLER, FILLER, "Soon there is a fork."], "Moves 4 to 5"),  # the next chapter may be about it
        (["White castles and Black castles, too."], "Moves 4 to 5"),
        (["Castling is what both are thinking of. Castling long, castling short."], "Castling"),
    ],
)
def test_a_theme_named_once_at_the_end_is_not_what_a_chapter_is_about(second: list[str], title: str):
    words = talk((0.5, FILLER), (1.0, " ".join(second)), (0.1, FILLER), (1.0, FILLER))
    begin, end = words[56].onset_ms, words[-56].onset_ms
    cues = [CueSpec(at=begin - 2000, show="3w"), CueSpec(at=begin + 500, show="4w"), CueSpec(at=begin + 2000, show="5w")]
    assert titled(words, cues, [0, begin, end])[1] == title


def test_a_theme_of_a_sideline_in_passing_is_not_what_a_chapter_is_about():
    words = talk((0.5, FILLER), (1.0, "If d6, then there is a fork."), (0.1, FILLER + " " + FILLER), (1.0, FILLER))
    begin, end = words[56].onset_ms, words[-56].onset_ms
    game = [CueSpec(at=begin - 2000, show="3w"), CueSpec(at=begin + 9000, show="4w"), CueSpec(at=begin + 12_000, show="5w")]
    assert titled(words, game, [0, begin, end])[1] == "The fork"
    assert titled(words, [*game, CueSpec(at=begin, show="3w d6")], [0, begin, end])[1] == "Moves 4 to 5"


def titled(words: list[Word], cues: list[CueSpec], starts_ms: list[int]) -> list[str]:
    """Titles of sections that begin so."""
    end_ms = words[-1].end_ms + 500
    sections = []
    for start, end in pairwise([*starts_ms, end_ms]):
        said = [word for word in words if start <= word.onset_ms < end]
        sections.append(Section(start, end, tuple(w.text for w in said), tuple(w.onset_ms for w in said)))
    board = build_tracks(SCORE, sorted(cues, key=lambda cue: cue.at), end_ms).board
    return title_sections(sections, board, SCORE, [], english=True)


def test_other_languages_use_silences_and_the_board():
    found = suggest(language="de")
    assert found[0][0] == 0
    assert (GAME / 1000, "The opening: King's Gambit") in found
    assert "What to remember" not in [title for _, title in found]


def test_at_least_three_where_the_length_allows():
    words = talk((0, "We go on and on without a stop " * 20))
    assert len(suggest(words, [], 66_000)) == 3
    assert len(suggest(words, [], 15_000)) == 1
    assert len(suggest([], [], 66_000)) == 3


@given(
    st.lists(st.tuples(st.integers(200, 9000), st.sampled_from("Now so e4. pin takes. okay?".split())), max_size=60),
    st.integers(1000, 300_000),
    st.lists(st.tuples(st.integers(0, 300_000), st.sampled_from(["1w", "3b", "2b d4", "start"])), max_size=6),
    st.integers(10, 40),
)  # fmt: skip
def test_suggestions_always_keep_the_rules(gaps, end_ms, shows, least_s):
    """First at 0:00, in order, far enough apart also after rounding down, and the last one long enough."""
    words, at = [], 0
    for gap, text in gaps:
        words.append(Word(text, at, at + 150))
        at += gap
    cues = [CueSpec(at=t, show=show) for t, show in sorted(shows)]
    board = build_tracks(SCORE, cues, end_ms).board
    found = suggest_chapters(words, board, SCORE, settings=ChapterSettings(least_s=least_s))
    assert [f.code for f in check_chapters(found, end_ms, least_ms=least_s * 1000) if f.code != "few-chapters"] in (
        [],
        ["short-chapter"] if end_ms < least_s * 1000 else [],
    )
    assert len(found) >= min(3, max(1, end_ms // (4 * least_s * 1000)))
    assert len({c.title for c in found}) == len(found)
    for chapter in found:
        assert 0 < len(chapter.title) <= MOST_TITLE_CHARS
        assert chapter.title[0] == chapter.title[0].upper()


def test_the_typical_length_grows_slowly():
    assert [round(typical_s(minutes * 60_000)) for minutes in (1, 5, 15, 60)] == [45, 60, 104, 120]


@pytest.mark.parametrize(
    ("moves", "name"),
    [
        ("1. e4 e5 2. f4 exf4", "King's Gambit"),
        ("1. Nf3 Nc6 2. e4 e5 3. Bb5", "Ruy Lopez"),
        ("1. e4 c5 2. Nf3 d6 3. d4 cxd4 4. Nxd4 Nf6 5. Nc3 g6", "Sicilian Dragon"),
        ("1. a3", None),
    ],
)
def test_openings_are_known_by_position(moves: str, name: str | None):
    found = opening_of(read_score(moves + " *\n"))
    assert (found[0] if found else None) == name


# -- a person's own
def lesson(*listed: tuple[int, str], suggest: bool = True) -> Lesson:
    specs = tuple(ChapterSpec(at=at, title=title) for at, title in listed)
    return Lesson(title="My lesson", score="g", chapters=ChapterSettings(suggest=suggest, listed=specs))


def tracks(*pauses: tuple[int, int], end_ms: int = 150_000) -> Tracks:
    board = build_tracks(SCORE, CUES, end_ms).board
    return Tracks(board, pauses=tuple(ThinkPause(at, hold) for at, hold in pauses))


def test_a_persons_chapters_win_and_go_through_film_time():
    own = lesson((0, "Start"), (40_000, "Middle"), (90_000, "End"))
    held = tracks((10_000, 5000), (90_000, 8000))
    chapters, findings = build_chapters(own, SCORE, held, TALK)
    assert [(c.start_ms, c.title) for c in chapters] == [(0, "Start"), (40_000, "Middle"), (90_000, "End")]
    assert [c.start_ms for c in in_film_time(chapters, held.timemap)] == [0, 45_000, 103_000]
    assert findings == []


def test_a_hole_at_the_start_is_filled_and_told():
    chapters, findings = build_chapters(lesson((30_000, "A"), (60_000, "B")), SCORE, tracks())
    assert chapters[0] == Chapter(0, "My lesson")
    assert {f.code for f in findings} == {"chapter-start", "few-chapters"}


def test_a_persons_short_or_late_chapters_are_told():
    own = lesson((0, "A"), (9000, "B"), (30_000, "B"), (200_000, "C"))
    chapters, findings = build_chapters(own, SCORE, tracks())
    assert [c.start_ms for c in chapters] == [0, 9000, 30_000]
    assert {(f.code, f.at_ms) for f in findings} == {
        ("short-chapter", 0),
        ("chapter-after-end", 200_000),
        ("same-title", 30_000),
    }


def test_no_words_and_no_suggestions():
    assert build_chapters(lesson(suggest=False), SCORE, tracks(), TALK)[0] == (Chapter(0, "My lesson"),)
    assert build_chapters(lesson(), SCORE, tracks())[0] == (Chapter(0, "My lesson"),)


def test_film_time_keeps_the_start_and_the_order():
    timemap = TimeMap.of([ThinkPause(0, 4000), ThinkPause(20_000, 6000)])
    found = in_film_time([Chapter(0, "A"), Chapter(20_000, "B")], timemap)
    assert [c.start_ms for c in found] == [0, 30_000]


def test_whole_drops_what_no_player_could_show():
    given = [Chapter(5000, "B"), Chapter(5000, "C"), Chapter(-1, "x"), Chapter(99_000, "y"), Chapter(7, " \n")]
    found = whole(given, 60_000, opening_title="")
    assert found == (Chapter(0, "Introduction"), Chapter(5000, "B"))
    assert len(whole([Chapter(i, "x") for i in range(400)], 60_000, opening_title="")) == 255


def test_settings_are_read_from_the_file_under_their_written_names():
    data = {"list": [{"at": "0:00", "title": "A"}], "least_s": 12}
    assert ChapterSettings.model_validate(data).listed[0].title == "A"
    assert "list" in json.dumps(ChapterSettings.model_json_schema(by_alias=True))
