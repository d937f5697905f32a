"""A lesson without a score: the game worked out of the talk, and what a person is asked about it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import chess

from timeline.follow.mainline import reconstruct
from timeline.follow.reconstructed import Reconstruction, ToldMoves
from timeline.follow.result import Follow
from timeline.lesson import Lesson
from timeline.numbered import written_moves
from timeline.problems import Finding, LessonFileError, Severity
from timeline.store import LoadedLesson
from timeline.timecode import format_ms
from timeline.transcript.words import Word


def reconstruct_lesson(
    loaded: LoadedLesson, words: Sequence[Word], progress: Callable[[int, int], None] | None = None
) -> Reconstruction:
    """The game that the words of a lesson tell, with what its file settles.

    Raises LessonFileError (``illegal-move``) where settled moves cannot be played.
    """
    settings = loaded.lesson.reconstruct
    start = chess.Board(settings.start) if settings.start else None
    told = [ToldMoves(item.at, item.sans) for item in settings.played]
    found = reconstruct(words, start=start, told=told, progress=progress)
    errors = [
        Finding(
            "illegal-move",
            f"{settings.played[number].moves} cannot be played after {line}{_misnumbered(told[number], line, found)}",
            at_ms=settings.played[number].at,
            fix=f"legal there: {legal}",
            **loaded.place("reconstruct", "played", number, "moves"),
        )
        for number, line, legal in found.unheeded
    ]
    if errors:
        raise LessonFileError(*errors)
    return found


def _misnumbered(told: ToldMoves, line: str, found: Reconstruction) -> str:
    """Whose move it is there, where the written number says something else."""
    board = chess.Board(found.start_fen, chess960=found.chess960)
    for move in written_moves(line) if line != "the start" else []:
        board.push_san(move.san)
    first = written_moves(told.sans[0])[0]
    if first.fits(board):
        return ""
    return f": it is {'White' if board.turn else 'Black'}'s move {board.fullmove_number}"


def doubts(found: Reconstruction, lesson: Lesson) -> list[Finding]:
    """That the game is reconstructed, and each move of it that has a second reading, with the way to settle it."""
    told = f"{len(found.plies)} plies" if found.plies else "nothing"
    findings = [
        Finding(
            "reconstructed",
            f"no score is given: {told} could be worked out from the talk"
            + (f"; a set-up was read aloud: {found.start_fen}" if found.setup else ""),
            Severity.NOTE if found.plies else Severity.WARNING,
            fix="look through out/reconstructed.pgn; a score of your own is always better: `score: …` in lesson.yaml",
        )
    ]
    findings += _other_games(found)
    board = chess.Board(found.start_fen, chess960=found.chess960)
    before = ""
    for ply in found.plies:
        label = f"{board.fullmove_number}{'.' if board.turn else '...'} {ply.san}"
        at_name, before = bool(ply.named) and ply.named == before, ply.named
        if ply.named and not at_name:
            label = board.variation_san([chess.Move.from_uci(p.uci) for p in found.plies if p.named == ply.named])
        board.push_uci(ply.uci)
        if at_name or ply.settled or (ply.sure >= lesson.follow.min_sure and not ply.asked):
            continue  # an opening's moves are told with its first one
        other = " ".join(f"or {san}" for san in ply.alternatives) or "is perhaps not of the game"
        how = "was not told and is guessed from what follows" if ply.guessed else f"is doubtful (sure {ply.sure:.2f})"
        if ply.named:
            how = f"were not told and are guessed from the opening's name ({ply.named})"
            other = "perhaps other moves led there"
        findings.append(
            Finding(
                "doubtful-move",
                f"{label} {how}; {other}",
                Severity.WARNING,
                at_ms=ply.at_ms,
                sure=ply.sure,
                fix=_settle(found, ply.at_ms, ply.alternatives),
            )
        )
    return findings + _left(found, board)


def _left(found: Reconstruction, board: chess.Board) -> list[Finding]:
    """That the talk goes on with moves after the last one of the game; ``board`` stands there."""
    left = found.left
    if left is None:
        return []
    number = f"{board.fullmove_number}{'.' if board.turn else '...'}"
    last = f"ends with {found.plies[-1].san}" if found.plies else "has no moves"
    command = f"plyline edit DIR played {format_ms(left.at_ms)}"
    go_on = f'"{number}{left.san}"' if left.san else f"MOVES, which are those from {number} on"
    return [
        Finding(
            "moves-left-over",
            f"the game {last}, and the talk goes on with moves that are not in it: {left.words}",
            Severity.WARNING,
            at_ms=left.at_ms,
            fix=f'if the game goes on by them: {command} {go_on}; if not: {command} "none"',
        )
    ]


def _other_games(found: Reconstruction) -> list[Finding]:
    """That the talk tells another game as well, for each."""
    findings = []
    for k, game in enumerate(found.games):
        if k == found.taken:
            continue
        ours = found.games[found.taken]
        which = "another game seems to begin" if k > found.taken else "an earlier game seems to begin"
        worked_out = f"only the one that begins at {format_ms(ours.at_ms)} is worked out"
        command, begin = "plyline edit DIR played", "".join(game.moves.split()[:2])
        other = f'for the other here: {command} {format_ms(game.at_ms)} "{begin}"'
        same = f'if it is one game: {command} {format_ms(max(game.at_ms, ours.at_ms))} "none"'
        findings.append(
            Finding(
                "another-game",
                f"{which} at {format_ms(game.at_ms)} ({game.moves}); {worked_out}",
                Severity.WARNING,
                at_ms=game.at_ms,
                fix=f"a lesson holds one game: make one of each; {other}; {same}",
            )
        )
    return findings


def tempered(follow: Follow, found: Reconstruction) -> Follow:
    """The follow with no cue surer than the reconstructed moves that lead to its position."""
    least, sure = [1.0], 1.0
    for ply in found.plies:
        sure = min(sure, ply.sure)
        least.append(sure)
    line = [ply.uci for ply in found.plies]

    def shared(path: Sequence[str]) -> int:
        return next((k for k, (a, b) in enumerate(zip(path, line, strict=False)) if a != b), min(len(path), len(line)))

    cues = tuple(replace(cue, sure=min(cue.sure, least[shared(cue.path)])) for cue in follow.cues)
    return replace(follow, cues=cues)


def _settle(found: Reconstruction, at_ms: int, others: Sequence[str]) -> str:
    """What to type for the first reading, and for each other one."""
    board = chess.Board(found.start_fen, chess960=found.chess960)
    moves, number = [], ""
    for ply in found.plies:
        if ply.at_ms == at_ms:
            number = number or f"{board.fullmove_number}{'.' if board.turn else '...'}"
            moves.append(ply.san)
        board.push_uci(ply.uci)
    command = f"plyline edit DIR played {format_ms(at_ms)}"
    keep = f'{command} "{number}{" ".join(moves)}"'
    if len(moves) > 1:
        return f"{keep}, with the moves put right"
    return keep + "".join(f', or {command} "{other}"' for other in [f"{number}{san}" for san in others] or ["none"])
