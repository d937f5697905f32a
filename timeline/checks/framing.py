"""What stands around a statement and says nothing of the board: whom it is told to, asides, and that it is seen or known.

"I can't afford to ignore that", "the record tells us that", "and that, my dears,
is" are left out, so that the words inside are read as if they stood alone. Frames
that make a statement an opinion, a hope or a report keep it from being judged;
they stay (see ``guards``).
"""

# ruff: noqa: E501  (a turn stands on one line)

from __future__ import annotations

import re

from timeline.checks.rewording import compiled

_YOU = (
    r"(?:my |dear |now |so |you )?(?:(?:dear|little|good|young|old) )?(?:dears?|girls?|boys?|ladies(?: and gentlemen)?|gentlemen|"
    r"team|class|folks|friends?|fellas|chaps|mates|kids|children|everyone|everybody|people|guys|lads?|sir|madam|students|gang|love|darling|"
    r"honey|child|dudes?|bro|bros|comrades?|gents|viewers|listeners|all of you|people at home|mister|sweetheart|champ|buddy|pals?)"
)
_ASIDE = (
    r"(?:of course|naturally|obviously|for the record|by the way|as it happens|to be sure|if you please|like|say|so to speak|"
    r"as (?:you|we|they|i|anyone|anybody|everyone|everybody)(?: [a-z]+){1,6}|as (?:usual|ever|always|promised|expected)|"
    r"in my (?:opinion|view)|mark my words|believe me|trust me|mind|note|again|in short|in fact|in the end)"
)
NOTICED = re.compile(
    r"^ (?:(?:,|uh|um|er|oh|hey|listen|now|and|so|but|well|okay|wait) )*(?:did|do|have|has|can) (?:not )?"
    r"(?:you|we|any of you|anybody|anyone|everyone|everybody)(?: not)? (?:all |also |already )?"
    r"(?:notice|noticed|realize|realized|realise|realised|spot|spotted)(?: here| yet)?(?: that| how)?"
    r"(?= (?:the|this|that|his|her|my|our|your|white|black|it|there|1|a|an|[a-h][1-8]) )"
)
"""Asked, but taken for granted: "did you notice that Black is in check?"."""
_VERB = r"(?= (?:is|are|was|has|have|had|can|does|will|stands|sits|attacks|defends|guards|protects|pins|forks|hits|threatens) )"
# A clause begins: no verb of seeing has such an object ("I see that pawn" is no frame).
_CLAUSE = (
    r"(?= (?:(?:the|this|that|his|her|my|our|your|white 's|black 's|no|both|neither|an?) [a-z0-9-]+|white|black|it|this|that|there|he|she|we|"
    r"[a-h][1-8]) (?:[a-z0-9' -]* )?(?:is|are|was|were|has|have|had|can|does|did|will|stands?|sits?|[a-z]+s|won|lost|castled|drew|ended|finished|resigned|played|began|went) )"
)
_KNOWN = (
    r"(?:see|sees|seen|saw|notice|notices|noticed|note|noted|observe|observes|know|knows|realize|realise|realized|realised|"
    r"recognize|recognise|ignore|ignored|overlook|overlooked|overlooks|forget|forgot|forgotten|miss|missed|verify|verified|"
    r"confirm|spot|spotted|discover|discovered|accept|admit|add|mention|grasp|appreciate|remember|point out|remark|register)"
)
_TOLD = r"(?:tell|tells|told|say|says|show|shows|shown|confirm|confirms|state|states|prove|proves|record|records|remind|reminds|reveal|reveals)"
_SOURCE = r"(?:record|records|scoresheet|score sheet|sheet|score|scorecard|card|board|clock|diagram|database|database says|tournament book|rules?|arithmetic|count|notation)"
NO_FACT = (
    r"(?:idea|plan|hope|threat|dream|wish|rumou?r|claim|theory|opinion|belief|feeling|fear|danger|worry|rule|question|guess|goal|"
    r"aim|intention|assumption|suspicion|if|think|thought|believe|hoped?|feared?|guess|suppose|unless|would have|might|maybe|"
    r"pretend|imagine|claimed|wrong|lie|myth|doubt|sure|mistaken|dreamt|dreamed|wished|whether|ask|asked|could)"
)
_ASKS = r"(?:did|do|does|have|has|had|can|could|would|will|is|are|was|were|should|shall|may|might|why|how|who)"
_LOOKING = (
    r"(?:look|looking|trace|add|count|weigh|examine|inspect|analy[sz]e|follow|study|studied|zoom|step|stare|take stock|do the|sit|"
    r"sitting|stand|standing|ask|read|reading|watch|watching|listen|listening|walk|go|run|turn|tilt|squint|open|consult|consider|"
    r"think|recall|remember|know|compare|check|measure)"
)
_CHESS = (
    r"(?:king|queen|rook|bishop|knight|pawn|piece|white|black|he|she|it|they|him|her|them|his|check|mate|takes?|captures?|moves?|moved|"
    r"trades?|exchange|push|attack|defend|[a-h][1-8]|would|could|had|were|not|wrong|ahead|back|for)s?"
)
_WORDS = rf"(?:(?!{NO_FACT} )[a-z0-9',-]+ )"

_ATTEND = (
    r"(?:(?:just|only|carefully|all|ever|really|now|then|also|would|should|will|want to|like to|care to|are|have|had) )*"
    r"(?:follow|followed|look|looked|looking|ask|asked|asking|check|checked|count|counted|counting|add|added|write|writing|wrote|"
    r"go through|went through|going through|examine|examined|study|studied|trace|traced|read|reading|inspect|compare|compared|"
    r"know|like to know|remember|recall|listen|watch|watching|search|searched|scan|scanned|take both|take everything|put together)"
)
FRAMES = compiled(
    (
        (rf", {_YOU} ,{_VERB}", ""), (rf", {_YOU}(?: ,|(?= $))", ","), (rf"^{_YOU} ,", ","),
        (rf", {_ASIDE} ,{_VERB}", ""), (rf", {_ASIDE} ,", ","), (r"^for the record ,", ","),
        (rf", (?:and |but )?(?:i|we|you|let me|let us|believe me|sorry)(?: (?!{_CHESS} )[a-z']+){{0,6}} ,{_VERB}", ""),
        (r"(?:^|,) it (?:hurts|pains me|is sad|is painful|is a pity|is hard)(?: me)? to (?:say|admit|tell|see)(?: it| this| you)? ,", ","),
        (r"(?:once and )?for (?:all|ever|good)(?= (?:$|,|and|here|now))", ""), (r"by definition", ""),
        (r"(?:an? |just a )?(?:little |tiny )?bit of(?= an? )", ""),
        (rf"^(?!{_ASKS} ){_WORDS}{{0,14}}?(?:not |never )?{_KNOWN}(?: (?:now|here|again|also|it))* that{_CLAUSE}", ","),
        (rf"^{_WORDS}{{0,4}}?{_SOURCE} {_WORDS}{{0,3}}?{_TOLD}(?: (?:us|me|you))? that{_CLAUSE}", ","),
        (rf"^{_WORDS}{{0,5}}?i (?:can |will |must |have to |may |would |already )*(?:tell|show|assure|promise|remind) you(?: [a-z]+ly)?(?: that){_CLAUSE}", ","),
        (rf"^(?:(?:and|but|so|well|now|,) )*(?:what|the (?!{NO_FACT} )[a-z]+) {_WORDS}{{0,12}}?(?:is|was) (?:simply |just |precisely |exactly )?that{_CLAUSE}", ","),
        (r"^(?:[a-z]+ ){0,5}?if (?:you|anyone|anybody|any of you) (?:knows?|sees?|can tell me|can say)(?= (?:whose|who|what|how many) )", ""),
        (rf"^(?:[a-z]+ ){{0,2}}?(?:{_SOURCE}|counter|odometer|header|caption) (?:reads|says|shows|stands at|is at|points to|tells us)(?= move (?:number )?\d+ )", "it is"),
        # -- looking and following is no condition, nor that the game is over
        (rf"^(?:(?:and|so|but|well|now) )?(?:if|when|once|whenever) (?:you|we|i|1|anyone|you are|we are|you have|we have) (?:just |only |carefully |all )?{_LOOKING}(?: (?!{_CHESS} )[a-z0-9']+){{0,8}} ,", ","),
        (r" ?,? (?:if|when) (?:you|we|i) (?:count|add|look|include|check|take)(?: [a-z']+){0,6}(?= $)", ""),
        (r"^(?:(?:and|so|but|well|now) )?(?:when|once|after) (?:it was|it is|it had|(?:the|all|everything|everybody)(?: [a-z]+){1,2}) (?:is|was|had|has|been|all|[a-z]+ed|over|done|said|up|down|gone|through|and)(?: (?!{_CHESS} )[a-z]+){0,4} ,(?=(?: [a-z]+)* (?:won|lost|win|wins|winner|victory|drew|draw|resigned|beaten|defeated) )".replace("{_CHESS}", _CHESS), ","),
        # -- an aside that looks, a question in passing that is answered at once
        (r", (?:and |as |but )?(?:you|we|i|everyone|everybody|anyone|anybody) (?:can |could |will |may |should )?(?:all |clearly |easily )?(?:see|tell|notice|check|count|spot|verify) (?:it|that|this|them|for yourself|for yourselves)(?: (?:here|too|now|clearly|yourself|yourselves))* ,", ","),
        (r", (?:and |now )?(?:what|which) (?:color|square|piece|1|kind of [a-z]+|sort of [a-z]+|[a-z]+ of [a-z]+) (?:is|does|do|has|are) (?:it|that|he|they|this)(?: (?:have|on|standing on|stand on|sit on|sitting on|of|got|live on))* ,(?= (?:it|that|he|they|this|light|dark|on) )", ","),
        (r"^(?:(?:and|so|but|well|now|,) )*(?:which|what) (?:[a-z]+ )(?:is|was) (?:it|that|this)(?: (?:here|now|then))? ,(?= (?:it|that|this) (?:is|was) )", ","),
        # -- to look, to ask or to count is no condition, whatever it is done with: "if you follow the pawn on b2 with your eyes, ..."
        (rf"^(?:(?:and|so|but|well|now|okay) )?(?:if|when|once|whenever) (?:you|we|i|1) {_ATTEND}(?: [a-z0-9'-]+){{0,8}}? ((?:the|this|that|his|her|white 's|black 's) (?:[a-z]+ ){{0,2}}?(?:king|queen|rook|bishop|knight|pawn) (?:on|at) [a-h][1-8])(?: [a-z0-9'-]+){{0,5}} ,(?= (?:[a-z]+ ){{0,6}}?(?:it|he|she) )", r"\1 ,"),
        (rf"^(?:(?:and|so|but|well|now|okay) )?(?:if|when|once|whenever) (?:you|we|i|1) {_ATTEND}(?: [a-z0-9'-]+){{0,12}} ,", ","),
        (r"(?:^|,) (?:you|we|i|1) (?:should|would|will|can|could|may|might|must|are bound to|are going to)(?: (?:all|also|soon|quickly|easily|certainly|surely|clearly))* (?:find|see|notice|discover|conclude|agree|realize|realise|observe|recognize|recognise|read)(?: (?:that|how))?(?= (?:the|this|that|his|her|white|black|it|there|1|an?|[a-h][1-8]) )", ","),
        (r",? (?:if|when|once) (?:you|we|i) (?:count|add|check|look at|go through) (?:it|them|they|all|everything)(?: [a-z0-9]+){0,4}(?= $)", ""),
        (r"^(?:(?:and|so|but|well|now) )?(?:i am|we are|it pains me|i regret|i hate|i am happy|i am glad|i have) (?:sorry |glad |happy |afraid |pleased |proud |obliged )?(?:to|that i have to|that i must) (?:say|tell you|inform you|report|announce|admit|add)(?: that)?", ","),
        # -- clefts: "three knights is what White has left", "what Black does have is the bishop pair"
        (r"^(?:(?:[a-z]+ ){0,4}, )?((?:[a-z0-9'-]+ ){0,5}[a-z0-9]+) (?:is|are|was|were) what (white|black|he|she|we|i) ((?:still |now |does |did |actually |really )*(?:has|have|had|played|chose|plays|keeps|gets|owns|got))(?= (?:$|,|left|here|now|on|at|in|to))", r"\2 \3 \1"),
        (r"what (white|black|he|she|we|i) (?:(?:does|do|did|still|now|really|actually|clearly|certainly|undoubtedly) )*(has|have|had|owns|keeps|enjoys)(?: (?:still|now|here|left|got))* (?:is|are)", r"\1 \2"),
        (r"on ([a-h][1-8]) is (?:where|the square where) (?:we|you|i) (?:can |will )?(?:find|see|have|meet|spot)", r"on \1 there is"),
        (r"(move \d+) is where (?:we|you) (?:are|stand|find ourselves|have got to|have arrived|got to)(?: now)?", r"it is \1"),
        (r"(is|was|are) (?:nothing|none|no one|no) (?:other|else|less) (?:than|but)", r"\1"),
        # -- what it is called, after the fact
        (r"(?:which|that|this|it) (?:is|was) (?:just |exactly |precisely )?(?:what|how) (?:they|we|people|you|i|1|books|the books|teachers|everybody|players|chess players|some|the textbooks?|theory|experts)(?: (?:would|usually|like to|all|always|often|may|can|could|tend to))* calls?(?: it)?", "it is"),
        (r"(?:is|are) what (?:they|we|people|you|i|1|books|the books|teachers|everybody|players|chess players|some|the textbooks?|theory|experts)(?: (?:would|usually|like to|all|always|often|may|can|could|tend to))* calls?", "are"),
        (r"(?:and |so )*(?:we|you|1|people|i) (?:may|can|could|might|should|would|must|will)(?: (?:safely|well|rightly|also|fairly|just))* call (?:it|this|that|him|her) (?=(?:an?|the|doubled|hanging|isolated|passed|backward|stalemate|mate|checkmate) )", "it is"),
        (r"(?:which|that|this) (?:makes|made|means|counts|qualifies|earns)(?: for)? (?:it|him|her|this) (?:as )?(?=(?:an?) (?:[a-z]+ )?(?:passed|isolated|backward|doubled|outpost|fork|pin|skewer|battery|hole|open|half-open))", "it is"),
        (r"(?:the )?(?:name|word|term)(?: (?:for|of) (?:it|this|that))? (?:is|for it is)(?= (?:an? )?(?:fork|pin|skewer|battery|stalemate|checkmate|double check|discovered check|outpost|x-ray))", "it is"),
        (r"(?:it is|is|are) (?:also )?(?:known|referred to|described|spoken of|known to all) as(?= (?:an?|the|hanging|doubled) )", "it is"),
        # -- the thing first, then who did it
        (r"((?:(?:king|queen|rook|bishop|knight|pawn) (?:to |takes |takes on )?|[a-h] takes )?[a-h][1-8]|castles(?: kingside| queenside)?) (?:is|was) (?:what|the move|the move that|the move which) (white|black) (plays|played|chose|chooses|went for|found|did|does)", r"\2 played \1"),
        (r"(on move \d+)(?: ,)? (?:(?:there |next )?(?:comes|came|follows|followed|appears|appeared|arrives|arrived)|(?:we|you) (?:see|have|get|find|saw|had)|the move (?:is|was)) (?=(?:(?:king|queen|rook|bishop|knight|pawn) (?:to |takes |takes on )?|[a-h] takes )?[a-h][1-8] )", r"\1 was played"),
        (r"((?:an?|the|his|her|my|our|that|this) (?:[a-z]+ )?(?:queen|rook|bishop|knight|pawn)s?) (hanging|undefended|unprotected|unguarded|loose|en-prise|isolated|pinned) (on [a-h][1-8])", r"\1 \3 \2"),
        (r"^(?:(?:and|so|but|well|now|,|here|there|over|right|up|down) )*on ([a-h][1-8])(?: ,)? (?=(?:an?|the|1|white 's|black 's) (?:(?:white|black) )?(?:king|queen|rook|bishop|knight|pawn) $)", r"on \1 there is"),
        (r"^((?:white |black )?(?:queen|rook|bishop|knight|pawn|piece)s)(?: (?:left|remaining|still))* on the board(?: ,)?(?: (?:in total|in all|all told|altogether|right now|now))*(?: ,|:)? (\d+)(?= $)", r"there are \2 \1 on the board"),
        # -- sums done on paper are no condition
        (r"(?:and )?(?:if|when|whenever|once|after) (?:(?:you|we|i|1|all|everything|the|is|are|has|have|been|[a-z]+s) ){1,6}(?:counted|added|summed|tallied|entered|written|weighed|noted|totted|counts?|adds?|tally|sums?|tot)(?: (?:up|down|together|it|them|on|in|the|all|both|sides|card|paper|pieces|pawns|points|material|everything|twice|carefully|properly|again|developed)){0,5} ,", ","),
    )
)  # fmt: skip
"""Tried before other turns, on the words of a sentence."""
