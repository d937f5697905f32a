"""Themes: colours, words and fonts of the picture, from TOML files that inherit from one another.

What a theme must fulfil is checked when it is loaded; see ``check_theme``.

How ours were chosen (CIE LCh(ab), D65). Dark squares: of the hue circle the
sectors that boards in wide use have were struck out (browns and tans 35 to 100
degrees, greens 100 to 175, blues, blue-greys and violets 225 to 320); petrol
(205) and mulberry (350) lie in what is left. Light squares: nearly the opposite
hue (40, 112), so that hue tells the two apart as well as lightness. L* about 51
and 89 give 3:1 between them and leave room for near-white and near-black pieces
on both; chroma stays under 26, so that marks, far more colourful, stand out. A
sideline's squares keep lightness and hue and a fifth of the chroma.

Mark colours: each role got a hue band and a lightness range; hill climbing from
random starts over a grid (4 L* x 8 degrees x 5 chromas) raised the smallest
CIEDE2000 between any two marks, and between marks and squares, over normal,
protan, deutan and tritan vision. It ended at 19 between marks and 14 to the
squares of the game.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from operator import attrgetter
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from overlays import palette
from overlays.pieces import PieceColours
from overlays.tomlplace import fault_of, holds, place_of
from timeline.problems import Finding, PlylineError
from timeline.tracks import ROLES

GRAPHIC = 3.0  # WCAG 2.2, 1.4.11: graphics needed for understanding
TEXT = 4.5  # WCAG 2.2, 1.4.3: text
APART = 10.0  # CIEDE2000 between mark colours under every vision: our own limit
FLASH = 0.1  # WCAG 2.2, general flash: a change of relative luminance that counts
SQUARES = 1.8  # contrast of light to dark squares: our own limit
DEFAULT = "lagoon"


class ThemeError(PlylineError):
    """A theme file cannot be used."""


Colour = Annotated[str, Field(pattern=r"^#[0-9a-fA-F]{6}$")]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class BoardColours(_Part):
    light: Colour
    dark: Colour
    frame: Colour
    coordinate: Colour
    last: Colour
    sideline_light: Colour
    sideline_dark: Colour

    def squares(self, sideline: bool) -> tuple[str, str]:
        """Light and dark square."""
        return (self.sideline_light, self.sideline_dark) if sideline else (self.light, self.dark)


class SideColours(_Part):
    fill: Colour
    line: Colour
    detail: Colour
    rim: Colour

    @property
    def piece(self) -> PieceColours:
        return PieceColours(self.fill, self.line, self.detail, self.rim)


class Sides(_Part):
    white: SideColours
    black: SideColours


class StageColours(_Part):
    background: Colour
    panel: Colour
    text: Colour
    quiet: Colour
    rule: Colour
    here: Colour
    here_text: Colour
    sideline: Colour
    sideline_ink: Colour
    caption: Colour
    caption_text: Colour


class MarkColours(_Part):
    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    attack: Colour
    defence: Colour
    plan: Colour
    weakness: Colour
    key_square: Annotated[Colour, Field(alias="key square")]
    route: Colour
    edge_dark: Colour
    edge_light: Colour

    def of(self, role: str) -> str:
        colour: str = getattr(self, role.replace(" ", "_"))
        return colour


class Words(_Part):
    """Words that the picture itself says; translate them in a theme file of your own."""

    sideline: str
    back: str
    hand: str
    think: str
    taken_back: str
    white: str
    black: str
    end: str


class Theme(_Part):
    """Everything about the look that is not size or place. ``fonts`` are tried before ours."""

    name: str
    board: BoardColours
    pieces: Sides
    stage: StageColours
    marks: MarkColours
    words: Words
    fonts: tuple[str, ...] = ()
    logo: str | None = None


def theme_names() -> list[str]:
    """The names of the themes that come with the package."""
    return sorted(
        p.name.removesuffix(".toml") for p in files("overlays").joinpath("themes").iterdir() if p.name.endswith(".toml")
    )


def load_theme(name: str) -> Theme:
    """A theme of ours by name, or a TOML file by path (it must end in ``.toml``).

    Raises ThemeError: no such theme or file, bad TOML, unknown or missing keys,
    a circle of inheritance, or colours that fail ``check_theme``.
    """
    chain = _Chain(name)
    raw = _merged(name, (), chain)
    raw["name"] = Path(name).stem
    try:
        theme = Theme.model_validate(raw)
    except ValidationError as error:
        raise ThemeError(*(_finding(e, chain) for e in error.errors())) from None
    findings = check_theme(theme, chain.place)
    if findings:
        raise ThemeError(*findings)
    return theme


def theme_files(name: str) -> list[Path]:
    """The files that a theme is made of besides ours: its own, those it inherits from, its fonts and logo.

    Raises ThemeError as ``load_theme`` does, but colours are not checked.
    """
    chain = _Chain(name)
    raw = _merged(name, (), chain)
    named = [*raw.get("fonts", ()), *([raw["logo"]] if raw.get("logo") else ())]
    return [*(Path(file) for file in chain.texts), *(Path(str(name)) for name in named)]


@cache
def own_theme(name: str = DEFAULT) -> Theme:
    """A theme that comes with the package, loaded once."""
    return load_theme(name)


@dataclass(frozen=True)
class _Chain:
    """The files that a theme is made of, the last heir first: their text tells where a key stands."""

    name: str
    texts: dict[str, str] = field(default_factory=dict)

    def place(self, *keys: str) -> dict[str, Any]:
        """File and line of the first key that one of the files gives a value, else of a table; for a Finding."""
        paths = [key.split(".") for key in keys]
        for path in paths:
            for file, text in self.texts.items():
                if holds(text, path):
                    return {"file": file, **place_of(text, path)}
        tables = ({"file": f, **place_of(t, p)} for p in paths for f, t in self.texts.items() if place_of(t, p))
        return next(tables, {"file": self.name})


def _finding(error: Any, chain: _Chain) -> Finding:
    key = ".".join(str(p) for p in error["loc"])
    kind, where = error["type"], chain.place(key)
    if kind == "extra_forbidden":
        return Finding("theme-key", f"{key} is no key of a theme", fix="remove it, or see the keys of ours", **where)
    if kind == "missing":
        return Finding("theme-key", f"{key} is missing", fix='add it, or begin with inherits = "lagoon"', **where)
    return Finding(
        "theme-value",
        f"{key} = {error['input']!r} cannot be used",
        fix="write a colour as #rrggbb, words in quotes",
        **where,
    )


def _beside(value: Any, folder: Path) -> Any:
    if isinstance(value, list):
        return [str(folder / str(v)) for v in value]
    return str(folder / str(value))


def _merged(name: str, below: tuple[str, ...], chain: _Chain) -> dict[str, Any]:
    """The raw tables with everything inherited; paths in it lead from the current folder. ``chain`` takes the files."""
    if name in below:
        raise ThemeError.of(
            "theme-circle", f"themes inherit in a circle: {' <- '.join((*below, name))}", **chain.place("inherits")
        )
    folder: Path | None = None
    if name.endswith(".toml"):
        folder = Path(name).parent
        try:
            data = Path(name).read_bytes()
        except OSError as error:
            where = _inherits(chain, below) or {"file": name}
            said = f"the theme file {Path(name).name} cannot be read: {error.strerror}"
            raise ThemeError.of("no-theme", said, fix="check the name and the folder", **where) from None
    elif name in theme_names():
        data = files("overlays").joinpath("themes", f"{name}.toml").read_bytes()
    else:
        raise ThemeError.of(
            "no-theme",
            f"there is no theme {name!r}",
            fix=f"choose {', '.join(theme_names())} or give a .toml file",
            **_inherits(chain, below),
        )
    text = data.decode("utf-8-sig", errors="replace")
    try:
        raw = tomllib.loads(data.decode("utf-8-sig"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        message, where = fault_of(error, text)
        raise ThemeError.of("bad-toml", f"the theme is not TOML: {message}", file=name, **where) from None
    if folder is not None:
        chain.texts[name] = text
    parent = raw.pop("inherits", DEFAULT if folder is not None else None)
    if folder is not None:
        raw.update({key: _beside(raw[key], folder) for key in ("fonts", "logo") if key in raw})
        if str(parent).endswith(".toml"):
            parent = str(folder / str(parent))
    return raw if parent is None else _laid_over(_merged(str(parent), (*below, name), chain), raw)


def _inherits(chain: _Chain, below: Sequence[str]) -> dict[str, Any]:
    """Where the heir names what it inherits from; empty where there is no heir."""
    return {"file": below[-1], **place_of(chain.texts[below[-1]], ("inherits",))} if below else {}


def _laid_over(under: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    result = dict(under)
    for key, value in over.items():
        below = result.get(key)
        result[key] = _laid_over(below, value) if isinstance(value, dict) and isinstance(below, dict) else value
    return result


def check_theme(theme: Theme, place: Callable[..., dict[str, Any]] | None = None) -> list[Finding]:
    """What a viewer could not see well. Empty when the theme is good. ``place`` tells where a theme's keys stand.

    Pieces: fill, outline or rim at least 3:1 on all four square colours, White's
    fill 3:1 to Black's (WCAG 2.2, 1.4.11). Marks: the colour or one of its two
    edges 3:1 on all squares; at least 10 CIEDE2000 apart for normal, protan,
    deutan and tritan vision (limit ours). Text 4.5:1 (WCAG 2.2, 1.4.3). Squares
    at least 1.8:1 apart (limit ours). The change to the sideline's squares stays
    under what WCAG 2.2 counts as a flash, the sideline's colour has 3:1 to frame
    and background.
    """
    where = place or (lambda *keys: {"file": theme.name})
    return [
        Finding("theme-contrast", message, fix="make one of the two lighter or darker", **where(*keys))
        for message, *keys in _contrast_faults(theme)
    ] + [
        Finding("theme-marks-alike", message, fix="choose marks that differ more in lightness", **where(*keys))
        for message, *keys in _alike(theme)
    ]


def _contrast_faults(theme: Theme) -> Iterator[tuple[str, ...]]:
    """Each fault: what is wrong, then the keys that may be to blame."""
    board, stage, marks = theme.board, theme.stage, theme.marks
    squares = {
        "board.light": board.light,
        "board.dark": board.dark,
        "board.sideline_light": board.sideline_light,
        "board.sideline_dark": board.sideline_dark,
    }

    def fault(what: str, value: float, least: float) -> str:
        return f"{what}: contrast {value:.2f}, needs {least:g}"

    for side in ("white", "black"):
        piece: SideColours = getattr(theme.pieces, side)
        keys = [f"pieces.{side}.{part}" for part in ("fill", "line", "rim")]
        for name, square in squares.items():
            best = max(palette.contrast(c, square) for c in (piece.fill, piece.line, piece.rim))
            if best < GRAPHIC:
                yield fault(f"pieces.{side} on {name} {square}", best, GRAPHIC), *keys, name
        inner = palette.contrast(piece.fill, piece.detail)
        if inner < GRAPHIC:
            yield fault(f"pieces.{side}.detail on its fill", inner, GRAPHIC), f"pieces.{side}.detail", keys[0]
    sides = palette.contrast(theme.pieces.white.fill, theme.pieces.black.fill)
    if sides < GRAPHIC:
        both = "pieces.white.fill", "pieces.black.fill"
        yield fault(" to ".join(both), sides, GRAPHIC), *both
    for role in ROLES:
        for name, square in squares.items():
            best = max(palette.contrast(c, square) for c in (marks.of(role), marks.edge_dark, marks.edge_light))
            if best < GRAPHIC:
                keys = [f"marks.{role}", "marks.edge_dark", "marks.edge_light", name]
                yield fault(f"marks.{role} on {name} {square}", best, GRAPHIC), *keys
    for name, ground in (("board.frame", board.frame), ("stage.background", stage.background)):
        value = palette.contrast(stage.sideline, ground)
        if value < GRAPHIC:
            yield fault(f"stage.sideline on {name}", value, GRAPHIC), "stage.sideline", name
    for name, one, other in (("light", board.light, board.sideline_light), ("dark", board.dark, board.sideline_dark)):
        jump = abs(palette.luminance(one) - palette.luminance(other))
        if jump >= FLASH:
            first, second = f"board.{name}", f"board.sideline_{name}"
            yield f"{first} to {second}: luminance changes by {jump:.2f}, must stay under {FLASH}", first, second
    for pair in (("light", "dark"), ("sideline_light", "sideline_dark")):
        apart = palette.contrast(getattr(board, pair[0]), getattr(board, pair[1]))
        if apart < SQUARES:
            first, second = f"board.{pair[0]}", f"board.{pair[1]}"
            yield fault(f"{first} to {second}", apart, SQUARES), first, second
    for on, under in (
        ("board.coordinate", "board.frame"),
        ("stage.text", "stage.panel"),
        ("stage.text", "stage.background"),
        ("stage.quiet", "stage.panel"),
        ("stage.quiet", "stage.background"),
        ("stage.here_text", "stage.here"),
        ("stage.sideline_ink", "stage.sideline"),
        ("stage.caption_text", "stage.caption"),
    ):
        ink, paper = (attrgetter(key)(theme) for key in (on, under))
        value = palette.contrast(ink, paper)
        if value < TEXT:
            yield fault(f"{on} on {under} ({ink} on {paper})", value, TEXT), on, under


def _alike(theme: Theme) -> Iterator[tuple[str, ...]]:
    for vision in palette.VISIONS:
        for i, one in enumerate(ROLES):
            for other in ROLES[i + 1 :]:
                apart = palette.difference(theme.marks.of(one), theme.marks.of(other), vision)
                if apart < APART:
                    first, second = f"marks.{one}", f"marks.{other}"
                    yield (
                        f"{first} and {second} look alike ({vision} vision): CIEDE2000 {apart:.1f}, needs {APART:g}",
                        first,
                        second,
                    )
