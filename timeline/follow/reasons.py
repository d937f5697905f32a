"""Features of the search in a teacher's words."""

from __future__ import annotations

from timeline.follow.hypotheses import Hyp
from timeline.follow.search import Decoder

_KINDS = {
    "full": "piece and square are named",
    "san": "it is written as notation",
    "pawn": "a bare square is named",
    "to": "a square with a little word before it",
    "capsq": "a capture and its square are named",
    "cap": "a capture without its square",
    "take": "only “takes”",
    "castle": "castling is named",
    "check": "only “check”",
    "pcheck": "a piece that gives check",
    "piece": "only a piece and its motion",
    "other": "“the other” piece",
    "promo": "a promotion",
}
_STARTS = (
    ("k:", "how the move is named"),
    ("bias", "how often talk goes this way"),
    ("hear", "how it sounds"),
    ("fit", "how well the move fits the words"),
    ("amb", "how many other moves fit as well"),
    ("fillers", "words in between"),
    ("words", "how much is said of it"),
    ("skip", "moves of the game left out"),
    ("jfrom", "how far back it is"),
    ("jump", "how far back it is"),
    ("tele", "how far away it is"),
    ("ret", "how deep the sideline is"),
    ("alt", "which move it would replace"),
    ("since", "how long ago the board moved last"),
    ("deep", "how deep the sideline is"),
    ("h:", "what was shown just before"),
    ("agent", "which side is named"),
    ("person", "whose moves “I” and “he” tell of"),
    ("kept", "the score holds this sideline"),
    ("over", "the sideline is over: mate or stalemate"),
    ("rc", "it takes back"),
    ("nr", "another capture would take back"),
    ("nx", "nothing to take back"),
    ("loses", "the piece would be lost"),
    ("drop", "it would give something away"),
    ("named:drop", "it would give something away"),
    ("mates", "it is mate"),
    ("again", "the same move as shortly before"),
    ("supposed", "it is supposed in place of what was played"),
    ("follows", "it follows from what was supposed"),
    ("denied", "it is said not to be played"),
    ("wished", "it is only wished for"),
    ("idle", "words say only that a move is made"),
    ("verdict", "words conclude a line"),
    ("listed", "the next of a list begins where the last began"),
    ("goto:there", "words go back to the move spoken of"),
    ("passed", "words pass over moves"),
    ("refused", "what came before is said not to be played"),
    ("other:", "it is another choice"),
    ("instead", "what it stands in place of"),
    ("back:", "it does not take back"),
    ("said again", "it was just played"),
    ("passing", "it is said to take in passing"),
    ("stalemate", "it is said to be stalemate"),
    ("same piece", "the same piece moves on"),
    ("there", "the piece stands there already"),
    ("was", "the piece stood there lately"),
    ("told", "the game as the whole talk tells it"),
    ("both", "both sides are meant"),
    ("vg", "a verb that tells of a move"),
    ("prep", "the little word before the square"),
    ("step", "words left over"),
    ("ign:main", "it is the game's next move"),
    ("ign:said", "it is the move just shown"),
    ("ign:legal", "it can be played here"),
    ("ign:near", "it can be played in a position nearby"),
    ("ign:none", "it can be played nowhere near"),
    ("b:starts", "a sentence begins"),
    ("b:gap", "a pause before it"),
    ("b:move", "a move is named next"),
    ("b:short", "a short sentence"),
    ("b:after?", "a question stands before it"),
    ("sentence", "it begins a sentence"),
    ("first", "nothing is said before it"),
    ("q.", "the sentence ends after it"),
    ("q?", "a question ends after it"),
    ("q,", "a comma follows"),
    ("q_", "the words run on"),
)


def reason(name: str, decoder: Decoder, chosen: Hyp) -> str:
    """A feature's name (``IF>open``) in words, quoting the words of the talk that it stands for; "" for none."""
    bare = name.partition(">")[0]
    place, _, word_class = bare.rpartition(":")
    quoted = _quoted(word_class, place, decoder, chosen) if word_class.isupper() else ""
    if quoted:
        return quoted
    if bare.startswith("k:"):
        return _KINDS.get(bare[2:].partition("|")[0], "how the move is named")
    for start, text in _STARTS:
        if bare.startswith(start):
            return text
    return "the words around" if word_class.isupper() else "other grounds"


def _quoted(word_class: str, place: str, decoder: Decoder, chosen: Hyp) -> str:
    """“if” before it, “in the game” after it: the words of a class that stand there."""
    toks, context = decoder.toks, decoder.context
    m = chosen.mention
    start, end = (m.start, m.end) if m else (chosen.tok, chosen.tok)
    if place.startswith("q"):
        span, where = range(end, min(decoder.n, end + 5)), "after it"
    elif place.startswith("b"):
        span, where = range(start, min(decoder.n, start + 8)), ""
    elif place == "p":
        span, where = (
            range(max(0, context.clause_start(start) - 8), context.clause_start(start)),
            "earlier in the sentence",
        )
    else:
        span, where = range(context.clause_start(start), start), "before it"
    for k in span:
        if word_class in context.classes[k]:
            text = toks[k].text
            if k + 1 < decoder.n and word_class not in context.classes[k + 1] and _pair(decoder, k, word_class):
                text += f" {toks[k + 1].text}"
            return f"“{text}” {where}".strip()
    return ""


def _pair(decoder: Decoder, k: int, word_class: str) -> bool:
    """Whether the class was found by two words together ("the game"), not by the first alone."""
    from timeline.follow.vocabulary import CLASSES

    return CLASSES.get(decoder.toks[k].text) != word_class
