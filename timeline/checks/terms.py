"""Terms of the trade: words without which a stretch of talk does not state a kind of fact."""

from __future__ import annotations

import re

NEEDS = {
    kind: re.compile(rf" (?:{words})")
    for kind, words in {
        "fianchetto": "fianchett",
        "only_legal": "only|sole|single|lone|forced|force|1 |else|other|choice|alternative|no option",
        "battery": "batter|line|lining|behind|stack|doubl|team|together",
        "xray": "x-ray|through|behind",
        "outpost": "outpost|stronghold|kick|driv|chas|dislodg|evict",
        "pinned": "pin|stuck|nail|glue|froz|freez|paraly|tied|bound|move|budge|immobil|trap|chain|rooted",
        "pins": "pin|nail|glue|froz|freez|paraly|tie|immobil|chain|rooted",
        "fork": "fork|both|two|2|double|same time|at once|also",
        "skewer": "skewer|behind|through",
        "isolated": "isola|alone|lone|neighbo|friend|orphan|island",
        "passed": "pass|stop|promot|queen|free|run",
        "backward": "backward|behind|lag|left",
        "doubled": "doubl|stack|2|two|same file|twin",
        "hanging_pawns": "hanging",
        "stalemate": "stale|move",
        "checkmate": "mat|checkmat|over",
        "check": "check|attack",
        "double_check": "double|2|both|two",
        "discovered_check": "discover|uncover|unveil|unmask|reveal|behind|open",
        "discovered_attack": "discover|uncover|unveil|unmask|reveal|open",
        "opposite_bishops": "opposite|different|other color|1",
        "bishop_pair": "bishop",
        "castled": "castl", "uncastled": "castl|un-castl", "castle_right": "castl", "castle_lost": "castl",
        "open_file": "open|pawn|clear|free",
        "half_open": "half|semi|pawn",
        "weak_square": "weak|hole|pawn",
        "developed": "develop|out |play|game|action|battle|square|rank|active|bring|brought",
        "move_number": r"(?:move|turn|number)(?: is| was)? \d|move (?:that |which )?(?:we|you) (?:are|have)|\d+th|"
        r"\d+ (?:moves|turns)",
        "mate_in": "mat|checkmat",
        "threat_mate": "mat|checkmat",
        "result": "won|win|lost|los|draw|drew|resign|beat|victor|half|peace|shar|split|gave|give|point|defeat|"
        "triumph|prevail|surrender|truce",
        "turn": "move|turn|play|go|act|decide|find|clock|up to|next",
        "shade": "light|dark", "shade_bishop": "light|dark",
        "material_even": "equal|even|level|balanc|same|identical|par|ahead|owe|material|each other|differ|more",
        "in_the_game": "(?<! a )game|play|actual|real|chose|choice|went|continu|answer|did|score|over the board|follow|"
        "repl|respon|opt|decid|came|select|prefer|pick",
        "legal": "legal|allow|permi|rule|possible|can|could|may|able|law|option",
        "illegal": "illegal|legal|allow|permi|rule|possible|impossible|can|may|able|law|forbid|option",
        "hanging": "hang|hung|prise|en-prise|free|nothing|loose|gift|charity|grab|tak|snap|los|drop|pick|no cost|give|"
        "danger|fall|win",
        "undefended": "undefend|unprotect|unguard|defend|protect|guard|cover|support|back|help|friend|no|without|loose|"
        "alone|abandon|look|car|watch|hold|naked|unsupported",
    }.items()
}  # fmt: skip
"""Terms of the trade: a stretch without any of these words is not the fact, whatever the weights say."""
DONE_TO = frozenset("pinned attacked covered trapped blocked surrounded targeted guarded protected defended".split())
"""What a side may have done to a piece of either: "White has the pawn on e5 attacked"."""
