"""How a phrase that names a move may begin: a piece, a square, a file, "takes", castling, check, a verb of motion."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import chess

from timeline.follow.hearing import run_together
from timeline.follow.lexer import Tok
from timeline.follow.mentions import Desc
from timeline.follow.naming import GLUED, fuzzy, fuzzy_pieces, own_pawn, pieces, squares
from timeline.follow.phrase import Phrase
from timeline.follow.vocabulary import (
    CASTLE_WORDS,
    CHECK_WORDS,
    FILE_WORDS,
    MATE_WORDS,
    MOTION,
    MOTION_TAILS,
    PIECE_NAMES,
    PIECE_WORDS,
    PREPOSITIONS,
    PROMOTE_WORDS,
    TAKE_WORDS,
)

_SIDES = {
    "long": "q", "queenside": "q", "short": "k", "kingside": "k", "queen-side": "q", "king-side": "k",
}  # fmt: skip
_TOWARDS = frozenset("to into towards toward for".split())
_FLANKS_OF = {"k": "king's", "q": "queen's"}
_NEAR = 16
"""So many words before "the other one" the kind is looked for."""
_EATEN = frozenset("the it that this my his her our your their a an another".split())
"""What stands after "ate" where something is eaten; else it is mostly an eight ("queen h ate")."""
_WHOSE = frozenset("the his her my our your their its other".split())
_MAY = frozenset("can may could might".split())
_TAKING = frozenset("take takes took taking taken".split())
_NO_MAN = frozenset("place part care time ages hours years days weeks notes turns courage".split())
_NO_MAN_A = frozenset(
    """look photograph photo picture breath break rest minute moment second while seat note risk chance walk train bus taxi nap sip coffee
    tea biscuit turn trip holiday lesson guess vote bow bit hour day week year peek glance step bite pause drink""".split()
)
"""What is taken in plain English and stands on no board; the second list after "a" and the like."""
_BETWEEN_MARKS = frozenset("swap swaps trade trades exchange exchanges exchanged taking retaking taken retaken chop munch".split())
"""What is a capture when it stands between two marks of punctuation ("…, taking, retaking."), and may be no move elsewhere."""
_CHOICES = frozenset("or and but so no not was is say also either".split())
_TAKES_BEFORE = 14
"""So many words before "with the pawn" a capture has to be spoken of."""
_FLANKS = {"king": "e", "king's": "e", "kings": "e", "queen": "d", "queen's": "d", "queens": "d"}
_WINGS = frozenset("kingside queenside king-side queen-side".split())
_AUXILIARIES = frozenset(
    """is was gets got be been being can could may might must will would has have had now then simply just also finally soon even
    to at once""".split()
)
_PASSIVE = frozenset("is was gets got be been being".split())
_HAS = frozenset("had has have having he'd i'd she'd they'd we'd you'd white's black's".split())
_BETWEEN = frozenset("white black he she i we you they opponent my his not only just simply now instead already also here first".split())
_DONE = 0.2
"""Cost of hearing a capture in "had taken"."""
_TAKEN = frozenset("taken captured recaptured retaken removed eaten grabbed collected snapped exchanged".split())


def beginnings(toks: Sequence[Tok], i: int) -> list[Phrase]:
    """All ways in which a phrase may begin at token ``i``."""
    tok = toks[i]
    heads: list[Phrase] = []
    for piece, length, cost, mended in pieces(toks, i) or fuzzy_pieces(toks, i):
        part = (i, i + length - 1, PIECE_NAMES[piece], mended)
        heads.append(Phrase(i + length, Desc(piece=piece), cost, parts=(part,)))
    heads.extend(_taken(toks, i))
    if not heads:
        heads.extend(_run_together(toks, i))
    files, used = own_pawn(toks, i)
    if files:
        for file in files:
            part = (i, i + used - 1, f"{file} pawn", False)
            cost = 0.2 if len(files) == 1 else 0.4
            heads.append(Phrase(i + used, Desc(piece=chess.PAWN, ff=file), cost, parts=(part,)))
    elif (tok.text in _FLANKS or tok.text in _WINGS) and i + 1 < len(toks) and not tok.ends:
        for piece, length, cost, mended in pieces(toks, i + 1):
            if piece in (chess.KNIGHT, chess.BISHOP, chess.ROOK) and cost < 0.4:
                name = (i, i + length, f"{_FLANKS_OF[tok.text[0]]} {PIECE_NAMES[piece]}", mended)
                heads.append(Phrase(i + 1 + length, Desc(piece=piece, flank=tok.text[0]), cost, parts=(name,)))
    if tok.text in FILE_WORDS and FILE_WORDS[tok.text][1] == 0.0 and i and toks[i - 1].text in _WHOSE and not tok.ends:
        heads.extend(_of_a_file(toks, i))
    if tok.text == "other" and i + 1 < len(toks):
        for piece, length, cost, mended in pieces(toks, i + 1):
            part = (i + 1, i + length, PIECE_NAMES[piece], mended)
            heads.append(Phrase(i + 1 + length, Desc(piece=piece, other=True), cost, parts=(part,)))
        if not heads and toks[i + 1].text == "one":
            heads.extend(_other_one(toks, i))
    for square, length, cost, mended in squares(toks, i):
        part = (i, i + length - 1, chess.square_name(square), mended)
        heads.append(Phrase(i + length, Desc(to=square), cost, parts=(part,)))
        if _leads_to_square(toks, i + length):  # "e two to e four", "c five takes d four"
            heads.append(Phrase(i + length, Desc(fsq=square), cost, parts=(part,)))
        if i + length < len(toks) and not toks[i + length - 1].ends:
            for piece, plen, pcost, pmended in pieces(toks, i + length):
                end = i + length + plen
                parts = (part, (i + length, end - 1, PIECE_NAMES[piece], pmended))
                heads.append(Phrase(end, Desc(piece=piece, fsq=square), cost + pcost, parts=parts))
    if not heads and (i == 0 or toks[i - 1].ends or tok.starts):
        for square, length, cost, mended in fuzzy(toks, i):
            if toks[i + length - 1].ends:  # a clause of its own that sounds like a square ("beside.")
                part = (i, i + length - 1, chess.square_name(square), mended)
                heads.append(Phrase(i + length, Desc(to=square), cost, parts=(part,)))
    if tok.text in FILE_WORDS and i + 1 < len(toks) and not tok.ends:
        heads.extend(_file_head(toks, i))
    glued = GLUED.fullmatch(tok.text)
    if glued and glued[1].isalpha() and glued[1] != glued[2][0]:
        desc = Desc(piece=chess.PAWN, ff=glued[1], cap=True, to=chess.parse_square(glued[2]))
        heads.append(Phrase(i + 1, desc, 0.1, parts=((i, i, f"{glued[1]} takes {glued[2]}", False),)))
    if tok.text in TAKE_WORDS and not _takes_no_man(toks, i):
        cost = min(TAKE_WORDS[tok.text], _DONE) if _perfect(toks, i) else TAKE_WORDS[tok.text]
        alone = tok.ends and (i == 0 or toks[i - 1].ends) and tok.text in _BETWEEN_MARKS
        heads.append(
            Phrase(i + 1, Desc(cap=True), 0.2 if alone else cost, parts=((i, i, "takes", tok.text in ("tax", "cakes")),))
        )
    elif tok.text == "ate" and not tok.ends and i + 1 < len(toks) and toks[i + 1].text in _EATEN:
        heads.append(Phrase(i + 1, Desc(cap=True), 0.2, parts=((i, i, "takes", False),)))
    elif _helps_itself(toks, i):
        heads.append(Phrase(i + 2, Desc(cap=True), 0.3, parts=((i, i + 1, "takes", False),)))
    elif _may_have(toks, i):
        heads.append(Phrase(i + 1, Desc(cap=True), 0.3, 1, 1, parts=((i, i, "takes", False),)))
    if tok.text == "with" and _answers(toks, i):
        heads.append(Phrase(i + 1, Desc(cap=True), 0.3, 1, 1, with_=True))
    if tok.text in CASTLE_WORDS or (tok.text in _SIDES and i + 1 < len(toks) and toks[i + 1].text in CASTLE_WORDS):
        heads.extend(_castle_head(toks, i))
    if tok.text in ("both", "everyone", "everybody", "sides"):
        heads.extend(_both_head(toks, i))
    if tok.text == "there":
        heads.extend(_there_goes(toks, i))
    if tok.text in ("king", "kings"):
        heads.extend(_king_to_a_side(toks, i))
    if tok.text in CHECK_WORDS:
        heads.append(
            Phrase(i + 1, Desc(chk=1), CHECK_WORDS[tok.text], parts=((i, i, "check", tok.text[:5] != "check"),))
        )
    if tok.text in MATE_WORDS:
        heads.append(Phrase(i + 1, Desc(chk=2), MATE_WORDS[tok.text], parts=((i, i, tok.text, False),)))
    if tok.text in PROMOTE_WORDS:
        heads.append(Phrase(i + 1, Desc(promo=chess.QUEEN), 0.3, parts=((i, i, tok.text, False),)))
    if tok.text in MOTION and tok.text not in MOTION_TAILS:
        # "goes to d7", "puts the bishop on c4": the verb leads, the piece may follow.
        heads.append(Phrase(i + 1, Desc(), 0.0, 1, 1, True))
    elif tok.text in PREPOSITIONS or tok.text == "back":
        heads.append(
            Phrase(
                i + 1,
                Desc(),
                0.0,
                1,
                1,
                tok.text == "back",
                "back" if tok.text == "back" else "",
                tok.text if tok.text != "back" else "",
            )
        )
    return heads


def _perfect(toks: Sequence[Tok], i: int) -> bool:
    """Whether "taken" at token ``i`` is what somebody has done, and more is said of it: "had White taken back", "he has simply
    taken it". A bare "had he taken," is often told again by its name."""
    if toks[i].text not in _TAKEN or toks[i].ends:
        return False
    for k in range(i - 1, max(-1, i - 5), -1):
        if toks[k].ends:
            return False
        if toks[k].text in _HAS:
            return True
        if toks[k].text not in _BETWEEN:
            return False
    return False


def _of_a_file(toks: Sequence[Tok], i: int) -> list[Phrase]:
    """ "The g knight", "his a rook": the piece on that file."""
    if i + 1 >= len(toks):
        return []
    file = FILE_WORDS[toks[i].text][0]
    heads = []
    for piece, length, cost, mended in pieces(toks, i + 1):
        if piece != chess.PAWN and piece != chess.KING and cost < 0.4:
            name = (i, i + length, f"{file} {PIECE_NAMES[piece]}", mended)
            heads.append(Phrase(i + 1 + length, Desc(piece=piece, ff=file), cost, parts=(name,)))
    return heads


def _other_one(toks: Sequence[Tok], i: int) -> Iterator[Phrase]:
    """ "The other one" at token ``i`` that moves: of the kind named last before it ("rook f2, the other one to e1")."""
    if i + 2 >= len(toks) or toks[i + 1].ends or not (toks[i + 2].text in MOTION or toks[i + 2].text == "to"):
        return
    for k in range(i - 1, max(-1, i - _NEAR), -1):
        for piece, length, cost, _ in pieces(toks, k):
            if cost < 0.4 and k + length <= i:
                part = (i, i + 1, PIECE_NAMES[piece], False)
                yield Phrase(i + 2, Desc(piece=piece, other=True), 0.2, 0, 1, parts=(part,))
                return


def _takes_no_man(toks: Sequence[Tok], i: int) -> bool:
    """ "I took a photograph", "it takes time", "he takes a deep breath": nobody is captured."""
    if toks[i].text not in _TAKING or toks[i].ends or i + 1 >= len(toks):
        return False
    if toks[i + 1].text in _NO_MAN:
        return True
    if toks[i + 1].text not in ("a", "an", "some", "another", "my", "your", "his", "her", "our", "their"):
        return False
    for k in range(i + 2, min(len(toks), i + 5)):
        if toks[k - 1].ends or toks[k].text in PIECE_WORDS:
            return False  # "a second pawn"
        if (toks[k].text in _NO_MAN or toks[k].text in _NO_MAN_A) and (k + 1 == len(toks) or toks[k + 1].text not in PIECE_WORDS):
            return True
    return False


def _helps_itself(toks: Sequence[Tok], i: int) -> bool:
    """ "The knight helps itself": it takes."""
    if not toks[i].text.startswith("help") or i + 1 >= len(toks) or toks[i].ends:
        return False
    return toks[i + 1].text in ("itself", "himself", "herself", "myself", "yourself", "themselves", "ourselves")


def _may_have(toks: Sequence[Tok], i: int) -> bool:
    """ "Can he have the bishop now?": may he take it. A man has to follow."""
    if toks[i].text != "have" or toks[i].ends or i + 2 >= len(toks) or toks[i + 1].text not in ("the", "that", "this", "my", "his"):
        return False
    if not any(tok.text in _MAY for tok in toks[max(0, i - 3) : i]):
        return False
    return bool(pieces(toks, i + 2))


def _answers(toks: Sequence[Tok], i: int) -> bool:
    """Whether "with" at token ``i`` begins a clause that says who takes: "Two ways to recapture. With the pawn he …"."""
    if i and not toks[i - 1].ends and not toks[i].starts and toks[i - 1].text not in _CHOICES:
        return False
    return any(TAKE_WORDS.get(toks[k].text, 1.0) <= 0.3 for k in range(max(0, i - _TAKES_BEFORE), i))


def _run_together(toks: Sequence[Tok], i: int) -> list[Phrase]:
    heads = []
    words: tuple[str, ...] = (toks[i].text,)
    for length in (1, 2):
        if length == 2:
            if toks[i].ends or i + 1 >= len(toks) or toks[i + 1].san:
                break
            words = (*words, toks[i + 1].text)
        for piece, square, cost in run_together(words):
            parts = ((i, i + length - 1, f"{PIECE_NAMES[piece]} {chess.square_name(square)}", True),)
            heads.append(Phrase(i + length, Desc(piece=piece, to=square), cost, parts=parts))
    return heads


def _file_head(toks: Sequence[Tok], i: int) -> list[Phrase]:
    heads = []
    file, cost = FILE_WORDS[toks[i].text]
    following = toks[i + 1].text
    part = (i, i, file, cost > 0)
    if following in TAKE_WORDS and TAKE_WORDS[following] <= 0.25:
        extra = 0.2 if cost < 0.3 else 0.8
        parts = (part, (i + 1, i + 1, "takes", False))
        heads.append(Phrase(i + 2, Desc(piece=chess.PAWN, ff=file, cap=True), cost + extra, parts=parts))
    elif following in PIECE_WORDS and PIECE_WORDS[following][0] == chess.PAWN:
        extra = 0.6 if toks[i].text == "a" else 0.0
        parts = (part, (i + 1, i + 1, "pawn", False))
        heads.append(Phrase(i + 2, Desc(piece=chess.PAWN, ff=file), cost + extra, parts=parts))
    elif cost == 0 and toks[i].text != "a":
        # "d e5": a pawn capture with the verb left out; a second file's letter may also be misheard
        doubt = 0.6 if following in FILE_WORDS and following != "a" else 0.5
        for square, length, scost, mended in squares(toks, i + 1):
            if chess.FILE_NAMES[chess.square_file(square)] != file:
                parts = (part, (i + 1, i + length, chess.square_name(square), mended))
                desc = Desc(piece=chess.PAWN, ff=file, cap=True, to=square)
                heads.append(Phrase(i + 1 + length, desc, scost + doubt, parts=parts))
    return heads


def _castle_head(toks: Sequence[Tok], i: int) -> list[Phrase]:
    k, side, cost = i, "any", 0.0
    if toks[k].text in _SIDES:
        side = _SIDES[toks[k].text]
        k += 1
    word = toks[k].text
    cost += CASTLE_WORDS[word]
    if word in ("o-o", "0-0"):
        side = "k"
    elif word in ("o-o-o", "0-0-0"):
        side = "q"
    mended = word.startswith(("canc", "cattl", "hass", "tass", "kass", "cass"))
    parts: tuple[tuple[int, int, str, bool], ...] = ((k, k, "castles" if mended else word, mended),)
    k += 1
    j = k
    while j < min(len(toks), k + 3) and not toks[j - 1].ends:
        word = toks[j].text
        if word in _SIDES:
            return [Phrase(j + 1, Desc(castle=_SIDES[word]), cost, parts=parts)]
        if word in ("queen", "king") and j + 1 < len(toks) and toks[j + 1].text in ("side", "side's", "sides"):
            return [Phrase(j + 2, Desc(castle="q" if word == "queen" else "k"), cost, parts=parts)]
        if word not in ("on", "the", "to", "to", "in", "his", "her"):
            break
        j += 1
    return [Phrase(k, Desc(castle=side), cost, parts=parts)]


def _leads_to_square(toks: Sequence[Tok], k: int) -> bool:
    if k + 1 >= len(toks) or toks[k - 1].ends or toks[k].ends:
        return False
    if toks[k].text != "to" and TAKE_WORDS.get(toks[k].text, 1.0) > 0.25:
        return False
    return any(cost < 0.7 for _, _, cost, _ in squares(toks, k + 1))


def _taken(toks: Sequence[Tok], i: int) -> list[Phrase]:
    """ "The pawn is taken", "the knight on c6 may now be captured by the pawn": the taker comes last, or is not said."""
    heads = []
    for victim, length, cost, _ in pieces(toks, i):
        k, to = i + length, -1
        if cost >= 0.4 or toks[k - 1].ends:
            continue
        if k + 1 < len(toks) and toks[k].text in ("on", "at"):
            for square, used, _, _ in squares(toks, k + 1):
                k, to = k + 1 + used, square
                break
        for piece, end in _by_whom(toks, k - 1):  # "queen by king"
            part = (i, end - 1, "takes", False)
            heads.append(Phrase(end, Desc(cap=True, victim=victim, to=to, piece=piece), cost + 0.5, parts=(part,)))
        start = k
        while k < min(len(toks), start + 4) and toks[k].text in _AUXILIARIES and not toks[k - 1].ends:
            k += 1
        passive = any(tok.text in _PASSIVE for tok in toks[start:k])
        if passive and k < len(toks) and toks[k].text in _TAKEN and not toks[k - 1].ends:
            part = (i, k, "takes", False)
            desc = Desc(cap=True, victim=victim, to=to)
            by = _by_whom(toks, k)
            heads.append(Phrase(k + 1, desc, cost + 0.4, parts=(part,)))
            heads.extend(Phrase(end, desc._replace(piece=piece), cost + 0.2, parts=(part,)) for piece, end in by)
    return heads


def _by_whom(toks: Sequence[Tok], k: int) -> list[tuple[int, int]]:
    """Piece and end of "by the knight" after token ``k``."""
    if toks[k].ends or k + 2 >= len(toks) or toks[k + 1].text not in ("by", "with"):
        return []
    at = k + 3 if toks[k + 2].text in _WHOSE and k + 3 < len(toks) else k + 2
    return [(piece, at + length) for piece, length, cost, _ in pieces(toks, at) if cost < 0.4]


def _there_goes(toks: Sequence[Tok], i: int) -> list[Phrase]:
    """ "There goes my b pawn", "and there goes the queen": it is taken."""
    k = i + 3
    if k >= len(toks) or toks[i + 1].text not in ("goes", "go", "went") or toks[i + 2].text not in _WHOSE:
        return []
    if any(tok.ends for tok in toks[i : i + 3]):
        return []
    to, file = -1, ""
    for square, length, cost, _ in squares(toks, k):
        if cost < 0.4 and k + length < len(toks) and not toks[k + length - 1].ends:
            to, k = square, k + length
            break
    else:
        if toks[k].text in chess.FILE_NAMES and k + 1 < len(toks) and not toks[k].ends:
            file, k = toks[k].text, k + 1
    part = (i, k, "takes", False)
    return [
        Phrase(k + length, Desc(cap=True, victim=piece, to=to, to_file=file), cost + 0.8, parts=(part,))
        for piece, length, cost, _ in pieces(toks, k)
        if cost < 0.4 and (toks[k + length - 1].ends or k + length == len(toks))
    ]


def _king_to_a_side(toks: Sequence[Tok], i: int) -> list[Phrase]:
    """ "The king runs off to the long side", "both kings go to the kingside": castling."""
    both = i > 0 and toks[i - 1].text == "both"
    if (toks[i].text == "kings") != both:
        return []
    for k in range(i + 1, min(len(toks) - 2, i + 6)):
        if toks[k - 1].ends:
            break
        if toks[k].text not in _TOWARDS or toks[k + 1].text not in ("the", "his", "her", "their", "its"):
            continue
        word, after = toks[k + 2].text, toks[k + 3].text if k + 3 < len(toks) and not toks[k + 2].ends else ""
        side = {"king's": "k", "queen's": "q"}.get(word) or _SIDES.get(word, "")
        alone = "side" in word
        if side and (alone or after == "side"):
            end = k + (2 if alone else 3)
            parts = ((i, end, "castles", False),)
            return [Phrase(end + 1, Desc(castle=side, both=both), 0.3, parts=parts)]
    return []


def _both_head(toks: Sequence[Tok], i: int) -> list[Phrase]:
    for j in range(i + 1, min(len(toks), i + 4)):
        word = toks[j].text
        if word in CASTLE_WORDS:
            return [replace(state, desc=state.desc._replace(both=True)) for state in _castle_head(toks, j)]
        if word not in ("sides", "players", "have", "will", "now", "then", "sides,", "just", "side"):
            break
    return []
