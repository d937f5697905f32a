"""JSON chapters, version 1.2.0 (Podcast namespace, "JSON Chapters Format", 2021-04-15)."""

from __future__ import annotations

import json

from timeline.chapters.writers import ChapterList, chapter_writer


@chapter_writer(".json")
def write_json_chapters(chapters: ChapterList) -> str:
    """``startTime`` and ``endTime`` in seconds; required ``version`` and ``chapters`` first."""
    data: dict[str, object] = {
        "version": "1.2.0",
        "chapters": [
            {"startTime": c.start_ms / 1000, "endTime": end / 1000, "title": c.title} for c, end in chapters.ends()
        ],
    }
    if chapters.title:
        data["title"] = chapters.title
    if chapters.teacher:
        data["author"] = chapters.teacher
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"
