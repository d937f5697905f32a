"""What the follower found joins what a person made."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from timeline.adopt import adopt, from_another_follow
from timeline.follow.result import Ask, Follow, FollowedCue
from timeline.lesson import CueSpec, FollowSettings, Lesson, MarkSpec, Rejected
from timeline.merge import merge_follow
from timeline.score import read_score
from timeline.tracks import MarkSpan, squares_of
from timeline.transcript.words import Word

SCORE = read_score("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 *\n")
WORDS = tuple(Word(text, i * 1000, i * 1000 + 500) for i, text in enumerate("we begin with e four and e five".split()))


def lesson(*cues: CueSpec, **follow) -> Lesson:
    return Lesson(title="x", score="g", cues=cues, follow=FollowSettings(**follow))


def found(at: int, address: str, sure: float = 0.9, first: int = -1, last: int = -1) -> FollowedCue:
    return FollowedCue(at, (), address, first, last, sure, runner_up="1w c5")


def shows(merged: Lesson) -> list[tuple[int, str | None, str]]:
    return [(c.at, c.show, c.by) for c in merged.cues]


def test_a_followed_cue_carries_its_evidence():
    merged = merge_follow(lesson(), Follow((found(3000, "1w", 0.87654, 3, 4),)), WORDS)
    assert merged.cues == (CueSpec(at=3000, show="1w", by="follow", sure=0.877, said="e four", runner_up="1w c5"),)


def test_only_the_followers_own_unlocked_cues_are_replaced():
    mine = CueSpec(at=2000, show="1b")
    locked = CueSpec(at=8000, show="3w", by="follow", sure=0.5, lock=True)
    old = CueSpec(at=5000, show="2w", by="follow", sure=0.4)
    merged = merge_follow(lesson(mine, old, locked), Follow((found(1000, "1w"), found(5200, "2w"))))
    assert shows(merged) == [
        (1000, "1w", "follow"),
        (2000, "1b", "person"),
        (5200, "2w", "follow"),
        (8000, "3w", "follow"),
    ]
    assert merged.cues[-1] == locked


def test_the_same_cue_is_not_written_twice():
    mine = CueSpec(at=2000, show="start e4 e5")
    merged = merge_follow(lesson(mine), Follow((found(2900, "1b"), found(2030, "2w"))), score=SCORE)
    assert shows(merged) == [(2000, "start e4 e5", "person")]


def test_cues_that_change_nothing_are_left_out():
    follow = Follow((found(400, "start"), found(1000, "1w"), found(1500, "1w"), found(9000, "1b")))
    mine = CueSpec(at=5000, show="1b")
    assert shows(merge_follow(lesson(mine), follow)) == [(1000, "1w", "follow"), (5000, "1b", "person")]


def test_a_rejected_cue_does_not_come_back():
    rejected = (Rejected(at=1100, show="1w"), Rejected(at=7000))
    follow = Follow(
        (found(1000, "1w"), found(4000, "1w")),
        asks=(Ask(7000, (), 0, 0),),
        marks=(MarkSpan(7000, 9000, "square", (0,), "key square"),),
    )
    assert shows(merge_follow(lesson(rejected=rejected), follow)) == [(4000, "1w", "follow")]


def test_a_question_holds_the_film_before_the_answer_is_shown():
    follow = Follow((found(5000, "1w"),), asks=(Ask(5000, (), 0, 0),))
    merged = merge_follow(lesson(think_s=6.0), follow)
    assert [(c.at, c.think, c.show) for c in merged.cues] == [(4999, 6.0, None), (5000, None, "1w")]


def test_a_silence_that_is_there_shortens_or_spares_the_hold():
    follow = Follow((), asks=(Ask(5000, (), 0, 0, spoken_pause_ms=2500), Ask(50_000, (), 0, 0, spoken_pause_ms=5500)))
    assert [(c.at, c.think) for c in merge_follow(lesson(think_s=6.0), follow).cues] == [(5000, 3.5)]
    assert merge_follow(lesson(think_s=0), follow).cues == ()


def test_a_persons_own_pause_is_the_pause():
    mine = CueSpec(at=9000, think=20)
    assert merge_follow(lesson(mine), Follow((), asks=(Ask(5000, (), 0, 0),))).cues == (mine,)


def test_marks_become_marks_of_cues():
    marks = (
        MarkSpan(1000, 3500, "arrow", squares_of(["e1", "e8"]), "attack"),
        MarkSpan(1000, 3500, "square", squares_of(["d6", "e5"]), "weakness"),
        MarkSpan(6000, 7000, "route", squares_of(["g1", "f3"]), "route"),
    )
    merged = merge_follow(lesson(), Follow((found(1000, "1w"),), marks=marks))
    assert [(c.at, c.show, c.marks) for c in merged.cues] == [
        (1000, "1w", (
            MarkSpec(arrow="e1-e8", role="attack", for_ms=2500),
            MarkSpec(square="d6 e5", role="weakness", for_ms=2500),
        )),
        (6000, None, (MarkSpec(route="g1-f3", role="route", for_ms=1000),)),
    ]  # fmt: skip
    assert all(not c.marks for c in merge_follow(lesson(marks=False), Follow((found(1, "1w"),), marks=marks)).cues)


def test_cues_can_be_switched_off():
    assert merge_follow(lesson(cues=False), Follow((found(1000, "1w"),), asks=(Ask(1, (), 0, 0),))).cues == ()


CUES = st.lists(
    st.builds(
        CueSpec,
        at=st.integers(0, 60_000),
        show=st.sampled_from(["1w", "1b", "2w"]),
        by=st.sampled_from(["person", "follow"]),
        lock=st.booleans(),
    ),
    max_size=6,
).map(lambda cues: tuple(sorted(cues, key=lambda c: c.at)))
FOUND = st.lists(st.builds(found, st.integers(0, 60_000), st.sampled_from(["start", "1w", "1b", "2w"])), max_size=8)


@given(CUES, FOUND.map(lambda cues: tuple(sorted(cues, key=lambda c: c.at_ms))))
def test_fixed_cues_always_stay_and_merging_twice_is_merging_once(cues, followed):
    before = lesson(*cues)
    once = merge_follow(before, Follow(followed), score=SCORE)
    assert [c for c in once.cues if c.fixed] == [c for c in cues if c.fixed]
    assert merge_follow(once, Follow(followed), score=SCORE) == once
    assert Lesson.model_validate(once.model_dump(by_alias=True)) == once


def test_a_file_that_another_follow_wrote_holds_no_persons_changes() -> None:
    """An earlier file brought back, or another machine's: its followed cues are not a person's, and none was taken away."""
    written = [CueSpec(at=at, show=show, by="follow", sure=0.9, said=show) for at, show in ((1000, "1w"), (2000, "1b"))]
    earlier = [written[0].model_copy(update={"at": 1400, "sure": 0.8}), CueSpec(at=2500, show="2w", by="follow", sure=0.7)]
    brought = lesson(*earlier)
    assert from_another_follow(brought, written)
    assert adopt(brought, written) == brought


def test_a_hand_in_what_the_last_follow_wrote_is_a_persons() -> None:
    written = [CueSpec(at=at, show=show, by="follow", sure=0.9, said=show) for at, show in ((1000, "1w"), (2000, "1b"), (3000, "2w"))]
    changed = lesson(written[0].model_copy(update={"at": 1400, "said": "the first move"}), written[1])
    assert not from_another_follow(changed, written)
    after = adopt(changed, written)
    assert [cue.by for cue in after.cues] == ["person", "follow"]
    assert after.follow.rejected == (Rejected(at=3000, show="2w"),)
