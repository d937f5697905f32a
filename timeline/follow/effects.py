"""Moves told by what they do: "he blocks", "steps aside", "doubles the rooks", "and makes a queen".

``effect_at`` finds the phrase; ``fits`` says which legal moves have that
effect. Neither knows which of them is meant: the search and the words that
follow decide.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

import chess

from timeline.follow.lexer import Tok
from timeline.follow.tree import Legal, Node
from timeline.follow.vocabulary import PIECE_WORDS, TAKE_WORDS
from timeline.pawns import passed


def _exchanged(men: str) -> str:
    """The pattern of an exchange of two men of one kind: "the bishops leave the board", "he swaps rooks"."""
    gone = "(?:come |came |go |went |are )?off|disappear(?:ed)?|vanish(?:ed)?|(?:leave|left) the board|(?:are|were|get|got) (?:exchanged|traded|swapped)"
    return rf"(?:the |a pair of )?(?:{men}) (?:{gone})|(?:trades?|swaps?|exchanges?|exchanged) (?:the |a pair of )?(?:{men})"


_PHRASES: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (name, re.compile(rf"(?:{pattern})(?= |$)"))
    for name, pattern in (
        ("block", r"block|blocks|blocked|covers|covered|blocks it|blocks the check|interposes|puts something in between"),
        ("defend", r"(?:defend|defends|defended|protect|protects|protected|guard|guards|guarded|cover|covers|covered|support|supports|supported|holds?|held)(?: (?:it|that|this|everything|(?:the|his|her|my|our|your)(?: [a-h])? (?:pawn|queen|rook|bishop|knight)))?"),
        ("block", r"puts? (?:the|a|an|his|her|my|our|your)(?: own)? (?P<man>queen|rook|bishop|knight|pawn) (?:in front|in between|in the way)|(?P<men>queen|rook|bishop|knight|pawn) (?:in between|in the way)"),
        ("open3", r"opens? (?:up )?(?:the|a) (?:way|path|door|line|diagonal|road) for (?:the|his|her|my|our|your) (?:[a-z-]+ )?bishop"),
        ("open5", r"opens? (?:up )?(?:the|a) (?:way|path|door|line|diagonal|road) for (?:the|his|her|my|our|your) queen"),
        ("corner", r"corner|(?:in|into|to) the corner|tucks in|tucks it away|hides in the corner"),
        ("aside", r"steps? (?:aside|out|up|over|forward|off)|sidesteps?|stepped aside|steps?|moves away|runs away|walks"),
        ("back", r"(?:goes|went|go|comes|steps|drops|walks|runs) (?:(?:all the way|straight|right|just) )?back(?: again| home)?|(?:goes|went|go|comes|came|runs|ran) (?:(?:all the way|straight|right|just) )?home(?: again)?|back again|(?:straight|right|all the way) back|retreats?|retreated|back"),
        ("front", r"(?:steps?|stepped|goes|went|go|gets|moves|comes|stands|sits|runs|hops?|jumps?) (?:right |straight |back )?in front(?: of (?:it|(?:the|my|his|her|our|your|that) (?:own |passed )*pawn))?"),
        ("front", r"(?:right |straight )?in front of (?:the|my|his|her|our|your|that) (?:own |passed )*pawn(?: again)?"),
        ("double", r"doubles?(?: up)?(?: (?:the|his|her|my) rooks| rooks)?|doubling(?: rooks)?|doubled (?:up )?(?:(?:the|his|her|my|our|their) )?rooks"),
        ("same", r"(?:does|did) (?:exactly |just )?the same(?: thing)?|the same (?:reply|answer|move|thing) (?:from|by|for)|copie[sd](?: (?:it|him|her|that|this|the move|white|black))?|mirror(?:s|ed)(?: (?:it|him|her|that|this))?|follow(?:s|ed) suit"
                 r"|copycat|(?:answers?|answered|replies|replied|responds|responded) (?:in kind|likewise|the same way)|(?:white|black) (?:does |did )?too|so (?:does|did) (?:white|black|he|she|his opponent|her opponent)"),
        ("castle", r"(?:tucks?|tucked|hides?|hid|brings?|brought|gets?|got|puts?|takes?|took) (?:away )?(?:the|his|her|my|our|your) king (?:away|(?:in)?to (?:safety|bed|shelter|the corner)|out of (?:the centre|the center|danger))"),
        ("push", r"(?:another |one more )?push(?:es|ed)?(?: on| it| past)?|keeps? (?:on )?pushing|advances?|the pawn (?:advances|moves up|runs|goes)|likewise"),
        ("behind", r"(?:(?:goes|went|go|comes|gets|gets in|steps|drops|moves) )?(?:back |in |right |straight )?behind (?:the|his|her|my|that|this|your) (?:passed )?pawn(?: again)?|(?:goes|went|go|comes|came|gets|got|gets in|swings) (?:in |right |straight )?behind it"),
        ("facing", r"(?:takes?|taking|took|seizes|gets|has|keeps) the (?:direct )?opposition|(?:faces|face|facing) (?:him|his king|the king|my king|her|us|me|you|them|it)(?: again)?|stands? opposite"),
        ("offer5", r"offer(?:s|ed|ing)?(?: me| him| her)? (?:(?:a|an|the) (?:trade|exchange|swap) of |to (?:trade|exchange|swap) )?(?:the )?(?:queens|ladies)"),
        ("offer4", r"offer(?:s|ed|ing)?(?: me| him| her)? (?:(?:a|an|the) (?:trade|exchange|swap) of |to (?:trade|exchange|swap) )?(?:the |a pair of )?rooks"),
        ("offer0", r"offer(?:s|ed|ing)?(?: me| him| her)? (?:(?:a|an|the) )?(?:trade|exchange|swap|trades)"),
        ("queen", r"(?:and )?(?:a|another) (?:new |second )?queen$|(?:makes?|made|gets?|got|has|takes?|becomes?|became|turns? into) (?:a|an|another|himself a) (?:(?:new|brand|second) )*(?:queen|lady)|(?:makes?|made|gets?|got) (?:the|his|her|my|our|your|its) (?:(?:new|second) )*(?:queen|lady)|there(?:'s| is) (?:a|the|his|her|my|our|your|another) (?:(?:new|second) )*(?:queen|lady)|promotes|and queens|queens?|and queen$"),
        ("knight", r"(?:makes?|made|gets?|takes?|promotes to|underpromotes to) a (?:new )?(?:knight|horse)"),
        ("off5", _exchanged("queens|ladies")),
        ("off4", _exchanged("rooks")),
        ("off3", _exchanged("bishops")),
        ("off2", _exchanged("knights")),
    )
)  # fmt: skip
_HEADS = frozenset(
    """defend defends defended protect protects protected guard guards guarded cover support supports supported hold holds held
    another one there's there keeps keep hops hop jumps jump stood stands sits straight right all put puts opens open queen rook bishop knight pawn block blocks blocked covers covered interposes puts corner in into to tucks hides steps step sidesteps sidestep stepped moves runs walks
    goes went go comes came ran runs drops gets behind back retreats retreat retreated doubles double doubling doubled does did same copies copied mirrors mirrored follows followed push pushes pushed advances advance the
    likewise makes make made gets get got has becomes become became turns turn takes take promotes and underpromotes queens rooks bishops knights trades trade
    swaps swap exchanges exchange exchanged a taking took seizes keeps faces face facing stands stand offer offers offered
    offering ladies copycat answers answer answered replies replied responds responded white black so tucked hide hid hides bring brings brought tuck
    """.split()
)
_BARE = re.compile(r"(?:and )?(?:a|another) (?:new |second )?queen|(?:right |straight )?in front of .*")
"""Told so only in a clause of its own ("a queen, and a queen"): "he wins a queen" and "the rook is in front of the pawn" are
another matter."""
_QUEENING = {
    "queens": frozenset("he she it who which and then white black pawn".split()),
    "queen": frozenset("i you we they".split()),
}
"""Whose deed the word is after them: "he queens", "you queen and win"."""
_HOMES = chess.Board()
"""Where men stand at the start of a game: a piece that goes there goes home."""
_LEADS_ON = frozenset("to on into onto from at the a his her my our your with for and's than of rank file".split())
"""After these words the phrase goes on and names its move in another way."""
_WITH_A_MAN = frozenset(("block", "push", "back", "double", "defend"))
_ONLY_WITH_A_MAN = frozenset(("defend",))
"""A man that defends has mostly stood there before, but for "defends with the knight"."""
_BETWEEN = frozenset("it him her that right straight".split())
_ITS = frozenset("the a an his her my our your that this another".split())


class Told(NamedTuple):
    """An effect, the tokens that tell it, and the man and file that are named with it ("blocks with the g pawn")."""

    effect: str
    used: int
    piece: int = 0
    file: str = ""


def _taking_back(toks: Sequence[Tok], i: int) -> bool:
    """Whether "back" at token ``i`` belongs to a capture: "White takes back", "he took it right back"."""
    k = i - 1
    while k > 0 and i - k < 3 and toks[k].text in _BETWEEN and not toks[k].ends:
        k -= 1
    back = "back" in (toks[i].text, toks[i + 1].text if i + 1 < len(toks) and not toks[i].ends else "")
    return back and k >= 0 and not toks[k].ends and TAKE_WORDS.get(toks[k].text, 1.0) <= 0.5


def effect_at(toks: Sequence[Tok], i: int) -> list[Told]:
    """The phrases that begin at token ``i``: the longest of each kind."""
    in_advance = toks[i].text == "advance" and i > 0 and toks[i - 1].text == "in"  # "sorry in advance"
    if toks[i].text not in _HEADS or in_advance or _taking_back(toks, i):
        return []
    words = []
    for k in range(i, min(len(toks), i + 8)):
        words.append(toks[k].text)
        if toks[k].ends:
            break
    text = " ".join(words)
    alone = i == 0 or bool(toks[i - 1].ends) or toks[i].starts or toks[i - 1].text in ("and", "then")
    found = []
    for name, pattern in _PHRASES:
        match = pattern.match(text)
        if match and match[0] in _QUEENING and (i == 0 or toks[i - 1].ends or toks[i - 1].text not in _QUEENING[match[0]]):
            continue
        if match and (alone or not _BARE.fullmatch(match[0])):
            used = match[0].count(" ") + 1
            man = next((m for m in match.groups() if m), "")
            if man:
                found.append(Told(name, used, PIECE_WORDS[man][0]))
                continue
            last = i + used - 1
            on = toks[last + 1].text if last + 1 < len(toks) else ""
            placed = name == "double" and on == "on"  # "doubled his rooks on the c file"
            if name not in _ONLY_WITH_A_MAN and (toks[last].ends or on not in _LEADS_ON or placed or _with_check(toks, last + 1)):
                found.append(Told(name, used))
            elif not toks[last].ends and name in _WITH_A_MAN:
                piece, file, more = with_a_man(toks, last + 1)
                if piece:
                    found.append(Told(name, used + more, piece, file))
    return found


def _with_check(toks: Sequence[Tok], k: int) -> bool:
    """Whether the words at token ``k`` are "with check": they add to the move, and name no other."""
    return k + 1 < len(toks) and toks[k].text == "with" and not toks[k].ends and toks[k + 1].text in ("check", "mate")


def with_a_man(toks: Sequence[Tok], k: int) -> tuple[int, str, int]:
    """(piece, file, tokens used) of "with the bishop", "with the g pawn" at token ``k``; piece 0 where it is not said, or where
    the words go on to a square."""
    j = k + 2
    if j >= len(toks) or toks[k].text != "with" or toks[k + 1].text not in _ITS:
        return 0, "", 0
    file = toks[j].text if toks[j].text in chess.FILE_NAMES and j + 1 < len(toks) and not toks[j].ends else ""
    j += bool(file)
    piece, cost = PIECE_WORDS.get(toks[j].text, (0, 1.0))
    if not piece or cost >= 0.4:
        return 0, "", 0
    goes_on = not toks[j].ends and j + 1 < len(toks) and toks[j + 1].text in ("to", "on", "onto", "from", "at")
    return (0, "", 0) if goes_on else (piece, file, j + 1 - k)


def reach(board: chess.Board, effect: str) -> tuple[chess.Bitboard, chess.Bitboard]:
    """Which men and which goals an effect can be about (bitboards)."""
    own, enemy = board.occupied_co[board.turn], board.occupied_co[not board.turn]
    if effect == "block":
        return (own & ~board.kings, ~enemy & chess.BB_ALL) if board.is_check() else (0, 0)
    if effect == "defend":
        return own & ~board.kings, ~enemy & chess.BB_ALL
    if effect == "corner":
        return own, chess.BB_CORNERS
    if effect == "aside":
        return own & board.kings, ~enemy & chess.BB_ALL
    if effect == "back":
        return own & ~board.pawns, ~enemy & chess.BB_ALL
    if effect == "behind":
        return own & (board.rooks | board.queens), ~enemy & chess.BB_ALL
    if effect == "facing":
        return own & board.kings, ~enemy & chess.BB_ALL
    if effect == "front":
        return own & ~board.pawns, ~enemy & chess.BB_ALL
    if effect.startswith("offer"):
        kind = int(effect[-1])
        men = board.pieces_mask(kind, board.turn) if kind else own & ~board.pawns & ~board.kings
        return men, ~enemy & chess.BB_ALL
    if effect == "double":
        return own & (board.rooks | board.queens), ~enemy & chess.BB_ALL
    if effect == "same":
        return own, ~enemy & chess.BB_ALL
    if effect == "castle":
        return own & board.kings, ~enemy & chess.BB_ALL
    if effect == "push" or effect.startswith("open"):
        return own & board.pawns, ~enemy & chess.BB_ALL
    if effect in ("queen", "knight"):
        return own & board.pawns, chess.BB_BACKRANKS
    return board.pieces_mask(int(effect[-1]), board.turn), board.pieces_mask(int(effect[-1]), not board.turn)


def fits(node: Node, legal: Legal, effect: str) -> float | None:
    """The cost of reading the effect as this move; None where the move does not have it."""
    if effect == "block":
        if legal.piece == chess.KING or legal.victim:
            return None
        return 0.0
    if effect == "defend":
        return _defends(node.board, legal)
    if effect == "corner":
        if legal.to_sq not in (chess.A1, chess.A8, chess.H1, chess.H8):
            return None
        return 0.0 if legal.piece == chess.KING else 0.5
    if effect == "aside":
        return None if legal.piece != chess.KING or legal.victim or legal.castle else 0.0
    if effect == "back":
        return retreats(node, legal)
    if effect == "double":
        return _doubles(node.board, legal)
    if effect == "behind":
        return _behind(node.board, legal)
    if effect == "facing":
        return _faces(node.board, legal)
    if effect == "front":
        return _in_front(node.board, legal)
    if effect.startswith("offer"):
        met = node.board.attackers_mask(not node.board.turn, legal.to_sq)
        return 0.0 if met & node.board.pieces_mask(legal.piece, not node.board.turn) else None
    if effect == "same":
        return _copies(node, legal)
    if effect == "castle":
        return 0.0 if legal.castle else None
    if effect == "push":
        return _pushes(node, legal)
    if effect.startswith("open"):
        return _opens(node.board, legal, int(effect[-1]))
    if effect in ("queen", "knight"):
        return 0.0 if legal.promo == (chess.QUEEN if effect == "queen" else chess.KNIGHT) else None
    return 0.0


def _defends(board: chess.Board, legal: Legal) -> float | None:
    """A quiet move after which a man is defended that was attacked, by the man that moved; more where it defends what nobody
    attacks."""
    if legal.victim or legal.castle:
        return None
    turn = board.turn
    after = board.copy(stack=False)
    after.push(legal.move)
    own = after.occupied_co[turn] & ~after.kings & ~chess.BB_SQUARES[legal.to_sq]
    guarded = after.attacks_mask(legal.to_sq) & own & ~board.attacks_mask(legal.from_sq)
    if any(board.attackers_mask(not turn, square) for square in chess.scan_forward(guarded)):
        return 0.0
    return 0.6 if guarded else None


def retreats(node: Node, legal: Legal) -> float | None:
    """The cost of calling a move a retreat: 0 to where the piece just came from, more to where it stood before and to
    squares nearer home; None for what is none."""
    if legal.victim or legal.piece == chess.PAWN or legal.castle:
        return None
    before = node.parent.parent if node.parent is not None else None
    last = node.parent.move if node.parent is not None else None
    if last is not None and last.to_square == legal.from_sq and last.from_square == legal.to_sq:
        return 0.0
    steps = 0
    while before is not None and steps < 3:
        if before.board.piece_at(legal.to_sq) == node.board.piece_at(legal.from_sq):
            return 0.2
        before = before.parent.parent if before.parent is not None else None
        steps += 1
    if chess.BB_SQUARES[legal.to_sq] & _HOMES.pieces_mask(legal.piece, node.board.turn):
        return 0.3
    rank = chess.square_rank(legal.to_sq) - chess.square_rank(legal.from_sq)
    retreats = rank < 0 if node.board.turn == chess.WHITE else rank > 0
    return 0.4 if retreats else 1.0 if legal.piece == chess.KING else None


def _copies(node: Node, legal: Legal) -> float | None:
    """The last move again for the other side, from and to the mirrored squares; the same castling."""
    last = node.move
    if last is None or legal.victim or node.parent is None:
        return None
    mirrored = chess.square_mirror(last.from_square) == legal.from_sq and chess.square_mirror(last.to_square) == legal.to_sq
    return 0.0 if mirrored and node.parent.board.piece_type_at(last.from_square) == legal.piece else None


def _pushes(node: Node, legal: Legal) -> float | None:
    """A pawn's step: first of all of the one that its side moved last, and of the passed pawn that has come furthest."""
    if legal.piece != chess.PAWN or legal.victim:
        return None
    board = node.board
    last = node.parent.move if node.parent is not None else None
    if last is not None and last.to_square == legal.from_sq:
        return 0.0
    own = board.pieces_mask(chess.PAWN, board.turn)
    runners = [square for square in chess.scan_forward(own) if passed(board, square)]
    moved = last is not None and bool(chess.BB_SQUARES[last.to_square] & own)
    if runners and legal.from_sq not in runners:
        return 1.0
    ahead = (max if board.turn else min)(map(chess.square_rank, runners), default=0)
    second = bool(runners) and chess.square_rank(legal.from_sq) != ahead
    return 0.5 if moved or second else 0.0


def _opens(board: chess.Board, legal: Legal, kind: chess.PieceType) -> float | None:
    """A pawn's move off the line of a bishop or the queen behind it, which then reaches further."""
    if legal.piece != chess.PAWN or legal.victim:
        return None
    men = board.pieces_mask(kind, board.turn)
    gone = board.occupied & ~chess.BB_SQUARES[legal.from_sq] | chess.BB_SQUARES[legal.to_sq]
    for man in chess.scan_reversed(men & board.attackers_mask(board.turn, legal.from_sq)):
        rays = chess.BB_DIAG_ATTACKS[man][chess.BB_DIAG_MASKS[man] & gone]
        if rays & ~board.attacks_mask(man):
            return 0.0
    return None


def _faces(board: chess.Board, legal: Legal) -> float | None:
    """The opposition: the kings on one line with a square between them, the other side to move (common practice)."""
    other = board.king(not board.turn)
    if other is None or legal.piece != chess.KING or legal.castle:
        return None
    files = abs(chess.square_file(other) - chess.square_file(legal.to_sq))
    ranks = abs(chess.square_rank(other) - chess.square_rank(legal.to_sq))
    return 0.0 if (files, ranks) in ((0, 2), (2, 0)) else None


def _in_front(board: chess.Board, legal: Legal) -> float | None:
    """A piece that steps onto the square before a pawn: the king before the other side's first of all."""
    if legal.victim or legal.castle:
        return None
    for colour in chess.COLORS:
        behind = legal.to_sq + (-8 if colour == chess.WHITE else 8)
        if 0 <= behind < 64 and board.piece_at(behind) == chess.Piece(chess.PAWN, colour):
            return (0.0 if colour != board.turn else 0.4) + (0.0 if legal.piece == chess.KING else 0.5)
    return None


def _behind(board: chess.Board, legal: Legal) -> float | None:
    if legal.victim:
        return None
    file, rank = chess.square_file(legal.to_sq), chess.square_rank(legal.to_sq)
    for pawn in chess.SquareSet(board.pawns & chess.BB_FILES[file]):
        ahead = chess.square_rank(pawn) > rank
        clear = not (chess.between(legal.to_sq, pawn) & board.occupied & ~chess.BB_SQUARES[legal.from_sq])
        if clear and ahead == (board.color_at(pawn) == chess.WHITE):
            return 0.0 if legal.piece == chess.ROOK else 0.5
    return None


def _doubles(board: chess.Board, legal: Legal) -> float | None:
    if legal.piece not in (chess.ROOK, chess.QUEEN) or legal.victim:
        return None
    mates = board.pieces(chess.ROOK, board.turn)
    mates.discard(legal.from_sq)
    if any(chess.square_file(s) == chess.square_file(legal.to_sq) for s in mates):
        return 0.0
    return 0.5 if any(chess.square_rank(s) == chess.square_rank(legal.to_sq) for s in mates) else None
