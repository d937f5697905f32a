"""The lesson file's models: what a person may write into ``lesson.yaml``.

Times in the file are text (``"2:03.700"``) or plain seconds; in the models
they are whole milliseconds from the recording's start. Unknown keys are
errors; ``store.py`` finds the nearest known one.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Annotated, Literal, Self

import chess
from pydantic import ConfigDict, Field, field_validator, model_validator

from timeline.captions.notation import NO_LETTERS_FIX, has_letters
from timeline.captions.settings import CaptionSettings
from timeline.chapters.settings import ChapterSettings
from timeline.checks.settings import CheckSettings
from timeline.fields import Part, Time, fault
from timeline.filmsettings import FilmSettings
from timeline.numbered import Written, out_of_step, written_moves
from timeline.timecode import format_ms
from timeline.tracks import ROLES

SCHEMA_VERSION: Literal[1] = 1


Square = Annotated[str, Field(pattern="^[a-h][1-8]$")]
Role = Literal["attack", "defence", "plan", "weakness", "key square", "route"]
assert set(ROLES) == set(Role.__args__)  # type: ignore[attr-defined]


class MarkSpec(Part):
    """A mark on the board: exactly one of ``arrow``, ``square``, ``route``.

    ``for_ms`` (file key ``for``): how long it stays; without it until the next
    change of position or marks.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    arrow: Annotated[str, Field(pattern="^[a-h][1-8]-[a-h][1-8]$")] | None = None
    square: Annotated[str, Field(pattern="^[a-h][1-8]( [a-h][1-8])*$")] | None = None
    route: Annotated[str, Field(pattern="^[a-h][1-8](-[a-h][1-8])+$")] | None = None
    role: Role = "key square"
    for_ms: Time | None = Field(default=None, alias="for")

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        if sum(v is not None for v in (self.arrow, self.square, self.route)) != 1:
            raise fault("a mark is one of arrow, square and route", "write arrow: e1-e8, square: d6 or route: g1-f3-e5")
        return self


class CueSpec(Part):
    """A moment at which the picture changes.

    ``show`` is an address (``17w``, ``9b Nd5 exd5``); ``fen`` puts a position
    of the teacher's own on the board instead. ``think`` holds the film for so
    many seconds. ``by`` says who made the cue; ``follow`` replaces only cues
    that are its own and not locked. ``sure`` in [0, 1], ``said`` and ``else``
    are the follower's evidence.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    at: Time
    think: Annotated[float, Field(gt=0, le=600)] | None = None
    show: str | None = None
    fen: str | None = None
    marks: tuple[MarkSpec, ...] = ()
    lock: bool = False
    by: Literal["person", "follow"] = "person"
    sure: Annotated[float, Field(ge=0, le=1)] | None = None
    said: str | None = None
    runner_up: str | None = Field(default=None, alias="else")

    @model_validator(mode="after")
    def _does_something(self) -> Self:
        if self.show is not None and self.fen is not None:
            raise fault("a cue has show: or fen:, not both", "take one of them away")
        if self.show is None and self.fen is None and not self.marks and self.think is None:
            raise fault("this cue does nothing", "give it show:, fen:, marks: or think:")
        return self

    @property
    def fixed(self) -> bool:
        """Whether a new follow must keep this cue."""
        return self.lock or self.by == "person"


class Rejected(Part):
    """A follower's cue that a person took away: it does not come back within a second and a half of ``at``.

    Without ``show`` it was a pause or a mark.
    """

    at: Time
    show: str | None = None


class FollowSettings(Part):
    """How the follower moves the board.

    ``lead_ms``: how early a cue stands before the first word of its phrase
    (0 to 2000). ``hold_ms``: the least time a position stays. ``min_sure``:
    cues below this confidence are listed as doubtful. ``cues`` and ``marks``:
    whether they are written into the lesson. ``think_s``: how long a question
    to the viewer holds the film, 0 for not at all.
    """

    lead_ms: Annotated[int, Field(ge=0, le=2000)] = 0
    hold_ms: Annotated[int, Field(ge=0, le=5000)] = 300
    min_sure: Annotated[float, Field(ge=0, le=1)] = 0.6
    cues: bool = True
    marks: bool = True
    align: Literal["auto", "off"] = "auto"
    think_s: Annotated[float, Field(ge=0, le=120)] = 6.0
    rejected: tuple[Rejected, ...] = ()


_SAN = re.compile(r"(?:[NBRQK]?[a-h]?[1-8]?[-x]?[a-h][1-8](?:=?[NBRQnbrq])?|[O0]-[O0](?:-[O0])?)[+#]?")
"""A move as ``chess.Board.parse_san`` reads it, null moves left out (PGN standard 1994, 8.2.3)."""
_MOVE_FIX = "write moves as in Nf3, exd4, O-O or e8=Q, with spaces between; or none"
_NUMBER_FIX = "number them as in 11. Bxf6 Bxf6 12. Bxh7+, or 11...Bxf6 for Black's move; or leave numbers out"


def _settled(text: str) -> list[Written]:
    return [] if text.strip() == "none" else written_moves(text)


class Told(Part):
    """What a person says of the game where no score is given.

    The words at ``at`` tell ``moves`` of it (SAN, one or more with spaces,
    with numbers where they matter: ``11...Bxf6``), or ``none``.
    """

    at: Time
    moves: Annotated[str, Field(min_length=1, max_length=2000)]

    @property
    def sans(self) -> tuple[str, ...]:
        """The moves, each with its number where one was written (``numbered.Written``); empty for ``none``."""
        return tuple(str(move) for move in _settled(self.moves))

    @field_validator("moves")
    @classmethod
    def _written_as_moves(cls, text: str) -> str:
        moves = _settled(text)
        if not any(move.san for move in moves) and text.strip() != "none":
            raise fault(f"{text!r} holds no move", _MOVE_FIX)
        for move in moves:
            if not move.san:
                raise fault(f"{str(move)!r} stands before no move", _MOVE_FIX)
            if not _SAN.fullmatch(move.san):
                raise fault(f"{move.san!r} is not how a move is written", _MOVE_FIX)
        if (wrong := out_of_step(moves)) is not None:
            raise fault(f"{str(wrong)!r} does not follow from the moves before it", _NUMBER_FIX)
        return text


class ReconstructSettings(Part):
    """Only without a score: ``start`` is the position (FEN) that the game begins with, ``played`` what is settled."""

    start: str | None = None
    played: tuple[Told, ...] = ()

    @field_validator("start")
    @classmethod
    def _a_position(cls, fen: str | None) -> str | None:
        if fen is not None:
            try:
                valid = chess.Board(fen).is_valid()
            except ValueError:
                valid = False
            if not valid:
                raise fault(
                    f"{fen!r} is not a legal position",
                    "copy the whole FEN: board, turn, castling, en passant and the two counters",
                )
        return fen


class SoundSettings(Part):
    """Loudness of the film's sound. ``target_lufs``: None leaves it alone (EBU R 128 asks for -23)."""

    target_lufs: Annotated[float, Field(ge=-40, le=-10)] | None = None
    peak_dbtp: Annotated[float, Field(ge=-20, le=-1)] = -1.0


class Accepted(Part):
    """A finding that the teacher has looked at and lets stand."""

    code: str
    at: Time | None = None
    reason: str


class Lesson(Part):
    """One lesson folder's ``lesson.yaml``. Without ``score`` the game is reconstructed from the transcript."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        json_schema_extra={"anyOf": [{"required": ["score"]}, {"required": ["transcript"]}]},
    )

    plyline: Literal[1] = SCHEMA_VERSION
    title: Annotated[str, Field(min_length=1, max_length=300)]
    teacher: str | None = None
    language: Annotated[str, Field(pattern="^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$")] = "en"
    score: str | None = None
    game: Annotated[int, Field(ge=1)] | None = None
    transcript: str | None = None
    recording: str | None = None
    outside: bool = False
    length: Time | None = None
    orientation: Literal["white", "black"] = "white"
    score_marks: bool = True
    glossary: dict[str, str] = Field(default_factory=dict)
    names: tuple[str, ...] = ()
    reconstruct: ReconstructSettings = ReconstructSettings()
    follow: FollowSettings = FollowSettings()
    captions: CaptionSettings = CaptionSettings()
    chapters: ChapterSettings = ChapterSettings()
    film: FilmSettings = FilmSettings()
    sound: SoundSettings = SoundSettings()
    checks: CheckSettings = CheckSettings()
    accept: tuple[Accepted, ...] = ()
    cues: tuple[CueSpec, ...] = ()

    @model_validator(mode="after")
    def _has_a_game(self) -> Self:
        if self.score is None and self.transcript is None:
            raise fault(
                "there is neither a score nor a transcript to work the game out from",
                "add `score: …`, or `transcript: …`",
            )
        return self

    @model_validator(mode="after")
    def _has_piece_letters(self) -> Self:
        if self.captions.style == "algebraic" and not has_letters(self.language):
            raise fault(
                f"the piece letters of the language {self.language!r} are not known here",
                NO_LETTERS_FIX,
                ("captions", "style"),
            )
        return self

    @model_validator(mode="after")
    def _cues_in_order(self) -> Self:
        for index, (before, after) in enumerate(pairwise(self.cues), 1):
            if after.at < before.at:
                raise fault(
                    f"cue {index + 1}: times go backwards, from {format_ms(before.at)} to {format_ms(after.at)}",
                    "put the cues in order of time",
                    ("cues", index),
                )
        return self
