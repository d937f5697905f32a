"""What the steps of one run share: the lesson and everything read or worked out from it, each once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.adopt import adopt
from timeline.buildtracks import Tracks, build_tracks
from timeline.cache import code_fingerprint, fingerprint, load_cached, save_cached
from timeline.filehashes import FileHashes
from timeline.files import state_folder
from timeline.followed import last_followed
from timeline.lesson import Lesson
from timeline.problems import AddressError, Finding, LessonFileError, Severity, TranscriptError
from timeline.score import Score, load_score
from timeline.store import LoadedLesson, load_lesson
from timeline.textfile import read_text
from timeline.tracks import Chapter
from timeline.transcript.words import Sound, Timing, Word

if TYPE_CHECKING:
    from timeline.captions.build import CaptionResult
    from timeline.captions.described import Description
    from timeline.follow.reconstructed import Reconstruction
    from timeline.follow.result import FixedPoint, Follow
    from timeline.recording import RecordingInfo
    from timeline.transcript.words import Transcript

Progress = Callable[[str, int, int], None]
"""Called with the step's name, what is done and the whole, in the step's own unit."""


def quiet(step: str, done: int, whole: int) -> None:
    """No progress shown."""


_WORKED_OUT = (
    "score", "reconstruction", "recording", "transcript", "end_ms", "all_tracks", "tracks", "words", "sounds",
    "adopted", "follow", "caption_result", "descriptions", "chapters",
)  # fmt: skip


@dataclass(frozen=True)
class Heard:
    """Words as kept in ``.plyline``, with what was found wrong in the transcript and the sounds that it marks."""

    words: tuple[Word, ...]
    findings: tuple[Finding, ...] = ()
    sounds: tuple[Sound, ...] = ()


class Work:
    """A lesson folder being worked on. Parts are read when first asked for; ``reload`` after a change.

    Attributes ask the same way everywhere: ``score``, ``recording`` (facts),
    ``transcript``, ``end_ms`` (the lesson's end in recording time),
    ``tracks``. They raise the readers' errors.
    """

    def __init__(self, loaded: LoadedLesson, progress: Progress = quiet) -> None:
        self.loaded = loaded
        self.folder = loaded.folder
        self.progress = progress
        self.findings: list[Finding] = []
        self._file_hashes = FileHashes(state_folder(self.folder) / "files.json")

    def reload(self) -> None:
        """Read lesson.yaml again; what depends on it is worked out anew."""
        self.loaded = load_lesson(self.folder)
        for name in _WORKED_OUT:
            self.__dict__.pop(name, None)

    @cached_property
    def score(self) -> Score:
        """The lesson's score; without one, the game as reconstructed from the talk."""
        lesson = self.loaded.lesson
        if lesson.score is None:
            from timeline.follow.reconstructedscore import score_of

            return score_of(self.reconstruction, title=lesson.title)
        return load_score(self.loaded.file("score"), game=lesson.game, name=lesson.score)

    @cached_property
    def recording(self) -> RecordingInfo | None:
        """Facts of the recording; None when the lesson has none."""
        if self.loaded.lesson.recording is None:
            return None
        from timeline.recording import probe

        return probe(self.loaded.file("recording"), name=self.loaded.lesson.recording)

    @cached_property
    def transcript(self) -> Transcript | None:
        """The transcript; None when the lesson has none. Its warnings go to ``findings``."""
        lesson = self.loaded.lesson
        if lesson.transcript is None:
            return None
        from timeline.transcript.read import load_transcript

        end_ms = self.recording.duration_ms if self.recording else lesson.length
        transcript, findings = load_transcript(
            self.loaded.file("transcript"), name=lesson.transcript, end_ms=end_ms, declared=lesson.captions.speakers
        )
        self.findings += findings
        return transcript

    @cached_property
    def end_ms(self) -> int:
        """The recording's length, else ``length:``, else the transcript's end."""
        if self.recording is not None:
            return self.recording.duration_ms
        if self.loaded.lesson.length:
            return self.loaded.lesson.length
        if self.transcript is not None and self.transcript.end_ms:
            return self.transcript.end_ms
        raise LessonFileError.of(
            "no-length",
            "nothing says how long the lesson is",
            file=self.loaded.source.name,
            fix='add `recording:`, or `length: "12:30"`',
        )

    @cached_property
    def all_tracks(self) -> Tracks:
        """The lesson's tracks without the cues that cannot be shown; what is wrong with those is in their findings."""
        lesson = self.loaded.lesson
        return build_tracks(
            self.score,
            lesson.cues,
            self.end_ms,
            score_marks=lesson.score_marks,
            hold=lesson.film.think == "hold",
            place=self.loaded.cue_place,
        )

    @cached_property
    def tracks(self) -> Tracks:
        """The lesson's tracks. Raises LessonFileError when a cue cannot be shown; warnings go to ``findings``."""
        tracks = self.all_tracks
        errors = [f for f in tracks.findings if f.severity is Severity.ERROR]
        if errors:
            raise LessonFileError(*errors)
        self.findings += tracks.findings
        if not self.loaded.lesson.cues:
            self.findings.append(
                Finding(
                    "no-cues",
                    "the lesson has no cues: the board stays at its start",
                    Severity.WARNING,
                    file=self.loaded.source.name,
                    fix="run `plyline follow` on the folder, or write cues: into lesson.yaml",
                )
            )
        return tracks

    # -- words
    def words_inputs(self) -> dict[str, Any]:
        """What the words depend on."""
        align = self.loaded.lesson.follow.align
        return {
            "transcript": self.file_hash("transcript"),
            "speakers": self._bracketed_speakers(),
            "recording": self.file_hash("recording") if align != "off" else None,
            "end_ms": self.end_ms,
            "align": align,
            "code": code_fingerprint("timeline.transcript", "timeline.textfile"),
        }

    def _bracketed_speakers(self) -> list[str]:
        """The declared speakers that decide how the transcript is read; other names of theirs only change captions."""
        lesson = self.loaded.lesson
        if not lesson.captions.speakers or lesson.transcript is None:
            return []
        text = read_text(self.loaded.file("transcript"), TranscriptError, name=lesson.transcript)
        return sorted(n for n in lesson.captions.speakers if any(f"{a}{n}" in text for a in "[("))

    @property
    def _words_file(self) -> Path:
        return state_folder(self.folder) / "words.json"

    def make_words(self) -> Path:
        """Read the transcript, align it to the recording, keep the words in ``.plyline``; returns that file."""
        from timeline.transcript.prepare import prepare_words

        lesson = self.loaded.lesson
        self.__dict__.pop("transcript", None)
        before = len(self.findings)
        transcript = self.transcript
        if transcript is None:
            raise LessonFileError.of("missing-key", "this needs a transcript", file=self.loaded.source.name)
        recording = self.loaded.file("recording") if lesson.recording else None
        words, findings = prepare_words(
            transcript,
            recording,
            align=lesson.follow.align != "off",
            progress=lambda done, whole: self.progress("listening for the words", done, whole),
        )
        read = self.findings[before:]
        if any(w.timing is Timing.ALIGNED for w in words) and not findings:  # each word was found in the sound
            read = [f for f in read if f.code != "no-times"]
        self.findings[before:] = [*read, *findings]
        sounds = tuple(s for s in transcript.sounds if s.before <= len(words))  # last words may be left out
        heard = Heard(tuple(words), (*read, *findings), sounds)
        save_cached(self._words_file, fingerprint(self.words_inputs()), heard, Heard)
        self.__dict__ |= {"words": heard.words, "sounds": heard.sounds}
        return self._words_file

    @cached_property
    def words(self) -> tuple[Word, ...]:
        """The spoken words; from ``.plyline`` where they are still true, else made anew. Empty without a transcript."""
        if self.loaded.lesson.transcript is None:
            return ()
        heard = load_cached(self._words_file, fingerprint(self.words_inputs()), Heard)
        if heard is None:
            self.make_words()
            return tuple(self.__dict__["words"])
        self.findings += heard.findings
        self.__dict__["sounds"] = heard.sounds
        return heard.words

    @cached_property
    def sounds(self) -> tuple[Sound, ...]:
        """What the transcript marks between its words; read with them."""
        _ = self.words
        return tuple(self.__dict__.get("sounds", ()))

    def recall_words(self) -> None:
        """Tell again what stays true of words made earlier: that many of them were not heard."""
        from timeline.transcript.prepare import NOT_HEARD

        heard = load_cached(self._words_file, fingerprint(self.words_inputs()), Heard)
        self.findings += [f for f in heard.findings if f.code == NOT_HEARD] if heard else []

    @property
    def words_known(self) -> bool:
        """Whether the words can be had at once: they are in ``.plyline``, or there is no recording to listen to."""
        lesson = self.loaded.lesson
        if lesson.recording is None or lesson.follow.align == "off":
            return True
        return load_cached(self._words_file, fingerprint(self.words_inputs()), Heard) is not None

    # -- the game, where no score is given
    def score_inputs(self) -> Any:
        """What the score depends on: its file; without one, the words and what a person settled."""
        lesson = self.loaded.lesson
        if lesson.score is not None:
            return self.file_hash("score")
        return {
            "words": self.words_inputs(),
            "settings": lesson.reconstruct.model_dump(mode="json"),
            "code": code_fingerprint("timeline.follow"),
        }

    @cached_property
    def reconstruction(self) -> Reconstruction:
        """The game that the talk tells; from ``.plyline`` where it is still true, else made anew.

        Raises LessonFileError when a person's moves cannot be played; what is doubtful goes to ``findings``.
        """
        from timeline.follow.reconstructed import Reconstruction
        from timeline.reconstruction import doubts, reconstruct_lesson

        path = state_folder(self.folder) / "reconstructed.json"
        key = fingerprint(self.score_inputs())
        found = load_cached(path, key, Reconstruction)
        if found is None:
            found = reconstruct_lesson(
                self.loaded, self.words, lambda done, whole: self.progress("working out the game", done, whole)
            )
            save_cached(path, key, found, Reconstruction)
        self.findings += doubts(found, self.loaded.lesson)
        return found

    # -- follow
    @cached_property
    def adopted(self) -> Lesson:
        """The lesson with what a person changed by hand among the follower's cues counted as that person's."""
        return adopt(self.loaded.lesson, last_followed(self.loaded))

    def follow_inputs(self) -> dict[str, Any]:
        """What the follower's result depends on: not on its own cues, only on those it must keep."""
        settings = self.loaded.lesson.follow
        return {
            "words": self.words_inputs(),
            "score": self.score_inputs(),
            "game": self.loaded.lesson.game,
            "settings": [settings.lead_ms, settings.hold_ms],
            "fixed": [[point.at_ms, *point.path] for point in self.fixed_points],
            "code": code_fingerprint("timeline.follow", "timeline.score"),
        }

    @property
    def _follow_file(self) -> Path:
        return state_folder(self.folder) / "follow.json"

    @property
    def fixed_points(self) -> tuple[FixedPoint, ...]:
        """Positions that a person set or locked. Raises LessonFileError where one does not exist."""
        from timeline.follow.result import FixedPoint

        points, errors = [], []
        for index, cue in enumerate(self.adopted.cues):
            if not cue.fixed or cue.show is None:
                continue
            try:
                path = self.score.resolve(cue.show)
            except AddressError as error:
                fault = error.findings[0]
                place = self.loaded.cue_place(index)
                errors.append(Finding(fault.code, fault.message, fix=fault.fix, at_ms=cue.at, **place))
                continue
            points.append(FixedPoint(cue.at, tuple(move.uci() for move in path)))
        if errors:
            raise LessonFileError(*errors)
        return tuple(points)

    def make_follow(self) -> Path:
        """Follow the words over the score and keep the result in ``.plyline``; returns that file."""
        from timeline.follow import follow_words
        from timeline.follow.result import Follow

        settings = self.loaded.lesson.follow
        follow = follow_words(
            self.words,
            self.score,
            lead_ms=settings.lead_ms,
            hold_ms=settings.hold_ms,
            fixed=self.fixed_points,
            progress=lambda done, whole: self.progress("following the moves", done, whole),
        )
        if self.loaded.lesson.score is None:
            from timeline.reconstruction import tempered

            follow = tempered(follow, self.reconstruction)
        save_cached(self._follow_file, fingerprint(self.follow_inputs()), follow, Follow)
        self.findings += follow.findings
        self.__dict__["follow"] = follow
        return self._follow_file

    @cached_property
    def follow(self) -> Follow:
        """What the follower found; from ``.plyline`` where it is still true, else made anew. Empty without words."""
        from timeline.follow.result import Follow

        if not self.words:
            return Follow(())
        follow = load_cached(self._follow_file, fingerprint(self.follow_inputs()), Follow)
        if follow is None:
            self.make_follow()
            follow = self.__dict__["follow"]
            return follow if isinstance(follow, Follow) else Follow(())
        self.findings += follow.findings
        return follow

    @property
    def mended(self) -> tuple[str, ...]:
        """Each word's text with what the follower corrected; as many as there are words."""
        texts = [word.text for word in self.words]
        for reading in self.follow.readings:
            for token in reading.tokens:
                if token.mended and 0 <= token.first <= token.last < len(texts):
                    tail = "".join(c for c in texts[token.last][-1:] if c in ".,;:?!")
                    texts[token.first : token.last + 1] = [""] * (token.last - token.first) + [token.written + tail]
        return tuple(texts)

    @cached_property
    def caption_result(self) -> CaptionResult:
        """Captions in film time, with their corrections and findings."""
        from timeline.captions.build import build_captions

        lesson, board = self.loaded.lesson, self.tracks.board
        return build_captions(
            self.words,
            self.follow,
            self.score,
            settings=lesson.captions,
            language=lesson.language,
            glossary=lesson.glossary,
            names=lesson.names,
            sounds=self.sounds,
            end_ms=self.end_ms,
            board_changes_ms=[span.start_ms for span in board.spans[1:]],
            timemap=self.tracks.timemap,
            rate=lesson.film.frame_rate,
        )

    @cached_property
    def descriptions(self) -> tuple[Description, ...]:
        """What the picture alone shows, in words, in film time."""
        from timeline.captions.described import describe

        tracks, written = self.tracks, self.caption_result.written
        return tuple(
            describe(tracks.board, tracks.marks, self.words, written, end_ms=self.end_ms, timemap=tracks.timemap)
        )

    # -- chapters
    @property
    def film_chapters(self) -> tuple[Chapter, ...]:
        """Chapters in film time."""
        from timeline.chapters.rules import in_film_time

        return in_film_time(self.chapters, self.tracks.timemap)

    @cached_property
    def chapters(self) -> tuple[Chapter, ...]:
        """Chapters in recording time. What hosts would refuse goes to ``findings``.

        Raises LessonFileError for a chapter of a person's own that starts after the end.
        """
        from timeline.chapters.make import build_chapters

        asks = [ask.at_ms for ask in self.follow.asks]
        chapters, findings = build_chapters(
            self.loaded.lesson, self.score, self.tracks, self.words, asks=asks, mended=self.mended
        )
        keys = [(f.extra["chapter"],) if "chapter" in f.extra else () for f in findings]
        places = [self.loaded.place("chapters", "list", *key) for key in keys]
        placed = [replace(f, extra={}, **place) for f, place in zip(findings, places, strict=True)]
        if errors := [f for f in placed if f.severity is Severity.ERROR]:
            raise LessonFileError(*errors)
        self.findings += placed
        return chapters

    # -- what tells whether a file changed
    def file_hash(self, key: str) -> str | None:
        """The content's hash of ``score``, ``transcript`` or ``recording``; None when the lesson has none."""
        if getattr(self.loaded.lesson, key) is None:
            return None
        return self._file_hashes.of(key, self.loaded.file(key))
