"""The demo lesson from its files to its results, against times marked by hand and outside readers."""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
from pathlib import Path

import av
import chess
import chess.pgn
import pysubs2
import pytest
import srt
import webvtt

from timeline.build import build
from timeline.steps import STEPS

ROOT = Path(__file__).parents[1]
TRUTH = json.loads((ROOT / "tests/data/demo/harbour_cup.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo built without its film, words aligned to the narration."""
    folder = tmp_path_factory.mktemp("demo") / "demo"
    shutil.copytree(ROOT / "demo_project", folder, ignore=shutil.ignore_patterns("out", ".plyline"))
    build(folder, STEPS)
    return folder


def rows(lesson: Path) -> list[dict[str, str]]:
    with (lesson / "out/positions.csv").open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def test_the_board_is_right_at_the_hand_marked_times(lesson: Path) -> None:
    """Each hand-marked change: within 1.5 s the same placement and side to move stands on the board."""
    shown = [(float(r["start"]) * 1000, " ".join(r["fen"].split()[:2])) for r in rows(lesson)]
    hits = sum(any(key == k and abs(at - t) <= 1500 for t, k in shown) for at, key, _, _ in TRUTH["changes"])
    assert hits / len(TRUTH["changes"]) >= 0.9
    assert hits / len(shown) >= 0.9


def test_every_position_is_rederived_by_chess_from_the_pgn(lesson: Path) -> None:
    with (lesson / "game.pgn").open(encoding="utf-8") as stream:
        game = chess.pgn.read_game(stream)
    assert game is not None
    main = [game.board()]
    for move in game.mainline_moves():
        main.append(main[-1].copy())
        main[-1].push(move)
    for row in rows(lesson):
        head, *sans = row["address"].split()
        ply = 0 if head == "start" else 2 * int(head[:-1]) - (head[-1] == "w")
        board = main[ply].copy()
        for san in sans:
            board.push_san(san)
        assert board.fen() == row["fen"]


def test_positions_join_without_holes(lesson: Path) -> None:
    table = rows(lesson)
    assert (lesson / "out/positions.csv").read_text().splitlines()[0] == "start,end,fen,address,origin"
    assert table[0]["start"] == "0.000"
    assert all(a["end"] == b["start"] for a, b in zip(table, table[1:], strict=False))


def test_captions_are_read_by_other_libraries_and_the_hearing_is_mended(lesson: Path) -> None:
    """srt, pysubs2 and webvtt-py read the same number of captions; "night if six" was knight f6."""
    text = (lesson / "out/captions.srt").read_text(encoding="utf-8")
    subtitles = list(srt.parse(text))
    assert len(subtitles) == len(pysubs2.load(str(lesson / "out/captions.srt")))
    assert len(subtitles) == len(webvtt.read(str(lesson / "out/captions.vtt")))
    said = " ".join(s.content for s in subtitles).replace("\n", " ").lower()
    assert "knight f6" in said
    assert "night if six" not in said
    assert all(a.end <= b.start for a, b in zip(subtitles, subtitles[1:], strict=False))


def test_chapters_keep_the_hosts_rules(lesson: Path) -> None:
    """First at 0:00, at least three, ascending (common practice of video hosts)."""
    lines = (lesson / "out/chapters.txt").read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("0:00 ")
    assert len(lines) >= 3


def test_a_stretch_of_the_film_has_exact_frames_and_sound(lesson: Path) -> None:
    """Read back by PyAV: picture format, rate, frame count, sound, and a chapter at 0."""
    from typer.testing import CliRunner

    from timeline.cli import app

    result = CliRunner().invoke(app, ["film", str(lesson), "--draft", "--from", "0:20", "--to", "0:26"])
    assert result.exit_code == 0, result.output
    (out,) = (lesson / "out").glob("excerpt*.mp4")
    with av.open(str(out)) as film:
        video = film.streams.video[0]
        assert video.codec_context.pix_fmt == "yuv420p"
        frames = sum(1 for _ in film.decode(video))
        assert frames == round(6 * float(video.average_rate or 0))
        assert film.streams.audio


@pytest.mark.referee("pgn-extract")
def test_pgn_extract_accepts_the_game(referee_path) -> None:
    """pgn-extract ends with 0 always: its complaints are on stderr."""
    done = subprocess.run(
        [referee_path("pgn-extract"), "-s", str(ROOT / "demo_project/game.pgn")], capture_output=True, check=True
    )
    assert done.stderr.strip() == b""
    assert done.stdout.count(b"[Event ") == 1
