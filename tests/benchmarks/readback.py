"""Whole lessons judged from their films: ``python tests/benchmarks/readback.py demo_project [FOLDER ...]``.

Each lesson is copied, filmed at ``--size`` with ``--encoder``, decoded, and
held against what was meant:

- every frame: at its exact time, at least 40 dB (luma, and chroma) from the
  picture that was drawn; sync frames at most two seconds apart; tags;
- 200 random frames outside movements: the board, read from the pixels, is the
  one of ``positions.csv`` (think-pauses counted by this script itself);
- sound: where the film's lies against the recording's, by cross-correlation;
- with ``--decoders``: FFmpeg's decoder, OpenH264's and a browser's give the
  same bytes for every frame; each gives the right picture after seeking; and
  cuts at sync frames without encoding again keep their pictures. Programs that
  are not installed are named as left out.

Ends with 1 if anything differs.
"""

from __future__ import annotations

import argparse
import csv
import hashlib
import random
import shutil
import subprocess
import sys
import tempfile
from bisect import bisect_right
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "film"))

LEAST_DB = 40
READ = 200
SEEKS = 24
THUMB = (480, 270)


class Judge:
    """Prints what was found and remembers whether all of it was right."""

    def __init__(self) -> None:
        self.wrong = 0

    def __call__(self, right: bool, text: str) -> None:
        self.wrong += not right
        print(("  ok     " if right else "  WRONG  ") + text, flush=True)


def prepared(lesson: Path, folder: Path, size: str, encoder: str) -> Path:
    """A copy of the lesson with these film settings, built."""
    from ruamel.yaml import YAML

    copy = folder / lesson.name
    shutil.copytree(lesson, copy, ignore=shutil.ignore_patterns("out", "*.mp4"))
    if not (copy / "lesson.yaml").exists():
        transcript = next(copy.glob("transcript.*"))
        (copy / "lesson.yaml").write_text(
            f"title: {lesson.name}\nscore: game.pgn\ntranscript: {transcript.name}\nrecording: narration.opus\n"
        )
    yaml = YAML()
    text = yaml.load(copy / "lesson.yaml")
    film = text.setdefault("film", {})
    film["size"], film["encoder"] = size, encoder
    yaml.dump(text, copy / "lesson.yaml")
    command = [sys.executable, "-c", "from timeline.cli import main; main()", "build", str(copy), "-q"]
    subprocess.run(command, check=True)
    return copy


def judged(folder: Path, judge: Judge, decoders: bool) -> None:
    from overlays.painter import BoardPainter
    from timeline.publish.lessonshow import film_settings, show_of
    from timeline.store import load_lesson
    from timeline.work import Work

    work = Work(load_lesson(folder))
    show, settings = show_of(work), film_settings(work)
    painter = BoardPainter(show, settings)
    film = folder / "out" / "film.mp4"
    hashes = every_frame(film, painter, settings.frame_rate, judge)
    boards(film, folder, work, settings, judge)
    if work.recording is not None and work.recording.has_audio:
        offset(film, work, judge)
    if decoders:
        other_decoders(film, hashes, judge)
        seeking(film, hashes, settings.frame_rate, judge)
        cutting(film, hashes, settings.frame_rate, judge)
        browser(film, painter, hashes, settings.frame_rate, judge)


# -- frames
def psnr(a: np.ndarray, b: np.ndarray) -> float:
    difference = a.astype(np.int16) - b
    error = float(np.mean(np.square(difference, dtype=np.int32)))
    return 99.0 if error == 0 else 10 * float(np.log10(255**2 / error))


def every_frame(path: Path, painter, rate: Fraction, judge: Judge) -> list[str]:
    """Hashes of all frames; each is compared with the picture drawn for it."""
    from overlays.yuv import Painted

    pictures = Painted(painter)
    meant = ((key, n) for run in painter.runs(rate) for key, n in [(run.key, run.count)])
    whole = sum(run.count for run in painter.runs(rate))
    hashes: list[str] = []
    sync: list[int] = []
    worst, late, left, drawn, before = 99.0, 0, 0, None, None
    with av.open(str(path)) as container:
        video = container.streams.video[0]
        context = video.codec_context
        tags = (context.pix_fmt, context.color_primaries, context.color_trc, context.colorspace, context.color_range)
        exact = (video.average_rate, video.frames, video.duration * video.time_base)
        for number, frame in enumerate(container.decode(video)):
            fresh = left == 0
            if fresh:
                key, left = next(meant)
                drawn = pictures.frame(key).to_ndarray()
            left -= 1
            got = frame.to_ndarray()
            if fresh or before is None or not np.array_equal(got, before):
                rows = painter.height
                worst = min(worst, psnr(got[:rows], drawn[:rows]), psnr(got[rows:], drawn[rows:]))
                hashes.append(hashlib.sha256(got.tobytes()).hexdigest())
                before = got
            else:
                hashes.append(hashes[-1])
            late += Fraction(frame.pts) * frame.time_base != number / rate
            if frame.key_frame:
                sync.append(number)
    gaps = [b - a for a, b in zip(sync, [*sync[1:], len(hashes)], strict=True)]
    judge(len(hashes) == whole, f"{len(hashes)} frames decoded, {whole} meant")
    judge(exact == (rate, whole, whole / rate), f"the file says rate {exact[0]}, {exact[1]} frames, {float(exact[2]):.3f} s")
    judge(late == 0, "every frame at its exact time")
    judge(worst >= LEAST_DB, f"least likeness to the drawn picture {worst:.1f} dB, luma and chroma each")
    judge(max(gaps) <= 2 * rate, f"{len(sync)} sync frames, at most {float(max(gaps) / rate):.2f} s apart")
    judge(tags == ("yuv420p", 1, 1, 1, 1), "yuv420p, tagged BT.709, limited range")
    return hashes


def holds_of(work) -> list[tuple[float, float]]:
    return [(cue.at / 1000, cue.think) for cue in work.loaded.lesson.cues if cue.think]


def boards(path: Path, folder: Path, work, settings, judge: Judge) -> None:
    """Positions read from random frames, against the table."""
    from boardreader import film_time, reader_for

    with (folder / "out" / "positions.csv").open(newline="") as table:
        rows = list(csv.DictReader(table))
    starts = [film_time(float(row["start"]), holds_of(work)) for row in rows]
    rate = settings.frame_rate
    most = 1.2  # no movement takes longer: six plies of motion_ms, or what fits between two cues
    with av.open(str(path)) as container:
        total = container.streams.video[0].frames
    still = [n for n in range(total) if not any(s - most < n / rate < s for s in starts)]
    chosen = set(random.Random(11).sample(still, min(READ, len(still))))
    reader = reader_for(settings, work.loaded.lesson.orientation)
    wrong = []
    with av.open(str(path)) as container:
        for number, frame in enumerate(container.decode(video=0)):
            if number in chosen:
                row = rows[bisect_right(starts, number / float(rate) + 1e-6) - 1]
                read = reader.read(frame.to_ndarray()[: frame.height])
                if read != row["fen"].split()[0]:
                    wrong.append(f"frame {number}: {read} for {row['fen']}")
    judge(not wrong, f"{len(chosen) - len(wrong)} of {len(chosen)} boards read from the pixels are those of the table")
    for line in wrong[:5]:
        print(f"         {line}")


def offset(path: Path, work, judge: Judge) -> None:
    """How late the film's sound is, ms, at three stretches of the recording."""
    from boardreader import film_time

    hz = 8000
    heard, said = (sound(p, hz) for p in (path, work.loaded.file("recording")))
    holds = holds_of(work)
    found = []
    for at in np.linspace(len(said) * 0.1, len(said) * 0.9, 5).astype(int):
        piece = said[at : at + 2 * hz]
        if any(at / hz - 0.5 < when < at / hz + 2.5 for when, _ in holds) or np.abs(piece).max() < 0.05:
            continue
        begin = round(film_time(at / hz, holds) * hz)
        reach = hz // 5
        around = heard[max(0, begin - reach) : begin + len(piece) + reach]
        likeness = np.correlate(around, piece, "valid")
        found.append(1000 * (int(np.argmax(likeness)) - min(begin, reach)) / hz)
    worst = max(found, key=abs, default=0.0)
    judge(bool(found) and abs(worst) <= 5, f"sound at most {worst:+.2f} ms from the recording's place ({len(found)} looks)")


def sound(path: Path, hz: int) -> np.ndarray:
    resampler = av.AudioResampler(format="flt", layout="mono", rate=hz)
    parts, start = [], None
    with av.open(str(path)) as container:
        for frame in container.decode(audio=0):
            start = start if start is not None else float(frame.pts * frame.time_base)
            parts += [f.to_ndarray()[0] for f in resampler.resample(frame)]
    return np.concatenate([np.zeros(max(0, round((start or 0) * hz)), np.float32), *parts])


# -- other decoders
def frame_hashes(program: str, path: Path, *options: str) -> list[str]:
    """SHA-256 of every frame, as FFmpeg's framehash muxer gives them; complaints are an error."""
    command = [program, "-v", "warning", *options, "-i", str(path), "-map", "0:v", "-f", "framehash", "-hash", "sha256", "-"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    if done.stderr.strip():
        raise SystemExit(f"{program} complains: {done.stderr[:500]}")
    return [line.split(",")[-1].strip() for line in done.stdout.splitlines() if line and not line.startswith("#")]


def programs() -> list[tuple[str, str, list[str]]]:
    import imageio_ffmpeg

    bundled = str(imageio_ffmpeg.get_ffmpeg_exe())
    found = [("FFmpeg's own decoder", bundled, []), ("OpenH264's decoder", bundled, ["-c:v", "libopenh264"])]
    system = shutil.which("ffmpeg")
    return [*found, ("the system's FFmpeg", system, [])] if system else found


def other_decoders(path: Path, hashes: list[str], judge: Judge) -> None:
    for name, program, options in programs():
        theirs = frame_hashes(program, path, *options)
        same = sum(a == b for a, b in zip(theirs, hashes, strict=False))
        judge(theirs == hashes, f"{name}: {same} of {len(hashes)} frames the same to the byte")


def seeking(path: Path, hashes: list[str], rate: Fraction, judge: Judge) -> None:
    """The first frames after a seek are those asked for, in both decoders."""
    frames = sorted(random.Random(3).sample(range(len(hashes)), SEEKS))
    for name, program, options in programs()[:2]:
        right = 0
        for frame in frames:
            at = f"{float(max(Fraction(0), (frame - Fraction(1, 2)) / rate)):.5f}"
            got = frame_hashes(program, path, "-ss", at, "-t", f"{float(4 / rate):.5f}", *options)
            right += got == hashes[frame : frame + len(got)] and bool(got)
        judge(right == len(frames), f"{name}: {right} of {len(frames)} seeks land on the frame asked for")


def cutting(path: Path, hashes: list[str], rate: Fraction, judge: Judge) -> None:
    """Cuts without encoding again, each decoded whole by both decoders."""
    _, program, _ = programs()[0]
    with av.open(str(path)) as container:
        sync = [round(p.pts * p.time_base * rate) for p in container.demux(video=0) if p.size and p.is_keyframe]
    chosen = sorted(random.Random(9).sample(sync, min(8, len(sync))))
    right = {name: 0 for name, _, _ in programs()[:2]}
    with tempfile.TemporaryDirectory() as folder:
        for first in chosen:
            cut = Path(folder, f"{first}.mp4")
            at = f"{float(first / rate):.5f}"
            command = [program, "-v", "error", "-y", "-ss", at, "-t", "7", "-i", str(path), "-map", "0:v", "-c", "copy"]
            subprocess.run([*command, str(cut)], check=True)
            for name, decoder, options in programs()[:2]:
                got = frame_hashes(decoder, cut, *options)
                right[name] += (got == hashes[first : first + len(got)] and len(got) > 3 * rate) or first + 4 * rate > len(hashes)
    for name, count in right.items():
        judge(count == len(chosen), f"{name}: {count} of {len(chosen)} cuts made with -c copy keep their pictures")


def browser(path: Path, painter, hashes: list[str], rate: Fraction, judge: Judge) -> None:
    from browser import seen_by_browser
    from PIL import Image

    program = shutil.which("chromium") or shutil.which("google-chrome")
    if program is None:
        print("  left out: no browser is installed")
        return
    keys = [(run.key, run.count) for run in painter.runs(rate)]
    edges = np.cumsum([count for _, count in keys])
    frames = random.Random(4).sample(range(len(hashes)), SEEKS)
    with tempfile.TemporaryDirectory() as profile:
        times = [float((n + Fraction(1, 2)) / rate) for n in frames]
        seen = seen_by_browser(program, path, times, THUMB, Path(profile), wait_s=1800)
    same = sum(a == b for a, b in zip(seen.hashes, hashes, strict=True))
    judge(seen.hashes == hashes, f"a browser (WebCodecs): {same} of {len(hashes)} frames the same to the byte")
    right = 0
    for number, picture in zip(frames, seen.sought, strict=True):
        run = int(np.searchsorted(edges, number, side="right"))
        likeness = {}
        for other in range(max(0, run - 2), min(len(keys), run + 3)):
            small = Image.fromarray(painter.rgb(keys[other][0])).resize(THUMB, Image.Resampling.LANCZOS)
            likeness[keys[other][0]] = psnr(np.asarray(small), picture)
        right += likeness[keys[run][0]] >= max(likeness.values()) - 0.01
    judge(right == len(frames), f"a browser: {right} of {len(frames)} seeks show the picture asked for")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", type=Path, nargs="+", metavar="FOLDER")
    parser.add_argument("--size", default="1080p")
    parser.add_argument("--encoder", choices=("plain", "skip"), default="skip")
    parser.add_argument("--decoders", action="store_true")
    given = parser.parse_args()
    judge = Judge()
    with tempfile.TemporaryDirectory() as scratch:
        for lesson in given.lessons:
            print(f"{lesson.name}, {given.size}, {given.encoder}")
            judged(prepared(lesson.resolve(), Path(scratch), given.size, given.encoder), judge, given.decoders)
    sys.exit(bool(judge.wrong))


if __name__ == "__main__":
    main()
