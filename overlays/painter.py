"""Paints each distinct picture of a show once, from cached parts.

A picture is made from the one painted before it: only squares and panel parts
that differ are painted again. What a part shows depends on the state alone, so
equal states are equal pixels, whatever was painted before.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from overlays.board import lay_board
from overlays.boardpart import BoardPart
from overlays.cards import card_picture
from overlays.lettering import Lettering
from overlays.logo import load_logo
from overlays.palette import rgb_of
from overlays.panel import caption_size, title_picture
from overlays.pixels import Canvas, opaque
from overlays.recent import Recent
from overlays.screenplay import FADE_STEPS, Screenplay, State, labelled
from overlays.show import Run, Show
from overlays.slots import slots_of
from overlays.stage import Box, load_stage
from overlays.text import Typesetter
from overlays.theme import load_theme
from timeline.filmsettings import FilmSettings
from timeline.problems import Finding, Severity

if TYPE_CHECKING:
    from numpy.typing import NDArray

PICTURES = 2  # whole pictures kept
PARTS = 16  # parts of the panel kept


class BoardPainter:
    """The painter of films. Keys are ``State`` values; see ``overlays.show.Painter``.

    ``stage.camera`` says where the recording's picture shows through (None:
    nowhere; a stage with ``over`` lies over the whole recording).
    ``caption_px`` is the size of burnt-in captions, which all of them decide.
    Raises ThemeError, LayoutError, FontError and LogoError.
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
        logo = settings.logo or self.theme.logo
        short = min(self.width, self.height)
        self._logo = load_logo(logo, self.stage.logo) if logo and self.stage.logo else None
        self._card_logo = load_logo(logo, Box(0, 0, round(short * 0.5), round(short * 0.16))) if logo else None
        self._board = BoardPart(self.stage, self.theme, self._white_below)
        place = self.stage.caption
        self.caption_px = (
            caption_size(self._letters, place, [c.text for c in labelled(show.captions)]) if place else 0.0
        )
        self._slots = tuple(
            slots_of(self.stage, show, self._letters, figurines=settings.figurines, caption_px=self.caption_px)
        )
        self._bare: dict[str, Canvas] = {}
        self._drawn: Recent[Hashable, NDArray[np.uint8]] = Recent(PARTS)
        self._pictures: Recent[State, Canvas] = Recent(PICTURES)
        self._latest: tuple[State, Canvas] | None = None

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
        ground = self._ground()
        ground.paste(np.dstack([canvas.rgb, canvas.alpha]), 0, 0)
        return ground.rgb

    def rgba(self, key: Hashable) -> NDArray[np.uint8]:
        """The picture with straight alpha, shape (height, width, 4)."""
        canvas = self._canvas(key)
        return opaque(canvas.rgb) if canvas.alpha is None else np.dstack([canvas.rgb, canvas.alpha])

    def findings(self) -> list[Finding]:
        """Characters that no font holds (``missing-glyph``); the picture shows an empty box for each."""
        show, words = self.show, self.theme.words
        told = (show.title, show.white, show.black, show.teacher, *dict(words).values())
        texts: list[tuple[str, int | None]] = [(text, None) for text in told if text]
        texts += [(c.text, show.timemap.recording(c.start_ms)) for c in show.captions if self.settings.captions]
        found: dict[str, Finding] = {}
        for text, at_ms in texts:
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
        return self._pictures.get(key, lambda: self._painted(key))

    def _painted(self, state: State) -> Canvas:
        if state.card is not None:
            return self._with_card(state, *state.card)
        bare = self._bare_stage(state.mode)
        before, source = None, bare
        if self._latest is not None and self._latest[0].mode == state.mode:
            before, source = self._latest
        canvas = source.copy()
        self._board.paint(canvas, bare, state, before)
        for number, slot in enumerate(self._slots):
            shows = slot.shows(state)
            if before is not None and slot.shows(before) == shows:
                continue
            box = slot.box
            if before is not None:
                canvas.restore(bare, box.x, box.y, box.width, box.height)
            if shows is not None:
                pixels = self._drawn.get((number, shows), partial(slot.picture, state))
                canvas.put(pixels, box.x + (box.width - pixels.shape[1]) // 2, box.y)
        self._latest = (state, canvas)
        return canvas

    def _ground(self) -> Canvas:
        rgb = np.empty((self.height, self.width, 3), np.uint8)
        rgb[:] = rgb_of(self.theme.stage.background)
        return Canvas(rgb, None)

    def _bare_stage(self, mode: str) -> Canvas:
        """The stage with an empty board and whatever never changes."""
        if mode not in self._bare:
            stage = self.stage
            canvas = self._ground()
            if stage.over:
                canvas.hole(0, 0, self.width, self.height)
            if stage.camera:
                canvas.hole(stage.camera.x, stage.camera.y, stage.camera.width, stage.camera.height)
            if stage.title:
                canvas.put(title_picture(self._letters, stage.title, self.show.title), stage.title.x, stage.title.y)
            if self._logo is not None and stage.logo:
                canvas.paste(self._logo, stage.logo.right - self._logo.shape[1], stage.logo.y)
            lay_board(canvas, stage, self.theme, self.type, self._white_below, mode)
            self._bare[mode] = canvas
        return self._bare[mode]

    def _with_card(self, state: State, kind: str, strength: int) -> Canvas:
        canvas = self._canvas(replace(state, card=None)).copy()
        card = self._drawn.get(
            ("card", kind),
            lambda: opaque(card_picture(kind, self.show, self.stage, self.theme, self.type, self._card_logo)),
        )
        canvas.paste(card, 0, 0, strength / FADE_STEPS)
        return canvas
