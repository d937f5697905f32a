"""SubRip (SRT) through the ``srt`` library. There is no standard; what is written here every reader takes alike."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import timedelta

import srt

from timeline.captions.writers import About, caption_writer
from timeline.tracks import Caption

_TAG = re.compile(r"<(?=[/!?A-Za-z])")


@caption_writer(".srt")
def write_subrip(captions: Sequence[Caption], about: About) -> str:
    r"""Numbered from 1, LF, one blank line between captions. Lost: places, and who speaks beyond what the text says.

    SRT has no escapes: what a reader would take for markup or times ("<b",
    "{\an8}", "-->") is written with look-alike characters.
    """
    return str(
        srt.compose(
            (
                srt.Subtitle(n, timedelta(milliseconds=c.start_ms), timedelta(milliseconds=c.end_ms), _plain(c.text))
                for n, c in enumerate(captions, 1)
            ),
            reindex=False,
        )
    )


def _plain(text: str) -> str:
    """The text without what a reader takes for a tag, a style code or a time line."""
    return _TAG.sub("‹", text.replace("-->", "→")).replace("{\\", "(\\")
