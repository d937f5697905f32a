"""Words that close a line by what follows from it: "so that's out", "so he can't take it", "that is why …".

In 28 places of 160 lessons such a clause is spoken while a sideline stands: the board goes back with it in 20, to another line in
4. Words that only say how a line ends ("it's over", "it's a draw") go back in one place of three and are not among them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.follow.lexer import Tok
from timeline.follow.takebacks import clause

REACH = 9
_CONCLUDES = r"(?:(?:okay|right|and|no|well) )*(?:(?:so|thus|hence|therefore|which means|clearly|obviously) )+"
_BAD = (
    r"(?:hopeless|(?:no|not|any|hardly any) (?:good|use|help|possible|enough|it|the way|what|an option|on)|out|bad|losing|lost|useless|impossible"
    r"|wrong|too (?:slow|late|early)|suicide|an? (?:\w+ )?(?:blunder|mistake|disaster|joke|trap|waste|dead end)|off the table|nothing|pointless"
    r"|never (?:on|possible|an option|there|good|going to work)|forbidden|ruled out|excluded|refuted|terrible|awful)"
)
_THIS = (
    r"(?:that|this|it|which|(?:that|this) (?!is |was )[a-z]+|(?:all|both|neither|none|each) of (?:that|this|them|those|these)|both|those"
    r"|these|neither|(?:taking|capturing|pushing|going|running|checking|defending|waiting)(?: \w+){0,3})"
)
_VERDICT = re.compile(
    rf"{_CONCLUDES}(?:{_THIS}(?:'s| is| was| isn't| wasn't| are| were| aren't| would be| looks| seems)"
    rf"(?: (?:just|simply|completely|totally|also|really|clearly|already|plainly|all|now|both))* {_BAD}"
    rf"|{_THIS} (?:doesn't|does not|didn't|won't|cannot|can't|couldn't|wouldn't|never|fails|failed)\b"
    r"|(?:you|he|she|we|i|they|one|white|black) (?:can't|cannot|can not|couldn't|could not|mustn't|must not|may not|shouldn't|doesn't|didn't)\b"
    r"|not that\b|it had to be\b)"
    rf"|(?:{_CONCLUDES}|and )?(?:that's|that is|this is|that was|this was|which is) (?:exactly |precisely |just |also )*why\b"
    r"|not that(?: one| move)?(?: then| either)?$|as you were\b"
)


def verdict_at(toks: Sequence[Tok], i: int) -> bool:
    """Whether the clause at token ``i`` draws the conclusion of a line."""
    return _VERDICT.match(clause(toks, i, REACH)) is not None
