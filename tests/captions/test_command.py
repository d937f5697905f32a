"""``plyline captions``: the files, the report, refusals and edits through a new follow, the translator."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import srt
from smalllesson import TALK, run

from timeline.build import build
from timeline.steps import STEPS


def test_the_command_writes_every_form(folder: Path):
    done = run("captions", folder)
    assert done.exit_code == 0
    names = {p.name for p in (folder / "out").iterdir()}
    assert names == {
        "captions.srt",
        "captions.vtt",
        "captions.ttml",
        "captions.txt",
        "captions.html",
        "descriptions.vtt",
    }
    assert "<h1>x &amp; &lt;y&gt;</h1>" in (folder / "out/captions.html").read_text(encoding="utf-8")
    assert "line:" in (folder / "out/captions.vtt").read_text(encoding="utf-8")


def test_mark_and_line_ends_on_request(folder: Path):
    (folder / "lesson.yaml").write_text((folder / "lesson.yaml").read_text() + "captions: {bom: true, crlf: true}\n")
    assert run("captions", folder).exit_code == 0
    for path in (folder / "out").iterdir():
        data = path.read_bytes()
        assert data.startswith(b"\xef\xbb\xbf"), path.name
        assert b"\n" not in data.replace(b"\r\n", b""), path.name


def test_the_report_on_the_terminal_and_as_json(folder: Path):
    shown = run("captions", folder, "--report")
    assert shown.exit_code == 0
    assert "characters a second" in shown.stdout
    assert "no words mended" in shown.stdout
    assert "   begins  seconds  chars/s  words/min   gap\n" in shown.stdout
    data = json.loads(run("captions", folder, "--report", "--json").stdout)
    assert {"start_ms", "end_ms", "text", "cps", "wpm", "gap_ms", "broken"} <= set(data["captions"][0])
    assert " ".join(w["text"] for w in data["words"]).startswith("White begins with e4,")


def test_what_a_person_wrote_and_finds_no_place_is_told_without_asking(folder: Path):
    """A lost edit, a refusal that meets nothing and a label after the end are told by the plain command, also when nothing is
    made anew, and by a build, once each."""
    own = """captions:
  edits: [{at: "9:00", text: Lost}]
  refuse: [{heard: night}]
  labels: [{at: "8:00", text: clock}]
"""
    (folder / "lesson.yaml").write_text((folder / "lesson.yaml").read_text() + own)
    codes = ("edit-without-words", "refusal-unused", "label-after-end")
    told = [f.code for f in build(folder, STEPS).findings]  # those of a whole build, but for the film
    assert [told.count(code) for code in codes] == [1, 1, 1]
    (folder / "out/captions.srt").unlink()
    for _ in ("made", "up to date"):
        done = run("captions", folder)
        assert done.exit_code == 0
        assert [done.stderr.count(f"[{code}]") for code in codes] == [1, 1, 1]
    assert "edit-without-words" not in run("captions", folder, "--quiet").stderr


def test_what_was_restored_is_told(folder: Path):
    (folder / "talk.txt").write_text(TALK.lower().replace(",", "").replace(".", ""))
    assert "restored: " in run("captions", folder, "--report").stdout
    data = json.loads(run("captions", folder, "--report", "--json").stdout)
    assert data["words"][0] == {
        "start_ms": 0,
        "end_ms": data["words"][0]["end_ms"],
        "text": "White",
        "restored": ["capital"],
        "from": "word",
    }


def test_to_the_translator_and_back(folder: Path, tmp_path: Path):
    file = tmp_path / "talk.fr.xlf"
    assert run("captions", folder, "--hand-off", file, "--into", "fr").exit_code == 0
    assert run("captions", folder, "--hand-off", file, "--into", "fr").exit_code == 2  # never over a translation
    text = file.read_text(encoding="utf-8")
    for line in text.splitlines():
        if "<source>" in line:
            text = text.replace(line, line + "\n" + line.replace("source>", "target>").replace("White", "Les Blancs"))
    file.write_text(text, encoding="utf-8")
    done = run("captions", folder, "--take-back", file)
    assert done.exit_code == 0, done.output
    back = (folder / "out/captions.fr.srt").read_text(encoding="utf-8")
    assert "Les Blancs begins with e4" in back
    ours = list(srt.parse(back))
    assert run("captions", folder).exit_code == 0
    own = list(srt.parse((folder / "out/captions.srt").read_text(encoding="utf-8")))
    assert [(s.start, s.end) for s in ours] == [(s.start, s.end) for s in own]
    assert (folder / "out/captions.fr.vtt").is_file()


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--hand-off", "x.xlf"], "into which language?"),
        (["--hand-off", "x.xlf", "--into", "../fr"], "is not a language"),
        (["--into", "fr"], "--into belongs to --hand-off"),
        (["--hand-off", "x.xlf", "--take-back", "y.xlf"], "not both at once"),
        (["--take-back", "nowhere.xlf"], "cannot be read"),
        (["--take-back", "."], "cannot be read"),
    ],
)
def test_wrong_orders_end_with_two(folder: Path, options: list[str], says: str, monkeypatch):
    monkeypatch.chdir(folder)
    done = run("captions", folder, *options)
    assert done.exit_code == 2
    assert says in done.stderr
    assert not (folder / "x.xlf").exists()


def test_what_is_handed_off_is_what_the_captions_file_holds_and_its_making_is_told(folder: Path):
    done = run("captions", folder, "--hand-off", folder / "talk.fr.xlf", "--into", "fr")
    assert done.exit_code == 0
    assert f"wrote {folder / 'out/captions.srt'}" in done.output
    texts = [" ".join(s.content.split()) for s in srt.parse((folder / "out/captions.srt").read_text(encoding="utf-8"))]
    assert f"{len(texts)} captions; afterwards" in done.output


def test_without_a_transcript_there_is_nothing_to_hand_off(folder: Path):
    text = (folder / "lesson.yaml").read_text().replace("transcript: talk.txt\n", "")
    (folder / "lesson.yaml").write_text(text)
    done = run("captions", folder, "--hand-off", folder / "x.xlf", "--into", "fr")
    assert done.exit_code == 2
    assert "no transcript" in done.stderr


def test_descriptions_are_english_and_their_absence_is_told(folder: Path):
    (folder / "lesson.yaml").write_text((folder / "lesson.yaml").read_text() + "language: de\n")
    done = run("captions", folder)
    assert done.exit_code == 0
    assert "note[no-descriptions]" in done.stderr
    assert not (folder / "out/descriptions.vtt").exists()


def captioned(folder: Path) -> str:
    assert run("captions", folder, "-q").exit_code == 0
    return (folder / "out/captions.srt").read_text(encoding="utf-8")


def test_edits_and_refusals_stay_through_another_follow(folder: Path):
    talk = folder / "talk.txt"
    talk.write_text(talk.read_text().replace("knight f3", "night f3"))
    assert "knight f3" in captioned(folder)
    own = """captions:
  refuse: [{heard: night}]
  edits:
    - {at: "0:00", text: White opens with the king pawn.}  # mine
"""
    (folder / "lesson.yaml").write_text((folder / "lesson.yaml").read_text() + own)
    before = captioned(folder)
    assert "White opens with the king pawn." in before
    assert "night f3" in before.replace("knight", "")
    assert run("follow", folder, "-q").exit_code == 0
    assert "# mine" in (folder / "lesson.yaml").read_text()
    talk.write_text(talk.read_text().replace("That is all", "And that is all"))  # another transcript of the same talk
    assert run("follow", folder, "-q").exit_code == 0
    after = captioned(folder)
    assert "White opens with the king pawn." in after
    assert "night f3" in after.replace("knight", "")
    assert "And that is all." in after


def test_declared_speakers_in_brackets_are_names_not_words(folder: Path):
    (folder / "talk.txt").write_text("[0:00] [Anna] White begins with e4.\n[0:08] [Ben] And Black answers e5.\n")
    assert run("captions", folder).exit_code == 0
    assert "[Anna] White begins" in (folder / "out/captions.srt").read_text()
    with (folder / "lesson.yaml").open("a") as file:
        file.write("captions:\n  speakers: {Anna: Anna Oak, Ben: Ben}\n")
    assert run("captions", folder).exit_code == 0
    written = (folder / "out/captions.srt").read_text()
    assert "ANNA OAK: White begins" in written
    assert "BEN: And Black answers" in written
    assert "[" not in written
