"""Spoken words put into one plain form, sentence by sentence, for the grammar of statements.

Lower case, contractions written out, squares closed up ("e four" is ``e4``),
numbers in digits, notation spoken ("Nf3" is ``knight f3``), one word for each
thing ("horse" is ``knight``). Players' names become their side. A comma stays
as a token of its own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from timeline.checks.asides import ASIDES
from timeline.checks.framing import FRAMES, NOTICED
from timeline.checks.leadins import LEAD_INS
from timeline.checks.rewording import TERMS, TURNS, reword
from timeline.checks.sentence import Sentence, Token, sentence_of
from timeline.transcript.words import Word

PAUSE_MS = 900
_UNITS = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen".split()
_UNITS += "seventeen eighteen nineteen".split()
NUMBERS = {word: n for n, word in enumerate(_UNITS)}
TENS = {w: 10 * n for n, w in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split(), 2)}
_ORDINALS = "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth"
ORDINALS = {w: n for n, w in enumerate(_ORDINALS.split(), 1)}
ORDINALS |= {f"{w}th": n for w, n in NUMBERS.items() if n > 14}
ORDINALS |= {w[:-1] + "ieth": n for w, n in TENS.items()}

_CONTRACTIONS = {
    "can't": "can not", "cannot": "can not", "won't": "will not", "shan't": "shall not", "ain't": "is not",
    "let's": "let us", "i'm": "i am", "y'all": "you", "gonna": "going to", "wanna": "want to", "gotta": "got to",
    "kinda": "kind of", "lemme": "let me", "'s": "'s", "'cause": "because", "cos": "because",
}  # fmt: skip
_IS_AFTER = frozenset(
    "it he she that this there here what who where how everything nothing something everybody nobody one".split()
)
_WORDS = {
    "horse": "knight", "horses": "knights", "horsie": "knight", "horsey": "knight", "horsies": "knights",
    "tower": "rook", "towers": "rooks", "colour": "color", "coloured": "colored", "colours": "colors",
    "check-mate": "checkmate", "czech": "check", "cheque": "check", "checkmated": "checkmated",
    "infront": "front", "centre": "center", "nite": "knight", "favour": "favor", "defence": "defense",
    "passer": "passed pawn", "passers": "passed pawns",
    "half-open": "half-open", "semi-open": "half-open", "semiopen": "half-open", "halfopen": "half-open",
    "en-prise": "en-prise", "enprise": "en-prise", "xray": "x-ray", "xrays": "x-rays", "xraying": "x-raying",
    "whites": "white", "blacks": "black", "parried": "parried",
}  # fmt: skip
_SOUNDS_LIKE = {
    "night": "knight", "nights": "knights", "rock": "rook", "rocks": "rooks", "root": "rook", "brook": "rook",
    "look": "rook", "pond": "pawn", "ponds": "pawns", "porn": "pawn", "prawn": "pawn", "born": "pawn",
    "fishop": "bishop", "kin": "king", "quinn": "queen", "clean": "queen",
}  # fmt: skip
_SAN = re.compile(r"([KQRBN])?([a-h])?([1-8])?(x)?([a-h])([1-8])(?:=?([QRBN]))?([+#]+)?")
_PIECE = {"K": "king", "Q": "queen", "R": "rook", "B": "bishop", "N": "knight"}
_STRIP = '"“”«»()[]{}….,;:!?–—*_'
PIECES = "king queen rook bishop knight pawn".split()
_PIECES_S = frozenset(PIECES + [p + "s" for p in PIECES])


def sentences(
    words: Sequence[Word],
    *,
    mended: Mapping[int, tuple[int, str]] | None = None,
    sides: Mapping[str, str] | None = None,
) -> list[Sentence]:
    """All sentences of a talk.

    ``mended``: first word index -> (last word index, what was really said), from
    the follower. ``sides``: a player's name in lower case -> "white" or "black".
    A sentence ends at a full stop, question or exclamation mark, a change of
    speaker, or a long pause where the transcript has no punctuation.
    """
    stops = sum(1 for w in words if w.text.rstrip("\"')”’").endswith((".", "?", "!")))
    punctuated = stops * 60 >= len(words)
    found: list[Sentence] = []
    raw: list[Token] = []

    def close(end: str, *, trails: bool = False) -> None:
        nonlocal raw
        if end == "?" and NOTICED.match(" " + " ".join(t.text for t in raw) + " "):
            end = "."
        plain = _plain(raw, sides or {})
        if any(t.text != "," for t in plain):  # a mere lead-in ("remember that.") leaves nothing
            found.append(sentence_of(plain, end, trails=trails))
        raw = []

    index = 0
    while index < len(words):
        word = words[index]
        if raw:
            before = words[index - 1]
            pause = word.onset_ms - before.end_ms
            if before.speaker != word.speaker or (not punctuated and pause >= PAUSE_MS):
                close("")
        last, said = index, word.text
        if mended and index in mended and mended[index][0] < len(words):
            last, written = mended[index]
            tail = re.search(r"[.,;:!?…]+[\"'”’)]*$", words[last].text)
            said = written + (tail.group() if tail else "")
        for part in said.split():
            raw.extend(Token(t, index, last) for t in _split(part))
        text = words[last].text.rstrip("\"'”’)]")
        if text.endswith("?"):
            close("?")
        elif (
            text.endswith((".", "!", "…"))
            and not re.fullmatch(r"[A-Ha-h]\.|vs\.|Mr\.|Dr\.|St\.", text)
            and not (re.fullmatch(r"\d+\.+", text) and len(raw) == 1)
        ):
            close(".", trails=text.endswith(("...", "…")))
        elif text.endswith((",", ";", ":", "–", "—", "-")) and raw:
            raw.append(Token(",", last, last))
        index = last + 1
    close("")
    return found


def _split(part: str) -> list[str]:
    """A word of the transcript as plain words."""
    core = part.replace("’", "'").replace("‘", "'").strip(_STRIP).strip("'")
    if not core:
        return []
    if re.fullmatch(r"[O0o]-[O0o](-[O0o])?[+#]*", core):
        return ["castles", "queenside" if core.count("-") == 2 else "kingside"]
    match = _SAN.fullmatch(core)
    if match and (match[1] or match[4] or match[7] or match[8]):
        piece, file, rank, takes, to, number, promoted, mark = match.groups()
        out = [_PIECE[piece]] if piece else ([file] if file and takes else [])
        out += [file] if piece and file and not rank else []
        out += [file + rank] if piece and file and rank else []
        out += ["takes"] if takes else []
        out.append(to + number)
        out += ["promotes", "to", _PIECE[promoted]] if promoted else []
        out += ["checkmate" if "#" in mark else "check"] if mark else []
        return out
    lower = core.lower()
    if lower in _WORDS:
        return _WORDS[lower].split()
    if lower in _CONTRACTIONS:
        return _CONTRACTIONS[lower].split()
    found: list[str] = []
    for bit in re.split(r"[-–—/]+", lower):
        bit = bit.strip(_STRIP)
        if not bit:
            continue
        if bit in _WORDS:
            found.extend(_WORDS[bit].split())
        elif bit in _CONTRACTIONS:
            found.extend(_CONTRACTIONS[bit].split())
        elif bit.endswith("n't"):
            found += [bit[:-3], "not"]
        elif bit.endswith("'ve"):
            found += [bit[:-3], "have"]
        elif bit.endswith("'re"):
            found += [bit[:-3], "are"]
        elif bit.endswith("'ll"):
            found += [bit[:-3], "will"]
        elif bit.endswith("'d"):
            found += [bit[:-2], "would"]
        elif bit.endswith("'s") and len(bit) > 2:
            found += [bit[:-2], "is" if bit[:-2] in _IS_AFTER else "'s"]
        elif bit.endswith("'") and len(bit) > 1:
            found += [bit[:-1], "'s"]
        else:
            found.append(bit)
    return found


def _number(tokens: Sequence[Token], i: int) -> tuple[str, int] | None:
    """A number at ``i`` in digits and how many tokens it takes."""
    text = tokens[i].text
    if re.fullmatch(r"\d+(?:st|nd|rd|th)", text):
        return re.sub(r"\D", "", text) + "th", 1
    if text.isdecimal():
        return text, 1
    if text in TENS:
        nxt = tokens[i + 1].text if i + 1 < len(tokens) else ""
        if nxt in NUMBERS and 1 <= NUMBERS[nxt] <= 9:
            return str(TENS[text] + NUMBERS[nxt]), 2
        if nxt in ORDINALS and ORDINALS[nxt] <= 9:
            return f"{TENS[text] + ORDINALS[nxt]}th", 2
        if re.fullmatch(r"[1-9]", nxt):
            return str(TENS[text] + int(nxt)), 2
        return str(TENS[text]), 1
    if text in NUMBERS:
        return str(NUMBERS[text]), 1
    if text in ORDINALS and ORDINALS[text] > 3:
        return f"{ORDINALS[text]}th", 1
    return None


_BEFORE_A = _PIECES_S | frozenset(
    "to on at takes take captures and from of the check pawn via is , square mate with".split()
)


def _plain(raw: Sequence[Token], sides: Mapping[str, str]) -> list[Token]:
    """Squares and numbers closed up, names turned into sides, phrases into single words."""
    out: list[Token] = []
    i = 0
    while i < len(raw):
        token = raw[i]
        text = token.text
        following = raw[i + 1].text if i + 1 < len(raw) else ""
        number = _number(raw, i + 1) if i + 1 < len(raw) else None
        if (
            len(text) == 1
            and text in "abcdefgh"
            and number
            and number[1] == 1
            and re.fullmatch("[1-8]", number[0])
            and (text != "a" or _letter_a(out, raw, i))
        ):
            out.append(Token(text + number[0], token.first, raw[i + 1].last))
            i += 2
            continue
        here = _number(raw, i)
        if here:
            out.append(Token(here[0], token.first, raw[i + here[1] - 1].last))
            i += here[1]
            continue
        if text in _SOUNDS_LIKE and (_near_square(raw, i) or _beside_piece(raw, i)):
            text = _SOUNDS_LIKE[text]
        if text in sides and following != "'s'":
            out.append(Token(sides[text], token.first, token.last, name=text))
        else:
            out.append(Token(text, token.first, token.last))
        i += 1
    for table in (TERMS, ASIDES, LEAD_INS, FRAMES, TURNS):
        out = reword(out, table)
    while out and out[-1].text == ",":
        out.pop()
    return out


_AFTER_SQUARE = frozenset(["", ",", "and", "is", "are", "was", "with", "by", "because", "which", "has"])


def _letter_a(out: Sequence[Token], raw: Sequence[Token], i: int) -> bool:
    """Whether "a" before a number is the file: after a piece, "on", "takes"; not in "a four move mate"."""
    after = raw[i + 2].text if i + 2 < len(raw) else ""
    # No article stands before a number that ends the phrase, or after another article.
    if after in _AFTER_SQUARE or (out and out[-1].text in ("the", "that", "this", "square")):
        return True
    if after.rstrip("s") in ("move", "pawn", "piece", "minute", "year", "week", "time", "step", "point", "square"):
        return False
    return not out or out[-1].text in _BEFORE_A


def _near_square(raw: Sequence[Token], i: int) -> bool:
    """Whether a word that sounds like a piece stands where a piece is named: before a square, "takes" or "on"."""
    texts = [t.text for t in raw[i + 1 : i + 4]] + ["", "", ""]
    if re.fullmatch("[a-h][1-8]", texts[0]) or texts[0] in ("takes", "captures"):
        return True
    if texts[0] in tuple("bcdefgh") and (texts[1] in NUMBERS or texts[1] in tuple("12345678")):
        return True
    return texts[0] in ("on", "to", "from") and bool(
        re.fullmatch("[a-h][1-8]", texts[1]) or texts[1] in tuple("bcdefgh")
    )


_BESIDE = frozenset("behind beside under above near next opposite in against".split())
_ARTICLES = frozenset("the a his her my our your this that".split())


def _beside_piece(raw: Sequence[Token], i: int) -> bool:
    """Whether a word that sounds like a piece is placed by another piece: "the rock behind the pawn"."""
    after = [t.text for t in raw[i + 1 : i + 6]]
    if not after or after[0] not in _BESIDE or not i or raw[i - 1].text not in _ARTICLES:
        return False
    article = next((k for k, text in enumerate(after) if text in _ARTICLES), len(after))
    return bool(_PIECES_S & set(after[article + 1 : article + 2]))
