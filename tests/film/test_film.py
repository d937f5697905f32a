"""Films read back: frames, times, sync frames, tags, text; and what happens when rendering is stopped or hindered."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import av
import numpy as np
import pytest

from overlays.film import render_film
from overlays.frames import sync_interval
from overlays.painter import BoardPainter
from overlays.parts import Parts
from overlays.samples import game_show
from overlays.yuv import Painted
from timeline.filmsettings import RATES, FilmSettings
from timeline.problems import OutputError, RecordingError
from timeline.tracks import Caption, Chapter, ThinkPause

ENCODERS = ("plain", "skip")


def settings(encoder: str = "plain", rate: str = "30") -> FilmSettings:
    return FilmSettings(encoder=encoder, rate=rate)


def expected(painter, rate: Fraction) -> list[np.ndarray]:
    pictures = Painted(painter)
    return [f for run in painter.runs(rate) for f in [pictures.frame(run.key).to_ndarray()] * run.count]


@pytest.mark.parametrize("encoder", ENCODERS)
@pytest.mark.parametrize("rate", RATES)
def test_every_frame_is_there_at_its_exact_time(tiny, read, tmp_path, encoder, rate):
    show, painter = tiny([400, 733, 734, 2100, 2500], 4321)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=settings(encoder, rate))
    film = read.film(tmp_path / "film.mp4")
    exact = RATES[rate]
    count = -(-4321 * exact // 1000)
    assert report.frames == len(film.pictures) == count
    assert film.times == [n / exact for n in range(count)]
    gaps = [b - a for a, b in zip(film.sync, [*film.sync[1:], count], strict=True)]
    assert film.sync[0] == 0
    assert max(gaps) <= sync_interval(exact)
    for got, meant in zip(film.pictures, expected(painter, exact), strict=True):
        assert read.psnr(got, meant) > 40
    with av.open(str(tmp_path / "film.mp4")) as container:
        video = container.streams.video[0]
        assert video.frames == count
        assert video.average_rate == exact
        assert video.duration * video.time_base == count / exact


@pytest.mark.parametrize("encoder", ENCODERS)
def test_the_real_board_is_at_least_40_db_from_what_was_drawn(read, tmp_path, encoder):
    show = game_show()
    look = FilmSettings(size="240p", encoder=encoder)
    painter = BoardPainter(show, look)
    span = (12_000, 19_500)  # moves, marks that fade, a sideline
    render_film(show, painter, tmp_path / "film.mp4", settings=look, span_ms=span)
    meant = expected(painter, look.frame_rate)[360:585]
    film = read.film(tmp_path / "film.mp4")
    assert len(film.pictures) == len(meant)
    rows = painter.height
    for got, wanted in zip(film.pictures, meant, strict=True):
        assert read.psnr(got[:rows], wanted[:rows]) > 40  # luma
        assert read.psnr(got[rows:], wanted[rows:]) > 40  # chroma, at its own resolution


def test_each_picture_is_painted_once_while_it_stands(tiny, tmp_path):
    show, painter = tiny([500, 1000, 2000], 6000)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=settings("skip"))
    assert painter.painted == [0, 1, 2, 3]
    assert (report.distinct, report.drawn) == (4, 4)


def test_colours_are_tagged_and_true(tiny, read, tmp_path):
    show, painter = tiny([], 500)
    render_film(show, painter, tmp_path / "film.mp4", settings=settings())
    with av.open(str(tmp_path / "film.mp4")) as container:
        context = container.streams.video[0].codec_context
        context_tags = (context.color_primaries, context.color_trc, context.colorspace, context.color_range)
        assert context_tags == (1, 1, 1, 1)  # ITU-T H.273: BT.709 each; FFmpeg's limited range
        assert context.pix_fmt == "yuv420p"
        assert container.streams.video[0].sample_aspect_ratio in (None, 1)
    # ITU-R BT.709-6, 3.2 to 3.4: Y' = 0.2126 R' + 0.7152 G' + 0.0722 B'; 8-bit luma is 16 + 219 Y'
    red, green, blue = (n / 255 for n in (40, 52, 60))
    luma = read.film(tmp_path / "film.mp4").pictures[0][90, 300]
    assert abs(luma - (16 + 219 * (0.2126 * red + 0.7152 * green + 0.0722 * blue))) <= 1.5


def test_the_index_stands_in_front(tiny, tmp_path):
    show, painter = tiny([], 1000)
    render_film(show, painter, tmp_path / "film.mp4", settings=settings())
    data = (tmp_path / "film.mp4").read_bytes()
    assert data.index(b"moov") < data.index(b"mdat")
    assert b"avc1" in data
    assert b"colr" in data


def read_text(path: Path):
    with av.open(str(path)) as container:
        chapters = [
            (float(c["start"] * c["time_base"]), float(c["end"] * c["time_base"]), c["metadata"]["title"])
            for c in container.chapters()
        ]
        captions = []
        if container.streams.subtitles:
            stream = container.streams.subtitles[0]
            for packet in container.demux(stream):
                data = bytes(packet)
                size = int.from_bytes(data[:2], "big")
                if size:
                    start = float(packet.pts * packet.time_base)
                    end = float((packet.pts + packet.duration) * packet.time_base)
                    captions.append((start, end, data[2 : 2 + size]))
        languages = {s.type: s.metadata.get("language") for s in container.streams}
        return chapters, captions, dict(container.metadata), languages


TALK = (
    Caption(300, 900, "Knight takes e5!\n<i>and {now}</i> & so on"),
    Caption(900, 1400, "ближе — ♞"),
    Caption(1500, 2000, "last"),
)


def test_chapters_captions_title_and_language_are_inside(tiny, make, tmp_path):
    long_title = "é" * 200
    show, painter = tiny(
        [1000],
        3000,
        title='A "title" & more',
        teacher="Ada Rennick",
        captions=TALK,
        chapters=(Chapter(0, "Start"), Chapter(1000, "Middle = fight; #1"), Chapter(2000, long_title)),
    )
    sound = make.sound(tmp_path / "talk.wav", make.clicks([500], 3000), "pcm_s16le")
    render_film(show, painter, tmp_path / "film.mp4", settings=settings(), recording=sound, language="de-CH")
    chapters, captions, metadata, languages = read_text(tmp_path / "film.mp4")
    assert chapters == [(0, 1, "Start"), (1, 2, "Middle = fight; #1"), (2, 3, "é" * 127)]
    assert captions == [(c.start_ms / 1000, c.end_ms / 1000, c.text.encode()) for c in TALK]
    assert metadata["title"] == 'A "title" & more'
    assert metadata["artist"] == "Ada Rennick"
    assert languages["audio"] == languages["subtitle"] == "deu"


def test_chapters_shift_with_think_pauses_and_text_is_cut_for_an_excerpt(tiny, tmp_path):
    held = (TALK[0], Caption(1500, 3400, "in film time"), Caption(3500, 4000, "last"))
    show, painter = tiny(
        [], 3000, captions=held, chapters=(Chapter(0, "A"), Chapter(1400, "B")), pauses=(ThinkPause(1000, 2000),)
    )
    report = render_film(show, painter, tmp_path / "film.mp4", settings=settings())
    chapters, captions, _, _ = read_text(tmp_path / "film.mp4")
    assert report.film_ms == 5000
    assert chapters == [(0, 3.4, "A"), (3.4, 5, "B")]
    assert [(a, b) for a, b, _ in captions] == [(0.3, 0.9), (1.5, 3.4), (3.5, 4.0)]
    render_film(show, painter, tmp_path / "part.mp4", settings=settings(), span_ms=(3200, 3800))
    chapters, captions, _, _ = read_text(tmp_path / "part.mp4")
    assert chapters == [(0, 0.2, "A"), (0.2, 0.6, "B")]
    assert [(a, b) for a, b, _ in captions] == [(0, 0.2), (0.3, 0.6)]


def test_a_late_first_chapter_and_very_many_are_made_to_fit(tiny, tmp_path):
    # MP4's chapter list counts in one byte; readers move a first chapter to 0 and fill holes
    show, painter = tiny([], 4000, chapters=tuple(Chapter(100 + 10 * n, f"no. {n}") for n in range(300)))
    render_film(show, painter, tmp_path / "film.mp4", settings=settings())
    chapters, *_ = read_text(tmp_path / "film.mp4")
    assert len(chapters) == 255
    assert chapters[0][0] == 0
    assert chapters[-1][1] == 4
    assert all(a[1] == b[0] for a, b in pairwise(chapters))


CHANGES = (700, 1500, 1933, 3100, 4444)


@pytest.mark.parametrize("encoder", ENCODERS)
@pytest.mark.parametrize(
    ("name", "codec", "how"),
    [
        ("talk.wav", "pcm_s16le", "encoded"),
        ("talk.m4a", "aac", "copied"),
        ("talk.mp3", "libmp3lame", "encoded"),
        ("talk.ogg", "libopus", "encoded"),
        ("talk.mkv", "aac", "encoded"),
        ("talk.flac", "flac", "encoded"),
    ],
)
def test_sound_and_picture_change_together(tiny, make, read, tmp_path, encoder, name, codec, how):
    """A click at each change of picture; both read back lie within one frame."""
    sound = make.sound(tmp_path / name, make.clicks(CHANGES, 6000), codec)
    show, painter = tiny(CHANGES, 6000)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=settings(encoder), recording=sound)
    assert report.sound == how
    assert not report.findings
    film = read.film(tmp_path / "film.mp4")
    heard = read.onsets(film.sound, film.sound_start)
    changes = [
        float(t) for t, a, b in zip(film.times[1:], film.pictures, film.pictures[1:], strict=False) if changed(a, b)
    ]
    assert len(heard) == len(changes) == len(CHANGES)
    for click, change, meant in zip(heard, changes, CHANGES, strict=True):
        assert abs(click - change) <= 1 / 30
        assert abs(click - meant / 1000) <= 0.004


def changed(a: np.ndarray, b: np.ndarray) -> bool:
    return np.abs(a.astype(int) - b).max() > 60


@pytest.mark.parametrize("rate", ["23.976", "25", "59.94"])
def test_a_pause_holds_sound_and_picture_alike(tiny, make, read, tmp_path, rate):
    sound = make.sound(tmp_path / "talk.wav", make.clicks(CHANGES, 6000), "pcm_s16le")
    show, painter = tiny(CHANGES, 6000, pauses=(ThinkPause(1500, 1200), ThinkPause(3000, 777)))
    report = render_film(show, painter, tmp_path / "film.mp4", settings=settings("skip", rate), recording=sound)
    film = read.film(tmp_path / "film.mp4")
    assert report.film_ms - 7977 in range(42)
    meant = [show.timemap.start(ms) / 1000 for ms in CHANGES]
    heard = read.onsets(film.sound, film.sound_start)
    assert heard == pytest.approx(meant, abs=0.004)
    changes = [
        float(t) for t, a, b in zip(film.times[1:], film.pictures, film.pictures[1:], strict=False) if changed(a, b)
    ]
    for click, change in zip(heard, changes, strict=True):
        assert abs(click - change) <= 1 / RATES[rate]
    inside = film.sound[:, round(1.6 * 48_000) : round(2.6 * 48_000)]
    assert np.abs(inside).max() < 0.001


def test_an_excerpt_has_its_own_sound(tiny, make, read, tmp_path):
    sound = make.sound(tmp_path / "talk.m4a", make.clicks(CHANGES, 6000), "aac")
    show, painter = tiny(CHANGES, 6000, pauses=(ThinkPause(2000, 1000),))
    render_film(
        show, painter, tmp_path / "part.mp4", settings=settings(), recording=sound, span_ms=(1800, 4400), draft=True
    )
    film = read.film(tmp_path / "part.mp4")
    assert len(film.pictures) == 78
    assert read.onsets(film.sound, film.sound_start) == pytest.approx([0.133, 2.3], abs=0.004)


def test_a_recording_that_ends_early_is_told_and_the_rest_is_silent(tiny, make, read, tmp_path):
    sound = make.sound(tmp_path / "talk.m4a", make.clicks([500], 2000), "aac")
    show, painter = tiny([500], 5000)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=settings(), recording=sound)
    (finding,) = report.findings
    assert finding.code == "recording-short"
    assert abs(finding.at_ms - 2000) < 50
    film = read.film(tmp_path / "film.mp4")
    assert abs(film.sound.shape[1] / 48_000 - 5) < 0.05
    assert np.abs(film.sound[:, 48_000 * 2 + 4800 :]).max() < 0.001


def test_a_recording_without_sound_gives_a_silent_film_and_says_so(tiny, make, tmp_path):
    camera = make.camera(tmp_path / "mute.mp4")
    show, painter = tiny([500], 2000)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=settings(), recording=camera)
    assert report.sound == "none"
    assert [f.code for f in report.findings] == ["no-sound"]


def test_a_recording_damaged_in_the_middle_keeps_its_times(tiny, make, read, tmp_path):
    times = [700, 1500, 9000, 9700]
    noise = np.random.default_rng(1).normal(0, 0.02, (1, 12 * 48_000)).astype(np.float32)
    sound = make.sound(tmp_path / "talk.m4a", make.clicks(times, 12_000) + noise, "aac")
    data = bytearray(sound.read_bytes())
    begin = data.index(b"mdat") + 4
    middle = begin + (len(data) - begin) // 3
    data[middle : middle + 1500] = bytes((7 * n) % 251 for n in range(1500))
    sound.write_bytes(data)
    show, painter = tiny(times, 12_000)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=settings(), recording=sound)
    assert report.sound == "encoded"
    assert "recording-damaged" in [f.code for f in report.findings]
    film = read.film(tmp_path / "film.mp4")
    heard = read.onsets(film.sound, film.sound_start)
    for ms in times:
        assert min(abs(h - ms / 1000) for h in heard) < 0.004


def test_what_is_no_recording_is_refused_and_nothing_is_left(tiny, tmp_path):
    (tmp_path / "talk.mp3").write_text("this is no sound at all\n" * 40)
    show, painter = tiny([], 1000)
    with pytest.raises(RecordingError):
        render_film(show, painter, tmp_path / "film.mp4", settings=settings(), recording=tmp_path / "talk.mp3")
    assert [p.name for p in tmp_path.iterdir()] == ["talk.mp3"]


class Stop(KeyboardInterrupt):
    pass


@pytest.mark.parametrize("encoder", ENCODERS)
def test_a_stopped_film_leaves_no_file_and_goes_on_where_it_was(tiny, tmp_path, encoder):
    show, painter = tiny([n * 1000 for n in range(1, 40)], 40_000, (64, 48))
    out = tmp_path / "film.mp4"
    out.write_bytes(b"the film of last week")

    def stop(done: int, whole: int) -> None:
        if done > whole * 0.8:
            raise Stop

    with pytest.raises(Stop):
        render_film(show, painter, out, settings=settings(encoder), parts=Parts(tmp_path / "parts", "a"), progress=stop)
    assert out.read_bytes() == b"the film of last week"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["film.mp4", "parts"]
    assert len(list((tmp_path / "parts").iterdir())) == 3
    painter.painted.clear()
    report = render_film(show, painter, out, settings=settings(encoder), parts=Parts(tmp_path / "parts", "a"))
    assert (report.parts, report.made) == (4, 1)
    assert min(painter.painted) == 30
    # the same to the byte as made in one go
    render_film(show, painter, tmp_path / "whole.mp4", settings=settings(encoder))
    assert (tmp_path / "whole.mp4").read_bytes() == out.read_bytes()


def test_only_changed_parts_are_made_again_and_old_ones_go(tiny, tmp_path):
    changes = [n * 1000 for n in range(1, 40)]
    show, painter = tiny(changes, 40_000, (64, 48))

    def film(show, painter, look="a", rate="30"):
        parts = Parts(tmp_path / "parts", look)
        return render_film(show, painter, tmp_path / "film.mp4", settings=settings(rate=rate), parts=parts).made

    assert film(show, painter) == 4
    assert film(show, painter) == 0
    moved, mover = tiny([n + 200 * (n == 15_000) for n in changes], 40_000, (64, 48))
    assert film(moved, mover) == 1
    assert film(moved, mover, look="b") == 4
    assert film(moved, mover, look="b", rate="25") == 4
    assert len(list((tmp_path / "parts").iterdir())) == 4
    (tmp_path / "parts" / sorted(p.name for p in (tmp_path / "parts").iterdir())[0]).write_bytes(b"broken")
    assert film(moved, mover, look="b", rate="25") == 1


FULL_DISK = """
import resource, sys
from pathlib import Path
sys.path.insert(0, {folder!r})
from conftest import TinyPainter, make_show
from overlays.film import render_film
from overlays.parts import Parts
from timeline.filmsettings import FilmSettings
from timeline.problems import OutputError
show = make_show([n * 100 for n in range(1, 150)], 15000)
parts = Parts(Path({parts!r}), "a") if {parts!r} else None
painter = TinyPainter(show)
if parts:
    render_film(show, painter, Path({out!r}), settings=FilmSettings(), parts=parts)
    whole = Path({out!r}).read_bytes()
    Path({out!r}).write_bytes(b"old")
limit = {limit} or len(whole) // 2
resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
try:
    render_film(show, painter, Path({out!r}), settings=FilmSettings(), parts=parts)
except OutputError as fault:
    print(fault.findings[0].code)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="limits the size of files, as a full disk does")
@pytest.mark.parametrize("parts", [True, False], ids=["in the last step", "in a part"])
def test_a_full_disk_is_named_and_nothing_broken_is_left(tmp_path, parts):
    """The system refuses to write on beyond a size, as it does on a full disk."""
    out = tmp_path / "film.mp4"
    script = FULL_DISK.format(
        folder=str(Path(__file__).parent),
        out=str(out),
        parts=str(tmp_path / "parts") if parts else "",
        limit=0 if parts else 20_000,
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "disk-full", done.stderr
    if parts:
        assert out.read_bytes() == b"old"
    assert {p.name for p in tmp_path.iterdir()} <= ({"film.mp4", "parts"} if parts else set())


def test_a_folder_that_cannot_be_written_is_named(tiny, tmp_path):
    show, painter = tiny([], 500)
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError):
        render_film(show, painter, tmp_path / "file" / "film.mp4", settings=settings())


def test_progress_goes_up_to_the_whole(tiny, tmp_path):
    show, painter = tiny([500, 1500], 3000)
    seen: list[tuple[int, int]] = []
    render_film(show, painter, tmp_path / "film.mp4", settings=settings(), progress=lambda *n: seen.append(n))
    assert [done for done, _ in seen] == sorted(done for done, _ in seen)
    assert seen[-1] == (90, 90)


def test_a_show_with_nothing_to_show_is_refused(tiny, tmp_path):
    show, painter = tiny([], 1000)
    empty = replace(show, board=replace(show.board, spans=()))
    painter.runs = lambda rate: iter(())
    with pytest.raises(OutputError, match="no length"):
        render_film(empty, painter, tmp_path / "film.mp4", settings=settings())
