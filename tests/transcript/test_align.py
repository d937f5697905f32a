"""Words found in sound, on the demo's narration, whose true word times are known; and the search behind it.

The narration is a synthetic voice, its times are the synthesiser's own (see demo_project/SOURCE.md). Figures over
hours of lessons come from tests/benchmarks/align.py.
"""

from __future__ import annotations

import itertools
import json
import math
import shutil
from dataclasses import replace
from pathlib import Path
from statistics import median

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from timeline.build import build
from timeline.problems import OutputError
from timeline.steps import STEPS
from timeline.store import load_lesson
from timeline.transcript import align, belief
from timeline.transcript.acoustics import FRAME_MS, SILENCE, SoundScores, phone_table
from timeline.transcript.align import align_words
from timeline.transcript.exactness import LEAST_BLOCKS, exact_spans
from timeline.transcript.mixtures import UNIT
from timeline.transcript.placing import place_between
from timeline.transcript.prepare import prepare_words
from timeline.transcript.pronounce import model_folder, pronunciations
from timeline.transcript.read import read_transcript
from timeline.transcript.sound import RATE, load_sound
from timeline.transcript.trellis import Costs, Trellis
from timeline.transcript.words import Block, Timing, Transcript, Word
from timeline.work import Work

ROOT = Path(__file__).parents[2]
END_MS = 52_000
TRUTH = [w for w in json.loads((ROOT / "tests/data/demo/lantern_quay.json").read_text())["words"] if w[2] < END_MS]
STAMPS = (0, 17_000, 38_000)


@pytest.fixture(scope="module")
def sound() -> np.ndarray:
    return load_sound(ROOT / "demo_project/narration.opus")[: END_MS * RATE // 1000]


class Kept(SoundScores):
    """Every chunk's scores, worked out once for all tests."""

    def __init__(self, samples: np.ndarray) -> None:
        super().__init__(samples)
        self.rows = np.concatenate([super(Kept, self).between(a, a + 2000) for a in range(0, self.frames, 2000)])

    def between(self, first: int, last: int) -> np.ndarray:
        return self.rows[first:last]


@pytest.fixture(scope="module")
def scores(sound: np.ndarray) -> Kept:
    return Kept(sound)


def transcript(words: list[tuple[str, int | None]], off_ms: int = 0) -> Transcript:
    """Words (with their true onsets, where they are said) in blocks stamped as the demo's are."""
    rows, block = [], -1
    last = 0
    for text, onset in words:
        last = last if onset is None else onset
        now = max(k for k, s in enumerate(STAMPS) if last >= s or k == 0)
        if now != block:
            block = now
            ms = max(0, STAMPS[block] + (off_ms if block % 2 else -off_ms))
            rows.append(f"\n[0:{ms // 1000:02d}.{ms % 1000:03d}]")
        rows.append(text)
    return read_transcript(" ".join(rows), name="t", end_ms=END_MS)[0]


TOLD: list[tuple[str, int | None]] = [(text, onset) for text, onset, _ in TRUTH]


def errors(found: tuple[Word, ...], told: list[tuple[str, int | None]]) -> list[int]:
    assert [w.text for w in found] == [t for t, _ in told]
    return sorted(abs(w.onset_ms - onset) for w, (_, onset) in zip(found, told, strict=True) if onset is not None)


def whole(words: tuple[Word, ...], end_ms: int = END_MS) -> None:
    """Ordered, inside the recording, with times that are times."""
    onsets = [w.onset_ms for w in words]
    assert onsets == sorted(onsets)
    assert all(0 <= w.onset_ms <= w.end_ms <= end_ms and 0 <= w.confidence <= 1 for w in words)


def test_words_stand_where_they_are_said(sound, scores):
    found = align_words(transcript(TOLD), sound, scores=scores)
    whole(found)
    off = errors(found, TOLD)
    # The synthesiser counts a vowel's onset some 40 ms later than pocketsphinx does.
    assert median(off) <= 50
    assert off[round(0.95 * len(off))] <= 150
    assert all(w.timing is Timing.ALIGNED for w in found)
    assert median(w.confidence for w in found) >= 0.85


def test_scores_do_not_depend_on_how_they_are_asked_for(sound, scores):
    """Chunks are scored apart and join without a seam; asking twice and in part gives the same."""
    fresh = SoundScores(sound[: 21 * RATE])
    part = fresh.between(1900, 2080)
    assert np.array_equal(part[:100], scores.between(1900, 2000))
    assert np.array_equal(fresh.between(1950, 2050), part[50:150])
    assert part.shape == (180, phone_table().senones)
    assert part.min() >= 0
    assert fresh.between(2050, 2200).shape[0] == fresh.frames - 2050 == 50


def pink(count: int) -> np.ndarray:
    """Noise with as much power in each octave."""
    dice = np.random.default_rng(1)
    rate = np.maximum(np.fft.rfftfreq(count, 1 / RATE), 20)
    return np.fft.irfft((dice.standard_normal(len(rate)) + 1j * dice.standard_normal(len(rate))) / np.sqrt(rate), count)


def music(count: int) -> np.ndarray:
    """Plucked chords of harmonic tones, a new one every 0.6 s, and a soft beat."""
    dice = np.random.default_rng(3)
    t = np.arange(count) % (RATE * 6 // 10) / RATE
    roots = 220 * 2 ** (dice.choice([0, 5, 7, 9, -3], count // (RATE * 6 // 10) + 1) / 12)
    root = roots[np.arange(count) // (RATE * 6 // 10)]
    tones = [np.sin(2 * np.pi * root * 2 ** (s / 12) * h * t) / h for s in (0, 4, 7, 12) for h in range(1, 7)]
    return sum(tones) * np.exp(-2.2 * t) + 3 * dice.standard_normal(count) * np.exp(-53 * t)


@pytest.mark.parametrize(("other", "below_db"), [(pink, 5), (music, 10)])
def test_words_stand_where_they_are_said_in_noise(sound, other, below_db):
    """What noise presses together must be drawn out, and quiet words in music are not for that no speech."""
    noise = other(len(sound))
    loud = sound[np.abs(sound) > 200].astype(float)
    noise *= 10 ** (-below_db / 20) * loud.std() / noise.std()
    found = align_words(transcript(TOLD), np.clip(sound + noise, -32768, 32767).astype(np.int16))
    off = errors(found, TOLD)
    assert median(off) <= 60
    assert off[round(0.95 * len(off))] <= 250
    assert sum(w.timing is Timing.ALIGNED for w in found) >= 0.99 * len(found)


def test_same_input_same_words(sound, scores):
    talk = transcript(TOLD)
    assert align_words(talk, sound, scores=scores) == align_words(talk, sound, scores=scores)


def test_a_missing_sentence_harms_no_other(sound, scores):
    first = next(k for k, (t, _) in enumerate(TOLD) if t == "Jorun")
    last = next(k for k in range(first, len(TOLD)) if TOLD[k][0].endswith("."))
    told = TOLD[:first] + TOLD[last + 1 :]
    assert last - first >= 4
    found = align_words(transcript(told), sound, scores=scores)
    whole(found)
    off = errors(found, told)
    assert off[round(0.95 * len(off))] <= 200
    assert sum(e > 500 for e in off) <= 0.03 * len(off)


def test_wrong_and_needless_words_harm_no_other(sound, scores):
    told: list[tuple[str, int | None]] = []
    for k, (text, onset) in enumerate(TOLD):
        told.append(("elephant", None) if k % 12 == 5 else (text, onset))
        if k % 20 == 9:
            told.append(("umbrella", None))
    found = align_words(transcript(told), sound, scores=scores)
    whole(found)
    off = errors(found, told)
    assert off[round(0.9 * len(off))] <= 150
    assert sum(e > 500 for e in off) <= 0.05 * len(off)


@pytest.mark.parametrize("off_ms", [2000, 4000])
def test_stamps_may_be_off(sound, scores, off_ms):
    off = errors(align_words(transcript(TOLD, off_ms), sound, scores=scores), TOLD)
    assert off[round(0.95 * len(off))] <= 150


def test_a_text_without_stamps_is_found(sound, scores):
    talk, findings = read_transcript(" ".join(t for t, _ in TOLD), name="t", end_ms=END_MS)
    assert [f.code for f in findings] == ["no-times"]
    off = errors(align_words(talk, sound, scores=scores), TOLD)
    assert off[round(0.95 * len(off))] <= 150


def test_walking_needs_no_stamps_at_all(sound, scores, monkeypatch):
    """A block longer than can be looked for at once is walked through step by step."""
    monkeypatch.setattr(align, "_ROUGH_MS", 20_000)
    monkeypatch.setattr(align, "_STEP_MS", 12_000)
    monkeypatch.setattr(align, "_AHEAD_MS", 6_000)
    talk, _ = read_transcript(" ".join(t for t, _ in TOLD), name="t", end_ms=END_MS)
    off = errors(align_words(talk, sound, scores=scores), TOLD)
    assert off[round(0.95 * len(off))] <= 150


def test_another_talk_is_not_found(sound, scores):
    other = "the quick brown fox jumps over a lazy dog while seven grey geese fly south across the frozen lake".split()
    told = [(other[k % len(other)], onset) for k, (_, onset) in enumerate(TOLD)]
    talk = transcript(told)
    found = align_words(talk, sound, scores=scores)
    whole(found)
    assert found == talk.words  # neither moved nor trusted more


# -- transcripts and recordings that do not cover the same
ENDED = [(t, o) for t, o in TOLD if o is not None and o < 36_000]
while not ENDED[-1][0].endswith("."):
    ENDED.pop()
ENDED_MS = next(o for _, o, _ in TRUTH if o > ENDED[-1][1]) - 100


def room(seconds: int, loud: float) -> np.ndarray:
    return np.random.default_rng(1).normal(0, loud, seconds * RATE).astype(np.int16)


@pytest.mark.parametrize("tail", ["loud room", "other talk"])
def test_a_recording_may_go_on_after_the_last_word(sound, tail: str):
    """Nobody says when the last block ends: its words are not spread over what comes after."""
    both = np.concatenate([sound[: ENDED_MS * 16], room(40, 400) if tail == "loud room" else sound[: 16 * RATE]])
    first, second = (" ".join(t for t, o in ENDED if (o >= STAMPS[1]) == late) for late in (False, True))
    rows = [f"[0:00] {first}", f"[0:17] {second}"]
    talk, _ = read_transcript("\n".join(rows), name="t", end_ms=len(both) // 16)
    found = align_words(talk, both)
    off = errors(found, ENDED)
    assert off[round(0.95 * len(off))] <= 150
    assert off[-1] <= 1000
    assert max(abs(w.onset_ms - o) for w, (_, o) in zip(talk.words, ENDED, strict=True)) < 6000  # nor without sound


@pytest.mark.parametrize("between", ["room", "other talk"])
def test_a_block_may_be_followed_by_much_that_is_not_in_the_transcript(sound, between: str):
    rest = room(40, 100) if between == "room" else np.concatenate([sound[17 * RATE : 37 * RATE]] * 2)
    cut, long_ms = STAMPS[1], len(rest) // 16
    both = np.concatenate([sound[: cut * 16], rest, sound[38 * RATE :]])
    told = [(t, o if o < cut else o - 21_000 + long_ms) for t, o in TOLD if o < cut or o >= STAMPS[2]]
    late = (STAMPS[2] - 21_000 + long_ms) // 1000
    before, after = (" ".join(t for t, o in told if (o >= cut) == later) for later in (False, True))
    rows = [f"[0:00] {before}", f"[0:{late}] {after}"]
    talk, _ = read_transcript("\n".join(rows), name="t", end_ms=len(both) // 16)
    off = errors(align_words(talk, both), told)
    assert off[round(0.95 * len(off))] <= 150
    assert off[-1] <= 1000


def test_talk_before_the_first_stamp_may_be_unknown_to_all_stamps(sound):
    """Thirty seconds of greetings, and every stamp thirty seconds early."""
    both = np.concatenate([sound[: 17 * RATE], sound[: 13 * RATE], sound[17 * RATE :]])
    told = [(t, o + 13_000) for t, o in TOLD if o >= STAMPS[1]]
    text = "\n".join(
        f"[0:{(a - STAMPS[1]) // 1000:02d}] " + " ".join(t for t, o in told if a + 13_000 <= o < b + 13_000)
        for a, b in ((STAMPS[1], STAMPS[2]), (STAMPS[2], END_MS))
    )
    talk, _ = read_transcript(text, name="t", end_ms=len(both) // 16)
    off = errors(align_words(talk, both), told)
    assert off[round(0.95 * len(off))] <= 150


def test_last_words_that_the_recording_is_too_short_for_are_left_out(tmp_path: Path, sound):
    """The recording stops inside the last block; what it still holds is found as ever."""
    end_ms = 44_000
    write_sound(tmp_path / "talk.wav", sound[: end_ms * 16])
    rows = [
        f"[0:{a // 1000:02d}] " + " ".join(t for t, o in TOLD if a <= o < b)
        for a, b in itertools.pairwise((*STAMPS, END_MS))
    ]
    talk, _ = read_transcript("\n".join(rows), name="t", end_ms=end_ms)
    words, findings = prepare_words(talk, tmp_path / "talk.wav", align=True)
    said = sum(o < end_ms for _, o in TOLD)
    assert said <= len(words) <= said + 8 < len(TOLD)
    off = errors(words[: said - 2], TOLD[: said - 2])
    assert off[round(0.95 * len(off))] <= 150
    (finding,) = findings
    assert finding.code == "beyond-end"
    assert f"last {len(TOLD) - len(words)} words" in finding.message


def test_nothing_is_found_in_silence():
    talk = transcript(TOLD)
    found = align_words(talk, np.zeros(END_MS * RATE // 1000, np.int16))
    whole(found)
    assert not any(w.timing is Timing.ALIGNED for w in found)


@pytest.mark.parametrize("count", [0, 10, 1600, 16_000])
def test_sound_that_is_too_short(count):
    talk = transcript(TOLD[:8])
    found = align_words(talk, np.zeros(count, np.int16))
    assert [w.text for w in found] == [w.text for w in talk.words]


def test_progress_is_told_in_words(sound, scores):
    seen: list[tuple[int, int]] = []
    align_words(transcript(TOLD), sound, scores=scores, progress=lambda done, of: seen.append((done, of)))
    assert seen[-1] == (len(TOLD), len(TOLD))
    assert [d for d, _ in seen] == sorted(d for d, _ in seen)


def test_agrees_with_pocketsphinxs_own_aligner(sound, scores):
    """Referee: ``Decoder.set_align_text`` of pocketsphinx with its own dictionary and search, on the second block."""
    import pocketsphinx

    from timeline.transcript.pronounce import spoken

    first, last = (next(k for k, (_, t) in enumerate(TOLD) if t >= ms) for ms in STAMPS[1:])
    said = [s.strip(".") for text, _ in TOLD[first:last] for s in spoken(text)]
    parts = [len(spoken(text)) for text, _ in TOLD[first:last]]
    folder = model_folder()
    decoder = pocketsphinx.Decoder(
        hmm=str(folder / "en-us"), dict=str(folder / "cmudict-en-us.dict"), lm=None, loglevel="FATAL",
        beam=1e-100, pbeam=1e-100, wbeam=1e-100,
    )  # fmt: skip
    decoder.set_align_text(" ".join(said))
    start = STAMPS[1] + 300
    decoder.start_utt()
    decoder.process_raw(sound[start * 16 : TOLD[last][1] * 16].tobytes(), full_utt=True)
    decoder.end_utt()
    theirs = [start + s.start_frame * 10 for s in decoder.seg() if s.word[0].isalpha()]
    assert len(theirs) == len(said)
    ours = align_words(transcript(TOLD), sound, scores=scores)[first:last]
    at = list(itertools.accumulate([0, *parts[:-1]]))
    off = sorted(abs(w.onset_ms - theirs[k]) for w, k in zip(ours, at, strict=True))
    assert median(off) <= 30
    assert off[round(0.9 * len(off))] <= 100


def test_scores_that_cannot_be_written_are_an_error(sound):
    """pocketsphinx writes what it hears to a file, and says nothing when the disk is full or the folder gone."""
    scores = SoundScores(sound[: 2 * RATE])
    shutil.rmtree(scores._ear.scratch)
    with pytest.raises(OutputError) as caught:
        scores.between(0, 100)
    assert "TMPDIR" in caught.value.findings[0].fix


# -- stamps that prove exact
def captions(words: list[tuple[str, int | None]], off_ms: dict[int, int] | None = None) -> Transcript:
    """A caption for each sentence, exactly stamped, but for those (by number) that ``off_ms`` moves."""
    rows: list[list[tuple[str, int]]] = [[]]
    last = 0
    for text, onset in words:
        last = last if onset is None else onset
        rows[-1].append((text, last))
        if text.endswith("."):
            rows.append([])
    lines = []
    for number, row in enumerate(rows):
        if row:
            start, end = row[0][1] + (off_ms or {}).get(number, 0), row[-1][1] + 400
            clocks = [f"00:00:{t // 1000:02d},{t % 1000:03d}" for t in (start, max(start + 300, end))]
            lines.append(f"{number + 1}\n{clocks[0]} --> {clocks[1]}\n{' '.join(t for t, _ in row)}\n")
    return read_transcript("\n".join(lines), name="t.srt", suffix=".srt", end_ms=END_MS)[0]


def test_a_word_is_not_found_in_the_sound_of_another_caption(sound, scores):
    """A caption's last word was misheard, and the next one begins with a word that sounds like what was said there."""
    k = next(k for k, (t, _) in enumerate(TOLD) if t == "attack.")
    told = [*TOLD[:k], ("elephant.", None), ("Attack", TOLD[k + 1][1]), *TOLD[k + 2 :]]
    found = align_words(captions(told), sound, scores=scores)
    whole(found)
    stamp = told[k + 1][1]
    assert stamp is not None
    assert found[k + 1].onset_ms >= stamp - 300
    assert found[k].onset_ms < TOLD[k][1] + 300
    assert found[k].end_ms - found[k].onset_ms >= 200  # some phones long, not what was left over
    others = errors((*found[:k], *found[k + 2 :]), [*told[:k], *told[k + 2 :]])
    assert others[round(0.95 * len(others))] <= 150


@pytest.mark.parametrize("off_ms", [-2500, -800, 800, 1500, 2500])
def test_one_wrong_stamp_among_exact_ones_moves_nothing(sound, scores, off_ms):
    """Many words against one stamp: it is the stamp that is wrong."""
    off = errors(align_words(captions(TOLD, {6: off_ms, 11: off_ms}), sound, scores=scores), TOLD)
    assert off[round(0.95 * len(off))] <= 150
    assert off[-1] <= 500


@given(st.integers(0, 2**32 - 1), st.integers(0, 60), st.sampled_from([50, 400, 2000]))
def test_exact_stamps_are_told_from_rough_ones(seed: int, count: int, most_ms: int):
    """Distances drawn evenly from a range: exact where it is narrow; then the words found near their stamps are inside."""
    dice = np.random.default_rng(seed)
    blocks = [Block(5000 * k + 3000, 5000 * k + 7000, "a b") for k in range(count)]
    words = [Word(t, 0, 0, block=k) for k in range(count) for t in "ab"]
    off = dice.integers(-most_ms, most_ms + 1, count)
    onsets = [int(5000 * k + 3000 + off[k] + more) for k in range(count) for more in (0, 1000)]
    spans = exact_spans(words, blocks, onsets, 5000 * count + 5000)
    if spans is None:
        assert count < LEAST_BLOCKS or most_ms > 50
        return
    assert count >= LEAST_BLOCKS
    assert most_ms < 2000 or count < 20
    if most_ms <= 400:
        inside = [spans[w.block].holds(o) for w, o in zip(words, onsets, strict=True)]
        assert sum(inside) >= 0.9 * len(inside)
        far = 1800 + most_ms
        kept_out = [not span.holds(b.start_ms - far) for b, span in zip(blocks, spans, strict=True)]
        assert sum(kept_out) >= 0.5 * count
        assert all(span.start_ms <= span.end_ms for span in spans)


# -- the phone table
def test_phones_know_their_neighbours():
    """Three states a phone; the model's own count of senones; a word's edges change with what stands beside it."""
    table = phone_table()
    assert (table.senones, table.plain, len(table.phones)) == (5126, 126, 42)
    assert [len(table.alone(p)) for p in ("SIL", "AA", "ZH")] == [3, 3, 3]
    assert max(s for p in table.phones for s in table.alone(p)) < table.plain
    knight = pronunciations("knight")[0]
    joined, apart = table.word(knight, "IY", "F"), table.word(knight, SILENCE, SILENCE)
    assert len(joined) == len(apart) == 3 * len(knight)
    assert joined[3:-3] != joined[:3]
    assert joined != apart


# -- the search
class Made:
    """A phone table of our own: phone n has the senones 3n, 3n + 1, 3n + 2 wherever it stands."""

    plain = 12
    senones = 12

    def alone(self, phone: str) -> list[int]:
        return [9, 10, 11] if phone in (SILENCE, "+NSN+") else [0, 1, 2]

    def word(self, phones, before: str, after: str) -> list[int]:
        return [int(p) * 3 + k for p in phones for k in range(3)]


def exhaustive(
    cost: np.ndarray, words: list[int], leaning: list[bool], costs: Costs, must_from: int, must_to: int
) -> float:
    """The least cost of any way through, by trying every segmentation (each word one phone of three states)."""
    frames = len(cost)
    plain, quiet = cost.min(axis=1), cost[:, 9:12].min(axis=1)
    best = math.inf

    def through(t: int, k: int, spent: float, last: str) -> None:
        nonlocal best
        if spent >= best:
            return
        if t == frames and k >= must_to:
            best = min(best, spent)
        if k < len(words):
            through(t, k + 1, spent + costs.skip, "skip")
            for ends in itertools.combinations(range(t + 1, frames + 1), 3):
                states = [
                    words[k] * 3 + n for n, (a, b) in enumerate(itertools.pairwise((t, *ends))) for _ in range(a, b)
                ]
                through(ends[2], k + 1, spent + sum(cost[t + i, s] for i, s in enumerate(states)), "word")
        if t < frames:
            for end in range(t + 1, frames + 1):
                if last != "rest":
                    torn = costs.torn if k and leaning[k - 1] else 0
                    through(end, k, spent + costs.pause + torn + quiet[t:end].sum(), "rest")
                for lane, enter, stray in (
                    ("other", costs.enter, costs.stray),
                    ("long", costs.long_enter, costs.long_stray),
                ):
                    if last != lane:
                        through(end, k, spent + enter + (plain[t:end] + stray).sum(), lane)

    for k in range(must_from + 1):
        through(0, k, 0.0, "")
    return best


@settings(max_examples=25)
@example(seed=3600, frames=4, words=[0, 1])  # a word is passed over before the first frame
@given(seed=st.integers(0, 2**32 - 1), frames=st.integers(3, 8), words=st.lists(st.integers(0, 2), min_size=1, max_size=2))
def test_the_search_finds_the_least_cost(seed: int, frames: int, words: list[int]):
    """Against an exhaustive search over all segmentations of small cases."""
    dice = np.random.default_rng(seed)
    raw = dice.integers(0, 120, (frames, 12)).astype(np.int16)
    costs = Costs(
        stray=dice.uniform(0, 4), enter=dice.uniform(0, 8), long_stray=dice.uniform(0, 2),
        long_enter=dice.uniform(0, 16), skip=dice.uniform(0, 20), pause=dice.uniform(0, 3), torn=dice.uniform(0, 6),
    )  # fmt: skip
    leaning = [bool(dice.integers(2)) for _ in words]
    trellis = Trellis.of_phones([[(str(w),)] for w in words], Made(), leaning)
    must_from, must_to = int(dice.integers(0, len(words) + 1)), int(dice.integers(0, len(words) + 1))
    if must_from > must_to:
        must_from, must_to = must_to, must_from
    best = trellis.best(raw, must_from, must_to, costs)
    expected = exhaustive(raw * UNIT, words, leaning, costs, must_from, must_to)
    assert best is not None
    found, per_frame = best
    assert per_frame * frames == pytest.approx(expected, abs=0.01)
    assert [f.index for f in found] == sorted({f.index for f in found})
    assert all(a.end <= b.start for a, b in itertools.pairwise(found))
    assert all(0 <= f.start < f.end <= frames and f.end - f.start >= 3 for f in found)


@pytest.mark.parametrize(("leaning", "begins"), [(False, 0), (True, 9)])
def test_a_word_that_leans_on_the_next_is_found_beyond_the_pause(leaning: bool, begins: int):
    """What sounds like the word before the pause, and what does after it, fit it nearly alike."""
    raw = np.full((15, 12), 400, np.int16)
    for first, states, misfit in ((0, (0, 1, 2), 0), (9, (0, 1, 2), 10), (12, (3, 4, 5), 0)):
        for n, state in enumerate(states):
            raw[first + n, state] = misfit
    for first, last, misfit in ((0, 3, 30), (3, 9, 0), (9, 12, 10)):
        raw[first:last, 9:] = misfit
    found = Trellis.of_phones([[("0",)], [("1",)]], Made(), [leaning, False]).best(raw, 0, 2, Costs())
    assert found is not None
    assert [f.start for f in found[0]] == [begins, 12]


def test_words_are_trusted_less_where_they_are_easily_put_wrong():
    """Beside speech that the transcript lacks, and parted by a silence from the word that they lean on."""

    def sure(leaning: bool, pause_ms: int, strays_ms: int) -> list[float]:
        at = [1000 + 300 * k + (pause_ms + strays_ms if k > 5 else 0) for k in range(12)]
        placed = [belief.Placed(k, t, t + 300, 2.0, strays_ms if k == 6 else 0) for k, t in enumerate(at)]
        return belief.trust(placed, [leaning and k == 5 for k in range(12)])

    assert min(sure(False, 400, 0)) >= 0.9
    assert min(sure(True, 100, 0)) >= 0.9
    assert [k for k, s in enumerate(sure(True, 400, 0)) if s < 0.9] == [5]
    assert [k for k, s in enumerate(sure(False, 0, 2000)) if s < 0.9] == [5, 6]


# -- order, neighbours
@given(st.lists(st.one_of(st.none(), st.integers(0, 50)), max_size=30))
def test_order_costs_as_few_words_as_possible(onsets: list[int | None]):
    placed = [None if o is None else belief.Placed(k, 10 * o, 10 * o + 15, 1.0) for k, o in enumerate(onsets)]
    kept = belief.in_order(placed)
    found = [p for p in kept if p is not None]
    assert all(a.onset_ms <= a.end_ms <= b.onset_ms for a, b in itertools.pairwise(found))
    assert all(p is None or (p.index == k and placed[k] is not None) for k, p in enumerate(kept))
    given_onsets = [o for o in onsets if o is not None]
    longest: list[int] = []
    for k, o in enumerate(given_onsets):  # the plain quadratic way
        longest.append(1 + max((longest[j] for j in range(k) if given_onsets[j] <= o), default=0))
    assert len(found) == max(longest, default=0)


times = st.lists(st.tuples(st.booleans(), st.integers(0, 900), st.integers(0, 3)), min_size=1, max_size=40)


@settings(max_examples=30)
@given(times, st.integers(0, 40))
def test_lost_words_stand_between_their_neighbours(rows, seconds):
    """Whatever was lost and wherever the transcript puts it: order, room and the found words stay."""
    total_ms = 1000 * seconds
    dice = np.random.default_rng(len(rows))
    sound = (dice.standard_normal(total_ms * 16) * np.repeat(dice.choice([1, 3000], seconds), 16_000)).astype(np.int16)
    words, at, block = [], 0, 0
    for found, step, new in rows:
        at, block = min(total_ms, at + step), block + (new == 0)
        timing = Timing.ALIGNED if found else Timing.BLOCK
        words.append(Word("word,", at, min(total_ms, at + 100) if not found else at, 0.5, timing, block))
    result = place_between(words, sound)
    whole(result, max(total_ms, words[-1].end_ms))
    assert len(result) == len(words)
    assert all(a == b for a, b in zip(words, result, strict=True) if a.timing is Timing.ALIGNED)


def test_lost_words_go_to_the_sound_between_silences(sound):
    """Between two found words there is one run of speech: the lost word is where it begins."""
    quiet = np.random.default_rng(0).standard_normal(RATE * 4) * 3
    quiet[RATE * 2 : RATE * 5 // 2] += 5000 * np.sin(np.arange(RATE // 2) / 5)
    words = [
        Word("one", 0, 300, 0.9, Timing.ALIGNED),
        Word("lost", 500, 700, 0.3, Timing.BLOCK),
        Word("two", 3500, 3800, 0.9, Timing.ALIGNED),
    ]
    lost = place_between(words, quiet.astype(np.int16))[1]
    assert abs(lost.onset_ms - 2000) <= 30
    assert lost.timing is Timing.SNAPPED


def test_a_lost_word_between_two_found_ones_is_no_shorter_than_its_sounds():
    """The one before it ends earlier, as far as its own sounds allow: "rook" has three, of 30 ms at least."""
    words = [
        Word("rook", 0, 700, 0.9, Timing.ALIGNED),
        Word("takes", 500, 700, 0.3, Timing.CAPTION),
        Word("rook", 700, 1000, 0.9, Timing.ALIGNED),
    ]
    noise = (np.random.default_rng(0).standard_normal(RATE) * 3000).astype(np.int16)
    before, lost, after = place_between(words, noise)
    assert lost.end_ms - lost.onset_ms >= 4 * 30
    assert (before.onset_ms, before.end_ms, after) == (0, lost.onset_ms, words[2])
    tight = [replace(words[0], onset_ms=560), *words[1:]]
    assert place_between(tight, noise)[0].end_ms == 560 + 3 * 30


# -- preparing
def write_sound(path: Path, samples: np.ndarray) -> None:
    import av

    with av.open(str(path), "w") as container:
        stream = container.add_stream("pcm_s16le", rate=RATE, layout="mono")
        frame = av.AudioFrame.from_ndarray(samples[None, :].copy(), format="s16", layout="mono")
        frame.rate = RATE
        container.mux([*stream.encode(frame), *stream.encode(None)])


def test_preparing_aligns_and_says_when_it_could_not(tmp_path: Path, sound):
    path = tmp_path / "talk.wav"
    write_sound(path, sound[: 17 * RATE])
    told = [(t, o) for t, o in TOLD if o < 16_500]
    words, findings = prepare_words(transcript(told), path, align=True)
    assert not findings
    assert median(errors(words, told)) <= 50
    assert prepare_words(transcript(told), path, align=False) == (transcript(told).words, [])
    other = transcript([("hippopotamus", o) for _, o in told])
    _, findings = prepare_words(other, path, align=True)
    assert [f.code for f in findings] == ["words-not-heard"]


def test_another_talks_recording_is_told_on_every_build_and_follow(tmp_path: Path, sound):
    write_sound(tmp_path / "talk.wav", sound[: 17 * RATE])
    other = "the quick brown fox jumps over a lazy dog while seven grey geese fly south across the frozen lake".split()
    (tmp_path / "talk.txt").write_text(f"[0:00] {' '.join(other)}\n[0:09] {' '.join(other)}\n")
    (tmp_path / "game.pgn").write_text("1. e4 *\n")
    (tmp_path / "lesson.yaml").write_text("title: x\nscore: game.pgn\ntranscript: talk.txt\nrecording: talk.wav\n")
    for force in ((), (), ("follow",)):
        report = build(tmp_path, STEPS, only=["follow"], force=force)
        (finding,) = report.findings
        assert finding.code == "words-not-heard"
        assert "another talk" in finding.message
        assert "recording:" in finding.fix


@pytest.mark.parametrize(("align", "told"), [("auto", []), ("off", ["no-times"])])
def test_a_text_without_stamps_is_no_fault_where_the_sound_has_its_words(tmp_path: Path, sound, align: str, told):
    """Nobody is asked to write stamps for words that were found without."""
    write_sound(tmp_path / "talk.wav", sound[: 17 * RATE])
    (tmp_path / "talk.txt").write_text(" ".join(t for t, o in TOLD if o < 16_500))
    (tmp_path / "game.pgn").write_text("1. e4 *\n")
    text = f'title: x\nscore: game.pgn\ntranscript: talk.txt\nrecording: talk.wav\nfollow: {{align: "{align}"}}\n'
    (tmp_path / "lesson.yaml").write_text(text)
    for _ in range(2):  # made, then from the cache
        work = Work(load_lesson(tmp_path))
        assert len(work.words) == sum(o < 16_500 for _, o in TOLD)
        assert [f.code for f in work.findings] == told


def test_rough_word_times_are_said_to_be_rough():
    entries = [{"w": "hello", "start": 1.0, "end": 1.4}, {"w": "there", "start": 1.5, "end": 2.0}]
    exact, _ = read_transcript(json.dumps({"words": entries}), name="t.json")
    rough, _ = read_transcript(json.dumps({"rough_times": True, "words": entries}), name="t.json")
    assert [w.onset_ms for w in exact.words] == [w.onset_ms for w in rough.words] == [1000, 1500]
    assert {w.timing for w in exact.words} == {Timing.WORD}
    assert {w.timing for w in rough.words} == {Timing.CAPTION}
    assert prepare_words(exact, None, align=True) == (exact.words, [])


def test_a_recognisers_word_times_are_made_exact_but_not_moved_far(tmp_path: Path, sound):
    """Times 0.15 s late, as recognisers' are; one word's by more than a second, which the sound does not confirm."""
    path = tmp_path / "talk.wav"
    write_sound(path, sound[: 17 * RATE])
    told = [(t, o) for t, o in TOLD if o < 15_500]
    entries = [{"w": t, "start": (o + 150) / 1000} for t, o in told]
    entries[-1]["start"] = 16.9
    talk, _ = read_transcript(json.dumps(entries), name="t.json", end_ms=17_000)
    words, findings = prepare_words(talk, path, align=True)
    assert not findings
    whole(words)
    before, after = errors(talk.words, told), errors(words, told)
    assert median(after) <= 50 < median(before)
    assert words[-1].onset_ms == 16_900
    assert words[-1].timing is Timing.WORD


def test_frames_are_hundredths_of_a_second():
    assert FRAME_MS == 10
    assert pytest.approx(1024 * math.log(1.0001), rel=1e-3) == UNIT
