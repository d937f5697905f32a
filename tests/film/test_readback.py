"""The right board at every frame: films decoded, positions read from the pixels, compared with ``positions.csv``."""

from __future__ import annotations

import csv
import random
from bisect import bisect_right
from dataclasses import replace
from pathlib import Path

import av
import pytest
from boardreader import film_time, luma_of, reader_for
from typer.testing import CliRunner

from overlays.motion import pose_of
from overlays.painter import BoardPainter
from overlays.samples import crowd_show, game_show, marks_show
from overlays.theme import theme_names
from timeline.cli import app
from timeline.filmsettings import FilmSettings

PGN = """[White "Mara Ilvesson"]
[Black "Tobias Quell"]
[FEN "r3k2r/1P4pp/8/3pP3/8/8/5PPP/R3K2R w KQkq d6 0 1"]
[SetUp "1"]

1. exd6 (1. bxa8=N+ Kf7 2. Nc7) (1. b8=Q+ Rxb8) O-O 2. bxa8=Q Rxa8 3. O-O-O *
"""
HOLD = (8.0, 2.0)
LESSON = """title: Every kind of move
score: game.pgn
length: "0:22"
orientation: {orientation}
film: {{size: 360p, rate: "{rate}", encoder: {encoder}, theme: {theme}, layout: {layout}}}
cues:
  - {{at: "0:01.600", show: 1w, marks: [{{arrow: e8-g8, role: plan}}, {{square: d6, role: "key square"}}]}}
  - {{at: "0:03.520", show: 1b}}
  - {{at: "0:04.960", show: start b8=Q+, marks: [{{arrow: b8-e8, role: attack}}]}}
  - {{at: "0:08.000", think: 2.0}}
  - {{at: "0:08.960", show: start b8=Q+ Rxb8}}
  - {{at: "0:10.400", show: start bxa8=N+ Kf7 Nc7}}
  - {{at: "0:12.800", show: 1b}}
  - {{at: "0:14.400", show: 2b}}
  - {{at: "0:16.000", show: 3w, marks: [{{route: c1-b1-a1, role: route}}]}}
  - {{at: "0:17.600", show: 1b}}
  - {{at: "0:20.000", fen: "8/8/8/4k3/8/8/4P3/4K3 w - - 0 1"}}
"""
MOVING_S = 0.9
"""No cue of this lesson moves longer than so before its time (four plies; a sideline left and another entered)."""


@pytest.mark.parametrize(
    ("encoder", "rate", "theme", "orientation", "layout"),
    [
        ("plain", "30", "lagoon", "white", "board-panel"),
        ("skip", "23.976", "mulberry", "black", "board-panel"),
        ("skip", "50", "lagoon", "black", "tall"),
    ],
)
def test_200_frames_show_the_positions_of_the_table(tmp_path: Path, encoder, rate, theme, orientation, layout):
    text = LESSON.format(encoder=encoder, rate=rate, theme=theme, orientation=orientation, layout=layout)
    (tmp_path / "lesson.yaml").write_text(text)
    (tmp_path / "game.pgn").write_text(PGN)
    for command in ("positions", "film"):
        done = CliRunner().invoke(app, [command, str(tmp_path), "-q"])
        assert (done.exit_code, done.output) == (0, "")
    with (tmp_path / "out" / "positions.csv").open(newline="") as table:
        rows = list(csv.DictReader(table))
    starts = [film_time(float(row["start"]), [HOLD]) for row in rows]
    settings = FilmSettings(size="360p", theme=theme, layout=layout)
    reader = reader_for(settings, orientation)
    with av.open(str(tmp_path / "out" / "film.mp4")) as film:
        lumas = [(float(f.time), f.to_ndarray()[: f.height].copy()) for f in film.decode(video=0)]
    quiet = [
        (time, luma) for time, luma in lumas if not any(start - MOVING_S < time < start - 1e-6 for start in starts)
    ]
    seen = set()
    for time, luma in random.Random(5).sample(quiet, 200):
        row = rows[bisect_right(starts, time + 1e-6) - 1]
        assert reader.read(luma) == row["fen"].split()[0], f"at {time:.3f} s: {row['address']}"
        seen.add(row["fen"])
    assert len(seen) == len({row["fen"] for row in rows})


@pytest.mark.parametrize("theme", theme_names())
@pytest.mark.parametrize("size", ["240p", "540p"])
def test_every_piece_is_told_under_marks_and_beside_them(theme, size):
    settings = FilmSettings(size=size, theme=theme, layout="board")
    reader = reader_for(settings)
    for show, times in ((game_show(), (0, 15_500, 17_500, 21_500)), (marks_show(), (1000,)), (crowd_show(), (1000,))):
        painter = BoardPainter(show, settings)
        for ms in times:
            picture = painter.rgb(painter.screenplay.at(ms))
            span = next(s for s in show.board.spans if s.start_ms <= ms < s.end_ms)
            assert reader.read(luma_of(picture)) == span.fen.split()[0]


def test_the_reader_sees_a_wrong_piece_and_a_missing_one():
    settings = FilmSettings(size="360p", layout="board")
    reader = reader_for(settings)
    painter = BoardPainter(marks_show(), settings)
    state = painter.screenplay.at(1000)
    right = marks_show().board.spans[0].fen.split()[0]
    assert reader.read(luma_of(painter.rgb(state))) == right
    for wrong in (right.replace("k", "q"), right.replace("6K1", "8"), right.replace("K", "k")):
        picture = painter.rgb(replace(state, pose=pose_of(f"{wrong} w - - 0 1")))
        assert reader.read(luma_of(picture)) == wrong != right
