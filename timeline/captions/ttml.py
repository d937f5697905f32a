"""TTML in the IMSC 1.1 text profile (W3C TTML Profiles for Internet Media Subtitles and Captions 1.1), written here.

The libraries that write TTML lay every cue out anew or leave the profile
unnamed; the format needs little.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from timeline.captions.webvtt import is_right_to_left
from timeline.captions.writers import About, Place, caption_writer, stamp
from timeline.tracks import Caption

_PROFILE = "http://www.w3.org/ns/ttml/profile/imsc1.1/text"
_BOTTOM = Place(12.5, 80, 75, 15)  # inside the central 75 % by 90 % (BBC Subtitle Guidelines 1.2.5, section 10)


@caption_writer(".ttml")
def write_ttml(captions: Sequence[Caption], about: About) -> str:
    """One region, one ``p`` for each caption with begin and end in media time. Speakers become agents."""
    place = about.place or _BOTTOM
    speakers = list(dict.fromkeys(c.speaker for c in captions if c.speaker))
    agents = {name: f"speaker{n}" for n, name in enumerate(speakers, 1)} if len(speakers) > 1 else {}
    middle = abs(place.left + place.width / 2 - 50) < 2
    head = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<tt xmlns="http://www.w3.org/ns/ttml" xmlns:ttp="http://www.w3.org/ns/ttml#parameter" '
        f'xmlns:tts="http://www.w3.org/ns/ttml#styling" xmlns:ttm="http://www.w3.org/ns/ttml#metadata" '
        f'ttp:contentProfiles="{_PROFILE}" ttp:timeBase="media" ttp:cellResolution="40 24" '
        f'xml:lang={quoteattr(about.language)} xml:space="default">',
        "  <head>",
        "    <metadata>",
        f"      <ttm:title>{escape(_one_line(about.title))}</ttm:title>",
        *(
            f'      <ttm:agent xml:id="{ident}" type="person"><ttm:name type="full">{escape(_one_line(name))}</ttm:name></ttm:agent>'
            for name, ident in agents.items()
        ),
        "    </metadata>",
        "    <styling>",
        '      <style xml:id="caption" tts:color="white" tts:backgroundColor="#000000c8" tts:fontFamily="proportionalSansSerif" '
        'tts:fontSize="100%" tts:lineHeight="125%" tts:textAlign="' + ("center" if middle else "start") + '"/>',
        "    </styling>",
        "    <layout>",
        f'      <region xml:id="captions" tts:origin="{place.left:g}% {place.top:g}%" '
        f'tts:extent="{min(place.width, 100 - place.left):g}% {min(place.height, 100 - place.top):g}%" '
        f'tts:displayAlign="after" tts:overflow="visible"/>',
        "    </layout>",
        "  </head>",
        '  <body region="captions" style="caption">',
        "    <div>",
    ]
    rows = []
    for number, caption in enumerate(captions, 1):
        text = "<br/>".join(escape(line) for line in caption.text.split("\n"))
        direction = ' tts:direction="rtl" tts:unicodeBidi="embed"' if is_right_to_left(caption.text) else ""
        if direction:
            text = f"<span{direction}>{text}</span>"
        agent = f' ttm:agent="{agents[caption.speaker]}"' if caption.speaker in agents else ""
        rows.append(
            f'      <p xml:id="c{number}" begin="{stamp(caption.start_ms)}" end="{stamp(caption.end_ms)}"{agent}>{text}</p>'
        )
    return "\n".join([*head, *rows, "    </div>", "  </body>", "</tt>"]) + "\n"


def _one_line(text: str) -> str:
    """Text without what XML 1.0 cannot hold (2.2)."""
    return re.sub("[\x00-\x1f\ud800-\udfff\ufffe\uffff]+", " ", text).strip()
