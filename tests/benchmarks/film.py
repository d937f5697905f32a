"""What films cost, as ratios from one run: CPU time and peak memory of ours and of the obvious other ways.

    python tests/benchmarks/film.py [--seconds 20] [--size 1080p] [--memory 1 10 60]

Every way runs in a process of its own; its CPU time is that process's and its
children's. Where FFmpeg alone is measured on ready frames, only FFmpeg's own
time counts, not that of feeding it. The lesson has a move each 5 s and marks;
about nine frames of ten repeat the one before. x264 runs with veryfast and crf
18 everywhere (camera films crf 20), but for skip films, whose settings are in
``overlays/x264.py``; the size of each file is printed beside its cost.
"""

from __future__ import annotations

import argparse
import json
import random
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import chess
import numpy as np

from overlays.show import Show
from timeline.filmsettings import FilmSettings
from timeline.tracks import BoardSpan, BoardTrack, MarkSpan

STEP_MS = 5000
CRF, CAMERA_CRF, PRESET = "18", "20", "veryfast"


def lesson(seconds: int) -> Show:
    """A random legal game, a move each five seconds; an arrow and a square on every other position."""
    dice = random.Random(7)
    board = chess.Board()
    spans, marks = [], []
    for begin in range(0, seconds * 1000, STEP_MS):
        if begin:
            if board.is_game_over() or board.ply() > 160:
                board = chess.Board()
            else:
                board.push(dice.choice(list(board.legal_moves)))
        end = min(begin + STEP_MS, seconds * 1000)
        path = tuple(m.uci() for m in board.move_stack)
        spans.append(BoardSpan(begin, end, board.fen(), path, 0, "", "sideline" if path else "score"))
        if begin // STEP_MS % 2:
            arrow = dice.choice(list(board.legal_moves)) if not board.is_game_over() else chess.Move(0, 8)
            marks.append(MarkSpan(begin + 1000, begin + 4000, "arrow", (arrow.from_square, arrow.to_square), "attack"))
            marks.append(MarkSpan(begin + 1500, begin + 4000, "square", (arrow.to_square,), "weakness"))
    return Show(BoardTrack(chess.STARTING_FEN, (), tuple(spans)), "A lesson for measuring", tuple(marks))


class Bench:
    """One lesson at one size, in a folder that goes away."""

    def __init__(self, seconds: int, size: str, folder: Path) -> None:
        from overlays.painter import BoardPainter

        self.seconds, self.size, self.folder = seconds, size, folder
        self.show = lesson(seconds)
        self.settings = FilmSettings(size=size)
        self.painter = BoardPainter(self.show, self.settings)
        self.over = FilmSettings(size=size, layout="over-bottom-right")

    # -- film A
    def skip(self) -> None:
        self._film("skip")

    def plain(self) -> None:
        self._film("plain")

    def _film(self, encoder: str) -> None:
        from overlays.film import render_film

        settings = self.settings.model_copy(update={"encoder": encoder})
        render_film(self.show, self.painter, self.folder / "film.mp4", settings=settings)

    def moviepy_composite(self) -> None:
        """Ground, board and panel as image clips, each for its time, as the handbook shows."""
        from moviepy import CompositeVideoClip, ImageClip

        width, height = self.painter.width, self.painter.height
        clips = [ImageClip(np.full((height, width, 3), 30, np.uint8), duration=self.seconds)]
        edge = height + 36
        for span in self.show.board.spans:
            picture = self.painter.rgba(self.painter.screenplay.at(span.start_ms + 900))
            start, length = span.start_ms / 1000, (span.end_ms - span.start_ms) / 1000
            for part, x in ((picture[:, :edge], 0), (picture[:, edge:], edge)):
                clips.append(ImageClip(part, duration=length).with_start(start).with_position((x, 0)))
        self._by_moviepy(CompositeVideoClip(clips, size=(width, height)))

    def moviepy_cached(self) -> None:
        """Our pictures through moviepy's writer, the last one kept."""
        import overlays

        self._by_moviepy(overlays.clip(self.show, self.painter, settings=self.settings).without_mask())

    def _by_moviepy(self, clip: object) -> None:
        options = ["-crf", CRF, "-pix_fmt", "yuv420p", "-g", "60"]
        out = str(self.folder / "moviepy.mp4")
        clip.write_videofile(out, fps=30, preset=PRESET, ffmpeg_params=options, audio=False, logger=None)  # type: ignore[attr-defined]

    def raw_pipe(self) -> None:
        """RGB frames into FFmpeg, feeding counted."""
        self._piped("rgb24", lambda key: self.painter.rgb(key).tobytes())

    def ffmpeg_alone(self) -> None:
        """FFmpeg on frames that are ready in its own format; feeding not counted."""
        from overlays.yuv import Painted

        pictures = Painted(self.painter)
        self._piped("yuv420p", lambda key: pictures.frame(key).to_ndarray().tobytes())

    def _piped(self, pixels: str, make: Callable[[object], bytes]) -> None:
        size = f"{self.painter.width}x{self.painter.height}"
        coder = ["-c:v", "libx264", "-preset", PRESET, "-crf", CRF, "-g", "60", "-bf", "0", "-pix_fmt", "yuv420p"]
        feed(["-f", "rawvideo", "-pix_fmt", pixels, "-s", size, "-r", "30", "-i", "-", *coder], self, make, "raw.mp4")

    # -- film B
    def camera(self) -> Path:
        """A camera's film of the lesson's length; moving, with noise."""
        path = self.folder / "camera.mp4"
        if not path.exists():
            source = f"testsrc2=s=1920x1080:r=30:d={self.seconds},noise=alls=8:allf=t"
            run([ffmpeg(), "-v", "error", "-f", "lavfi", "-i", source, "-c:v", "libx264", "-preset", PRESET]
                + ["-crf", "24", "-pix_fmt", "yuv420p", str(path)])  # fmt: skip
        return path

    def over_camera(self) -> None:
        from overlays.film import render_film
        from overlays.painter import BoardPainter
        from overlays.stage import Box

        painter = BoardPainter(self.show, self.over)
        box = Box(0, 0, painter.width, painter.height)
        out = self.folder / "over.mp4"
        render_film(self.show, painter, out, settings=self.over, recording=self.camera(), camera=box)

    def moviepy_over(self) -> None:
        from moviepy import CompositeVideoClip, VideoFileClip

        import overlays

        with VideoFileClip(str(self.camera())) as recording:
            layer = overlays.clip(self.show, settings=self.over)
            clip = CompositeVideoClip([recording.resized(layer.size), layer]).with_duration(self.seconds)
            options = ["-crf", CAMERA_CRF, "-pix_fmt", "yuv420p", "-g", "60"]
            out = str(self.folder / "moviepy.mp4")
            clip.write_videofile(out, fps=30, preset=PRESET, ffmpeg_params=options, audio=False, logger=None)

    def decode_encode(self) -> None:
        size = f"scale={self.painter.width}:{self.painter.height}"
        run([ffmpeg(), "-v", "error", "-y", "-i", str(self.camera()), "-vf", size, "-c:v", "libx264", "-preset", PRESET]
            + ["-crf", CAMERA_CRF, "-g", "60", str(self.folder / "again.mp4")])  # fmt: skip

    # -- overlay C
    def overlay(self) -> None:
        from overlays.alpha import render_overlay
        from overlays.painter import BoardPainter

        render_overlay(BoardPainter(self.show, self.over), self.folder / "overlay.mov", rate=self.over.frame_rate)

    def ffmpeg_overlay(self) -> None:
        """Plain FFmpeg on ready RGBA frames; feeding not counted."""
        from overlays.painter import BoardPainter

        self.painter = BoardPainter(self.show, self.over)
        size = f"{self.painter.width}x{self.painter.height}"
        coder = ["-c:v", "prores_ks", "-profile:v", "4444", "-alpha_bits", "16", "-pix_fmt", "yuva444p10le"]
        source = ["-f", "rawvideo", "-pix_fmt", "rgba", "-s", size, "-r", "30", "-i", "-"]
        feed([*source, *coder], self, lambda key: self.painter.rgba(key).tobytes(), "overlay.mov")


def ffmpeg() -> str:
    import imageio_ffmpeg

    return str(imageio_ffmpeg.get_ffmpeg_exe())


def run(command: list[str]) -> None:
    subprocess.run(command, check=True)


def feed(options: list[str], bench: Bench, make: Callable[[object], bytes], name: str) -> None:
    command = [ffmpeg(), "-v", "error", "-y", *options, str(bench.folder / name)]
    with subprocess.Popen(command, stdin=subprocess.PIPE) as process:
        assert process.stdin is not None
        for item in bench.painter.runs(bench.settings.frame_rate):
            data = make(item.key)
            for _ in range(item.count):
                process.stdin.write(data)
        process.stdin.close()


FFMPEG_ONLY = ("ffmpeg_alone", "ffmpeg_overlay")
WAYS = (
    "skip", "plain", "moviepy_composite", "moviepy_cached", "raw_pipe", "ffmpeg_alone",
    "over_camera", "moviepy_over", "decode_encode", "overlay", "ffmpeg_overlay",
)  # fmt: skip
RATIOS = (
    ("film A, skip slices", "moviepy_composite", "skip", 25),
    ("film A, skip slices", "moviepy_cached", "skip", None),
    ("film A, skip slices", "raw_pipe", "skip", None),
    ("film A, skip slices", "ffmpeg_alone", "skip", 2.5),
    ("film A, plain", "moviepy_composite", "plain", 10),
    ("film A, plain", "ffmpeg_alone", "plain", 0.9),
    ("film B", "moviepy_over", "over_camera", 4),
    ("film B", "decode_encode", "over_camera", 0.95),
    ("overlay C", "ffmpeg_overlay", "overlay", 7),
)


def one(way: str, seconds: int, size: str, folder: Path) -> dict[str, float]:
    """Run one way in this process and measure it."""
    bench = Bench(seconds, size, folder)
    if way in ("over_camera", "moviepy_over", "decode_encode"):
        bench.camera()
    before = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    getattr(bench, way)()
    after = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    spent = [b.ru_utime + b.ru_stime - a.ru_utime - a.ru_stime for a, b in zip(before, after, strict=True)]
    cpu = spent[1] if way in FFMPEG_ONLY else sum(spent)
    made = max((p for p in folder.iterdir() if p.name != "camera.mp4"), key=lambda p: p.stat().st_mtime_ns)
    return {"cpu_s": cpu, "peak_mb": max(u.ru_maxrss for u in after) / 1024, "file_mb": made.stat().st_size / 1e6}


def apart(way: str, seconds: int, size: str, folder: Path) -> dict[str, float]:
    """Run one way in a process of its own."""
    command = [
        sys.executable,
        __file__,
        "--one",
        way,
        "--seconds",
        str(seconds),
        "--size",
        size,
        "--folder",
        str(folder),
    ]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    found: dict[str, float] = json.loads(done.stdout.strip().splitlines()[-1])
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=int, default=20)
    parser.add_argument("--size", default="1080p")
    parser.add_argument("--ways", nargs="*", default=WAYS, choices=WAYS)
    parser.add_argument("--memory", type=int, nargs="*", default=[], metavar="MINUTES")
    parser.add_argument("--one", choices=WAYS, help=argparse.SUPPRESS)
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.one:
        print(json.dumps(one(given.one, given.seconds, given.size, given.folder)))
        return
    frames = given.seconds * 30
    with tempfile.TemporaryDirectory() as folder:
        found = {}
        for way in given.ways:
            found[way] = apart(way, given.seconds, given.size, Path(folder))
            print(
                f"{way:18} {1000 * found[way]['cpu_s'] / frames:8.2f} CPU ms/frame"
                f" {found[way]['peak_mb']:7.0f} MB at most, file {found[way]['file_mb']:7.2f} MB",
                flush=True,
            )
        for what, other, ours, aim in RATIOS:
            if other in found and ours in found:
                ratio = found[other]["cpu_s"] / found[ours]["cpu_s"]
                wanted = f" (aim {aim})" if aim else ""
                print(f"{what:20} against {other:18} {ratio:6.2f} times less CPU{wanted}")
        for minutes in given.memory:
            peak = apart("skip", minutes * 60, given.size, Path(folder))
            print(
                f"{minutes:3} minutes: {peak['peak_mb']:.0f} MB at most, {peak['cpu_s'] / minutes / 1.8:.2f} CPU ms/frame",
                flush=True,
            )


if __name__ == "__main__":
    main()
