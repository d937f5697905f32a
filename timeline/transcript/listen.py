"""A transcript where there is none: the recording is listened to by a speech recogniser.

faster-whisper does it (the extra ``listen``), with a model that the user names.
It is told the talk's vocabulary beforehand, as text that seems to have been
said already: chess words and the names of the score. Its word times are only
rough; alignment makes them exact later.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.problems import PlylineError, RecordingError, TranscriptError

if TYPE_CHECKING:
    from timeline.score import Score

_MODEL_FILE = "model.bin"
_INSTALL = "in plyline's own folder: .venv/bin/pip install -e '.[listen]'"
_PROMPT = (
    "A chess lesson. Pawn to e4, e5, knight f3, knight c6, bishop b5, knight takes e5, rook a to d1, queen d8 check. "
    "White castles kingside, Black castles queenside. The f-file, the back rank, a fork, a pin, a skewer, a sideline, "
    "a fianchetto, en passant, zugzwang, zwischenzug, a passed pawn, checkmate."
)
_MOST_NAMES = 12
_TAGS = ("White", "Black", "Event", "Site", "Opening", "Variation", "Annotator")


def prompt_for(score: Score | None, names: Iterable[str] = ()) -> str:
    """What the recogniser is told beforehand: chess words, then the names that may be said."""
    given = [*names]
    if score is not None:
        given += [value for tag in _TAGS if (value := score.header(tag)) and value != "?"]
    # "Marrow, Ilse" is said "Ilse Marrow".
    said = dict.fromkeys(" ".join(reversed(n.split(", "))) if n.count(", ") == 1 else n for n in given if n.strip())
    return f"{_PROMPT} Names: {', '.join([*said][:_MOST_NAMES])}." if said else _PROMPT


def listen(
    recording: Path,
    model: str,
    *,
    language: str = "en",
    prompt: str = "",
    fetch: bool = False,
    name: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> str:
    """The recording's transcript as JSON text that ``read_transcript`` reads, one segment a line.

    ``model``: the folder of a model that faster-whisper reads, or the name of
    one that is on this machine already; with ``fetch`` a missing one is
    downloaded by faster-whisper. ``progress`` gets milliseconds done and in
    all. Raises PlylineError (``no-listener``, ``no-model``, ``bad-model``),
    RecordingError, and TranscriptError (``no-words``) when nothing is said.
    """
    recogniser = _load(model, fetch=fetch)
    from timeline.transcript.sound import RATE, load_sound

    samples = load_sound(recording, name=name)
    whole_ms = len(samples) * 1000 // RATE
    try:
        segments, _ = recogniser.transcribe(
            samples.astype("float32") / 32768,
            language=language.partition("-")[0].lower(),
            # Before every stretch; an initial prompt would be forgotten after the first.
            hotwords=prompt or None,
            word_timestamps=True,
            vad_filter=True,
            # One slip would else be carried on through the rest of the talk.
            condition_on_previous_text=False,
        )
        rows = []
        for segment in segments:
            rows.append(_row(segment))
            if progress is not None:
                progress(min(whole_ms, round(1000 * segment.end)), whole_ms)
    except (ValueError, RuntimeError) as fault:
        raise RecordingError.of(
            "not-heard",
            f"the recogniser gave up: {_said(fault)}",
            file=name or recording.name,
            fix="try another model, or another language",
        ) from None
    rows = [row for row in rows if row["text"]]
    if not rows:
        raise TranscriptError.of(
            "no-words", "nothing was heard", file=name or recording.name, fix="check that the recording has speech"
        )
    lines = ",\n".join(json.dumps(row, ensure_ascii=False) for row in rows)
    return f'{{"rough_times": true, "segments": [\n{lines}\n]}}\n'


def _load(model: str, *, fetch: bool) -> Any:
    try:
        import faster_whisper
    except ImportError:
        raise PlylineError.of(
            "no-listener", "listening needs faster-whisper, which is not installed", fix=_INSTALL
        ) from None
    folder = Path(model).expanduser()
    if folder.exists() or folder.is_absolute() or model.startswith(".") or len(folder.parts) > 2:
        _check_folder(folder)
        model = str(folder)
    try:
        return faster_whisper.WhisperModel(model, device="cpu", compute_type="int8", local_files_only=not fetch)
    except Exception as fault:  # the library's own kinds differ from one version to the next
        if folder.exists():
            raise PlylineError.of(
                "bad-model", f"the model cannot be used: {_said(fault)}", file=str(folder), fix="copy it again, whole"
            ) from None
        raise PlylineError.of(
            "no-model",
            f"there is no model {model!r} on this machine" if not fetch else f"no model {model!r}: {_said(fault)}",
            fix="give the folder of a model, or add --fetch to let faster-whisper download it by name",
        ) from None


def _check_folder(folder: Path) -> None:
    if not folder.is_dir():
        raise PlylineError.of(
            "no-model",
            "there is no such model folder",
            file=str(folder),
            fix=f"give the folder that holds {_MODEL_FILE}",
        )
    if not (folder / _MODEL_FILE).is_file():
        raise PlylineError.of(
            "no-model",
            f"this folder holds no {_MODEL_FILE}",
            file=str(folder),
            fix="give the folder of a model in the form that faster-whisper reads (CTranslate2)",
        )


def _row(segment: Any) -> dict[str, Any]:
    words = [
        {
            "w": word.word.strip(),
            "start": round(word.start, 3),
            "end": round(word.end, 3),
            "confidence": round(word.probability, 3),
        }
        for word in segment.words or []
        if word.word.strip()
    ]
    return {
        "start": round(segment.start, 3),
        "end": round(segment.end, 3),
        "text": segment.text.strip(),
        "words": words,
    }


def _said(fault: Exception) -> str:
    return " ".join(str(fault).split())[:200] or type(fault).__name__
