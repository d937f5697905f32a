"""The flash meter at the limits of WCAG 2.2, 2.3.1."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from timeline.checks.flashes import FlashMeter, measure_flashes, measure_frames

BLACK, WHITE, RED, BLUE = (0, 0, 0), (255, 255, 255), (255, 0, 0), (0, 0, 255)
SCREEN = (1024, 768)
SMALL = (128, 96)  # frames may be reduced: the meter is told the film's own size
ALL = (0, 0, 128, 96)


def clip(
    flashes: int,
    one: tuple,
    other: tuple,
    *,
    box: tuple = ALL,
    seconds: float = 2,
    size: tuple = SMALL,
    rate: int = 30,
):
    """``flashes`` a second between two colours inside ``box`` (x, y, width, height), grey elsewhere."""
    x, y, width, height = box
    half = rate / (2 * flashes)
    for n in range(int(rate * seconds)):
        frame = np.full((size[1], size[0], 3), 128, np.uint8)
        frame[y : y + height, x : x + width] = other if int(n / half) % 2 else one
        yield round(n * 1000 / rate), frame


def kinds(frames, size: tuple = SCREEN) -> set[str]:
    return {f.kind for f in measure_frames(frames, *size)}


def test_three_flashes_a_second_pass_and_four_fail() -> None:
    """WCAG 2.3.1: no more than three flashes within any one-second period."""
    assert kinds(clip(3, BLACK, WHITE)) == set()
    assert kinds(clip(4, BLACK, WHITE)) == {"general"}


def test_a_quarter_of_the_ten_degree_field_is_the_limit() -> None:
    """341 x 256 x 25 % = 21,824 px of 1024 x 768: a square of 147 passes, one of 148 fails."""
    assert kinds(clip(5, BLACK, WHITE, box=(100, 100, 147, 147), size=SCREEN, seconds=1)) == set()
    assert kinds(clip(5, BLACK, WHITE, box=(100, 100, 148, 148), size=SCREEN, seconds=1)) == {"general"}


def test_small_areas_far_apart_do_not_add_up() -> None:
    def frames():
        for n in range(40):
            frame = np.full((768, 1024, 3), 128, np.uint8)
            for x, y in ((0, 0), (900, 0), (0, 650), (900, 650)):
                frame[y : y + 110, x : x + 110] = 255 if n // 3 % 2 else 0
            yield n * 33, frame

    assert kinds(frames()) == set()


def test_four_squares_of_a_full_hd_board_pass_and_five_fail() -> None:
    """The field scales with the film: 76,725 px at 1920 x 1080; squares of 135 px."""
    for squares, expected in ((4, set()), (5, {"general"})):

        def frames(squares: int = squares):
            for n in range(40):
                frame = np.full((1080, 1920, 3), 90, np.uint8)
                frame[300:435, 300 : 300 + 135 * squares] = 255 if n // 3 % 2 else 0
                yield n * 33, frame

        assert kinds(frames(), (1920, 1080)) == expected


def test_a_tenth_of_luminance_counts_from_grey_90_on() -> None:
    """Relative luminance 0.10: 8-bit grey 90 is the first above it; 89 is below (computed)."""
    assert kinds(clip(5, BLACK, (89,) * 3)) == set()
    assert kinds(clip(5, BLACK, (90,) * 3)) == {"general"}


def test_bright_states_do_not_count() -> None:
    """Only pairs whose darker state is below 0.80: grey 232 is at it, 231 below (computed)."""
    assert kinds(clip(5, (232,) * 3, WHITE)) == set()
    assert kinds(clip(5, (231,) * 3, WHITE)) == {"general"}


def test_red_flashes_are_a_kind_of_their_own() -> None:
    """Saturated red R/(R+G+B) >= 0.8 with a step over 0.2 in u'v': #FF0000 to white 0.259, to #0000FF 0.457."""
    assert "red" in kinds(clip(5, RED, WHITE))
    assert "red" in kinds(clip(5, RED, BLUE))
    # Of nearly equal luminance: no general flash at all.
    assert kinds(clip(5, (120, 0, 0), (60, 60, 60))) == {"red"}
    assert kinds(clip(3, (120, 0, 0), (60, 60, 60))) == set()
    # #D55E00 counts as red in linear light (0.856), though not in raw values (0.694).
    assert "red" in kinds(clip(5, (213, 94, 0), BLUE))


def test_flashing_within_the_limits_for_more_than_five_seconds_is_noted() -> None:
    """ITU-R BT.1702: prolonged flashing is a risk even within the limits."""
    assert kinds(clip(2, BLACK, WHITE, seconds=4)) == set()
    assert kinds(clip(2, BLACK, WHITE, seconds=7)) == {"long"}


def test_slow_fades_and_still_pictures_are_no_flashes() -> None:
    def fade():
        for n in range(120):
            frame = np.full((96, 128, 3), round(127 + 127 * np.sin(n / 30)), np.uint8)
            yield n * 33, frame

    assert kinds(fade(), (128, 96)) == set()
    still = [(n * 33, np.full((96, 128, 3), 200, np.uint8)) for n in range(60)]
    assert kinds(still, (128, 96)) == set()


def test_fades_of_several_frames_count_as_flashes() -> None:
    """A change need not happen in one frame: 5 triangles a second."""

    def frames():
        for n in range(120):
            level = abs((n % 12) - 6) / 6
            yield round(n * 1000 / 60), np.full((96, 128, 3), round(255 * level), np.uint8)

    assert kinds(frames(), (128, 96)) == {"general"}


def test_memory_does_not_grow() -> None:
    import tracemalloc

    meter = FlashMeter(128, 96)
    rng = np.random.default_rng(1)

    def feed(count: int, start: int) -> None:
        for n in range(count):
            meter.add((start + n) * 33, rng.integers(0, 255, (96, 128, 3), dtype=np.uint8))

    feed(20, 0)
    tracemalloc.start()
    before = tracemalloc.get_traced_memory()[0]
    feed(200, 20)
    grown = tracemalloc.get_traced_memory()[0] - before
    tracemalloc.stop()
    assert grown < 200_000


def film(path: Path, size: tuple, rate: int, frames) -> Path:
    import av

    with av.open(str(path), "w") as out:
        stream = out.add_stream("libx264", rate=rate, options={"preset": "ultrafast"})
        stream.width, stream.height, stream.pix_fmt = *size, "yuv420p"
        for _, frame in frames:
            for packet in stream.encode(av.VideoFrame.from_ndarray(frame, format="rgb24")):
                out.mux(packet)
        for packet in stream.encode(None):
            out.mux(packet)
    return path


@pytest.mark.parametrize(("flashes", "expected"), [(2, set()), (5, {"general"})])
def test_a_real_film_is_measured(tmp_path: Path, flashes: int, expected: set[str]) -> None:
    frames = clip(flashes, BLACK, WHITE, box=(0, 0, 320, 240), size=(320, 240))
    path = film(tmp_path / "film.mp4", (320, 240), 30, frames)
    assert {f.kind for f in measure_flashes(path)} == expected


@pytest.mark.parametrize("size", [(1280, 720), (720, 1280)])
@pytest.mark.parametrize(("share", "expected"), [(0.245, set()), (0.255, {"general"})])
def test_a_film_half_a_hundredth_under_and_over_a_quarter_of_the_field(
    tmp_path: Path, size: tuple, share: float, expected: set[str]
) -> None:
    """341 x 256 px of 1024 x 768, scaled to the film; the box lies across the cells to which frames are reduced."""
    scale = max(size[0] / 1024, size[1] / 768)
    width = 217
    height = round(341 * 256 * scale * scale * share / width)
    frames = clip(5, BLACK, WHITE, box=(101, 107, width, height), size=size, seconds=1.2, rate=25)
    assert {f.kind for f in measure_flashes(film(tmp_path / "film.mp4", size, 25, frames))} == expected
