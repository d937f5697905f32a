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
from timeline.files import write_atomic
from timeline.publish.companionstep import COMPANION
from timeline.steps import STEPS

ROOT = Path(__file__).parents[1]
TRUTH = json.loads((ROOT / "tests/data/demo/lantern_quay.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo built without its film, words aligned to the narration."""
    folder = tmp_path_factory.mktemp("demo") / "demo"
    shutil.copytree(ROOT / "demo_project", folder, ignore=shutil.ignore_patterns("out", ".plyline"))
    build(folder, (*STEPS, COMPANION))
    return folder


GOLDEN = ROOT / "tests/data/demo/golden"


@pytest.fixture(scope="module")
def unheard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo built from the transcript's times alone: no rounding of sound differs from machine to machine."""
    folder = tmp_path_factory.mktemp("unheard") / "demo"
    shutil.copytree(ROOT / "demo_project", folder, ignore=shutil.ignore_patterns("out", ".plyline"))
    with (folder / "lesson.yaml").open("a", encoding="utf-8") as stream:
        stream.write("follow: {align: off}\n")
    build(folder, (*STEPS, COMPANION))
    return folder


@pytest.mark.parametrize(
    "name", ["captions.srt", "captions.vtt", "chapters.txt", "chapters.vtt", "positions.csv", "companion.pgn"]
)
def test_text_results_are_the_golden_ones_to_the_byte(unheard: Path, name: str, request: pytest.FixtureRequest) -> None:
    """A change here is seen in review: ``pytest tests/test_demo.py --update-golden``, then read the difference."""
    made = (unheard / "out" / name).read_bytes()
    if request.config.getoption("--update-golden"):
        write_atomic(GOLDEN / name, made)
    assert (GOLDEN / name).read_bytes() == made


def rows(lesson: Path) -> list[dict[str, str]]:
    with (lesson / "out/positions.csv").open(newline="", encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def test_the_board_changes_at_the_marked_times(lesson: Path) -> None:
    """F1 of board changes, one to one and in order: the same placement and side to move within 1.5 s."""
    shown = [(float(r["start"]) * 1000, " ".join(r["fen"].split()[:2])) for r in rows(lesson)]
    true = [(at, key) for at, key, _, _ in TRUTH["changes"]]
    best = [[0] * (len(shown) + 1) for _ in range(len(true) + 1)]
    for i in range(len(true) - 1, -1, -1):
        for j in range(len(shown) - 1, -1, -1):
            same = true[i][1] == shown[j][1] and abs(true[i][0] - shown[j][0]) <= 1500
            best[i][j] = max(best[i + 1][j], best[i][j + 1], best[i + 1][j + 1] + same)
    assert 2 * best[0][0] / (len(true) + len(shown)) >= 0.9


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
    """srt, pysubs2 and webvtt-py read the same number of captions; "bishop he seven" was bishop e7."""
    text = (lesson / "out/captions.srt").read_text(encoding="utf-8")
    subtitles = list(srt.parse(text))
    assert len(subtitles) == len(pysubs2.load(str(lesson / "out/captions.srt")))
    assert len(subtitles) == len(webvtt.read(str(lesson / "out/captions.vtt")))
    said = " ".join(s.content for s in subtitles).replace("\n", " ").lower()
    assert "bishop e7" in said
    assert "he seven" not in said
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


def test_the_companion_holds_the_game_and_every_line_shown(lesson: Path) -> None:
    """Read by chess.pgn: no error, the score's mainline, and each shown address a line of it."""
    with (lesson / "out/companion.pgn").open(encoding="utf-8") as stream:
        game = chess.pgn.read_game(stream)
    with (lesson / "game.pgn").open(encoding="utf-8") as stream:
        score = chess.pgn.read_game(stream)
    assert game is not None
    assert score is not None
    assert not game.errors
    assert list(game.mainline_moves()) == list(score.mainline_moves())
    fens, nodes = set(), [game]
    while nodes:
        node = nodes.pop()
        fens.add(node.board().fen())
        nodes += node.variations
    assert {row["fen"] for row in rows(lesson)} <= fens


@pytest.mark.referee("pgn-extract")
def test_pgn_extract_accepts_the_companion(lesson: Path, referee_path) -> None:
    """Its sidelines are legal for another program's move generator; complaints are on stderr."""
    command = [referee_path("pgn-extract"), "-s", "--splitvariants", str(lesson / "out/companion.pgn")]
    done = subprocess.run(command, capture_output=True, check=True)
    assert done.stderr.strip() == b""
    assert done.stdout.count(b"[Event ") >= 3


@pytest.mark.referee("pgn-extract")
def test_pgn_extract_accepts_the_game(referee_path) -> None:
    """pgn-extract ends with 0 always: its complaints are on stderr."""
    done = subprocess.run(
        [referee_path("pgn-extract"), "-s", str(ROOT / "demo_project/game.pgn")], capture_output=True, check=True
    )
    assert done.stderr.strip() == b""
    assert done.stdout.count(b"[Event ") == 1


def test_the_whole_film_read_back_by_pyav(lesson: Path, tmp_path: Path) -> None:
    """Frame count, length, chapters and the sound's start, by a reader that is not our writer."""
    from typer.testing import CliRunner

    from timeline.cli import app

    folder = tmp_path / "demo"
    shutil.copytree(lesson, folder)
    text = (folder / "lesson.yaml").read_text(encoding="utf-8")
    (folder / "lesson.yaml").write_text(text.replace("size: 1280x720", 'size: 320x180, rate: "24"'), encoding="utf-8")
    result = CliRunner().invoke(app, ["film", str(folder), "-q"])
    assert result.exit_code == 0, result.output
    held_ms = sum(round(1000 * c["think"]) for c in _thinks(folder))
    with av.open(str(folder / "out/film.mp4")) as film:
        video, sound = film.streams.video[0], film.streams.audio[0]
        wanted_s = (TRUTH["end_ms"] + held_ms) / 1000
        assert video.frames == pytest.approx(wanted_s * 24, abs=3)
        assert float((sound.start_time or 0) * (sound.time_base or 0)) == pytest.approx(0, abs=0.05)
        assert float(sound.duration * sound.time_base) == pytest.approx(wanted_s, abs=0.1)
        starts = [float(c["start"] * c["time_base"]) for c in film.chapters()]
    listed = (lesson / "out/chapters.txt").read_text(encoding="utf-8").splitlines()
    assert starts[0] == 0
    assert len(starts) == len(listed)


def _thinks(folder: Path) -> list[dict[str, float]]:
    from timeline.store import load_lesson

    return [{"think": c.think} for c in load_lesson(folder).lesson.cues if c.think]


def test_ttml_is_read_by_ttconv_with_the_same_times(lesson: Path) -> None:
    """ttconv (a reader of W3C IMSC 1.1) turns our TTML into SubRip: as many captions, the same times and words."""
    from xml.etree import ElementTree

    import ttconv.imsc.reader
    import ttconv.srt.writer

    document = ttconv.imsc.reader.to_model(ElementTree.parse(lesson / "out/captions.ttml"))
    theirs = list(srt.parse(ttconv.srt.writer.from_model(document)))
    ours = list(srt.parse((lesson / "out/captions.srt").read_text(encoding="utf-8")))
    assert [(s.start, s.end) for s in theirs] == [(s.start, s.end) for s in ours]
    assert [s.content.split() for s in theirs] == [s.content.split() for s in ours]
