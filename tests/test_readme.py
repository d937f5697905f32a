"""What the README shows a teacher is true of the code."""

from __future__ import annotations

import io
import re
from pathlib import Path

from pydantic import BaseModel
from ruamel.yaml import YAML
from typer.main import get_command

from overlays.stage import load_stage
from overlays.theme import load_theme
from timeline.cli import app
from timeline.lesson import Lesson

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")


def _example() -> dict:
    (block,) = re.findall(r"```yaml\n(.*?)```", README, flags=re.S)
    return YAML(typ="safe").load(io.StringIO(block))


def test_the_lesson_file_of_the_readme_is_valid() -> None:
    assert Lesson.model_validate(_example()).title


def test_every_key_of_the_lesson_file_is_in_the_readme() -> None:
    """Top level and the settings below it; models name them, so a new key cannot be forgotten."""
    shown = _example()
    for name, field in Lesson.model_fields.items():
        assert (field.alias or name) in shown, name
        inner = field.annotation
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            for key, part in inner.model_fields.items():
                assert (part.alias or key) in shown[name], f"{name}: {key}"


def test_the_theme_and_the_layout_of_the_readme_can_be_used(tmp_path: Path) -> None:
    theme, layout = re.findall(r"```toml\n(.*?)```", README, flags=re.S)
    (tmp_path / "club.toml").write_text(theme, encoding="utf-8")
    (tmp_path / "mirrored.toml").write_text(layout, encoding="utf-8")
    assert load_theme(str(tmp_path / "club.toml")).words.sideline == "nicht gespielt"
    for captions in (False, True):
        stage = load_stage(str(tmp_path / "mirrored.toml"), "720p", captions=captions)
        assert stage.board.x > stage.width // 2 - stage.width // 10


def test_every_command_of_the_program_is_in_the_readme() -> None:
    for name in get_command(app).commands:  # type: ignore[attr-defined]
        assert re.search(rf"`[^`]*\b{name}\b[^`]*`", README), name
