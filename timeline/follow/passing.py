"""Moves passed over in a word: "a few moves later", "I'll skip the next bit", "some developing moves, and we get this position".

The board goes to where the talk next tells the game, of which ``spine.Spine.told_after`` knows the places: what is said there and
after decides. Of 38 such clauses spoken over the game in 244 lessons the board jumps ahead at 16.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.follow.lexer import Tok
from timeline.follow.takebacks import clause

_REACH = 16
"""Words of a clause that are read."""
_MANY = r"(?:(?:(?:a|the next|the|another) )?(?:few|couple(?: of)?|handful of|dozen|several|some|many|lot of|two|three|four|five|six|seven|eight|nine|ten))"
_KIND = r"(?:more|other|further|quiet|ordinary|normal|usual|natural|standard|sensible|developing|routine|waiting|useful|book|theory|obvious|little|quick)"
_MOVES = rf"{_MANY}(?: {_KIND})* moves"
_WE = r"(?:i|we|i'll|we'll|let's|let us|let me|i'm going to|we're going to|we can|i can|i will|i shall|we shall)"
_SMALL = r"(?:just|simply|now|quickly|all|also|then|soon|finally|eventually|suddenly)"
_THIS = r"(?:to )?(?:this|here)(?: (?:very )?(?:position|picture|point|board|moment|place|diagram|one|stage))?"
_PASSED = re.compile(
    rf"\b{_MOVES} (?:later|go(?:es)? by|went by|pass(?:ed)?|further(?: on)?|on|each)(?= |$)"
    rf"|\b(?:some|a few|the)(?: {_KIND})+ moves\b|\b(?:a (?:little|bit|while)|some time) later\b|\ball (?:quite |very |pretty )?(?:regular|the usual)\b"
    rf"|\b{_WE} (?:{_SMALL} )*(?:jump|skip|leap|hop|fast forward|race|hurry|rush)(?: {_SMALL})* (?:ahead|forward|over|past|through|along|on|a (?:few|bit|couple)|some|the (?:next|rest)|those|these)\b"
    rf"|\bi(?:'ll| will| shall) be (?:quick|brief)\b|\b(?:i won't|no need to|nothing i need|let me not) (?:bore|insult|hold|detain|trouble|dwell)\b"
    rf"|\b(?:lot|bit|spell|spot|round|period) of (?:\w+ ){{0,6}}?(?:shuffling|manoeuvr\w+|maneuver\w+|tidying|moving|regrouping|developing)\b"
    rf"|\b(?:both (?:sides|players|of (?:them|us|you))|everybody|everyone|they) (?:{_SMALL} )*(?:develop|developed|develops|finish|finished|complete|completed|shuffle|shuffled|manoeuvre|manoeuvred)\b"
)
_ARRIVED = re.compile(
    rf"\b(?:we|you|they|one|it|that|which|this) (?:{_SMALL} )*(?:get|gets|got|reach|reaches|reached|arrive at|arrived at|come to|came to|land in|end up (?:in|with|at)|ended up (?:in|with|at)|brings us|takes us|brought us|took us|leads us|led us) {_THIS}(?= after|$)"
)


def passes(toks: Sequence[Tok], i: int) -> int:
    """The token (exclusive) up to which the clause that begins at ``i`` says that moves are passed over; 0: it does not."""
    said = clause(toks, i, _REACH)
    end = i + said.count(" ") + 1
    arrived = toks[end - 1].ends and _ARRIVED.search(said)
    return end if arrived or _PASSED.search(said) else 0
