"""Asides and polite ways round that say nothing of the board: counting, calling, promising, whenever one likes.

"If I've counted right", "should its owner so decide", "one would classify it as
backward", "under the diagram it would say" hold words ("if", "would") that
elsewhere make a statement a condition or a guess. Here they do not, because who
is spoken of is the speaker or the listener, and what is done is looking, counting
or naming. Tried before ``leadins``.
"""

# ruff: noqa: E501  (a turn stands on one line)

from __future__ import annotations

from timeline.checks.rewording import compiled

_MAN = "(?:king|queen|rook|bishop|knight|pawn)"
_DET = "(?:the|this|that|his|her|their|my|our|your|white 's|black 's|white|black)"
_PLACED = rf"{_DET} (?:(?!to |for |of |in |and )[a-z-]+ ){{0,2}}{_MAN} (?:on|at) [a-h][1-8]"
_THING = rf"(?:{_PLACED}|{_DET} [a-h][1-8] {_MAN}|(?:the )?(?:square )?[a-h][1-8]|{_DET} [a-h] (?:file|pawn)|it|this|that|him|her)"
_MOVE = rf"(?:{_MAN} (?:to |takes |takes on )?[a-h][1-8]|[a-h] takes [a-h][1-8]|castles(?: kingside| queenside)?)"
_WHO = "(?:i|you|we|1|anyone|anybody)"
# What is done with eyes, pencil or memory: none of it changes the position.
_LOOKS = (
    r"(?:count|counted|picture|pictured|write|wrote|written|see|saw|seen|read|remember|recall|understand|understood|list|listed|note|noted|"
    r"draw|drawn|jot|tick|add|added|sum|summed|heard|hear|follow|followed|am right|are right|am not mistaken|are not mistaken|have it right|"
    r"look|looked|squint|trust)"
)
_REST = rf"(?: (?!(?:{_MAN}|white|black|piece|he|she|his|takes?|captures?|moves?|plays?|check|checkmate|would|could|[a-h][1-8])s? )[a-z']+){{0,6}}"
_VERB = r"(?= (?:is|are|was|were|has|have|had|stands?|sits?|attacks?|defends?|guards?|protects?|hits?|number) )"
_AS = r"(?:classify|describe|regard|label|file|class|classed|rate|characteri[sz]e|identify|count|classifies|describes|regards|labels|counts)"
_WHENEVER = (
    r"(?:when|once|if|whenever) (?:the (?:time|moment|hour|day) (?:comes|is right|arrives)|needed|necessary|required|the need arises|"
    r"it matters|push comes to shove|he so wishes|she so wishes|it comes to that)"
)

ASIDES = compiled(
    (
        # -- counting, reading and picturing are no condition
        (rf", (?:if|when|once|as) {_WHO} (?:(?:have|had|can|just|only|still|all) )*{_LOOKS}{_REST} ,{_VERB}", ""),
        (rf", (?:if|as) {_WHO} (?:(?:have|had|can|just|only|still|all) )*{_LOOKS}{_REST}(?= $)", ""),
        (rf"^(?:(?:and|so|but|well|now) )?(?:if|when|once|as) {_WHO} (?:(?:have|had|can|just|only|still|all) )*{_LOOKS}{_REST} ,", ","),
        # -- a thing is called what it is: "one would classify the pawn as backward"
        (rf"(?:{_WHO}|people|everybody|everyone|books|teachers) (?:would|might|may|can|could|should|will|shall|must) (?:[a-z]+ly |also |all )?{_AS} ({_THING}) as", r"\1 is"),
        (rf"(?:{_WHO}|people|everybody|everyone|books|teachers) (?:would|might|may|can|could|should|will|shall|must) (?:[a-z]+ly |also |all )?(?:call|name|term) ({_PLACED}|{_DET} [a-h] (?:file|pawn))(?= (?:an? (?:isolated|passed|backward|hole|outpost|weak|half-open|open)|isolated|passed|backward|doubled|half-open|open|pinned|undefended|hanging) )", r"\1 is"),
        (r"^(?:(?!(?:if|when|would|could|not|no) )[a-z',]+ ){0,5}?(?:under|below|above|beside|next to) (?:the|this|our|my|a) (?:diagram|board|picture|position|drawing|figure) (?:(?:it|there|we|1|you|they|would|will|should|could|might|must|have|has to|ought to) )*(?:say|says|read|reads|stand|stands|write|print|is written|is printed|be written|be printed)(?: that)?(?: ,)?", ","),
        (rf"({_MOVE}) (?:would be|would have been|is|was|looks|looks like|could be|might be|may be) (?:(?!not )[a-z]+ ){{1,5}}?(?:, )?(?:except|but|only|if only|save|were it not)(?: for the fact)?(?: that)? (?:it|this|that)(?= (?:is|was) (?:(?:not|simply|just|sadly|quite) )*(?:il)?legal )", r"\1"),
        # -- if and when it pleases
        (r", should (?:it|he|she|you|we|they|its owner|the player|the owner|white|black|1) (?:(?:so|ever|only) )*(?:decide|wish|want|choose|desire|like|please|feel like it|care)(?: (?:to|so|it|that))*(?= (?:,|$))(?: ,)?", ""),
        (rf"(?:, )?{_WHENEVER}(?= (?:,|$))", ""),
        # -- what a speaker says of his own saying
        (r", i (?:keep |have to |must )?(?:tell|told|telling|say|said|saying|repeat|repeated|promise|promised|swear)(?: (?:you|it|that|this|so|them|everyone|everybody))+(?: (?:every|each|all|many|a|again|before|often|always|the|whole|week|day|time|times|lesson|year|hundred|thousand|\d+)){0,4}(?= $)", ""),
        (r", (?:yours and mine|mine and yours|his and hers|ours and theirs|both colors|both armies|both sides|all of them)(?: (?:together|combined|alike))?(?= ,)", ""),
        (r"can (?:only |really )?(?:thank|blame)(?= (?:the|this|that|his|her|white|black) )", "thanks"),
        # -- the game goes on, the number of the move, whose mate it is
        (rf"(?:play|the game|things|it) (?:went on|continued|proceeded|carried on|goes on|continues)(?: ,)? (?:with|by) (white|black) (?:opting for|choosing|playing|going for|picking|selecting) ({_MOVE}|[a-h][1-8])", r"\1 played \2 in the game"),
        (r"(?:this 1|it|we|(?:the|this|our) (?:game|position)) (?:now )?(?:stands?|finds? (?:itself|ourselves)|ha(?:s|ve) arrived|is standing|ha(?:s|ve) got)(?: now)? at(?= move (?:number )?\d)", "it is"),
        (r"(mate in \d+) ,? ?(?:with )?(white|black) to (?:play|move|go)(?= (?:$|,))", r"\1 for \2"),
        (rf"(?:there (?:is|are)|(?:i|we|you) (?:can )?(?:count|see|find)) ((?:exactly |only |just |all )?\d+ {_MAN}s?) in (white|black) 's (?:army|ranks|force|forces|team|set|camp)(?= (?:$|,))", r"\2 has \1"),
        (r"(?:is|are|remains|stays) (?:still )?without (?:having castled|castling)", "has not castled"),
        (rf"(?!{_DET} (?:{_MAN}|piece) )(?:the|this|our|that|we|it)(?: [a-z]+){{0,2}} (?:has|have) (?:now |finally |already )?(?:come|got|gotten|arrived|advanced|progressed|made it|travel+ed)(?: all the way)?(?: (?:to|at|as far as|up to|until))(?= move (?:number )?\d+ (?:$|,))", "it is"),
        (r"(?:at the moment|right now|at present|as of now|for the moment|as we speak)(?= (?:$|,))", ""),
        (r", (?:man|dude|bro)(?= $)", ""),
        (r"(white|black) , (?:being|having|knowing|seeing) (?:(?!(?:taken|captured|lost|won|moved|played|castled) )[a-z]+ ){1,6}, (?=(?:is|has|can|will|gives?|plays?) )", r"\1"),
        # -- what a thing is like is no condition; any file is no letter
        (r"(?<!not )(?:(?:like|as) when|(?<!is )(?<!was )(?:as if|as though|like if)(?= (?:they|you|we|i|somebody|someone|1) ))", "like"),
        (r"(?<!the )(?<!this )(?<!that )(?<!open )(?<!his )(?<!her )(?<!my )(?<!our )(?<!your )(?<!'s )a file(?= )", "some file"),
        # -- castling, and who has it behind him or before
        (r"(?:(?:there (?:is|has been|was)|still) )*no castling(?: yet| so far)? (?:from|by|on the part of) (white|black)", r"\1 has not castled"),
        (r"castling is (?:something|a thing|what|an errand)(?: that| which)? (white|black) (has|has not)(?: already| yet| long)? done", r"\1 \2 castled"),
        (r"there is (?:still |also |always )?(the (?:possibility|right|option|chance|opportunity) (?:of castling|to castle)) for (white|black)", r"\2 has \1"),
        # -- a verb with a noun before it for the plain one
        (r"(?:has|have) (?:taken|found|made|used) (?:the |some |enough |his |her )?(?:time|trouble|moment|opportunity|chance|liberty) to castle", "has castled"),
        (r"(?:takes|took|bags|bagged|grabs|grabbed|scores|scored|claims|claimed|earns|earned|gets|got|collects|collected) the (?:full |whole |entire |complete )?(?:win|victory|point)", "won"),
        (r"is (?:playing|fighting|battling|struggling|soldiering|going)(?: on)?(?: here| now)? with(?= (?:an?|1|\d+) (?:[a-z]+ )?(?:pawns?|pieces?|rooks?|knights?|bishops?|queens?) (?:less|more|fewer|down|up|extra) )", "has"),
        (r"(?:has|have) (?:got|gotten|come) (?:round|around) to castling", "has castled"),
        (r"(?:it|that|this) is (?:just |only )?a checking move", "it is check"),
        (r"(?:(?:it is|which means|that means|means|so|now|and so) (?:that )?(?:it is )?over|it is back) to (white|black)(?= (?:$|,|now|again))", r"it is \1 's turn"),
    )
)  # fmt: skip
