"""The parts of a statement, filled with what is named in a stretch; every reading when several fit.

Each filler takes the things of a stretch and gives readings ``(kind, parts)``
as the deciders know them, or nothing when what the fact needs is not named.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import permutations

from timeline.checks.abstract import Abstract, sense
from timeline.checks.terms import DONE_TO, NEEDS

Parts = dict[str, str]
Reading = tuple[str, Parts]
Filler = Callable[[Abstract], list[Reading]]
FILLERS: dict[str, Filler] = {}
MOST = 7  # of pieces or attackers on one square; larger numbers are something else


def filler(*kinds: str) -> Callable[[Callable[[str, Abstract], Iterator[Reading]]], None]:
    def register(function: Callable[[str, Abstract], Iterator[Reading]]) -> None:
        for kind in kinds:
            FILLERS[kind] = lambda found, kind=kind: list(function(kind, found))  # type: ignore[misc]

    return register


def nouns(found: Abstract) -> list[str]:
    """The men with their squares, each once."""
    return list(dict.fromkeys(f"the {man} on {place}" for man, place in found.men))


def one_side(found: Abstract) -> str | None:
    sides = set(found.sides)
    return next(iter(sides)) if len(sides) == 1 else None


def side_part(found: Abstract) -> Parts:
    side = one_side(found)
    return {"side": side} if side else {}


def one_number(found: Abstract) -> str | None:
    return found.numbers[0] if len(set(found.numbers)) == 1 else None


def bare(found: Abstract) -> bool:
    """Whether nothing on the board is named: no man, square, file, move or pawn."""
    return not (found.men or found.squares or found.files or found.moves or found.pawns)


def fillings(text: str, found: Abstract) -> dict[str, list[Reading]]:
    """Kind -> readings of a stretch, for each kind whose terms and parts are all there."""
    told = {}
    for kind, fill in FILLERS.items():
        if kind in _NOT_BESIDE and _NOT_BESIDE[kind].search(text):
            continue
        if (kind not in NEEDS or NEEDS[kind].search(text)) and (readings := fill(found)):
            told[kind] = readings
    return told


_NOT_BESIDE = {
    "piece_count": re.compile(r" \d+ , (?:the|all|his|her|white|black) "),  # "move five: the remaining knights"
    "fianchetto": re.compile(r" , [a-h][1-8] , "),  # "White plans a fianchetto, e6, the bishop takes up its post"
}
"""Where a number or a square belongs to something else."""


_CANNOT_CHASE = re.compile(
    r"(?:no|none|neither|not) (?:[a-z]+ )*?SIDE (?:'s )?pawns?|SIDE (?:'s )?pawns? (?:can|will|could) (?:not|never)|"
    r"SIDE has no pawn"
)
"""The side whose pawn cannot reach an outpost is not the one that has it."""


@filler("undefended", "hanging", "outpost")
def _one_man(kind: str, found: Abstract) -> Iterator[Reading]:
    men, places = nouns(found), set(found.squares)
    if len(men) == 1 and not places and not found.moves:
        if kind == "outpost" or found.men[0][0] != "king":
            yield kind, {"a": men[0]}  # a king is never left hanging
    elif not men and len(places) == 1 and not found.moves:
        if kind == "outpost":
            side = {} if _CANNOT_CHASE.search(" ".join(found.words)) else side_part(found)
            yield kind, {"sq": places.pop()} | side
        elif len(set(found.pieces)) == 1:
            yield kind, {"a": f"the {found.pieces[0]} on {places.pop()}"}  # "a pawn hanging on c2"


@filler("pinned")
def _pinned(kind: str, found: Abstract) -> Iterator[Reading]:
    men = nouns(found)
    behind = set(found.pieces) & {"king", "queen"}
    if len(men) != 1 or found.squares or found.moves or len(behind) > 1:
        return
    yield ("pinned_to", {"a": men[0], "piece": behind.pop()}) if behind else (kind, {"a": men[0]})


@filler("fianchetto")
def _fianchetto(kind: str, found: Abstract) -> Iterator[Reading]:
    men = nouns(found)
    side, named = one_side(found), " ".join(found.words)
    if len(men) == 1 and found.men[0][0] == "bishop":
        yield kind, {"a": men[0]}
    elif side and bare(found) and (wing := _WINGS.search(named)) is not None:
        yield kind, {"sq": ("b" if wing[1] == "queen" else "g") + ("2" if side == "white" else "7")}
    elif not men and "bishop" in found.pieces and len(set(found.squares)) == 1:
        yield kind, {"sq": found.squares[0]}


@filler("isolated", "passed", "backward")
def _pawn(kind: str, found: Abstract) -> Iterator[Reading]:
    side = one_side(found)
    whose = f"{side} 's " if side else ""
    if found.men:
        if len(nouns(found)) == 1 and found.men[0][0] == "pawn":
            yield kind, {"a": f"{whose}pawn on {found.men[0][1]}"}
    elif len(set(found.squares)) == 1 and not found.pawns:
        yield kind, {"sq": found.squares[0]}
    elif len({*found.pawns, *found.files}) == 1 and not found.squares:
        yield kind, {"a": f"{whose}{(*found.pawns, *found.files)[0]} pawn"}


_WINGS = re.compile(r"(?:^| )(king|queen) 's bishop(?= |$)")
"""The bishop that began beside the king, or beside the queen."""
_OF_SQUARES = frozenset(["attacks", "defends", "can_capture"])


@filler("attacks", "defends", "can_capture", "pins", "battery", "xray")
def _two_men(kind: str, found: Abstract) -> Iterator[Reading]:
    men, places = nouns(found), list(dict.fromkeys(found.squares))
    both = kind != "battery" and "MAN and MAN" in " ".join(found.words)  # they do something together
    if len(men) == 2 and not both and not places and not found.moves:
        for one, two in permutations(men):
            yield kind, {"a": one, "b": two}
    elif kind in _OF_SQUARES and len(men) == len(places) == 1 and not found.moves and not found.pieces:
        yield kind, {"a": men[0], "sq": places[0]}


@filler("fork", "skewer")
def _three_men(kind: str, found: Abstract) -> Iterator[Reading]:
    if found.squares or found.moves:
        return
    men = [*nouns(found), *dict.fromkeys(f"the {p}" for p in found.pieces)]
    if len(men) != 3:
        men = [*nouns(found), *(f"the {p}" for p in found.pieces)]  # "the rook in front and the rook behind"
    if len(men) == 3 and found.men:
        for one, two, three in permutations(men):
            yield kind, {"a": one, "b": two, "c": three}
    elif kind == "skewer" and len(men) == 2:
        for one, two in permutations(men):
            yield kind, {"b": one, "c": two}


@filler("turn", "stalemate", "bishop_pair", "castled", "uncastled", "castle_right", "castle_lost", "threat_mate")
def _of_side(kind: str, found: Abstract) -> Iterator[Reading]:
    side = one_side(found)
    if kind == "turn" and _TURN_MADE.search(" ".join(found.words)):
        return  # "the last move was made by White"
    if kind == "turn" and "just" in found.words and {"moved", "played"} & set(found.words):
        return  # "White has just moved"
    if kind == "turn" and {"finished", "done", "over", "ended", "same", "identical"} & set(found.words):
        return  # "White has finished his turn", "the same position with White to move"
    if kind == "castle_right" and _GONE & set(found.words):
        if side and bare(found) and not found.numbers and _FOR_GOOD & set(found.words):
            yield "castle_lost", {"side": side}  # "he can not castle any longer"
        return
    if side and bare(found) and set(found.numbers) <= _OWN_NUMBER.get(kind, frozenset()):
        yield kind, {"side": side}
    elif kind == "stalemate" and bare(found) and not found.sides and not found.numbers:
        yield kind, {}


_TURN_MADE = re.compile(
    "(?:move|turn) (?:was|is|has been|got) (?:made|played|finished)|(?:made|played) (?:[a-z]+ )?last move|"
    "(?:not|never) SIDE"
)
_GONE = frozenset("not no never longer lost lose gone forfeited forfeit anymore over late missed".split())
_FOR_GOOD = frozenset("longer anymore gone forfeited forfeit lost missed".split())
_OWN_NUMBER = {"bishop_pair": frozenset("2"), "threat_mate": frozenset("1"), "turn": frozenset("1")}
"""Numbers that belong to the fact: the 2 bishops, mate in 1, the 1 who is to move."""
_GIVING = re.compile(r"giv|gave|deliver|play|with|announc|land|threw|throw")


@filler("check")
def _check(kind: str, found: Abstract) -> Iterator[Reading]:
    side = one_side(found)
    if bare(found):
        told = " ".join(found.words)
        if "check" not in found.words and not side:
            return  # "all the checks come afterwards"
        if _TO_CHECK.search(told):
            return  # "check your board"
        if "checking" in found.words and "king" not in found.pieces:
            return  # "that is worth checking"
        given = "given" in found.words and "king" in found.pieces  # "the king has been given a check"
        gives = not given and any(map(_GIVING.match, found.words))
        giver = gives or "SIDE checks" in told  # the side may be the one that gives it
        if side and not giver:
            yield kind, {"side": side}
        if not side or giver or (not given and _CHECK_ALONE.search(told)):
            yield kind, {}


_TO_CHECK = re.compile(r"^check (?:your|my|our|it|this|that|again|yourselves|NUM|SIDE)(?: |$)|board check")
_CHECK_ALONE = re.compile(r"(?:^| )check$")
"""At the end it may be what a move gives: "White captures it, check"."""


_MATE_OF = re.compile(r"mate (?:stuff|thing|threat|net|pattern|idea|problem|motif|attack|danger|theme)")
"""A word that makes of "mate" something else."""


@filler("checkmate")
def _checkmate(kind: str, found: Abstract) -> Iterator[Reading]:
    side = one_side(found)
    if _MATE_OF.search(" ".join(found.words)):
        return
    if bare(found) and side:
        yield kind, {"side": side, "role": "victim"}
        yield kind, {"side": side, "role": "giver"}
    elif bare(found) and not found.sides:
        yield kind, {}


@filler("double_check", "discovered_check", "discovered_attack", "opposite_bishops", "material_even")
def _of_nobody(kind: str, found: Abstract) -> Iterator[Reading]:
    if bare(found):
        yield kind, {}


_BY_THE_RULES = frozenset("legal allowed permitted illegal rules else literally".split())
"""Words by which an only move is the only one there is, not the only good one."""


@filler("only_legal")
def _only_legal(kind: str, found: Abstract) -> Iterator[Reading]:
    if _BY_THE_RULES & set(found.words) and bare(found) and set(found.numbers) <= {"1"}:
        yield kind, side_part(found)


@filler("mate_in")
def _mate_in(kind: str, found: Abstract) -> Iterator[Reading]:
    number = one_number(found)
    if number and bare(found):
        yield kind, {"n": number} | side_part(found)


@filler("attackers", "defenders")
def _counted(kind: str, found: Abstract) -> Iterator[Reading]:
    number, men = one_number(found), nouns(found)
    places = list(dict.fromkeys(found.squares))
    if "is NUM of them" in " ".join(found.words):
        return  # "three squares matter, c1 is one of them"
    if number is None or not 1 <= int(number) <= MOST or len(men) + len(places) != 1 or found.moves:
        return
    where = {"a": men[0]} if men else {"sq": places[0]}
    yield kind, where | {"n": number}
    if found.sides:
        yield kind, where | {"n": number} | side_part(found)


@filler("attack_defend")
def _both_counted(kind: str, found: Abstract) -> Iterator[Reading]:
    men, places = nouns(found), list(dict.fromkeys(found.squares))
    if len(found.numbers) != 2 or len(men) + len(places) != 1:
        return
    where = {"a": men[0]} if men else {"sq": places[0]}
    one, two = found.numbers
    yield kind, where | {"n": one, "n2": two}
    yield kind, where | {"n": two, "n2": one}


@filler("doubled", "half_open", "hanging_pawns")
def _file_of_side(kind: str, found: Abstract) -> Iterator[Reading]:
    files = list(dict.fromkeys((*found.files, *found.pawns)))
    if len(files) == (2 if kind == "hanging_pawns" else 1) and not found.men and not found.squares:
        yield kind, {"file": files[0]} | side_part(found)


@filler("open_file")
def _open_file(kind: str, found: Abstract) -> Iterator[Reading]:
    if {"only", "other", "half", "half-open"} & set(found.words):
        return  # "only the other side's pawn stands on the d file"
    if len(set(found.files)) == 1 and not (found.men or found.squares or found.pawns or found.sides):
        yield kind, {"file": found.files[0]}


@filler("weak_square")
def _weak(kind: str, found: Abstract) -> Iterator[Reading]:
    side = one_side(found)
    if side and len(set(found.squares)) == 1 and not found.men:
        yield kind, {"sq": found.squares[0], "side": side}


@filler("shade")
def _shade(kind: str, found: Abstract) -> Iterator[Reading]:
    if "squares" in found.words and not {"of", "belongs", "among"} & set(found.words) and not found.men:
        return  # "the dark squares are gone"
    shades = {"light", "dark"} & {w.removesuffix("-squared") for w in found.words}
    places = {*found.squares, *(place for _, place in found.men)}
    if len(places) == len(shades) == 1 and not found.moves:
        yield kind, {"sq": places.pop(), "shade": shades.pop()}


@filler("shade_bishop")
def _shade_bishop(kind: str, found: Abstract) -> Iterator[Reading]:
    side = one_side(found)
    shades = {"light", "dark"} & {w.removesuffix("-squared") for w in found.words}
    if side and len(shades) == 1 and bare(found):
        yield "shade", {"side": side, "shade": shades.pop()}


@filler("standing")
def _standing(kind: str, found: Abstract) -> Iterator[Reading]:
    side, men = one_side(found), nouns(found)
    if DONE_TO & set(found.words):
        return  # "White has the pawn on e5 attacked": it may be Black's
    if side and len(men) == 1 and not found.squares and not found.moves and not found.pieces:
        yield kind, {"a": f"{side} 's {men[0].removeprefix('the ')}"}
    elif side and not men and len(set(found.pieces)) == len(set(found.squares)) == 1 and not found.moves:
        yield kind, {"a": f"{side} 's {found.pieces[0]} on {found.squares[0]}"}
    elif len(men) == 1 and "a MAN" in " ".join(found.spoken) and not (found.sides or found.pieces or found.squares):
        yield kind, {"a": men[0]}  # "that's a knight there on d3"


@filler("developed")
def _developed(kind: str, found: Abstract) -> Iterator[Reading]:
    number, side = one_number(found), one_side(found)
    if number and side and bare(found) and _UNITS_OUT & set(found.words):
        yield kind, {"n": number, "side": side}


_UNITS_OUT = frozenset("piece pieces men man units minor developed knight bishop".split())


@filler("piece_count")
def _piece_count(kind: str, found: Abstract) -> Iterator[Reading]:
    number, pieces = one_number(found), set(found.pieces)
    if {"both", "each", "every"} & set(found.words) and not _ALL_TOLD & set(found.words):
        return  # of one side each, or all told
    if number and int(number) <= MOST + 1 and len(pieces) == 1 and bare(found):
        yield kind, {"n": number, "piece": pieces.pop()} | side_part(found)


_ALL_TOLD = frozenset("together total altogether combined everybody everyone everything sum added".split())
"""Words of a sum over both colours."""


@filler("move_number")
def _move_number(kind: str, found: Abstract) -> Iterator[Reading]:
    number = one_number(found)
    if _SINCE_MOVE.search(" ".join(found.words)):
        return
    played = [*found.moves, *found.squares]  # "on move 3 he went e6"
    if number and len(played) == 1 and not (found.men or found.files):
        yield "move_number_played", {"n": number, "move": played[0]} | side_part(found)
    elif number and bare(found) and not _AT_MOVE.search(" ".join(found.words)):
        yield kind, {"n": number}


_SINCE_MOVE = re.compile(r"(?:since|until|till|before|after|(?:is|was) it) (?:move|number) ")
_AT_MOVE = re.compile(
    r"(?<!are )(?<!now )(?<!here )(?<!position )(?<!arrived )"
    r"(?:since|until|till|by|after|before|from|at|on|around) (?:about )?(?:move|number) "
)
"""Not the move now: "he leaves on move five"."""


@filler("opening")
def _opening(kind: str, found: Abstract) -> Iterator[Reading]:
    if len(found.openings) == 1 and found.openings[0] != "bird":  # "a rare bird"
        yield kind, {"opening": found.openings[0]}


@filler("legal", "illegal")
def _legal(kind: str, found: Abstract) -> Iterator[Reading]:
    if len(found.moves) == 1 and not found.men:
        yield kind, {"move": found.moves[0], "legality": "yes" if kind == "legal" else "no"} | side_part(found)


_PLAYED = re.compile(
    r"(?:SQ|MOVE) (?:was|is|got) (?:[a-z]+ )?(?:played|chosen)(?! (?:here |now |next )?(?:by|for) SIDE)"
)


@filler("in_the_game")
def _played(kind: str, found: Abstract) -> Iterator[Reading]:
    told = [*found.moves, *found.squares]
    if len(told) == 1 and not found.men:
        passive = _PLAYED.search(" ".join(found.words)) is not None  # "White supported it, and f3 was played"
        yield kind, {"move": told[0]} | ({} if passive else side_part(found))


_OTHER_ONE = re.compile(
    r"(?:lost|loses?|losing|resigned|beaten|defeated|won|wins?) (?:to|by|against|over|from) SIDE|to draw|beat SIDE"
)
"""The side named is the one it was lost to; or it is what is aimed at."""
_OF_SIDES = re.compile(r"SIDE 's (?!win|victory|loss|defeat|triumph|point|game|favor|$)")
"""Something of a side: "on Black's move, and it won the game"."""
_DREW_SOMETHING = re.compile(
    r"(?:draw|draws|drew|drawing) (?:(?:the|a|an|his|her|my|our|your|some|right|only|no) )*"
    r"(?:conclusion|consequence|line|arrow|lesson|attention|sword|breath|curtain)"
)
_DRAWN = re.compile(r"draw|drew|drawn|half|halves|peace|shared?|split|truce")


@filler("result")
def _result(kind: str, found: Abstract) -> Iterator[Reading]:
    side = one_side(found)
    if not bare(found) or set(found.numbers) - {"1"}:  # "he won this 1"
        return
    if found.pieces or {"piece", "pieces", "exchange", "material", "right", "time"} & set(found.words):
        return  # "he lost a piece"
    if _OTHER_ONE.search(told := " ".join(found.words)) or _OF_SIDES.search(told):
        return
    if any(_DRAWN.match(word) for word in found.words) and not _DREW_SOMETHING.search(told):
        yield kind, {"out": "draw"}
        return
    senses = {sense(word) for word in found.words} & {"WIN", "LOSE"}
    if side and len(senses) == 1:
        yield kind, {"side": side, "out": "won" if "WIN" in senses else "lost"}


_AHEAD = re.compile(r"up$|ahead|more$|extra|plus$|advantage|lead|won$|wins|better|additional|surplus|good$")
_BEHIND = re.compile(
    r"down$|behind|less$|short$|fewer|missing|lack|without$|minus$|lost$|los|gave|given|sacrific|deficit"
)
_EVEN = re.compile(r"equal|even$|level|balanced?$|identical|same$")
_UNITS = re.compile(r"(pawn|queen|rook|bishop|knight|minor piece|piece)s?")


def _compared(found: Abstract) -> str | None:
    """The only side, or the one that is compared: "White has a piece less than Black"."""
    named = [i for i, word in enumerate(found.words) if word == "SIDE"]
    if len(named) == len(found.sides) == 2:
        others = [n for n, i in enumerate(named) if i and found.words[i - 1] in ("than", "over")]
        if len(others) == 1:
            return found.sides[1 - others[0]]
    return one_side(found)


@filler("material")
def _material(kind: str, found: Abstract) -> Iterator[Reading]:
    side, words = _compared(found), found.words
    ways = {way for way, pattern in (("up", _AHEAD), ("down", _BEHIND)) if any(map(pattern.match, words))}
    if not bare(found) or len(set(found.numbers)) > 1:
        return
    if any(map(_EVEN.match, words)) and not ways and not found.pieces and not found.numbers:
        yield "material_even", {}
    if side is None or len(ways) != 1:
        return
    part = {"side": side, "up": ways.pop()}
    units = {unit[1] for unit in map(_UNITS.fullmatch, words) if unit is not None}
    if "exchange" in words and not units:
        yield "exchange_up", part
    elif len(units) == 1:
        yield kind, part | {"piece": units.pop()} | ({"n": found.numbers[0]} if found.numbers else {})
    elif "material" in words and not units and not found.numbers:
        yield "material_lead", part
