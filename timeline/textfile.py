"""Text files that people hand us: their encoding found, their size bounded."""

from __future__ import annotations

import codecs
from pathlib import Path

from timeline.problems import PlylineError

MAX_BYTES = 20_000_000
"""A ten-hour talk is under one megabyte of text; more is not a transcript or a score."""


def decode_text(data: bytes) -> str:
    """Text from UTF-8 (with or without BOM), UTF-16 with BOM or evident, else Windows-1252.

    Line ends become LF. Windows-1252 leaves no byte undecoded: its five
    unassigned bytes are read as Latin-1 (as the WHATWG Encoding Standard does).
    """
    if data.startswith(codecs.BOM_UTF8):
        text = data.decode("utf-8-sig", errors="replace")
    elif data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        text = data.decode("utf-16", errors="replace")
    elif len(data) >= 4 and data[:64:2].count(0) + data[1:64:2].count(0) > min(len(data), 64) // 4:
        big_endian = data[:64:2].count(0) > data[1:64:2].count(0)
        text = data.decode("utf-16-be" if big_endian else "utf-16-le", errors="replace")
    else:
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            text = "".join(chr(b) if b in (0x81, 0x8D, 0x8F, 0x90, 0x9D) else bytes([b]).decode("cp1252") for b in data)
    return text.replace("\r\n", "\n").replace("\r", "\n")


def read_text(path: Path, error: type[PlylineError], *, name: str | None = None) -> str:
    """The text of a file; raises ``error`` when it is missing, empty, a folder or too large."""
    name = name or path.name
    try:
        size = path.stat().st_size
        if path.is_dir():
            raise error.of("not-a-file", "this is a folder, not a file", file=name)
        if size > MAX_BYTES:
            raise error.of(
                "too-large",
                f"{size // 1_000_000} MB is too large for a text file (limit {MAX_BYTES // 1_000_000} MB)",
                file=name,
            )
        data = path.read_bytes()
    except FileNotFoundError:
        raise error.of("no-file", "there is no such file", file=name, fix="check the name and the folder") from None
    except OSError as fault:
        raise error.of("unreadable", f"the file cannot be read: {fault.strerror}", file=name) from None
    text = decode_text(data)
    if not text.strip("\ufeff \t\n\x00"):
        raise error.of("empty-file", "the file is empty", file=name)
    return text
