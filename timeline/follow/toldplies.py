"""The moves that one step of the best line adds to the game, each with how sure it is and its other readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from string import capwords

from timeline.follow.lines import Line
from timeline.follow.reconstruct import Reconstructor
from timeline.follow.reconstructed import Ply
from timeline.follow.secondreading import how_sure, open_capture, other_readings, second_reading
from timeline.follow.tree import Node


def told_plies(search: Reconstructor, before: Line, step: Line, steps: Sequence[Line], base: Node) -> list[Ply]:
    """The moves of one step: one; two where the first was not told; as many as a person says."""
    toks = search.lattice.toks
    m = step.mention
    at_ms = toks[step.tok].onset_ms
    words = (toks[m.start].word, toks[m.end - 1].word) if m else (toks[step.tok].word, toks[step.tok].word)
    nodes = []
    node = step.tip
    while node is not base:
        nodes.append(node)
        assert node.parent is not None
        node = node.parent
    made: list[Ply] = []
    named = search.plays.named(step.tip, step.tok) if step.act == "opening" else None
    opening = capwords(" ".join(tok.text for tok in toks[named.start : named.end])) if named else ""
    for node in reversed(nodes):
        assert node.parent is not None
        assert node.move is not None
        san = node.parent.board.san(node.move)
        if step.act == "told":
            made.append(Ply(node.move.uci(), san, at_ms, *words, 1.0, settled=True))
            continue
        guessed = node is not step.tip and not (m and m.desc.both)
        if guessed and opening and made:  # an opening's moves are guessed together
            made.append(replace(made[0], uci=node.move.uci(), san=san, rival=None))
            continue
        margin, rival, rival_node = second_reading(search, before, step, steps, (node,))
        sure = how_sure(search.weights, margin, "guess" if guessed else "or" if rival not in (None, "none") else "sure")
        told = (-1, -1) if guessed else words
        bare = not guessed and m is not None and open_capture(m, node)
        ply = Ply(node.move.uci(), san, at_ms, *told, round(sure, 3), rival, round(margin, 3), guessed, open=bare)
        if guessed and opening:
            ply = replace(ply, named=opening)
        if bare and ply.asked:
            ply = replace(ply, others=other_readings(search, before, step, steps, [node, rival_node]))
        made.append(ply)
    return made
