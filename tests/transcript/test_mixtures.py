"""The acoustic model's mixtures: against pocketsphinx's own evaluation, and in noise."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from timeline.transcript import mixtures
from timeline.transcript.acoustics import Ear, phone_table
from timeline.transcript.mixtures import features, hmm_folder
from timeline.transcript.sound import RATE, load_sound

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def sound() -> np.ndarray:
    return load_sound(ROOT / "demo_project/narration.opus")[2 * RATE : 5 * RATE]


def test_scores_are_pocketsphinxs_own(sound, tmp_path, monkeypatch):
    """Referee: the senone scores that pocketsphinx writes with ``senlogdir``: all 5,126, each hundredth of a second."""
    import pocketsphinx

    (tmp_path / "words.dict").write_text("a AH\n", encoding="ascii")
    decoder = pocketsphinx.Decoder(
        hmm=str(hmm_folder()), dict=str(tmp_path / "words.dict"), lm=None, bestpath=False, loglevel="FATAL",
        compallsen=True, senlogdir=str(tmp_path),
    )  # fmt: skip
    decoder.add_fsg("none", decoder.create_fsg("none", 0, 1, [(0, 1, 1.0, "a")]))
    decoder.activate_search("none")
    decoder.start_utt()
    decoder.process_raw(sound.tobytes(), full_utt=True)
    decoder.end_utt()
    data = next(tmp_path.glob("*.sen")).read_bytes()
    at = data.index(b"endhdr\n") + len(b"endhdr\n") + 4
    theirs = np.frombuffer(data, np.int16, offset=at).reshape(-1, phone_table().senones + 1)[:, 1:].astype(float)

    monkeypatch.setattr(mixtures, "_MOST_DRAWN", 1.0)
    ours = Ear().scores(sound)
    assert ours.shape == theirs.shape
    off = np.abs(ours - theirs)
    assert off.mean() < 1.5  # of some 130: theirs are rounded at each step
    assert np.percentile(off, 99) < 6
    assert np.corrcoef(ours[::7].ravel(), theirs[::7].ravel())[0, 1] > 0.999


def test_cepstra_that_noise_presses_together_are_drawn_out():
    """Most of the way; those of a clear recording, which spread further than the model's, stay as they are."""
    dice = np.random.default_rng(1)
    clear = (dice.standard_normal((400, mixtures.STREAM)) * 30).astype(np.float32)
    assert np.allclose(features(clear)[:, : mixtures.STREAM], clear - clear.mean(axis=0), atol=1e-3)
    pressed = features(clear / 6)
    raw = (clear / 6).std(axis=0)
    assert np.all(pressed[:, : mixtures.STREAM].std(axis=0) > 1.5 * raw)
    assert np.all(pressed[:, : mixtures.STREAM].std(axis=0) < mixtures._SPREAD)
    still = features(np.ones((50, mixtures.STREAM), np.float32))
    assert not still.any()  # digital silence: nothing to draw out
