"""Word onsets against the truth: how far off, under which damage, how fast, in how much memory.

    python tests/benchmarks/align.py FOLDER... [--sounds clean,pink10,music5] [--damage clean,wrong5,...]
    python tests/benchmarks/align.py FOLDER... --text       without sound, and silence snapping alone
    python tests/benchmarks/align.py FOLDER... --long 60    lessons joined to so many minutes: speed and memory

FOLDERs are narrated lessons (see ``narrated.py``) with ``narration.opus``, or
hold such. Errors are absolute, of the words that are truly said, in ms. The
narrations that we have are synthetic voices: real rooms are harder.
"""

from __future__ import annotations

import argparse
import json
import random
import resource
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from timeline.transcript.acoustics import SoundScores
from timeline.transcript.align import align_words
from timeline.transcript.placing import place_between
from timeline.transcript.read import read_transcript
from timeline.transcript.sound import RATE, load_sound
from timeline.transcript.words import Timing, Transcript, Word

_OTHER_WORDS = (
    "the of and to in is it you that he was for on are with as his they at be this have from or had by some what there "
    "we can out other were all your when up use word how said each she which do their time if will way about many then "
    "them would write like so these her long make thing see him two has look more day could go come did my no most who"
).split()


@dataclass(frozen=True)
class Talk:
    """A transcript with the true onset of each of its words (None: not said, or not known for itself)."""

    name: str
    transcript: Transcript
    truth: tuple[int | None, ...]


def talks(paths: Iterable[Path]) -> list[tuple[Talk, Path]]:
    """The lessons in these folders, each with its recording."""
    found = []
    for path in paths:
        for folder in [path] if (path / "words.json").exists() else sorted(p for p in path.iterdir() if p.is_dir()):
            file = next((f for f in sorted(folder.glob("transcript.*"))), None)
            if file is None or not (folder / "narration.opus").exists():
                continue
            text = file.read_text(encoding="utf-8")
            transcript, _ = read_transcript(text, name=file.name, suffix=file.suffix)
            truth: list[int | None] = []
            for word in json.loads((folder / "words.json").read_text(encoding="utf-8"))["words"]:
                for k, _part in enumerate(word.get("heard", word["w"]).split()):
                    truth.append(round(1000 * word["start"]) if k == 0 else None)
            if len(truth) == len(transcript.words):
                found.append((Talk(folder.name, transcript, tuple(truth)), folder / "narration.opus"))
            else:
                print(f"{folder.name}: transcript and words.json do not fit, left out")
    return found


# -- damage to the transcript
def rewritten(talk: Talk, texts: Sequence[str | None], *, off_ms: Callable[[int], int] = lambda block: 0) -> Talk:
    """The transcript written and read again with other words (None: left out) and stamps moved."""
    srt = talk.transcript.kind == "srt"
    rows, truth = [], []
    last = 0
    for number, block in enumerate(talk.transcript.blocks):
        own = [k for k, w in enumerate(talk.transcript.words) if w.block == number and texts[k] is not None]
        if not own:
            continue
        start = max(last, block.start_ms + off_ms(number))
        end = max(start + 300, start + block.end_ms - block.start_ms)
        line = " ".join(str(texts[k]) for k in own)
        clocks = [
            f"{t // 3_600_000:02d}:{t // 60_000 % 60:02d}:{t // 1000 % 60:02d},{t % 1000:03d}" for t in (start, end)
        ]
        rows.append(f"{number + 1}\n{clocks[0]} --> {clocks[1]}\n{line}\n" if srt else f"[{clocks[0][:8]}] {line}")
        truth += [talk.truth[k] if texts[k] == talk.transcript.words[k].text else None for k in own]
        last = start if srt else start // 1000 * 1000
    transcript, _ = read_transcript("\n".join(rows), name="damaged", suffix=".srt" if srt else ".txt")
    if len(transcript.words) != len(truth):
        raise SystemExit(f"{talk.name}: the damaged transcript has {len(transcript.words)} words, not {len(truth)}")
    return Talk(talk.name, transcript, tuple(truth))


def wrong(talk: Talk, share: float) -> Talk:
    """Some words heard as others."""
    dice = random.Random(f"{talk.name} wrong {share}")
    return rewritten(
        talk, [dice.choice(_OTHER_WORDS) if dice.random() < share else w.text for w in talk.transcript.words]
    )


def missing(talk: Talk) -> Talk:
    """One sentence missing in every second paragraph; of captions some ten words every fifteen seconds."""
    dice = random.Random(f"{talk.name} missing")
    words = talk.transcript.words
    texts: list[str | None] = [w.text for w in words]
    if talk.transcript.kind == "srt":
        at = dice.randint(10, 30)
        while at < len(words):
            count = dice.randint(6, 14)
            texts[at : at + count] = [None] * len(texts[at : at + count])
            at += count + dice.randint(25, 45)
    else:
        for number in range(0, len(talk.transcript.blocks), 2):
            own = [k for k, w in enumerate(words) if w.block == number]
            ends = [k for k in own if words[k].text.rstrip("\"'”’")[-1:] in ".?!"]
            if len(ends) > 1:
                chosen = dice.randrange(len(ends))
                for k in range(ends[chosen - 1] + 1 if chosen else own[0], ends[chosen] + 1):
                    texts[k] = None
    return rewritten(talk, texts)


def shifted(talk: Talk, most_ms: int) -> Talk:
    """Every stamp off by up to so much, either way."""
    dice = random.Random(f"{talk.name} shifted")
    offs = [dice.randint(-most_ms, most_ms) for _ in talk.transcript.blocks]
    return rewritten(talk, [w.text for w in talk.transcript.words], off_ms=lambda block: offs[block])


def stampless(talk: Talk, end_ms: int) -> Talk:
    """The words alone."""
    text = " ".join(w.text for w in talk.transcript.words)
    return Talk(talk.name, read_transcript(text, name="bare", end_ms=end_ms)[0], talk.truth)


def damaged(talk: Talk, kind: str, end_ms: int) -> Talk:
    match kind:
        case "clean":
            return talk
        case "wrong5" | "wrong10":
            return wrong(talk, int(kind[5:]) / 100)
        case "missing":
            return missing(talk)
        case "shift2" | "shift8":
            return shifted(talk, int(kind[5:]) * 1000)
        case "all":
            return shifted(wrong(missing(talk), 0.05), 2000)
        case "stampless":
            return stampless(talk, end_ms)
    raise SystemExit(f"no such damage: {kind}")


# -- damage to the sound
def _mixed(samples: np.ndarray, other: np.ndarray, snr_db: float) -> np.ndarray:
    voice = samples.astype(np.float64)
    loud = voice[np.abs(voice) > 200]
    gain = np.sqrt((loud**2).mean() / (other**2).mean()) * 10 ** (-snr_db / 20)
    return np.clip(voice + gain * other, -32768, 32767).astype(np.int16)


def pink(count: int) -> np.ndarray:
    """Noise with as much power in each octave."""
    dice = np.random.default_rng(1)
    freqs = np.maximum(np.fft.rfftfreq(count, 1 / RATE), 20)
    spectrum = (dice.standard_normal(len(freqs)) + 1j * dice.standard_normal(len(freqs))) / np.sqrt(freqs)
    return np.fft.irfft(spectrum, count)


def music(count: int) -> np.ndarray:
    """Plucked chords of harmonic tones, a new one every 0.6 s, and a soft beat."""
    dice = np.random.default_rng(3)
    out = np.zeros(count)
    t = np.arange(2 * RATE) / RATE
    for at in range(0, count, RATE * 6 // 10):
        root = 220 * 2 ** (dice.choice([0, 5, 7, 9, -3]) / 12)
        length = min(len(t), count - at)
        for step in (0, 4, 7, 12):
            tone = root * 2 ** (step / 12)
            wave = sum(np.sin(2 * np.pi * tone * h * t + dice.uniform(0, 6)) / h for h in range(1, 7)) * np.exp(
                -2.2 * t
            )
            out[at : at + length] += wave[:length]
        beat = min(RATE // 10, count - at)
        out[at : at + beat] += 3 * dice.standard_normal(beat) * np.exp(-np.arange(beat) / 300)
    return out


def sounding(samples: np.ndarray, kind: str) -> np.ndarray:
    """``clean``, or ``pinkN`` and ``musicN`` with N dB between voice and noise."""
    for name, make in (("pink", pink), ("music", music)):
        if kind.startswith(name):
            return _mixed(samples, make(len(samples)), float(kind[len(name) :]))
    if kind != "clean":
        raise SystemExit(f"no such sound: {kind}")
    return samples


# -- measuring
class Kept(SoundScores):
    """Scores worked out once for all damages of a lesson."""

    def __init__(self, samples: np.ndarray) -> None:
        super().__init__(samples)
        self._all = np.concatenate([super(Kept, self).between(a, a + 2000) for a in range(0, self.frames, 2000)])

    def between(self, first: int, last: int) -> np.ndarray:
        return self._all[first : min(last, self.frames)]


def errors(words: Sequence[Word], talk: Talk) -> np.ndarray:
    return np.array([abs(w.onset_ms - t) for w, t in zip(words, talk.truth, strict=True) if t is not None])


def row(name: str, found: np.ndarray, note: str = "") -> None:
    print(
        f"{name:32s} {len(found):6d} words  median {np.median(found):5.0f}  p95 {np.percentile(found, 95):6.0f}  "
        f">0.5 s {100 * (found > 500).mean():5.2f} %  most {found.max():6.0f}  {note}",
        flush=True,
    )


def with_sound(found: list[tuple[Talk, Path]], sounds: Sequence[str], kinds: Sequence[str], *, each: bool) -> None:
    pools: dict[tuple[str, str], list[np.ndarray]] = {}
    sure: list[tuple[float, int]] = []
    for talk, path in found:
        samples = load_sound(path)
        for sound in sounds:
            heard = sounding(samples, sound)
            scores = Kept(heard)
            for kind in kinds:
                hurt = damaged(talk, kind, len(samples) * 1000 // RATE)
                words = align_words(hurt.transcript, heard, scores=scores)
                off = errors(words, hurt)
                pools.setdefault((sound, kind), []).append(off)
                sure += [
                    (w.confidence, abs(w.onset_ms - t)) for w, t in zip(words, hurt.truth, strict=True) if t is not None
                ]
                if each:
                    aligned = np.mean([w.timing is Timing.ALIGNED for w in words])
                    row(f"  {talk.name[:16]} {sound} {kind}", off, f"aligned {100 * aligned:.1f} %")
    for (sound, kind), parts in pools.items():
        row(f"{sound} {kind}", np.concatenate(parts))
    print("said to be sure: words, share within 150 ms")
    table = np.array(sure)
    for low, high in ((0, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 0.85), (0.85, 0.9), (0.9, 1)):
        part = table[(table[:, 0] > low) & (table[:, 0] <= high)]
        if len(part):
            print(f"  {low:.2f} to {high:.2f}: {len(part):6d} {(part[:, 1] <= 150).mean():.3f}")


def without_sound(found: list[tuple[Talk, Path]]) -> None:
    pools: dict[str, list[np.ndarray]] = {}
    for talk, path in found:
        samples = load_sound(path)
        form = "captions" if talk.transcript.kind == "srt" else "paragraphs"
        words = talk.transcript.words
        ways: dict[str, list[Word]] = {"even by characters": [], "duration model": list(words)}
        ways["silence snapping"] = list(place_between(words, samples))
        for number in range(len(talk.transcript.blocks)):
            own = [w for w in words if w.block == number]
            start, end = own[0].onset_ms, max(own[-1].end_ms, own[0].onset_ms + 1)
            until = next((w.onset_ms for w in words if w.block > number), len(samples) * 1000 // RATE)
            letters = sum(len(w.text) for w in own)
            at = 0
            for w in own:
                onset = start + ((until if form == "paragraphs" else end) - start) * at // letters
                ways["even by characters"].append(Word(w.text, onset, onset))
                at += len(w.text)
        for way, timed in ways.items():
            pools.setdefault(f"{form}, {way}", []).append(errors(timed, talk))
    for name in sorted(pools):
        row(name, np.concatenate(pools[name]))


def long_file(found: list[tuple[Talk, Path]], minutes: float) -> None:
    """Lessons one after the other as one recording with stamped blocks."""
    rows: list[str] = []
    truth: list[int | None] = []
    parts: list[np.ndarray] = []
    at_ms = 0
    while at_ms < minutes * 60_000:
        for talk, path in found:
            if at_ms >= minutes * 60_000:
                break
            samples = load_sound(path)
            for number, block in enumerate(talk.transcript.blocks):
                t = at_ms + block.start_ms
                line = " ".join(w.text for w in talk.transcript.words if w.block == number)
                rows.append(f"[{t // 3_600_000}:{t // 60_000 % 60:02d}:{t // 1000 % 60:02d}.{t % 1000:03d}] {line}")
            truth += [None if t is None else t + at_ms for t in talk.truth]
            parts.append(samples[: len(samples) // 16 * 16])
            at_ms += len(samples) * 1000 // RATE
    whole = np.concatenate(parts)
    del parts
    transcript, _ = read_transcript("\n".join(rows), name="long")
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    begun, wall = time.process_time(), time.perf_counter()
    words = align_words(transcript, whole)
    used, wall = time.process_time() - begun, time.perf_counter() - wall
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    seconds = len(whole) / RATE
    row(f"{seconds / 60:.0f} minutes", errors(words, Talk("long", transcript, tuple(truth))))
    print(f"alignment {seconds / used:.1f} x real time in CPU time ({seconds / wall:.1f} x by the clock)")
    print(f"peak memory {peak} MB in all, {before} MB of it before alignment")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--sounds", default="clean")
    parser.add_argument("--damage", default="clean,wrong5,wrong10,missing,shift2,all,stampless")
    parser.add_argument("--each", action="store_true", help="a line for each lesson too")
    parser.add_argument("--text", action="store_true")
    parser.add_argument("--long", type=float, metavar="MINUTES")
    options = parser.parse_args()
    lessons = talks(options.folders)
    if options.text:
        without_sound(lessons)
    elif options.long:
        long_file(lessons, options.long)
    else:
        with_sound(lessons, options.sounds.split(","), options.damage.split(","), each=options.each)
