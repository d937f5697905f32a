"""What a person should look at first: doubtful cues, and moves of the game that no cue shows."""

from __future__ import annotations

from timeline.doubts import Gap, passed_over
from timeline.lesson import CueSpec


def cues(*shown: tuple[str, str]) -> list[CueSpec]:
    return [CueSpec.model_validate({"at": at, "show": show}) for at, show in shown]


def test_moves_between_two_shown_ones_are_passed_over_once() -> None:
    found = list(passed_over(cues(("0:01", "1w"), ("0:02", "1b"), ("0:04", "3b"), ("0:09", "4w"), ("0:12", "6w"))))
    assert found == [Gap(3, 2000, 4000, "1b", "3b"), Gap(3, 9000, 12000, "4w", "6w")]


def test_a_gap_begins_where_the_board_stood_last_sidelines_included() -> None:
    assert list(passed_over(cues(("0:01", "5w"), ("0:03", "5w Nf6"), ("0:08", "6w")))) == [
        Gap(1, 3000, 8000, "5w", "6w")
    ]


def test_looks_back_and_the_start_are_no_gaps() -> None:
    back = cues(("0:01", "2w"), ("0:02", "2b"), ("0:05", "start"), ("0:06", "1w"), ("0:09", "2b"), ("0:10", "3w"))
    assert list(passed_over(back)) == []
