"""What an English-speaking teacher says where a section begins, and what sections are about.

Weights and titles are ours: written from how lessons are commonly told, in
general words; no lesson's own wording.
"""

from __future__ import annotations

import re

# A sentence that begins so begins something new. Weight in the same unit as a second of silence.
OPENERS: tuple[tuple[str, float], ...] = (
    (r"(?:first|second|third|last|final|next|big) (?:\w+ ){0,2}(?:part|point|idea|word|step|question)s?\b", 1.8),
    (
        r"(?:let's|let us|let me|i want to|we will|we'll|i'll) (?:now )?(?:look|see|go|start|begin|turn|move on)\b",
        1.1,
    ),
    (r"(?:let's|let us|let me|i want to|we will|we'll|i'll) (?:now )?(?:return|talk|stop|set)\b", 1.1),
    (r"(?:now|okay|ok|so|right|well|alright|all right)\b", 0.52),
    (r"(?:here|this) (?:is|comes|begins|was|we have)\b", 0.75),
    (r"now (?:comes|here|the|we come|let's|a|look)\b", 0.75),
    (r"(?:the|our) (?:game|opening|middle ?game|end ?game|ending|position|rest|first|second|plan|idea)\b", 0.75),
    (
        r"(?:what if|what happens if|what about|suppose|imagine|before (?:we|i)|back to|and so|meanwhile|finally)\b",
        0.9,
    ),
    (
        r"(?:most people|many players|a question|someone|somebody|people (?:always )?ask|please (?:see|look))\b",
        0.5,
    ),
    (r"(?:how|why|what|which|where|who) (?:does|do|did|is|are|was|should|would|can|could|now)\b", 0.45),
    (r"(?:white|black) (?:starts|begins|opens)\b", 0.75),
)

# A sentence near the end that begins so sums up.
CLOSERS = re.compile(
    r"(?:if you (?:take|remember)|(?:what|one|two|three|the) (?:\w+ ){0,3}(?:to remember|take home|take away)"
    r"|(?:two|three|four|some) (?:things|points|lessons|rules)\b|to (?:sum up|summari[sz]e|conclude|finish|end with)"
    r"|in (?:short|summary|conclusion)|so what (?:did|have|do) (?:we|you) (?:learn|remember|take)|what did we learn"
    r"|remember (?:this|that|the|one)|the (?:lesson|moral|message|point) (?:is|of|here)|so remember|summary"
    r"|that's (?:all|it) for)\b"
)

# Themes: what is said, and how a chapter about it is called. Longer phrases first where they share words.
THEMES: tuple[tuple[str, str], ...] = (
    (r"exchange sacrifice|sacrific\w+ the exchange", "The exchange sacrifice"),
    (r"queen sacrifice|sacrific\w+ (?:the|his|her) queen", "The queen sacrifice"),
    (r"sacrific\w+|gives? (?:it )?(?:up|away)", "The sacrifice"),
    (r"minority attack", "The minority attack"),
    (r"(?:pair of bishops|bishop pair|two bishops|both bishops)", "The bishop pair"),
    (r"opposite[- ]colou?red bishops", "Opposite-coloured bishops"),
    (r"bad bishop", "The bad bishop"),
    (r"rook lift|lifts? the rook", "The rook lift"),
    (r"passed pawns?|passer", "The passed pawn"),
    (r"isolated pawn|isolani", "The isolated pawn"),
    (r"doubled pawns", "The doubled pawns"),
    (r"pawn (?:chain|structure)s?", "The pawn structure"),
    (r"pawn (?:storm|race)s?|race", "The pawn race"),
    (r"promot\w+|new queen|queening", "Promotion"),
    (r"opposition", "The opposition"),
    (r"zugzwang", "Zugzwang"),
    (r"perpetual|stalemate|fortress|drawn? (?:by|ending)", "Saving the draw"),
    (r"open file|open (?:[a-h] )?line", "The open file"),
    (r"seventh rank|second rank", "The seventh rank"),
    (r"back rank", "The back rank"),
    (r"long diagonal", "The long diagonal"),
    (r"outpost", "The outpost"),
    (r"weak (?:square|pawn)s?|weakness(?:es)?", "The weakness"),
    (r"blockade\w*", "The blockade"),
    (r"initiative|tempo|tempi|development", "Development and tempo"),
    (r"cent(?:re|er)", "The centre"),
    (r"queen ?side", "The queenside"),
    (r"king ?side", "The kingside"),
    (r"castling", "Castling"),  # "castles" only tells the move
    (r"king walk|king (?:goes for a walk|walks|runs|marches)", "The king's walk"),
    (r"discover\w+", "The discovered attack"),
    (r"double check", "The double check"),
    (r"(?:the |a |this |that )?pin(?:s|ned|ning)?", "The pin"),
    (r"fork(?:s|ed)?", "The fork"),
    (r"skewer\w*", "The skewer"),
    (r"deflect\w+|decoy\w*", "Deflection"),
    (r"trap(?:s|ped)?", "The trap"),
    (r"swindle\w*", "The swindle"),
    (r"blunder\w*|worst move|mistake\w*", "The mistake"),
    (r"novelty", "The new move"),
    (r"counter ?(?:attack|play)\w*", "Counterplay"),
    (r"attack on the king|king (?:hunt|attack)|mating attack", "The attack on the king"),
    (r"defen[cs]e|defend\w*", "The defence"),
    (r"end ?game|ending", "The endgame"),
    (r"middle ?game", "The middlegame"),
    (r"resign\w*|check ?mate|mate", "The finish"),
)  # fmt: skip

# Said in passing all the time: they name a section only when nothing better does.
WEAK_THEMES = frozenset(
    {"The centre", "The kingside", "The queenside", "Castling", "The defence", "The finish", "The mistake", "The trap"}
)
