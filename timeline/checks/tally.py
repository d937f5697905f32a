"""How many statements of a talk were read, and how they were judged: silence about the others is no proof."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Tally:
    """Statements read, by their words in the transcript (first, last): what is told of the same words is one."""

    judged: list[tuple[int, int, bool | None]] = field(default_factory=list)

    def add(self, first: int, last: int, verdict: bool | None) -> None:
        """One statement: true, false, or None for one that could not be told."""
        self.judged.append((first, last, verdict))

    def counts(self) -> dict[str, int]:
        """``read``, and of these ``true``, ``false`` and ``not_told``; false wins where words were read twice."""
        found: list[tuple[int, set[bool | None]]] = []
        for first, last, verdict in sorted(self.judged, key=lambda each: each[:2]):
            if found and first <= found[-1][0]:
                found[-1] = (max(last, found[-1][0]), found[-1][1] | {verdict})
            else:
                found.append((last, {verdict}))
        false = sum(False in verdicts for _, verdicts in found)
        true = sum(True in verdicts and False not in verdicts for _, verdicts in found)
        return {"read": len(found), "true": true, "false": false, "not_told": len(found) - true - false}

    def __str__(self) -> str:
        told = self.counts()
        read = told["read"]
        if not read:
            return "no statement about the board was read in the talk, so nothing said in it was judged"
        parts = [f"{told['true']} true", f"{told['false']} false", f"{told['not_told']} could not be told"]
        many = f"{read} statement{'' if read == 1 else 's'}"
        return f"{many} read in the talk: {', '.join(parts)}; what else was said was not judged"
