"""One speech decoder for one transcript: small grammars over its words, placed in stretches of sound.

pocketsphinx and the US-English model in its wheel (Huggins-Daines et al.,
ICASSP 2006) do the acoustic work. Every word of the transcript gets a
dictionary entry of its own, so that a result says which of five "takes" it
heard.
"""

from __future__ import annotations

import math
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.transcript.pronounce import model_folder, pronunciations
from timeline.transcript.sound import RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FRAME_MS = 10
BEAM, WIDE_BEAM = 1e-60, 1e-150
_SCORE_UNITS = 1024
"""The decoder's acoustic scores are kept in 1/1024 of a natural log unit (its SENSCR_SHIFT of 10 bits)."""

# Phones that speech outside the grammar is matched with: enough of them that any speech finds a near one.
_ANY_PHONES = "AA AE AH AY B D EH ER F IH IY K L M N OW P R S T UW V Z SH G".split()
_ANY = tuple(f"any-{p}" for p in _ANY_PHONES)


@dataclass(frozen=True, slots=True)
class Placed:
    """A word of the transcript found in the sound.

    ``index`` is its place in the transcript; times are ms from the recording's
    start. ``misfit`` is how much worse than the best-fitting sounds its own
    are, in natural log units a frame: near 2 where it is said there, above 4
    where something else is.
    """

    index: int
    onset_ms: int
    end_ms: int
    misfit: float


@dataclass(frozen=True, slots=True)
class Grammar:
    """Words ``first`` to ``last`` (exclusive) of the transcript, in order.

    The sound may start at any word up to ``must_from`` and end after any word
    from ``must_to`` on; the words between are all said, unless ``skip_cost``
    lets some be passed over. With ``strays`` other speech may stand between
    any two words (at the edges it always may). Costs are natural log units.
    """

    first: int
    last: int
    must_from: int
    must_to: int
    strays: bool = False
    stray_cost: float = 16.0
    skip_cost: float | None = None
    skip_most: int = 2

    def transitions(self) -> tuple[int, int, list[tuple[Any, ...]]]:
        """Start state, final state and arcs, as ``Decoder.create_fsg`` takes them."""
        count = self.last - self.first
        start, final = count + 1, count + 2
        arcs: list[tuple[Any, ...]] = [(k, k + 1, 1.0, f"w{self.first + k}") for k in range(count)]
        arcs += [(start, k, 1.0) for k in range(self.must_from - self.first + 1)]
        arcs += [(k, final, 1.0) for k in range(self.must_to - self.first, count + 1)]
        stray = math.exp(-self.stray_cost)
        where = range(count + 3) if self.strays else (start, final)
        arcs += [(k, k, stray, phone) for k in where for phone in _ANY]
        if self.skip_cost is not None:
            arcs += [
                (k, k + jump + 1, math.exp(-self.skip_cost * jump), f"w{self.first + k + jump}")
                for k in range(count)
                for jump in range(1, self.skip_most + 1)
                if k + jump < count
            ]
        return start, final, arcs


class Sphinx:
    """The decoder for one transcript's words. Not thread-safe; same calls in the same order give the same results."""

    def __init__(self, texts: Sequence[str]) -> None:
        import pocketsphinx

        folder = model_folder()
        if folder is None:
            raise RuntimeError("pocketsphinx is installed without its US-English model")
        rows = []
        for k, text in enumerate(texts):
            for n, phones in enumerate(pronunciations(text), 1):
                rows.append(f"w{k}{f'({n})' if n > 1 else ''} {' '.join(phones)}")
        rows += [f"{name} {phone}" for name, phone in zip(_ANY, _ANY_PHONES, strict=True)]
        with tempfile.TemporaryDirectory(prefix="plyline-") as scratch:
            words = Path(scratch, "words.dict")
            words.write_text("\n".join(rows) + "\n", encoding="ascii")
            self._decoder: Any = pocketsphinx.Decoder(
                hmm=str(folder / "en-us"), dict=str(words), lm=None, lw=1.0, bestpath=False, loglevel="FATAL"
            )

    def find(
        self, samples: NDArray[np.int16], start_ms: int, end_ms: int, grammar: Grammar, *, beam: float = BEAM
    ) -> list[Placed] | None:
        """The grammar's words in the sound between two times, in order; None where no path through it survives."""
        sound = samples[start_ms * RATE // 1000 : end_ms * RATE // 1000]
        if len(sound) < RATE // 10:
            return None
        decoder = self._decoder
        for name in ("beam", "wbeam", "pbeam"):  # read when a grammar is added
            decoder.config[name] = beam
        start, final, arcs = grammar.transitions()
        decoder.add_fsg("lesson", decoder.create_fsg("lesson", start, final, arcs))
        decoder.activate_search("lesson")
        decoder.start_utt()
        decoder.process_raw(sound.tobytes(), full_utt=True)
        decoder.end_utt()
        if decoder.hyp() is None:
            return None
        found = []
        for part in decoder.seg():
            if not part.word.startswith("w"):
                continue
            index = int(part.word[1:].partition("(")[0])
            frames = part.end_frame - part.start_frame + 1
            misfit = -math.log(max(part.ascore, 1e-300)) * _SCORE_UNITS / max(1, frames)
            onset = start_ms + part.start_frame * FRAME_MS
            found.append(Placed(index, onset, onset + frames * FRAME_MS, misfit))
        return found
