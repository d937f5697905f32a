"""Moves of which words say only that one is made, not which: "he waits", "any king move", "wherever he goes".

Which of the quiet moves is shown matters little, but that the others share its probability would hide all that follows. One
stands for them: it keeps what the words need next, and among those it is the game's own waiting move, the way back of the man
that moved last, or the king's.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import chess

from timeline.follow.lexer import Tok
from timeline.follow.sense import worth
from timeline.follow.tree import Legal, Node, Tree
from timeline.follow.vocabulary import PIECE_WORDS

if TYPE_CHECKING:
    from timeline.follow.lookahead import Lookahead

_MEN = r"(?:king|queen|rook|bishop|knight|pawn)"
_WHO = rf"(?:(?:he|she|they|i|we|you)(?:'ll|'d)?|let (?:him|her|them|me|us)|let's|white|black|it|(?:his|her|my|our|your|the)(?: (?:white|black))? (?:opponent|player|{_MEN}))"
_SMALL = r"(?:just|simply|only|still|now|also|again|then|quietly|merely|maybe|perhaps|probably)"
_AUX = r"(?:has to|have to|had to|must|can only|could only|can|could|may|might|would|will|needs to|is going to|decides to|is forced to)"
_WHERE = r"(?:somewhere|anywhere|someplace|anyplace|wherever(?: (?:he|she|it|they|i|we|you) (?:likes?|wants?|pleases?))?)"
_GO = r"(?:go(?:es)?|moves?|runs?|steps?|walks?|plays?|drops?|slides?|retreats?|puts? it|went|moved|ran|stepped|walked)"
_WHAT = r"(?:something|anything|whatever)(?: (?:he|she|they|i|we|you) (?:likes?|wants?|pleases?))?"
_KIND = r"(?:waiting|quiet|random|pass|passing|nothing|do-nothing|tempo|neutral|useless|legal|free|other)"
_WAITS = (
    r"(?:waits?|waited|pass(?:es|ed)?|shuffles?|shuffled|dithers?|dithered|dawdles?|stalls?|stalled|marks? time|marked time"
    r"|treads? water|bides? (?:his|her|my|our|their) time|(?:does|do|did) (?:nothing|something|anything)"
    rf"|loses? a (?:move|tempo)|{_GO} (?:(?:away|(?:the|his|her|my|our|your) {_MEN}) )?{_WHERE}|(?:goes?|moves?) (?:back and forth|to and fro)|(?:plays?|played) {_WHAT}"
    rf"|(?:makes?|made|plays?|played) (?:a|some|any)(?: {_KIND})*(?: {_MEN})? move)"
)
_TAIL = r"(?: (?:else|much|useful|special|in particular|about|around|along|back(?: and forth)?|again|here|there|as well|too|now|first|once more|a bit))*"
_IDLE = re.compile(
    r"(?:(?:and|so|then|but|now|well|okay|say|suppose|supposing|imagine|assume|let's say|if|what if|here|maybe|perhaps|again) )*"
    rf"(?:{_WHO} (?:{_SMALL} )*(?:{_AUX} (?:{_SMALL} )*)?{_WAITS}{_TAIL}"
    rf"|(?:any|some|a)(?: {_KIND})* (?:{_MEN}|{_KIND}) move"
    rf"|(?:{_SMALL} )*(?:the |his |her |my |your |our )?{_MEN} (?:{_GO} )?{_WHERE}"
    rf"|(?:wherever|(?:no matter|it doesn't matter|i don't care) where) {_WHO} (?:goes|go|moves|runs|steps)"
    rf"|(?:no matter what|whatever) {_WHO} (?:does|plays|do|play|tries)"
    r")(?= |$)"
)
_SUPPOSED = re.compile(r"(?:^| )(?:if|suppose|supposing|imagine|assume|say)(?: |$)")
_NAMED_NEXT = frozenset("on to into with for in at until till from of that against by one which out off up down the a an his her my our your him her it me us".split())
"""After these the words may say which move it is, or none: "he waits on a1", "passes by the pawn"."""
REACH = 10
NAMED, CLEAR = 0.5, 1.0
"""What the next mention is worth (``lookahead``) where it names a move clearly enough to be the one that these words announce:
in the same sentence, in the next."""
_DROPPED = 150
"""So many centipawns more given away than by the best of them are told apart; less may be where a man stands only."""


class Idle(NamedTuple):
    """Words from ``start`` to ``end`` (exclusive) that tell of some move; ``man``: the piece that makes it, 0 if not said;
    ``side``: who, None if not said; ``supposed``: in a line that these words may begin."""

    start: int
    end: int
    man: chess.PieceType | int
    side: bool | None
    supposed: bool


def idle_at(toks: Sequence[Tok], i: int) -> Idle | None:
    """The move that a clause at token ``i`` tells of without saying which."""
    said: list[str] = []
    for tok in toks[i : i + REACH]:
        said.append(tok.text)
        if tok.ends:
            break
    text = " ".join(said)
    found = _IDLE.match(text)
    if found is None:
        return None
    words = found[0].split()
    end = i + len(words)
    if not toks[end - 1].ends and end < len(toks) and toks[end].text in _NAMED_NEXT:
        return None
    man = next((PIECE_WORDS[word][0] for word in reversed(words) if word in PIECE_WORDS and PIECE_WORDS[word][1] < 0.4), 0)
    side = next(({"white": chess.WHITE, "black": chess.BLACK}[word] for word in words if word in ("white", "black")), None)
    return Idle(i, end, man, side, _SUPPOSED.search(found[0]) is not None)


def waited(tree: Tree, ahead: Lookahead, node: Node, said: Idle) -> Node | None:
    """The position after the quiet move that stands for all of them; None where the words cannot mean one here."""
    if said.side not in (None, node.board.turn):
        return None
    here = ahead.run(node, said.end, 1)
    quiet = [legal for legal in node.legal if not legal.victim and not legal.promo and said.man in (0, legal.piece)]
    after = [(legal, tree.child(node, legal.move)) for legal in quiet]
    runs = [ahead.run(child, said.end, 1) for _, child in after]
    most = max((run.worth for run in runs), default=0.0)
    named = here.worth >= (CLEAR if _parted(ahead, said) else NAMED) and not _of_another(ahead, said)
    if not after or named or (here.stopped and not most):
        return None  # what is named next is this side's move, or no move helps
    kept = [pair for pair, run in zip(after, runs, strict=True) if run.worth == most and not (run.stopped and not most)]
    if not kept:
        return None
    game = tree.main[node.ply + 1] if node.ply + 1 < len(tree.main) else None
    played = game.move if game is not None and not game.board.is_check() else None
    last = node.parent.move if node.parent is not None else None

    least = min(worth(child) for _, child in kept)

    def rank(pair: tuple[Legal, Node]) -> tuple[bool, int, bool, bool, bool, str]:
        legal, child = pair
        back = last is not None and (legal.from_sq, legal.to_sq) == (last.to_square, last.from_square)
        lost = (worth(child) - least) // _DROPPED
        return bool(node.checks(legal)), lost, legal.move != played, not back, legal.piece != chess.KING, legal.move.uci()

    return min(kept, key=rank)[1]


def _of_another(ahead: Lookahead, said: Idle) -> bool:
    """Whether the next mention is of another man than the words name ("king somewhere, rook g5")."""
    at = ahead.first[said.end]
    men = {desc.piece for desc in ahead.anchors[at].descs} if at < len(ahead.anchors) else set()
    return bool(said.man and men) and men.isdisjoint((0, said.man))


def _parted(ahead: Lookahead, said: Idle) -> bool:
    """Whether the next mention stands in another sentence than the words."""
    at = ahead.first[said.end]
    start = ahead.anchors[at].start if at < len(ahead.anchors) else said.end
    return any(tok.ends in (".", "?") for tok in ahead.toks[said.end - 1 : start])
