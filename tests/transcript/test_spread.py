"""Where only block times are known: the duration model against even spreading, and what it keeps to whatever comes."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.transcript.pronounce import by_letters, dictionary, pronunciations, say_number, spoken
from timeline.transcript.read import read_transcript
from timeline.transcript.snap import snap, speech_runs
from timeline.transcript.spread import Stretch, pace, pause_ms, spread, word_ms
from timeline.transcript.words import Timing

LESSONS = Path(__file__).parents[1] / "data/lessons/packed"
MODEL_PHONES = {p for ways in dictionary().values() for way in ways[:1] for p in way}


def blocks_of(name: str, least_ms: int) -> list[list[tuple[str, int, int]]]:
    """True words of a lesson of ours in blocks of at least so long, beginning at sentence starts."""
    words = json.loads((LESSONS / f"{name}.json").read_text())["words"]
    blocks: list[list[tuple[str, int, int]]] = [[]]
    for word in words:
        ended = blocks[-1] and blocks[-1][-1][0][-1] in ".?!"
        if ended and word[1] - blocks[-1][0][1] >= least_ms:
            blocks.append([])
        blocks[-1].append(tuple(word))
    return blocks


def even(texts: list[str], start: int, end: int) -> list[int]:
    """What one would script first: time in proportion to letters."""
    letters, found, at = sum(map(len, texts)), [], 0
    for text in texts:
        found.append(start + (end - start) * at // letters)
        at += len(text)
    return found


def percentile(values: list[int], share: float) -> int:
    return sorted(values)[int(share * (len(values) - 1))]


@pytest.mark.parametrize("name", ["rook_lift", "side_street", "last_round"])
@pytest.mark.parametrize(("least_ms", "median_ms", "p95_ms"), [(12_000, 450, 2000), (2500, 200, 600)])
def test_durations_beat_even_spreading(name: str, least_ms: int, median_ms: int, p95_ms: int):
    """True word times of lessons of ours (synthetic voices): paragraphs, and blocks as short as captions."""
    blocks = blocks_of(name, least_ms)
    rows = []
    for block, after in pairwise([*blocks, [("", blocks[-1][-1][2] + 500, 0)]]):
        start, end = block[0][1], (after[0][1] if least_ms > 10_000 else block[-1][2])
        rows.append((start, end, [w[0] for w in block]))
    if least_ms > 10_000:
        text = "".join(f"[{a // 60000}:{a // 1000 % 60:02d}.{a % 1000:03d}] {' '.join(t)}\n" for a, _, t in rows)
    else:
        value = {"segments": [{"start": a / 1000, "end": b / 1000, "text": " ".join(t)} for a, b, t in rows]}
        text = json.dumps(value)
    talk, _ = read_transcript(text, name="t", end_ms=rows[-1][1])
    truth = [w[1] for block in blocks for w in block]
    off = [abs(w.onset_ms - t) for w, t in zip(talk.words, truth, strict=True)]
    naive = [abs(a - t) for a, t in zip((o for a, b, x in rows for o in even(x, a, b)), truth, strict=True)]
    assert percentile(off, 0.5) < 0.8 * percentile(naive, 0.5)
    assert percentile(off, 0.95) < percentile(naive, 0.95)
    assert percentile(off, 0.5) <= median_ms
    assert percentile(off, 0.95) <= p95_ms


texts = st.lists(st.text("abcdefgh12345678NQRx+#-'.,!?éß", min_size=1, max_size=10), min_size=1, max_size=20)


@given(
    texts,
    st.integers(0, 10**6),
    st.one_of(st.none(), st.integers(0, 60_000)),
    st.sampled_from([Timing.BLOCK, Timing.CAPTION]),
)
def test_words_stay_in_order_and_inside(words, start, length, timing):
    end = None if length is None else start + length
    found = spread(Stretch(tuple(words), start, end, 3, timing, "Anna"))
    assert [w.text for w in found] == words
    assert found[0].onset_ms == start
    assert all(a.onset_ms <= a.end_ms <= b.onset_ms for a, b in pairwise(found))
    assert end is None or found[-1].end_ms <= end
    assert all(w.block == 3 and w.speaker == "Anna" and w.timing is timing and 0 < w.confidence <= 1 for w in found)


def test_longer_blocks_are_trusted_less():
    sure = [spread(Stretch(("a", "b"), 0, ms, 0, Timing.BLOCK))[0].confidence for ms in (2000, 10_000, 30_000)]
    assert sure == sorted(sure, reverse=True)
    assert len(set(sure)) == 3


def test_a_think_pause_does_not_slow_the_words():
    """Ten seconds more in one block go to its sentence ends; its first sentence is said at the speaker's pace."""
    said = ("White", "plays", "knight", "f3.", "And", "now?", "It", "is", "mate.")
    short, long = Stretch(said, 0, 4500, 0, Timing.BLOCK), Stretch(said, 0, 14_500, 0, Timing.BLOCK)
    speed = pace([short, short, long])
    assert spread(long, speed)[3].onset_ms <= 1.2 * spread(short, speed)[3].onset_ms
    assert spread(long, speed)[4].onset_ms > spread(short, speed)[4].onset_ms + 1000


def test_a_slow_caption_is_said_slowly_where_a_slow_block_holds_a_silence():
    """A third more time: a caption ends with its words, a stamped paragraph ends with the next one's stamp."""
    said = ("White", "plays", "knight", "f3.", "And", "now", "it", "is", "mate.")
    fourth = {}
    for timing in (Timing.BLOCK, Timing.CAPTION):
        usual, slow = Stretch(said, 0, 4500, 0, timing), Stretch(said, 0, 6000, 0, timing)
        speed = pace([usual, usual, slow])
        fourth[timing] = spread(slow, speed)[3].onset_ms / spread(usual, speed)[3].onset_ms
    assert fourth[Timing.CAPTION] == pytest.approx(6000 / 4500, abs=0.02)
    assert fourth[Timing.BLOCK] < 1.25


@pytest.mark.parametrize(
    ("asks", "hint", "after"),
    [
        ("Pause here and find the move.", "", 6),
        ("Now what would you play?", "Look at the back rank, please.", 11),
        ("Once more, have a think.", "I will give you a clue: it is a quiet one.", 16),
    ],
)
def test_the_answer_waits_until_a_think_pause_is_over(asks: str, hint: str, after: int):
    """Where in a stamped paragraph the silence is, only the words can tell: after a bid to think, and hints that help with it."""
    said = tuple(f"{asks} {hint} Very good, the bishop goes to d5. It attacks the rook.".split())
    plain = Stretch(said, 0, 6000, 0, Timing.BLOCK)
    speed = pace([plain])
    usual, paused = spread(plain, speed), spread(Stretch(said, 0, 11_000, 0, Timing.BLOCK), speed)
    assert [w.onset_ms for w in paused[:after]] == pytest.approx([w.onset_ms for w in usual[:after]], abs=20)
    assert [w.onset_ms - 5000 for w in paused[after:]] == pytest.approx([w.onset_ms for w in usual[after:]], abs=20)


def test_where_marks_are_missing_the_silence_follows_the_bid_itself():
    said = tuple("so he steps off and we come to e3 what would you do with black if he makes a queen then queen f2 is mate".split())
    plain = Stretch(said, 0, 8000, 0, Timing.BLOCK)
    speed = pace([plain])
    usual, paused = spread(plain, speed), spread(Stretch(said, 0, 12_000, 0, Timing.BLOCK), speed)
    assert paused[13].onset_ms - usual[13].onset_ms > 3000 > 100 > paused[12].onset_ms - usual[12].onset_ms


def test_marks_are_pauses():
    assert pause_ms("check.") > pause_ms("check,") > pause_ms("check") == 0
    assert pause_ms('mate!"') == pause_ms("mate!")


# -- how words are said
@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("e4", "e. four"), ("Nf3", "knight f. three"), ("Nbd2", "knight b. d. two"), ("exd5", "e. takes d. five"),
        ("R1e2", "rook one e. two"), ("e8=Q+", "e. eight queen check"), ("Qxf7#", "queen takes f. seven mate"),
        ("O-O", "castles"), ("0-0-0+", "castles queenside"), ("17", "seventeen"), ("1851", "eighteen fifty one"),
        ("1905", "nineteen oh five"), ("2024", "two thousand twenty four"), ("8th", "eighth"), ("f-file", "f. file"),
        ("&", "and"), ("50%", "fifty percent"), ("queen's", "queen's"), ("“takes”", "takes"),
        ("007", "zero zero seven"),
        ("٣", "three"), ("²", "two"), ("—", ""),
    ],
)  # fmt: skip
def test_written_words_as_they_are_said(written: str, said: str):
    assert " ".join(spoken(written)) == said


@pytest.mark.parametrize(("name", "like"), [("Capablanca", 8), ("Kieseritzky", 8), ("Grünfeld", 7), ("zwischenzug", 7)])
def test_names_outside_the_dictionary_are_spelled_out(name: str, like: int):
    phones = pronunciations(name)[0]
    assert abs(len(phones) - like) <= 3
    assert set(phones) <= MODEL_PHONES


@given(st.text(max_size=12))
def test_anything_can_be_said(text: str):
    """Whatever stands in a transcript has a pronunciation in the model's phones, and takes time."""
    for phones in pronunciations(text):
        assert phones
        assert set(phones) <= MODEL_PHONES
    assert by_letters(text)
    assert word_ms(text) >= 90


@given(st.integers(0, 10**12))
def test_numbers_are_words(value: int):
    assert all(w in dictionary() for w in say_number(str(value)))


# -- silences
def test_runs_of_speech_are_told_from_noise():
    import numpy as np

    dice = np.random.default_rng(4)
    sound = dice.standard_normal(4 * 16_000) * 20
    for a, b in ((0.5, 1.2), (2.0, 3.5)):
        sound[int(a * 16_000) : int(b * 16_000)] += 4000 * dice.standard_normal(int((b - a) * 16_000))
    runs = speech_runs(sound.astype(np.int16), 0, 4000)
    assert len(runs) == 2
    assert all(
        abs(x - y) <= 20
        for run, true in zip(runs, ((500, 1200), (2000, 3500)), strict=True)
        for x, y in zip(run, true, strict=True)
    )
    assert snap(["one", "two", "three."], runs) is not None
    assert snap([], runs) is None
    assert snap(["one"], []) is None


@given(texts, st.lists(st.tuples(st.integers(1, 3000), st.integers(60, 5000)), min_size=1, max_size=80))
def test_snapped_words_lie_in_the_runs(words, gaps):
    runs, at = [], 0
    for gap, length in gaps:
        runs.append((at + gap, at + gap + length))
        at += gap + length
    placed = snap(words, runs)
    assert placed is not None
    assert len(placed) == len(words)
    assert all(a <= b for a, b in placed)
    assert all(a[0] <= b[0] for a, b in pairwise(placed))
    assert placed[0][0] >= runs[0][0]
    assert placed[-1][1] <= runs[-1][1] + 1
