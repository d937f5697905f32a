"""Paints each distinct picture of a show once, from cached parts."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np

from overlays.board import last_move_tiles, lay_board, piece_sprite, turn_sign
from overlays.cards import card_picture
from overlays.lettering import Lettering
from overlays.logo import load_logo
from overlays.marks import mark_tiles
from overlays.motion import Sprite
from overlays.notation import Column
from overlays.palette import rgb_of
from overlays.panel import caption_picture, players_picture, think_picture, title_picture
from overlays.pixels import Canvas
from overlays.screenplay import FADE_STEPS, DrawnMark, Screenplay, State
from overlays.show import Run, Show
from overlays.stage import Box, load_stage
from overlays.text import BOLD, Typesetter
from overlays.theme import load_theme
from overlays.vector import draw
from timeline.filmsettings import FilmSettings
from timeline.problems import Finding, Severity

if TYPE_CHECKING:
    from numpy.typing import NDArray

PICTURES = 4  # whole pictures kept
PARTS = 40  # panel parts, mark tiles and the like kept


class BoardPainter:
    """The painter of films. Keys are ``State`` values; see ``overlays.show.Painter``.

    ``stage.camera`` says where the recording's picture shows through (None:
    nowhere; a stage with ``over`` lies over the whole recording).
    Raises ThemeError, LayoutError and LogoError.
    """

    def __init__(self, show: Show, settings: FilmSettings) -> None:
        self.show = show
        self.settings = settings
        self.theme = load_theme(settings.theme)
        self.stage = load_stage(settings.layout, settings.size, captions=settings.captions)
        self.width, self.height = self.stage.width, self.stage.height
        self.type = Typesetter(self.theme.fonts)
        self.screenplay = Screenplay(show, settings)
        self._white_below = show.orientation == "white"
        self._letters = Lettering(self.theme, self.type, self.stage.unit)
        board = show.board
        self._column = Column(
            self._letters, board.start_fen, board.mainline, chess960=board.chess960, figurines=settings.figurines
        )
        logo = settings.logo or self.theme.logo
        self._logo = load_logo(logo, self.stage.logo) if logo and self.stage.logo else None
        self._bases: dict[str, Canvas] = {}
        self._parts: OrderedDict[Hashable, Any] = OrderedDict()
        self._pictures: OrderedDict[State, Canvas] = OrderedDict()
        self._pieces: dict[str, NDArray[np.uint8]] = {}
        self._last = last_move_tiles(self.stage, self.theme)

    # -- the protocol
    def runs(self, rate: Fraction) -> Iterator[Run]:
        """The film as runs of equal frames; ``ceil(film length x rate)`` frames in all."""
        for count, state in self.screenplay.runs(rate):
            yield Run(count, state)

    def rgb(self, key: Hashable) -> NDArray[np.uint8]:
        """The opaque picture, shape (height, width, 3); see-through parts lie on the stage's background."""
        canvas = self._canvas(key)
        if canvas.alpha is None:
            return canvas.rgb
        rgb = np.empty_like(canvas.rgb)
        rgb[:] = rgb_of(self.theme.stage.background)
        ground = Canvas(rgb, None)
        ground.paste(np.dstack([canvas.rgb, canvas.alpha]), 0, 0)
        return ground.rgb

    def rgba(self, key: Hashable) -> NDArray[np.uint8]:
        """The picture with straight alpha, shape (height, width, 4)."""
        canvas = self._canvas(key)
        alpha = canvas.alpha if canvas.alpha is not None else np.full(canvas.rgb.shape[:2], 255, np.uint8)
        return np.dstack([canvas.rgb, alpha])

    def findings(self) -> list[Finding]:
        """Characters that no font holds (``missing-glyph``); the picture shows an empty box for each."""
        show, words = self.show, self.theme.words
        captions = [c for c in show.captions if self.settings.captions]
        texts: list[tuple[str, int | None]] = [
            (t, None) for t in (show.title, show.white, show.black, show.teacher, *dict(words).values()) if t
        ]
        found: dict[str, Finding] = {}
        for text, at_ms in [*texts, *((c.text, c.start_ms) for c in captions)]:
            for char in self.type.lacking(text):
                found.setdefault(
                    char,
                    Finding(
                        "missing-glyph",
                        f"no font has the character {char} (U+{ord(char):04X}) of {text!r}",
                        Severity.WARNING,
                        at_ms=at_ms,
                        fix='name a font that has it in a theme file: fonts = ["MyFont.ttf"]',
                    ),
                )
        return list(found.values())

    # -- putting together
    def _canvas(self, key: Hashable) -> Canvas:
        if not isinstance(key, State):
            raise TypeError("a picture's key is a State")
        if key not in self._pictures:
            self._pictures[key] = self._painted(key)
            while len(self._pictures) > PICTURES:
                self._pictures.popitem(last=False)
        self._pictures.move_to_end(key)
        return self._pictures[key]

    def _painted(self, state: State) -> Canvas:
        if state.card is not None:
            return self._with_card(state)
        if state.pose.moving:
            canvas = self._canvas(replace(state, pose=replace(state.pose, moving=()))).copy()
            for sprite in state.pose.moving:
                self._lay_piece(canvas, sprite)
            return canvas
        canvas = self._base(state.mode).copy()
        self._lay_last(canvas, state)
        for mark in sorted(state.marks, key=lambda m: m.kind != "square"):
            for x, y, tile in self._mark(mark):
                canvas.paste(tile, self.stage.squares.x + x, self.stage.squares.y + y, mark.strength / FADE_STEPS)
        for sprite in _standing(state.pose.standing):
            self._lay_piece(canvas, sprite)
        self._lay_turn(canvas, state)
        self._lay_tag(canvas, state)
        self._lay_panel(canvas, state)
        return canvas

    def _base(self, mode: str) -> Canvas:
        if mode not in self._bases:
            stage, theme = self.stage, self.theme
            rgb = np.empty((self.height, self.width, 3), np.uint8)
            rgb[:] = rgb_of(theme.stage.background)
            canvas = Canvas(rgb, np.zeros((self.height, self.width), np.uint8) if stage.over else None)
            if stage.camera:
                canvas.hole(stage.camera.x, stage.camera.y, stage.camera.width, stage.camera.height)
            if stage.title:
                canvas.paste(
                    _opaque(title_picture(self._letters, stage.title, self.show.title)), stage.title.x, stage.title.y
                )
            if self._logo is not None and stage.logo:
                canvas.paste(self._logo, stage.logo.right - self._logo.shape[1], stage.logo.y)
            lay_board(canvas, stage, theme, self.type, self._white_below, mode)
            self._bases[mode] = canvas
        return self._bases[mode]

    def _part(self, key: Hashable, make: Callable[[], Any]) -> Any:
        if key not in self._parts:
            self._parts[key] = make()
            while len(self._parts) > PARTS:
                self._parts.popitem(last=False)
        self._parts.move_to_end(key)
        return self._parts[key]

    def _mark(self, mark: DrawnMark) -> list[tuple[int, int, NDArray[np.uint8]]]:
        plain = replace(mark, strength=FADE_STEPS)
        found: list[tuple[int, int, NDArray[np.uint8]]] = self._part(
            plain, lambda: mark_tiles(plain, self.theme.marks, self._white_below, self.stage.square)
        )
        return found

    def _corner(self, file: float, rank: float) -> tuple[int, int]:
        """Top left pixel of a place on the board."""
        column, row = (file, 7 - rank) if self._white_below else (7 - file, rank)
        return self.stage.squares.x + round(column * self.stage.square), self.stage.squares.y + round(
            row * self.stage.square
        )

    def _lay_piece(self, canvas: Canvas, sprite: Sprite) -> None:
        if sprite.symbol not in self._pieces:
            self._pieces[sprite.symbol] = piece_sprite(sprite.symbol, self.theme, self.stage.square)
        canvas.paste(self._pieces[sprite.symbol], *self._corner(sprite.file, sprite.rank), sprite.alpha)

    def _lay_last(self, canvas: Canvas, state: State) -> None:
        for square, tile in zip(state.last or (), self._last, strict=False):
            canvas.paste(tile, *self._corner(square & 7, square >> 3))

    def _lay_turn(self, canvas: Canvas, state: State) -> None:
        """A pawn in the frame, right of the side to move."""
        stage = self.stage
        row = 7 if state.turn == self._white_below else 0
        symbol = "P" if state.turn else "p"
        tab = self._part(("turn", symbol), partial(turn_sign, symbol, self.theme, stage.frame))
        y = stage.squares.y + row * stage.square + (stage.square - tab.shape[0]) // 2
        canvas.paste(tab, stage.squares.right, y)

    def _lay_tag(self, canvas: Canvas, state: State) -> None:
        if state.tag is None:
            return
        tag = self._part(("tag", state.tag), lambda: self._tag_picture(str(state.tag)))
        canvas.paste(tag, self.stage.board.x + (self.stage.board.width - tag.shape[1]) // 2, self.stage.board.y)

    def _tag_picture(self, tag: str) -> NDArray[np.uint8]:
        words, colours = self.theme.words, self.theme.stage
        text: str = getattr(words, tag)
        aside = tag in ("sideline", "hand")
        paper, ink = (colours.sideline, colours.sideline_ink) if aside else (colours.here, colours.here_text)
        height = self.stage.frame
        size = height * 0.66
        text = self.type.fitted(text, size, self.stage.squares.width - 2 * size, BOLD)
        width = round(self.type.width(text, size, BOLD) + 1.4 * size)
        body = f'<rect width="{width}" height="{height}" fill="{paper}"/>' + self.type.svg(
            text, 0.7 * size, height * 0.5 + size * 0.33, size, ink, BOLD
        )
        return draw(body, (0, 0, width, height), width, height)

    def _lay_panel(self, canvas: Canvas, state: State) -> None:
        stage, letters = self.stage, self._letters
        if box := stage.players:
            names = self._names()
            part = self._part(("players", state.turn), partial(players_picture, letters, box, names, state.turn))
            _put(canvas, part, box)
        if box := stage.notation:
            draw_moves = partial(self._column.picture, box, state.moves, state.mode)
            _put(canvas, self._part(("notation", state.moves, state.mode), draw_moves), box)
        if (box := stage.think) and state.think:
            drops = partial(think_picture, letters, box, *state.think, stage.over)
            canvas.paste(self._part(("think", state.think), drops), box.x, box.y)
        if (box := stage.caption) and state.caption:
            words = partial(caption_picture, letters, box, state.caption, stage.over)
            canvas.paste(self._part(("caption", state.caption), words), box.x, box.y)

    def _names(self) -> list[tuple[bool, str]]:
        """(white?, name) from the board's top to its bottom."""
        words = self.theme.words
        both = [(False, self.show.black or words.black), (True, self.show.white or words.white)]
        return both if self._white_below else both[::-1]

    def _with_card(self, state: State) -> Canvas:
        assert state.card is not None
        kind, strength = state.card
        canvas = self._canvas(replace(state, card=None)).copy()
        card = self._part(
            ("card", kind),
            lambda: _opaque(card_picture(kind, self.show, self.stage, self.theme, self.type, self._logo)),
        )
        canvas.paste(card, 0, 0, strength / FADE_STEPS)
        return canvas


def _standing(placement: str) -> Iterator[Sprite]:
    for row, line in enumerate(placement.split("/")):
        file = 0
        for char in line:
            if char.isdigit():
                file += int(char)
            else:
                yield Sprite(char, file, 7 - row)
                file += 1


def _opaque(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    return np.dstack([rgb, np.full(rgb.shape[:2], 255, np.uint8)])


def _put(canvas: Canvas, part: NDArray[np.uint8], box: Box) -> None:
    canvas.rgb[box.y : box.bottom, box.x : box.right] = part
    if canvas.alpha is not None:
        canvas.alpha[box.y : box.bottom, box.x : box.right] = 255
