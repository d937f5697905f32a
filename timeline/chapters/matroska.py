"""Matroska chapters as XML, as the usual muxers read it.

Elements of RFC 9559, section 5.1.7; the form of the time text is from memory.
"""

from __future__ import annotations

import hashlib
from xml.sax.saxutils import escape

from timeline.chapters.writers import ChapterList, chapter_writer

# ISO 639-2 bibliographic codes of frequent languages; any other is "und", and the BCP 47 tag beside it decides.
_ISO_639_2 = {
    "cs": "cze", "da": "dan", "de": "ger", "en": "eng", "es": "spa", "fi": "fin", "fr": "fre", "hu": "hun",
    "it": "ita", "nl": "dut", "no": "nor", "pl": "pol", "pt": "por", "ro": "rum", "ru": "rus", "sv": "swe",
}  # fmt: skip


@chapter_writer(".xml")
def write_matroska_chapters(chapters: ChapterList) -> str:
    """One default edition; UIDs are made from the content, so equal chapters give equal bytes. Ends are exclusive."""
    code = _ISO_639_2.get(chapters.language.split("-")[0].lower(), "und")
    edition = _uid("edition", *(f"{c.start_ms} {c.title}" for c in chapters.chapters))
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        "<Chapters>",
        "  <EditionEntry>",
        f"    <EditionUID>{edition}</EditionUID>",
        "    <EditionFlagDefault>1</EditionFlagDefault>",
    ]
    for chapter, end in chapters.ends():
        lines += [
            "    <ChapterAtom>",
            f"      <ChapterUID>{_uid(str(chapter.start_ms), chapter.title)}</ChapterUID>",
            f"      <ChapterTimeStart>{_stamp(chapter.start_ms)}</ChapterTimeStart>",
            f"      <ChapterTimeEnd>{_stamp(end)}</ChapterTimeEnd>",
            "      <ChapterDisplay>",
            f"        <ChapterString>{escape(chapter.title)}</ChapterString>",
            f"        <ChapterLanguage>{code}</ChapterLanguage>",
            f"        <ChapLanguageIETF>{escape(chapters.language)}</ChapLanguageIETF>",
            "      </ChapterDisplay>",
            "    </ChapterAtom>",
        ]
    return "\n".join([*lines, "  </EditionEntry>", "</Chapters>"]) + "\n"


def _uid(*parts: str) -> int:
    """A nonzero 63-bit number."""
    digest = hashlib.blake2b("\0".join(parts).encode(), digest_size=8).digest()
    return int.from_bytes(digest, "big") >> 1 or 1


def _stamp(ms: int) -> str:
    """``HH:MM:SS.nnnnnnnnn``."""
    minutes, rest = divmod(ms, 60_000)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{rest // 1000:02d}.{rest % 1000:03d}000000"
