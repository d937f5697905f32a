"""A lesson folder of two moves, and the command line over it."""

from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner

from timeline.cli import app

PGN = '[White "A"]\n[Black "B"]\n\n1. e4 e5 2. Nf3 Nc6 *\n'
TALK = "[0:00] White begins with e4, and Black answers e5.\n[0:08] Then knight f3, knight c6. That is all.\n"


def run(*arguments: object):
    return CliRunner().invoke(app, [str(a) for a in arguments])


def small_lesson(folder: Path) -> Path:
    folder.mkdir()
    (folder / "game.pgn").write_text(PGN)
    (folder / "talk.txt").write_text(TALK)
    (folder / "lesson.yaml").write_text('title: x & <y>\nscore: game.pgn\ntranscript: talk.txt\nlength: "0:20"\n')
    return folder
