"""Programs that did not write our files judge them: npm's validators, a browser's parser, FFmpeg, PyAV.

Where they come from: npm ``srt-validator`` 6.0.4, ``webvtt`` 0.0.2 (the W3C
community's parser for the command line), ``xliff`` 6.4.0; Chromium and FFmpeg
from the system's packages.
"""

from __future__ import annotations

import html
import json
import re
import subprocess
from pathlib import Path

import av
import pytest
import srt
from talking import caption, words_of

from timeline.buildtracks import build_tracks
from timeline.captions import About, Place, writer_for
from timeline.captions.described import describe, write_descriptions
from timeline.captions.handoff import write_handoff
from timeline.captions.rules import rules_for
from timeline.chapters import ChapterList
from timeline.chapters import writer_for as chapter_writer
from timeline.lesson import CueSpec, MarkSpec
from timeline.score import read_score
from timeline.tracks import Caption, Chapter

GOLDEN = Path(__file__).parents[1] / "data/demo/golden"
SCORE = read_score("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 *\n")
TALK = """ANNA: White begins with e4, and Black answers e5. / / BEN: Why not <b>d5</b> & c5 --> e6?
 ANNA: Then knight f3, and knight c6. / / / Here the bishop looks at a4 ♗ 👍 and השח waits."""
CAPTIONS = caption(TALK, SCORE).captions
ABOUT = About("A & B", place=Place(12.5, 81.25, 75, 13.75))
CHAPTERS = (Chapter(0, "Start & go"), Chapter(12_000, "<Middle>"), Chapter(40_000, "-->"))


def description_cues():
    words = words_of(TALK)
    cues = (CueSpec(at=1000, show="2w"), CueSpec(at=6000, marks=(MarkSpec(square="d6 e5", role="weakness"),)),
            CueSpec(at=9000, show="start"))  # fmt: skip
    tracks = build_tracks(SCORE, cues, 60_000)
    return describe(tracks.board, tracks.marks, words, [w.text for w in words], end_ms=60_000)


def run(*command: object, **options) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(c) for c in command], capture_output=True, text=True, check=False, timeout=120, **options
    )


# -- npm
def node(package: str, code: str, file: Path) -> str:
    """Code run by node with the package as ``m`` and the file's text as ``text``."""
    head = "const m = require(process.argv[1]); const text = require('fs').readFileSync(process.argv[2], 'utf8');"
    done = run("node", "-e", head + code, package, file)
    assert done.returncode == 0, done.stderr
    return done.stdout


SRT_ERRORS = "console.log(JSON.stringify((m.default || m)(text)));"


@pytest.mark.referee("npm:srt-validator")
@pytest.mark.parametrize("source", ["odd", "demo"])
def test_srt_validator_finds_nothing(source: str, referee_path, tmp_path: Path):
    path = tmp_path / "a.srt"
    path.write_bytes(
        writer_for(".srt")(CAPTIONS).encode() if source == "odd" else (GOLDEN / "captions.srt").read_bytes()
    )
    assert json.loads(node(referee_path("npm:srt-validator"), SRT_ERRORS, path)) == []


@pytest.mark.referee("npm:srt-validator")
def test_srt_validator_can_say_no(referee_path, tmp_path: Path):
    path = tmp_path / "a.srt"
    path.write_text("1\n00:00:05,000 --> 00:00:01,000\nx\n\n")
    assert json.loads(node(referee_path("npm:srt-validator"), SRT_ERRORS, path)) != []


def tracks() -> dict[str, str]:
    chapters = ChapterList(CHAPTERS, 60_000, "A & B", "en")
    return {
        "captions": writer_for(".vtt")(CAPTIONS, ABOUT),
        "chapters": chapter_writer(".vtt")(chapters),
        "descriptions": write_descriptions(description_cues()),
        "demo": (GOLDEN / "captions.vtt").read_text(encoding="utf-8"),
        "demo chapters": (GOLDEN / "chapters.vtt").read_text(encoding="utf-8"),
    }


@pytest.mark.referee("npm:webvtt")
@pytest.mark.parametrize("name", ["captions", "chapters", "descriptions", "demo", "demo chapters"])
def test_webvtt_parser_accepts(name: str, referee_path, tmp_path: Path):
    path = tmp_path / "a.vtt"
    path.write_text(tracks()[name], encoding="utf-8")
    done = run("node", Path(referee_path("npm:webvtt")) / "bin/webvtt.js", path)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.referee("npm:webvtt")
def test_webvtt_parser_can_say_no(referee_path, tmp_path: Path):
    path = tmp_path / "a.vtt"
    path.write_text("WEBVTT\n\n1\n00:01.000 --> 00:02.000\nA & B\n")
    assert run("node", Path(referee_path("npm:webvtt")) / "bin/webvtt.js", path).returncode != 0


@pytest.mark.referee("npm:xliff")
def test_another_reader_takes_the_hand_off(referee_path, tmp_path: Path):
    path = tmp_path / "a.xlf"
    text = write_handoff(CAPTIONS, language="en", into="fr", rules=rules_for("online"), names=["Anna"])
    path.write_text(text, encoding="utf-8")
    read = json.loads(
        node(referee_path("npm:xliff"), "m.xliff2js(text, (e, r) => console.log(JSON.stringify(r)));", path)
    )
    assert (read["sourceLanguage"], read["targetLanguage"]) == ("en", "fr")
    units = read["resources"]["captions"]
    assert list(units) == [f"c{n}" for n in range(1, len(CAPTIONS) + 1)]
    for n, unit in enumerate(
        units.values(), 1
    ):  # its reader passes over annotations: the rest is the text without them
        source = re.search(rf'<unit id="c{n}".*?<source>(.*?)</source>', text, re.DOTALL)
        rest = html.unescape(re.sub(r"<mrk[^>]*>[^<]*</mrk>", "", source[1] if source else "?"))
        assert "".join(unit["source"]) == rest


# -- Chromium
def in_chromium(program: str, files: list[tuple[str, str]], folder: Path) -> list[list[dict[str, object]]]:
    page = Path(__file__).with_name("tracks.html").read_text(encoding="utf-8")
    data = json.dumps(files).replace("<", "\\u003c")
    (folder / "page.html").write_text(page.replace("/*TRACKS*/[]", data), encoding="utf-8")
    done = run(
        program, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", f"--user-data-dir={folder / 'p'}",
        "--virtual-time-budget=20000", "--dump-dom", (folder / "page.html").as_uri(),
    )  # fmt: skip
    shown = re.search(r'<pre id="found">(.*?)</pre>', done.stdout, re.DOTALL)
    assert shown is not None, done.stdout[-2000:] + done.stderr[-2000:]
    return json.loads(html.unescape(shown[1]))


@pytest.mark.referee("chromium")
def test_a_browsers_cue_lists_are_ours(referee_path, tmp_path: Path):
    """The HTML standard's text tracks: kinds captions, chapters and descriptions, parsed by the browser itself."""
    texts = tracks()
    kinds = [("captions", "captions"), ("chapters", "chapters"), ("descriptions", "descriptions"), ("captions", "demo")]
    found = in_chromium(referee_path("chromium"), [(kind, texts[name]) for kind, name in kinds], tmp_path)
    captions, chapters, descriptions, demo = found
    assert [(c["start"], c["end"], c["text"]) for c in captions] == [(c.start_ms, c.end_ms, c.text) for c in CAPTIONS]
    assert {(c["line"], c["position"], c["size"], c["align"]) for c in captions} == {(81.25, 50, 75, "center")}
    assert [c["voices"] for c in captions] == [[c.speaker] for c in CAPTIONS]
    assert [(c["start"], c["text"]) for c in chapters] == [(c.start_ms, c.title) for c in CHAPTERS]
    assert [c["end"] for c in chapters] == [12_000, 40_000, 60_000]
    wanted = description_cues()
    assert [(d["start"], d["end"], d["text"]) for d in descriptions] == [(d.start_ms, d.end_ms, d.text) for d in wanted]
    assert [d["classes"] == ["extended"] for d in descriptions] == [d.extended for d in wanted]
    own = list(srt.parse((GOLDEN / "captions.srt").read_text(encoding="utf-8")))
    assert [(round(s.start.total_seconds() * 1000), s.content) for s in own] == [(c["start"], c["text"]) for c in demo]


# -- soft subtitles
def embedded(path: Path) -> list[tuple[int, int, str]]:
    """Start and end in ms and text of each subtitle, by PyAV; FFmpeg writes CRLF inside a text."""
    found = []
    with av.open(str(path)) as container:
        stream = container.streams.subtitles[0]
        for packet in container.demux(stream):
            data = bytes(packet)
            if packet.pts is None or not data:
                continue
            if stream.codec_context.name in ("mov_text", "mov_text_decoder"):
                data = data[2 : 2 + int.from_bytes(data[:2], "big")]
            if data:
                begin = round(packet.pts * packet.time_base * 1000)
                end = round((packet.pts + packet.duration) * packet.time_base * 1000)
                found.append((begin, end, data.decode().replace("\r\n", "\n").strip("\n")))
    return found


PLAIN = [Caption(c.start_ms, c.end_ms, c.text.replace("<", "(").replace(">", ")")) for c in CAPTIONS]


@pytest.mark.referee("ffmpeg")
@pytest.mark.parametrize(("suffix", "codec", "box"), [(".srt", "mov_text", ".mp4"), (".srt", "srt", ".mkv")])
def test_soft_subtitles_embedded_by_ffmpeg_are_read_back(
    suffix: str, codec: str, box: str, referee_path, tmp_path: Path
):
    """FFmpeg reads our file and puts it into MP4 (3GPP timed text) and Matroska; PyAV reads those."""
    source, out = tmp_path / f"a{suffix}", tmp_path / f"a{box}"
    source.write_text(writer_for(suffix)(PLAIN), encoding="utf-8")
    done = run(referee_path("ffmpeg"), "-v", "error", "-i", source, "-c:s", codec, out)
    assert (done.returncode, done.stderr) == (0, "")
    assert embedded(out) == [
        (c.start_ms, c.end_ms, writer_for(suffix)([c]).split("\n", 2)[2].strip("\n")) for c in PLAIN
    ]


@pytest.mark.referee("ffmpeg")
def test_webvtt_copied_by_ffmpeg_keeps_texts_and_times(referee_path, tmp_path: Path):
    source, out = tmp_path / "a.vtt", tmp_path / "b.vtt"
    source.write_text(writer_for(".vtt")(CAPTIONS, ABOUT), encoding="utf-8")
    done = run(referee_path("ffmpeg"), "-v", "error", "-i", source, "-c:s", "copy", out)
    assert (done.returncode, done.stderr) == (0, "")
    copied = re.findall(r"([\d:.]+) --> ([\d:.]+)[^\n]*\n(.+?)\n\n", out.read_text(encoding="utf-8") + "\n", re.DOTALL)
    assert len(copied) == len(CAPTIONS)
    assert [text for _, _, text in copied] == [
        block.split("\n", 2)[2].rstrip("\n") for block in writer_for(".vtt")(CAPTIONS, ABOUT).split("\n\n")[1:]
    ]
