"""What changes outside the 64 squares, one slot a place: what it shows of a state, and its pixels."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from overlays.board import turn_sign
from overlays.lettering import Lettering
from overlays.notation import Column
from overlays.panel import caption_picture, players_picture, tag_picture, think_picture
from overlays.screenplay import State
from overlays.show import Show
from overlays.stage import Box, Stage

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Slot:
    """``shows`` gives None for nothing; equal values are equal pixels (RGB, or RGBA to be laid over)."""

    box: Box
    shows: Callable[[State], Hashable]
    picture: Callable[[State], NDArray[np.uint8]]


def slots_of(
    stage: Stage, show: Show, letters: Lettering, *, figurines: bool, caption_px: float = 0.0
) -> Iterator[Slot]:
    """All slots of a stage. ``caption_px``: the size of burnt-in captions."""
    white_below = show.orientation == "white"
    yield _turn(stage, letters, white_below, top=True)
    yield _turn(stage, letters, white_below, top=False)
    yield _tag(stage, letters)
    if stage.players:
        yield _players(stage.players, show, letters, white_below)
    if stage.notation:
        yield _notation(stage.notation, show, letters, figurines)
    if stage.think:
        yield _think(stage.think, letters, stage.over)
    if stage.caption:
        yield _caption(stage.caption, letters, caption_px, stage.over)


def _turn(stage: Stage, letters: Lettering, white_below: bool, *, top: bool) -> Slot:
    """A pawn in the frame, right of the side to move."""
    inner, side, frame = stage.squares, stage.square, stage.frame
    y = inner.y + (0 if top else 7 * side) + (side - frame) // 2
    turn = white_below != top
    return Slot(
        Box(inner.right, y, frame, frame),
        lambda state: turn if state.turn == turn else None,
        lambda state: turn_sign("P" if turn else "p", letters.theme, frame),
    )


def _tag(stage: Stage, letters: Lettering) -> Slot:
    inner, frame = stage.squares, stage.frame
    return Slot(
        Box(inner.x, stage.board.y, inner.width, frame),
        lambda state: state.tag,
        lambda state: tag_picture(letters, str(state.tag), frame, inner.width),
    )


def _players(box: Box, show: Show, letters: Lettering, white_below: bool) -> Slot:
    words = letters.theme.words
    names = [(False, show.black or words.black), (True, show.white or words.white)]
    order = names if white_below else names[::-1]
    return Slot(box, lambda state: state.turn, lambda state: players_picture(letters, box, order, state.turn))


def _notation(box: Box, show: Show, letters: Lettering, figurines: bool) -> Slot:
    track = show.board
    column = Column(letters, track.start_fen, track.mainline, chess960=track.chess960, figurines=figurines)
    return Slot(
        box, lambda state: (state.moves, state.mode), lambda state: column.picture(box, state.moves, state.mode)
    )


def _think(box: Box, letters: Lettering, see_through: bool) -> Slot:
    def picture(state: State) -> NDArray[np.uint8]:
        total, left = state.think or (1, 1)
        return think_picture(letters, box, total, left, see_through)

    return Slot(box, lambda state: state.think, picture)


def _caption(box: Box, letters: Lettering, size: float, see_through: bool) -> Slot:
    return Slot(
        box,
        lambda state: state.caption,
        lambda state: caption_picture(letters, box, state.caption or "", size, see_through),
    )
