"""How good and how fast the captions are: python tests/benchmarks/captions.py LESSONS [LESSONS ...].

Each LESSONS is a folder of lesson folders with ``transcript.txt`` or ``.srt``,
``game.pgn`` and, for the words, ``words.json`` (what was said: ``w``; what the
transcript shows instead: ``heard``). Captions are made from the text alone.

Printed:
- shares of captions that keep each rule, for ours, for the transcript's blocks
  cut at the line limit, and for the blocks as pysubs2 loads them (it has no
  splitting of its own), the three profiles one after the other;
- why the captions that break a rule do so;
- chess-term errors before and after correction by jiwer's alignment with the
  words said: the share of reference terms that are substituted or deleted;
  the mis-heard chess terms put right, and right words made wrong;
- words a second, the time of 60 minutes against 10, and what of it is done once for a lesson.
"""

from __future__ import annotations

import json
import re
import sys
import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

import jiwer
import pysubs2

from timeline.captions.build import CaptionResult, build_captions
from timeline.captions.report import RULES, CaptionReport, Speech, measure
from timeline.captions.rules import PROFILES, Rules, rules_for, visible_length
from timeline.captions.settings import CaptionSettings
from timeline.captions.subrip import write_subrip
from timeline.captions.units import core
from timeline.follow.follow import follow_words
from timeline.follow.result import Follow, FollowedCue, Reading
from timeline.score import Score, load_score
from timeline.tracks import Caption
from timeline.transcript.read import load_transcript
from timeline.transcript.words import Transcript, Word

TERMS = re.compile(
    r"[a-h][1-8]|(king|queen|rook|bishop|knight|pawn|horse|tower)(s|'s)?|takes?|captures?|check(s|mate|mates)?|mates?|castles?|"
    r"skewers?|forks?|pins?|pinned|attacks?|threats?|threatens?|defends?|blocks?|guards?|ranks?|files?|squares?|diagonals?|"
    r"sacrificed?s?|sacs?|deflection|tempo|zugzwang|stalemate|seventh|eighth|light|dark|white|black|queenside|kingside|"
    r"endgame|middlegame|opening|gambit|computer|position|exchange|pokes"
)
FILE = re.compile(r"[a-h](-pawn|-file|'s)?|[a-h]-(pawns|files)")


@dataclass
class Lesson:
    """One folder, read and followed."""

    name: str
    transcript: Transcript
    follow: Follow
    score: Score
    end_ms: int
    said: list[dict[str, str]]


def load(folder: Path) -> Lesson:
    source = next(p for p in (folder / "transcript.txt", folder / "transcript.srt") if p.exists())
    truth = json.loads((folder / "words.json").read_text(encoding="utf-8"))
    end_ms = round(truth["duration"] * 1000)
    transcript, _ = load_transcript(source, end_ms=end_ms)
    score = load_score(folder / "game.pgn")
    return Lesson(folder.name, transcript, follow_words(transcript.words, score), score, end_ms, truth["words"])


def build(lesson: Lesson, profile: str = "online") -> CaptionResult:
    return build_captions(
        lesson.transcript.words,
        lesson.follow,
        lesson.score,
        settings=CaptionSettings(profile=profile),  # type: ignore[arg-type]
        end_ms=lesson.end_ms,
        board_changes_ms=[c.at_ms for c in lesson.follow.cues],
    )


# -- rules
def cut_blocks(transcript: Transcript, rules: Rules) -> tuple[list[Caption], list[Speech]]:
    """The blocks cut at the line limit, two lines a caption, the block's time shared out by characters."""
    captions, speech = [], []
    words = list(transcript.words)
    for number, block in enumerate(transcript.blocks):
        own = [w for w in words if w.block == number]
        lines: list[list[Word]] = [[]]
        for word in own:
            if lines[-1] and sum(visible_length(w.text) + 1 for w in (*lines[-1], word)) - 1 > rules.profile.max_chars:
                lines.append([])
            lines[-1].append(word)
        pairs = [lines[n : n + rules.profile.max_lines] for n in range(0, len(lines), rules.profile.max_lines)]
        whole = sum(len(w.text) + 1 for w in own) or 1
        done = 0
        for pair in pairs:
            inside = [w for line in pair for w in line]
            if not inside:
                continue
            start = block.start_ms + (block.end_ms - block.start_ms) * done // whole
            done += sum(len(w.text) + 1 for w in inside)
            end = block.start_ms + (block.end_ms - block.start_ms) * done // whole
            text = "\n".join(" ".join(w.text for w in line) for line in pair)
            captions.append(Caption(start, max(start + 1, end), text))
            speech.append(Speech(inside[0].onset_ms, inside[-1].end_ms, len(inside)))
    return captions, speech


def as_loaded(transcript: Transcript) -> list[Caption]:
    """The blocks written as SubRip and read back by pysubs2."""
    blocks = [Caption(b.start_ms, b.end_ms, b.text) for b in transcript.blocks]
    return [
        Caption(e.start, e.end, e.plaintext) for e in pysubs2.SSAFile.from_string(write_subrip(blocks), format_="srt")
    ]


def rule_table(lessons: list[Lesson]) -> None:
    for profile in PROFILES:
        rules = rules_for(profile)
        ours = [build(lesson, profile).report for lesson in lessons]
        naive = [measure(*_swap(cut_blocks(lesson.transcript, rules), rules)) for lesson in lessons]
        loaded = [measure(as_loaded(lesson.transcript), rules) for lesson in lessons]
        print(f"\n{profile}: share of captions that keep the rule (captions that do not)")
        print(f"{'rule':16} {'ours':>15} {'cut at limit':>15} {'blocks, pysubs2':>16}")
        for rule in RULES:
            print(f"{rule:16} " + " ".join(f"{_kept(group, rule):>15}" for group in (ours, naive, loaded)))
        counts = [sum(r.errors for r in group) for group in (ours, naive, loaded)]
        print(f"{'captions':16} " + " ".join(f"{sum(len(r.cues) for r in g):15}" for g in (ours, naive, loaded)))
        print(f"{'errors in all':16} " + " ".join(f"{count:15}" for count in counts))
        print(f"ours / cut at limit: {counts[0] / max(1, counts[1]):.3f}")
        for reason, count in reasons(ours).most_common():
            print(f"  {count} errors of ours: {reason}")


def reasons(reports: list[CaptionReport]) -> Counter[str]:
    """What our captions that break a rule (warnings aside) give as the reason, speeds without their number."""
    found: Counter[str] = Counter()
    for report in reports:
        for cue in report.cues:
            found.update(re.sub(r"\d+", "N", b.why) for b in cue.broken if b.rule != "speed, warning")
    return found


def _swap(pair: tuple[list[Caption], list[Speech]], rules: Rules) -> tuple[list[Caption], Rules, list[Speech]]:
    return pair[0], rules, pair[1]


def _kept(reports: list[CaptionReport], rule: str) -> str:
    whole = sum(len(r.cues) for r in reports)
    broken = sum(r.broken(rule) for r in reports)  # type: ignore[arg-type]
    return f"{1 - broken / max(1, whole):.1%} ({broken})"


# -- words
Group = tuple[list[str], list[str], bool]
"""A stretch of what was said, what the transcript shows for it, and whether they differ."""


def groups_of(said: Iterable[dict[str, str]]) -> list[Group]:
    """The words of a ``words.json``, those that were misheard together in one."""
    found: list[Group] = []
    for word in said:
        if "heard" not in word:
            found.append(([core(word["w"])], [core(word["w"])], False))
        elif word["heard"] == "" and found and found[-1][2]:
            found[-1][0].append(core(word["w"]))
        else:
            found.append(([core(word["w"])], [core(w) for w in word["heard"].split()], True))
    return found


def is_term(said: list[str]) -> bool:
    """Whether a stretch of what was said holds a chess term, or names a file by its letter."""
    return any(TERMS.fullmatch(word) or FILE.fullmatch(word) for word in said)


def normal(text: str) -> list[str]:
    return [part for word in text.split() for part in core(word).replace("-", " ").split()]


def word_table(lessons: list[Lesson]) -> None:
    print("\nchess-term errors, text only (jiwer alignment with the words said)")
    print(
        f"{'lesson':20} {'terms':>6} {'before':>8} {'after':>8} {'mis-heard':>10} {'put right':>10} {'made wrong':>11}"
    )
    totals = [0, 0, 0, 0, 0, 0, 0]
    for lesson in lessons:
        result = build(lesson)
        groups = groups_of(lesson.said)
        said = [w for g in groups for w in normal(" ".join(g[0]))]
        heard = [w for word in lesson.transcript.words for w in normal(word.text)]
        written = [w for text in result.written for w in normal(text)]
        terms = sum(bool(TERMS.fullmatch(w)) for w in said)
        before, after = wrong(said, heard), wrong(said, written)
        right_before = {n for n in range(len(said)) if n not in before}
        spoiled = len(right_before & after)
        put_right, misheard = mended(groups, after)
        row = [terms, sum(bool(TERMS.fullmatch(said[n])) for n in before), sum(bool(TERMS.fullmatch(said[n])) for n in after),
               misheard, put_right, spoiled, len(right_before)]  # fmt: skip
        totals = [a + b for a, b in zip(totals, row, strict=True)]
        _word_row(lesson.name, row)
    _word_row("all", totals)


def _word_row(name: str, row: list[int]) -> None:
    terms, before, after, misheard, put_right, spoiled, right = row
    print(
        f"{name:20} {terms:6} {before / max(1, terms):8.2%} {after / max(1, terms):8.2%} {misheard:10} "
        f"{put_right / misheard if misheard else 1:10.1%} {spoiled:4} {spoiled / max(1, right):6.2%}"
    )


def wrong(said: list[str], shown: list[str]) -> set[int]:
    """Indices of words said that the shown text substitutes or drops, and those right before an insertion."""
    output = jiwer.process_words(" ".join(said), " ".join(shown))
    found: set[int] = set()
    for chunk in output.alignments[0]:
        if chunk.type in ("substitute", "delete"):
            found.update(range(chunk.ref_start_idx, chunk.ref_end_idx))
        elif chunk.type == "insert":
            found.add(max(0, chunk.ref_start_idx - 1))
    return found


def mended(groups: Iterable[Group], failed: set[int]) -> tuple[int, int]:
    """Of the mis-heard stretches that hold a chess term: how many read as they were said, and how many there are."""
    place = right = misheard = 0
    for said, _, differs in groups:
        count = len(normal(" ".join(said)))
        if differs and is_term(said):
            misheard += 1
            right += not failed & set(range(place, place + count))
        place += count
    return right, misheard


# -- speed
def speed(lessons: list[Lesson]) -> None:
    """One lesson said over and over, the longest: its moves stay possible on its own score."""
    lesson = max(lessons, key=lambda one: one.end_ms)
    times = {}
    for minutes in (10, 35, 60):
        words, follow = repeated(lesson, minutes * 60_000)
        best = float("inf")
        for _ in range(3):
            begun = time.perf_counter()
            build_captions(
                words, follow, lesson.score, settings=CaptionSettings(), end_ms=minutes * 60_000,
                board_changes_ms=[c.at_ms for c in follow.cues],
            )  # fmt: skip
            best = min(best, time.perf_counter() - begun)
        times[minutes] = best
        print(f"{minutes} minutes: {len(words)} words in {best:.2f} s, {len(words) / best:.0f} words a second")
    print(f"60 min : 10 min = {times[60] / times[10]:.2f}")
    # What is looked up once for each word, name and board (memoised: the lesson repeats them) does not grow with the length.
    later, sooner = times[60] - times[35], times[35] - times[10]
    once = times[10] - (times[60] - times[10]) / 5
    print(f"once for the lesson: {once:.2f} s; last 25 minutes : 25 minutes before = {later / sooner:.2f} (linear: 1)")


def repeated(lesson: Lesson, length_ms: int) -> tuple[list[Word], Follow]:
    """A lesson one time after the other, to the length asked for."""
    words: list[Word] = []
    cues: list[FollowedCue] = []
    readings: list[Reading] = []
    now = 0
    while now < length_ms:
        base, blocks = len(words), words[-1].block + 1 if words else 0
        words += [
            replace(w, onset_ms=w.onset_ms + now, end_ms=w.end_ms + now, block=w.block + blocks)
            for w in lesson.transcript.words
        ]
        cues += [replace(c, at_ms=c.at_ms + now, first=c.first + base, last=c.last + base) for c in lesson.follow.cues]
        for one in lesson.follow.readings:
            tokens = tuple(replace(t, first=t.first + base, last=t.last + base) for t in one.tokens)
            readings.append(replace(one, first=one.first + base, last=one.last + base, tokens=tokens))
        now += lesson.end_ms
    words = [w for w in words if w.onset_ms < length_ms]
    count = len(words)
    return words, Follow(tuple(c for c in cues if c.last < count), tuple(r for r in readings if r.last < count))


def main() -> None:
    folders = [f for root in sys.argv[1:] for f in sorted(Path(root).iterdir()) if (f / "words.json").exists()]
    if not folders:
        print(__doc__)
        raise SystemExit(2)
    lessons = [load(folder) for folder in folders]
    rule_table(lessons)
    word_table(lessons)
    print()
    speed(lessons)


if __name__ == "__main__":
    main()
