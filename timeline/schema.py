"""The JSON Schema of ``lesson.yaml``, for editors that complete and check while one types."""

from __future__ import annotations

from typing import Any

from timeline.lesson import Lesson

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def lesson_schema() -> dict[str, Any]:
    """JSON Schema, draft 2020-12. It says what each key may hold; what keys must agree on, only reading tells."""
    return {"$schema": DIALECT, **Lesson.model_json_schema(by_alias=True), "title": "plyline lesson"}
