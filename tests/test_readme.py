"""What the README shows a teacher is true of the code."""

from __future__ import annotations

import io
import re
from pathlib import Path

from pydantic import BaseModel
from ruamel.yaml import YAML
from typer.main import get_command

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


def test_every_command_of_the_program_is_in_the_readme() -> None:
    for name in get_command(app).commands:  # type: ignore[attr-defined]
        assert re.search(rf"`[^`]*\b{name}\b[^`]*`", README), name
