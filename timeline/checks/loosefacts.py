"""Statements in words that no rule foresees, about pawns, squares, sides and numbers (``loose`` has those of pieces).

A stretch of a sentence with one term of the trade is read with what is named in
it: one pawn, one square, one file, one side, one number. What does not come out
unmistakably is left alone; where words could be taken two ways both are kept,
and the statement is wrong only when it is wrong in both.
"""

# ruff: noqa: E501  (a pattern stands on one line)

from __future__ import annotations

import re
from collections.abc import Iterator

Parts = dict[str, str]
Found = tuple[str, list[Parts], tuple[int, int]]
"""Kind, the parts of each reading, and where in the stretch its words stand."""

_MAN = "king|queen|rook|bishop|knight|pawn"
_SIDES = re.compile(rf"(?<= )(white|black)(?= )(?! (?:{_MAN}|square)s? )")
_SQUARE = re.compile(r"(?<= )([a-h][1-8])(?= )")
_FILE = re.compile(r"(?<= )([a-h])(?: |-)(?:file|pawn|line|column)s?(?= )")
_NUMBER = re.compile(
    r"(?<= )(?<! a )(?<!move )(?<!number )(?<!in )(?<!\w the )(\d+)(?= )(?! of )(?! squares)|(?<= )(twice|thrice)(?= )"
)
# A number that counts something, not the half of a misheard square.
_COUNTING = re.compile(
    r" (?:(?!1 )\d+ (?:\w+ ){0,2}?(?:\w+s|men)|1 (?:\w+ ){0,2}?(?:attacker|defender|protector|guard|piece|man|unit|time|"
    r"pawn|knight|bishop|rook|queen|king|friend|supporter)|\d+ of|twice|thrice)(?= )"
)
_PAWN = (
    (re.compile(r"(?<= )pawn (?:\w+ ){0,2}?(?:on|at) ([a-h][1-8])(?= )"), "{side}pawn on {0}"),
    (re.compile(r"(?<= )([a-h][1-8]) pawn(?= )"), "{side}pawn on {0}"),
    (re.compile(r"(?<= )(?:on|at) ([a-h][1-8]) (?:\w+ ){0,3}pawn(?= )"), "{side}pawn on {0}"),
    (re.compile(r"(?<= )([a-h]) pawn(?= )"), "{side}{0} pawn"),
    (re.compile(r"(?<= )pawn on the ([a-h]) file(?= )"), "{side}{0} pawn"),
)
_PAWN_TERMS = (
    ("isolated", re.compile(r"(?<= )(?:isolated|isolani|isolation)(?= )")),
    ("passed", re.compile(r"(?<= )(?:passed|passer)(?= )(?! (?:the|on|over|by|to|up|it|his|her|move)(?: |$))")),
    ("backward", re.compile(r"(?<= )backward(?= )")),
)
_OTHER_MEN = re.compile(r" (?:king|queen|rook|bishop|knight)s? ")
_ONE_MAN = (
    ("pinned", re.compile(r"(?<= )(?:pinned|in a (?:\w+ )?pin|under a (?:\w+ )?pin|a pin)(?= )(?! (?:to|by|against))")),
    ("undefended", re.compile(r"(?<= )(?:undefended|unprotected|unguarded)(?= )")),
    ("hanging", re.compile(r"(?<= )(?:hanging|hangs|en-prise)(?= )(?! (?:on to|pawns|in the balance))")),
    ("outpost", re.compile(r"(?<= )outpost(?= )")),
)
_DOUBLED = re.compile(
    r"(?<= )(?:doubled|doubletons?|double) (?:[a-h] )?(?=pawns?|$|on|,|for|there|now|here)|(?<= )doubled(?= )"
)
_WEAK = re.compile(r"(?<= )(?:weak|weakened|weakness|hole)(?= )(?! (?:pawn|king|knight|bishop|rook))")
_SHADE = re.compile(r"(?<= )(light|dark)(?:-colored| colored)? (?:square|color)(?= )")
_OUTPOST = re.compile(r"(?<= )(?:outpost|stronghold|support point)(?= )")
_FIANCHETTO = re.compile(r"(?<= )fianchetto(?:ed)?(?= )")
_HITTING = re.compile(
    r"(?<= )(?:attackers?|attack(?:s|ed|ing)?|hits?|hitting|aim(?:s|ed|ing)?|target(?:s|ed|ing)?|pressur(?:e|ed|ing|es)|under fire|eye(?:s|d|ing)|bear(?:s|ing)? down)(?= )"
)
_GUARDING = re.compile(
    r"(?<= )(?:defenders?|defend(?:s|ed|ing)?|guards?|guard(?:ed|ing|ians?)|protect(?:s|ed|ing|ors?|ion)?|cover(?:s|ed|ing)?|support(?:s|ed|ing|ers?)?)(?= )"
)
_OUT = re.compile(
    r"(?<= )(?:developed|in play|into play|into the game|into action|in action|into battle|in the game|out|off the back rank|mobili[sz]ed)(?= )"
)
_LEFT = re.compile(
    r"(?<= )(?:left|remaining|remains?|still on|on the board|down to|reduced to|survived?|in total|altogether)(?= )"
)
_COUNTED = re.compile(
    r"(?<= )(\d+) (?:[a-z-]+ )?(king|queen|rook|bishop|knight|pawn)s?(?= )(?! (?:on|up|down|move|ahead) )"
)
_NO_COUNT = re.compile(
    r" (?:extra|more|less|fewer|up|ahead|behind|doubled|passed|isolated|connected|against|for|developed|moves?|attackers?|than) "
)
_UNIT = re.compile(
    r"(?<= )(?:(?:a|an|1|(?P<n>[2-9])|the|his|her) )?(?:(?:whole|full|clear|clean|healthy|solid|entire|extra|single|mere|sound) )*"
    rf"(?P<piece>piece|minor piece|{_MAN})s?(?= )(?! (?:on|at|'s|for|move|ending|endgame|chain|structure|storm|break|majority|sacrifice|takes|to) )"
)
_AHEAD = re.compile(
    r"(?<= )(?:(?<!woken )(?<!wakes )(?<!lined )(?<!set )(?<!opened )(?<!opens )up|ahead|extra|plus|more|richer|to the good|surplus|in hand|better off)(?= )(?! (?:the|to|on|or less)(?: |$))"
)
_BEHIND = re.compile(
    r"(?<= )(?:down|(?<!piece )(?<!pieces )(?<!from )behind|minus|less|fewer|short|missing|lacking|lacks|poorer|in arrears|worse off)(?= )(?! (?:the|to|on)(?: |$))"
)
_EXCHANGE = re.compile(r"(?<= )(?:the|an) exchange(?= )(?! (?:on|of|sacrifice|variation) )")
_MATED = re.compile(r"(?<= )(?:checkmated|mated)(?= )")
_A_CHECK = re.compile(
    r"(?<= )(?:fac(?:es|ed|ing)|me(?:ets?|eting|t)|harassed by|annoyed by|hit by|greeted by|bothered by|troubled by|receiv(?:es|ed|ing)|"
    r"suffer(?:s|ed|ing)?|exposed to|subjected to|hit with|under|(?:walk|run|step|fall|blunder)(?:s|ed|ing)? into|walked into|ran into|fell into) (?:a|the|this|another) (?:\w+ ){0,2}check(?= )"
)
_TWO_FILES = re.compile(r"(?<= )([a-h])(?: file)? and (?:the )?([a-h])(?= )")
_IN_GAME = re.compile(
    r"(?<= )(?:in the (?:actual |real )?game(?: itself)?|actually (?:played|chose|went)|really (?:played|chose|went)|"
    r"(?:was|is) (?:actually |really )?what (?:was|he|she|they|happened)|game move)(?= )"
)
_MOVE = re.compile(r"(?<= )((?:king|queen|rook|bishop|knight) (?:to |takes |takes on |captures )?[a-h][1-8])(?= )")
_DISCOVERED = re.compile(r"(?<= )discovered attack(?= )")
_PINNED_TO = re.compile(r"(?<= )pin(?:ned|s|ning)?(?= )")
_PLACED = re.compile(r"(?<= )(?:(?:the|this|that|his|her|white 's|black 's|white|black) )*(?:[a-z]+ ){0,2}?"
                     r"(queen|rook|bishop|knight|pawn) (?:\w+ ){0,2}?(?:on|at) ([a-h][1-8])(?= )")  # fmt: skip
_BEHIND_IT = re.compile(r"(?<= )(king|queen)(?= )(?! (?:on|at|'s) )(?! \w+ (?:on|at) )")


def read_facts(text: str, known: set[str]) -> Iterator[Found]:
    """Every fact of a stretch of plain words (a space before and after each); ``known`` kinds are read already."""
    for reader in (_pawn, _man, _played, _doubled, _square, _numbers, _count, _material, _side, _pinned_to):
        found = reader(text, known)
        if found is not None:
            yield found
            return


_NO_GUARD = re.compile(
    r"(?<= )(?:(?:nobody|nothing|no 1|none|no (?:\w+ )?(?:piece|man|pawn)s?) (?:\w+ ){0,4}?"
    r"(?:protect(?:s|ing)?|defend(?:s|ing)?|guard(?:s|ing)?|cover(?:s|ing)?|support(?:s|ing)?|look(?:s|ing)? after)"
    r"|(?:no|without(?: any| a| a single)?|(?:has|have|does|do) not (?:have )?(?:any|a|a single|1)) "
    r"(?:\w+ )?(?:defenders?|protectors?|protection|guards?|guardians?|support|cover))(?= )"
)


def unguarded(text: str, known: set[str]) -> Found | None:
    """ "Poor pawn on h7, nobody protects it": a denial that is a fact of its own."""
    word, named = _NO_GUARD.search(text), _one(_PLACED, text)
    if word is None or named is None or known & {"undefended", "hanging"} or _UNSAID.search(text):
        return None
    return "undefended", [{"a": f"the {named[1]} on {named[2]}"}], _span(word, named)


_UNSAID = re.compile(r" (?:if|when|unless|would|could|should|might|may|must|then|after|once|so that|because) ")


def _one(pattern: re.Pattern[str], text: str) -> re.Match[str] | None:
    """The only match, if all matches say the same."""
    found = list(pattern.finditer(text))
    return found[0] if found and len({m.group() for m in found}) == 1 else None


def _side_part(text: str) -> Parts:
    sides = {m[1] for m in _SIDES.finditer(text)} | set(
        re.findall(rf"(?<= )(white|black) (?:\w+ )?(?:{_MAN})s?(?= )", text)
    )
    return {"side": sides.pop()} if len(sides) == 1 else {}


def _span(*matches: re.Match[str]) -> tuple[int, int]:
    return min(m.start() for m in matches), max(m.end() for m in matches)


def _pawn(text: str, known: set[str]) -> Found | None:
    for kind, term in _PAWN_TERMS:
        word = term.search(text)
        if word is None or kind in known or " pawns " in text:
            continue
        side = _side_part(text).get("side")
        told = {
            form.format(match[1], side=f"{side} 's " if side else ""): match
            for pattern, form in _PAWN
            for match in pattern.finditer(text)
        }
        squares = {m[1] for m in _SQUARE.finditer(text)}
        if len(told) == 1 and len(squares) < 2:
            noun, match = next(iter(told.items()))
            return kind, [{"a": noun}], _span(word, match)
        place = _one(_SQUARE, text)
        if not told and place is not None and " pawn " in text and not _OTHER_MEN.search(text):
            return kind, [{"sq": place[1]}], _span(word, place)
    return None


def _man(text: str, known: set[str]) -> Found | None:
    """One piece with its square, words between allowed ("a pawn hanging on f2"), and one term."""
    named = _one(_PLACED, text)
    if named is None or len(set(_SQUARE.findall(text))) != 1:
        return None
    for kind, term in _ONE_MAN:
        word = term.search(text)
        if word is not None and not known & {kind, "pinned_to", "pins", "undefended", "hanging", "can_capture"}:
            return kind, [{"a": f"the {named[1]} on {named[2]}"}], _span(word, named)
    return None


def _played(text: str, known: set[str]) -> Found | None:
    """A move, and that it was played in the game."""
    word, move = _IN_GAME.search(text), _one(_MOVE, text)
    if word is None or move is None or known & {"in_the_game", "best", "blunder", "legal", "illegal"}:
        return None
    if len(_SQUARE.findall(text)) != 1:
        return None
    return "in_the_game", [{"move": move[1]} | _side_part(text)], _span(word, move)


def _doubled(text: str, known: set[str]) -> Found | None:
    word, file = _DOUBLED.search(text), _one(_FILE, text)
    if word is None or file is None or "doubled" in known or "pawn" not in text:
        return None
    return "doubled", [{"file": file[1]} | _side_part(text)], _span(word, file)


def _square(text: str, known: set[str]) -> Found | None:
    place = _one(_SQUARE, text)
    if place is None:
        return None
    square = {"sq": place[1]}
    shade, weak, post, diagonal = (p.search(text) for p in (_SHADE, _WEAK, _OUTPOST, _FIANCHETTO))
    if shade is not None and "shade" not in known:
        return "shade", [square | {"shade": shade[1]}], _span(shade, place)
    if weak is not None and not known & {"weak_square", "outpost"} and not _noun_before(text, place):
        return "weak_square", [square | _side_part(text)], _span(weak, place)
    if post is not None and "outpost" not in known:
        return "outpost", [square | _side_part(text)], _span(post, place)
    if diagonal is not None and "fianchetto" not in known and "bishop" in text:
        return "fianchetto", [square], _span(diagonal, place)
    return None


def _noun_before(text: str, place: re.Match[str]) -> bool:
    """Whether the square is where a piece stands ("the weak pawn on d6")."""
    return bool(re.search(rf"(?:{_MAN}) (?:on|at) $", text[: place.start()]))


def _numbers(text: str, known: set[str]) -> Found | None:
    numbers = list(_NUMBER.finditer(text))
    place = _one(_SQUARE, text)
    hit, guard = _HITTING.search(text), _GUARDING.search(text)
    taken = {"attackers", "defenders", "attack_defend"}
    if place is None or not numbers or known & {*taken, "fork"}:
        return None
    said = [{"twice": "2", "thrice": "3"}.get(m.group(), m.group()) for m in numbers]
    where = {"sq": place[1]}
    named = _PLACED.search(text)
    if named is not None:
        where = {"a": f"the {named[1]} on {named[2]}"}
    if hit is not None and guard is not None:
        if len(said) != 2:
            return None
        both = [where | {"n": said[0], "n2": said[1]}, where | {"n": said[1], "n2": said[0]}]
        return "attack_defend", both, _span(*numbers, place, hit, guard)
    word = hit or guard
    if not _COUNTING.search(text):
        return None
    if word is None or len(said) != 1 or not 1 <= int(said[0]) <= 8:
        return None
    kind = "attackers" if hit is not None else "defenders"
    readings = [where | {"n": said[0]}]
    side = _side_part(text)
    if side:
        readings.append(readings[0] | side)
    return kind, readings, _span(numbers[0], place, word)


def _count(text: str, known: set[str]) -> Found | None:
    side = _side_part(text)
    out = _OUT.search(text)
    if out is not None and "developed" not in known and side and " piece" in text:
        number = _one(_NUMBER, text)
        if number is not None and number.group().isdecimal():
            return "developed", [{"n": number.group()} | side], _span(out, number)
    counted, left = _one(_COUNTED, text), _LEFT.search(text)
    if counted is None or left is None or _NO_COUNT.search(text) or known & {"piece_count", "material", "standing"}:
        return None
    return "piece_count", [{"n": counted[1], "piece": counted[2]} | side], _span(counted, left)


def _material(text: str, known: set[str]) -> Found | None:
    side = _side_part(text)
    if not side or known & {"material", "exchange_up", "material_lead", "piece_count"} or _SQUARE.search(text):
        return None
    ahead, behind = _AHEAD.search(text), _BEHIND.search(text)
    way = ahead or behind
    if way is None or (ahead is not None and behind is not None):
        return None
    up = {"up": "up" if ahead is not None else "down"}
    quality = _EXCHANGE.search(text)
    if quality is not None:
        return "exchange_up", [side | up], _span(quality, way)
    units = list(_UNIT.finditer(text))
    if len(units) != 1 or units[0].group().split()[0] in ("the", "his", "her"):
        return None
    unit = units[0]
    between = text[min(unit.end(), way.end()) : max(unit.start(), way.start())].split()
    if unit["piece"] == "king" or len(between) > 2:
        return None
    number = {"n": unit["n"]} if unit["n"] else {}
    return "material", [side | up | {"piece": unit["piece"]} | number], _span(unit, way)


def _side(text: str, known: set[str]) -> Found | None:
    mated = _MATED.search(text)
    side = _side_part(text)
    if mated is not None and side and not known & {"checkmate", "mate_in"}:
        return "checkmate", [side | {"role": "victim"}, side | {"role": "giver"}], mated.span()
    opened = _DISCOVERED.search(text)
    checked = _A_CHECK.search(text)
    if (
        checked is not None
        and side
        and not known & {"check", "double_check", "discovered_check", "checkmate", "mate_in"}
    ):
        return "check", [side, {}], checked.span()
    files = _TWO_FILES.search(text)
    if files is not None and " hanging pawns " in text and "hanging_pawns" not in known:
        return "hanging_pawns", [side | {"file": files[1]}], files.span()
    if opened is not None and not known & {"discovered_attack", "discovered_check"}:
        return "discovered_attack", [{}], opened.span()
    return None


def _pinned_to(text: str, known: set[str]) -> Found | None:
    pin, named, behind = _PINNED_TO.search(text), _one(_PLACED, text), _one(_BEHIND_IT, text)
    if pin is None or named is None or behind is None or known & {"pins", "pinned", "pinned_to"}:
        return None
    if len(_SQUARE.findall(text)) != 1:
        return None
    noun = f"the {named[1]} on {named[2]}"
    return "pinned_to", [{"a": noun, "piece": behind[1]}], _span(pin, named, behind)
