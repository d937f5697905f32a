"""Lead-ins that name what the rest of the sentence speaks of, and plain verbs for what is told with a noun.

"If you ask who guards the pawn, the answer is ..." keeps its question, "when you
look at h1, you see that it is dark" its square, "an isolated pawn is one
without neighbours, and the pawn on b7 is one of those" its term. "Gives
protection to" is "protects". Tried before ``framing``, which drops lead-ins.
"""

# ruff: noqa: E501  (a turn stands on one line)

from __future__ import annotations

from timeline.checks.framing import NO_FACT
from timeline.checks.rewording import compiled

_MAN = "(?:king|queen|rook|bishop|knight|pawn)"
_DET = "(?:the|this|that|his|her|their|my|our|your|white 's|black 's|white|black)"
_NOUN = (
    rf"{_DET} (?:(?!to |for |of |in |and |can |may |play|mov)[a-z-]+ ){{0,2}}{_MAN}(?: (?:over )?(?:on|at) [a-h][1-8])?"
)
_PLACED = rf"{_DET} (?:(?!to |for |of |in |and |can |may |play|mov)[a-z-]+ ){{0,2}}{_MAN} (?:that (?:stands|sits|is) |which (?:stands|sits|is) )?(?:over )?(?:on|at) [a-h][1-8]"
_THING = rf"(?:{_PLACED}|{_DET} [a-h][1-8] {_MAN}|(?:the )?(?:square )?[a-h][1-8]|{_DET} [a-h] (?:file|pawn))"
_MOVE = rf"(?:(?:{_MAN} (?:to |takes |takes on )?|[a-h] takes )?[a-h][1-8]|castles(?: kingside| queenside)?)"
_WHEN = r"(?:(?:and|so|but|well|now|okay) )?(?:if|when|once|whenever)"
_WHO = "(?:you|we|i|1|anyone|anybody|somebody)"
# Words that tell of no position: nothing that is said after them depends on them.
_PLAIN = (
    r"(?:(?!(?:king|queen|rook|bishop|knight|pawn|piece|white|black|he|she|him|her|his|takes?|captures?|moves?|moved|trade|"
    r"exchange|push|attack|defend|play|played|win|wins|lose|castle|castling|check|checkmate|mate|would|could|might|had|were|"
    r"wrong|not sure|sacrifice|recapture|[a-h][1-8]|[a-h])s? )(?:[a-z',]+|1) )"
)
_RESULT = r"(?:an? |the )?(?:[a-z]+ )?(?:win|victory|triumph|(?:full|whole) point)"
_OFFERS = r"(?:some |its |his |her |full |good |solid |valuable )?(?:protection|support|cover|shelter|backing|help|security|a helping hand)"
_GUARDIAN = r"(?:sole |only |loyal |faithful |trusty |natural |main |one |1 )?(?:protector|guardian|defender|bodyguard|guard|minder|shield|supporter|caretaker)"
_GUARDS = (("defend", "defends"), ("protect", "protects"), ("guard", "guards"), ("cover", "covers"), ("support", "supports"),
           ("attack", "attacks"), ("hit", "hits"), ("watch over", "protects"), ("look after", "protects"))  # fmt: skip
_SAFE = rf"(?:(?!(?:{NO_FACT}|{_MAN}s?|white|black|[a-h][1-8]|takes?|captures?|if|when) )[a-z',-]+ )"
_SEEN = (
    r"(?:see|sees|saw|notice|note|observe|find|realize|realise|discover|recognize|recognise|agree|know|spot|remember|remark|"
    r"is|was|tell you|remind you)"
)
_COUNTED = r"(?:defenders|attackers|guards|protectors|defences|attacks|pieces|men|pawns|queens|rooks|knights|bishops)"
_DUTY = r"(?:jobs?|tasks?|duties|duty|roles?|purposes?|work|functions?|responsibilities|responsibility|missions?)"

LEAD_INS = compiled(
    (
        (r"(on|at|from|to|over) the square ([a-h][1-8])", r"\1 \2"),
        # -- "do" that only stresses, advice before a reason, what is said after a statement to whoever listens
        (r"^(?:(?:and|so|but|well|now|,|please) )*do(?= (?:keep|remember|note|notice|look|see|observe|bear|mark|recall|mind|watch|count) )", ""),
        (r"^(?:(?:and|so|but|well|now|,|please) )*(?:keep|bear) (?:it )?in mind(?: ,| please| everyone| all| always)*(?: that)?(?= (?:the|white|black|it|there|this|that|his|her|no|both|nothing|nobody) )", ","),
        (rf"^(?:(?:and|so|but|well|now|,|please) )*(?:do not|never|do) {_PLAIN}{{1,9}}(?:, )?because(?= (?:white|black|the|there|it|this|his|her) )", ","),
        (r", (?:just |please |and |but )?(?:count|deal with|believe|trust|mark|check) (?:it|them|that|me|my words)(?: (?:if you [a-z ]+|yourselves|yourself|up|again|now))?(?= $)", ""),
        (rf", if (?:you|anyone|anybody) (?!ask ){_PLAIN}{{0,7}}[a-z']+(?= $)", ""),
        (r"^(?:(?:and|so|but|well|now|,) )*(?:if|when) (?:you|we|i) (?:click|scroll|skip|jump|page|flip|fast-forward|wind|go and look|go looking)(?: (?!(?:king|queen|rook|bishop|knight|pawn)s? )[a-z]+){0,6}? , (?:you|we|i) (?:will|can|would) (?:see|find|learn|notice|read)(?: that)?", ","),
        (rf"^(?:(?:and|so|but|well|now|,) )*(?:if|when) (?:you|we|i) (?:go and |go )?(?:look|search|hunt)(?:ing)? for an? (?:protector|defender|guard|guardian|bodyguard) (?:of|for) ({_PLACED}) , (?:(?:you|we|i|will|can|see|find|that|notice) )+there is (?:not (?:1|any)|no 1|none)", r"nothing defends \1"),
        (r"(?:is|are|stands|was) not (?:really |actually )?(?:defended|protected|guarded|covered|supported|backed up|backed|held|watched over|looked after) by (?:anything|anyone|anybody|anyone else|any (?:other )?(?:piece|man|pawn|1)|a single (?:piece|man|pawn|soul))(?: at all)?", "is undefended"),
        (r", (?:if|as) (?:i|you|we) (?:may|might|can|will|please|like)(?: (?:say|put|call|add)(?: (?:it|so|that))*)?(?: so| that way)? ,", ""),
        (r", (?:i am sorry to say|sorry to say|i am afraid|i regret to say|i must say|to be honest|honestly|frankly) ,", ","),
        (r"^(?:i am|we are) (?:sorry|afraid|sad|glad|happy)(?: to say)?(?: that)?(?= (?:white|black|the [a-z]+ on [a-h][1-8]|it is|there is) )", ","),
        (r"(white|black) (?:still |now )?(?:retains|keeps|possesses|is down to|still owns|is left with|commands)(?= (?:just |only )?\d+ )", r"\1 has"),
        (r", (?:what a [a-z]+|so to say|so to speak|that is a fact|like it or not|no doubt|for sure|of all things|believe it or not|no kidding|end of story)(?= (?:$|,))", ""),
        (r"on the 1 hand", ""), (r"on the other(?: hand)?(?= (?:$|,|and))", ""),
        (r"(?:the|this|our) (?:struggle|battle|fight|encounter|contest|duel|clash)(?= (?:was|is|ended|finished|went|,) )", "the game"),
        # -- an aside between a subject and its verb
        (rf"({_THING}|white|black|the game) , (?:unlike|like|of which|which would|who would|whatever|as (?:you|we|i)|despite|for all|in spite of|regardless of|contrary to|by|from|with|without|though|although)(?: (?!(?:{_MAN}s?|white|black|[a-h][1-8]|not) )(?:[a-z']+|1)){{1,11}} ,(?= [a-z]+)", r"\1"),
        (r", (?:after|before|with|without) (?:all|so|these|this|much|many|a lot)(?: (?!(?:king|queen|rook|bishop|knight|pawn)s? )[a-z']+){1,5} ,", ""),
        (rf"(?:the (?:course|move|path|way|continuation|option)) (?:that |which )?(white|black) (?:actually |really |in fact )?(?:took|chose|played|preferred|went for|selected)(?: ,(?: [a-z']+){{1,10}} ,)? (?:was|is) ({_MOVE})", r"\1 played \2 in the game"),
        (rf"(white|black) (?:chose|played|went for|opted for|went|selected) ({_MOVE}) ,? ?(?:and )?(?:that|this) is (?:how it went|what happened|how it was|what was played)", r"\1 played \2 in the game"),
        (r"^(?:careful|attention|watch out|beware|oops|oh dear|whoops)(?: ,)?", ""),
        (r"^(?:(?!(?:if|unless|when|imagine|suppose) )[a-z',0-9]+ ){0,14}?(?:it can not be (?:denied|doubted|overlooked)|(?:should|must|can|may|does|do|will) not (?:hide|obscure|conceal|disguise)(?: (?:from (?:us|you)|us|you))*|no 1 (?:can|will) deny|there is no denying)(?: the fact)? that", ","),
        (rf"^if 1 (?:[a-z]+ly )?[a-z]+s {_PLAIN}{{1,14}}, (?:and )?1 (?:finds|sees|notices|discovers|realizes|realises|concludes)(?: that)?", ","),
        (r"is to be (?:regarded|considered|counted|seen|described) as", "is"),
        (r"(?:somebody|someone) (?:is|'s) in check ,(?: (?:and|yes|,))* (?:it|that) is (white|black)", r"\1 is in check"),
        (r"(?:, )?(?:if|unless) (?:nobody|no 1|nothing|somebody|someone) (?:stops?|prevents?|reacts?|does)(?: (?:it|him|her|them|anything|something|about|that|this|to|here))*(?= $)", ""),
        (r"^if you (?:are|were) (?:wondering|curious|asking) (?:about|who (?:is|has|plays|had|took)) (white|black) , (?:that|it|he) (?:is|was)", r"\1 is"),
        (r"(?:was|is|has been|got) decided in (?:favor of (white|black)|(white|black) 's favor)", r"was won by \1\2"),
        (r"(?:has|have) (?:blown|wasted|thrown away|squandered|burnt|burned|spent)(?= (?:the|his|her|all) (?:rights?|chance|privilege) )", "has lost"),
        (r"the (?:1|side|player|person) (?:who|that) (?:has to|must|gets to|is to|should|may|ought to) (?:make a )?(?:move|play|go)(?: (?:now|here|next|at the moment|right now))* is (white|black)", r"it is \1 to move"),
        # -- the place first
        (rf"^((?:and |so |now |but |here |, )*)from ([a-h][1-8])(?: ,)? ((?:the|this|that|his|her|white 's|black 's) )({_MAN})(?= (?:[a-z]+ly |also |now )?(?:attacks|hits|forks|guards|defends|protects|covers|eyes|targets|supports|pins) )", r"\1\3\4 on \2"),
        (rf"against (?:the |these |those )?(\d+) attackers (?:of|on) ({_THING}) (?:there (?:are|is)|we have|we count|stand|you find|you see) (?:only |just )?(\d+) defenders?", r"\1 attackers and \3 defenders on \2"),
        (rf"^(?:[a-z]+ )?(?:sitting|standing|living|parked|posted|waiting|perched|resting)(?: (?:over|up|down|there|right|proudly|happily))* (?:on|at) ([a-h][1-8]) (?:is|we have|we find|we see)(?= {_DET} )", r"on \1 there is"),
        (rf"^(?:(?!(?:if|when|imagine|suppose|would|could|do|does|did|is|are|can) )[a-z',]+ ){{0,9}}?(?:to|at|on) ([a-h][1-8])(?: ,)? (?:where|on which) (?:there (?:is|stands|sits) )?((?:an?|the|white 's|black 's|1) (?:(?:white|black) )?{_MAN})(?: (?:is|stands|sits|lives|lies|waits))?(?: (?:now|standing|sitting|waiting))*(?= (?:$|,))", r"on \1 there is \2"),
        # -- mate that is threatened
        (r"^(?:(?:and|so|but|well|now|,) )*if (?:nobody|no 1|nothing) (?:does|stops|happens|reacts|intervenes|helps|prevents|is done)(?: (?:anything|something|about|it|this|that|him|her|against|soon|here|to stop))* ,? ?(white|black) (?:will |is going to )?(?:gives? |deliver |delivers |plays? )?(?:check)?mates?(?: (?:him|her|on the|on|next|move|in 1|at once|the))*(?= (?:$|,))", r"\1 threatens mate in 1"),
        # -- a question inside: "if you ask yourself which piece guards it, the answer is the rook"
        (rf"^{_WHEN} {_WHO} (?:(?:now|were to|want to|would like to|like to|care to|just|really|do) )*(?:ask|asked|asks|wonder|wondered|check|count|work out|know|find out)(?: (?:yourself|yourselves|ourselves|myself|me|together|now|up))*(?= (?:who|what|which|how many|how often|whose) )", ""),
        (r"^(?:(?:and|so|now|well|okay) )?let us (?:all )?(?:count|see|check|ask|work out|find out)(?: (?:together|now|up|once|ourselves))*(?= (?:who|what|which|how many|how often|whose) )", ""),
        (rf"^{_WHEN} {_WHO} (?:count|counted|add|added|sum|tally|number|collect)(?: (?:up|together))*(?: all)? (?:the |all )?((?:[a-z]+ ){{1,3}}?(?:that|which|who) (?:[a-z0-9'-]+ ){{1,8}}?)(?:up )?, (?:{_WHO} (?:(?:should|will|would|can|must) )*(?:get(?: to)?|come to|arrive at|have|reach|make(?: it)?|find|end up (?:with|at))|there (?:are|is)|the (?:sum|total|answer|result) is|it (?:is|makes|comes to)|that (?:is|makes)) (?:exactly |just |only )?(\d+)(?= (?:$|,))", r"there are \2 \1"),
        # -- what "it" is: the thing that one looks at
        (rf"^(?:(?!(?:did|do|does|is|are|can|why|how|would|should|could|think|thought|believe|hope|suppose|imagine|claim|wrong|doubt|whether) )[a-z',-]+ ){{0,8}}?({_THING})(?: (?!(?:if|would|could|think|thought|believe|hope|claim|wrong|doubt|whether|is|has|takes|to) )[a-z',-]+){{0,5}}? (?:see|sees|saw|notice|note|observe|find|realize|realise|discover|recognize|recognise|agree|know|spot)(?: (?:now|here|again|also|soon))*(?: that)?(?= (?:it|he|she) (?:is|was|has|can|does|stands|sits|attacks|defends|guards|protects|pins|covers) )", r"\1 ,"),
        (rf"^(?!(?:did|do|does|is|are|can|why|how|could|has|have) ){_SAFE}{{0,8}}?({_THING}) {_SAFE}{{0,9}}?{_SEEN}(?: (?:simply|just|also|still|now|here))* that(?= (?:it|he|she) [a-z]+ )", r"\1 ,"),
        (rf"^(?:do not |never )?(?:worry|worry too much|lose sleep|panic)(?: about| over) ({_THING}) ,", r"\1 ,"),
        (rf"^(?:if|when) (?:you|we|i) (?:look|search|hunt|ask)(?: around)? for {_SAFE}{{1,4}}({_THING}) (?:[a-z-]+ ){{0,6}}?(?:you|we|i) (?:will|do|can|are going to) (?:not )?(?:find|see|discover|get) (?:any|none|nothing|no 1|1|some)(?: [a-z]+){{0,3}} ,", r"\1 ,"),
        (rf"^(?:(?:and|so|but|well|now) )?(?:if|in case) (?:you|anyone|anybody) (?:are|is|were|was|happens to be)? ?(?:wonder(?:s|ing)?|asks?|asking|curious|looking|lost track of) (?:about )?(?:where )?({_DET} (?:[a-z]+ )?{_MAN})(?: (?:has|have|is|got|gone|went|lives|hides|to|now|hiding|stands|ended up|might be))* , (?:it|he|she)(?= (?:is|stands|sits|lives) )", r"\1"),
        (rf"^(?:[a-z',-]+ ){{0,6}}?({_MOVE}) , (?:but |and |yet )?(?:that|it|this)(?= (?:is|was) (?:(?:not|an?|simply|just|perfectly|quite|not even) )*(?:il)?legal )", r"\1"),
        (rf"({_DET} (?:[a-z]+ )?{_MAN})(?: that| which)? (?:we|you|i) (?:find|see|have|meet|spot|notice) (?:over |up |down |here |there )?(on|at) ([a-h][1-8])", r"\1 \2 \3"),
        (rf"^what ({_DET} {_MAN}) (?:is|was) doing (?:over |up |down )?(?:on|at) ([a-h][1-8])(?: ,)?(?: [a-z ]{{1,30}} ,)? is(?= [a-z]+ing )", r"\1 on \2 is"),
        (rf"(?:1 of )?the (?:targets?|things?|pieces?|victims?|men|man) (?:that |which )?({_PLACED}) (?:has|have) (?:in (?:its|his|her) sights|under (?:attack|fire)|in view) (?:is|are)", r"\1 attacks"),
        # -- counting aloud, and what it comes to
        (rf"^(?:(?:and|so|now|well|okay|if|when|once|let us|let me|we|you|i|can|could|may) )*(?:count|counting|add up|collect|list|tally|number)(?: up| together)? (?:all )?(?:the |his |her |their )?((?:[a-z]+ )?{_COUNTED}(?: [a-z0-9']+){{0,8}}?) ,(?: (?:and|so|then|we|you|i|see|find|that|will|should|can|would|notice))* (?:there (?:are|is)|that makes|that is|it is|get(?: to)?|arrive at|come to|find|have|make it) (?:exactly |only |just )?(\d+)(?: of (?:them|those|these))?(?= (?:$|,))", r"there are \2 \1"),
        (r"^(?:(?:and|so|but|well|now) )?(?:if|when|once) (?:you|we|i) (?:count|add|take|sum|include)(?: [a-z']+){0,5}(?= there (?:is|are) (?:still |exactly |only |just )*\d)", ","),
        (r"^do the (?:maths?|sums?|count|counting|arithmetic|numbers|addition|accounting)(?: (?:on|for|around|of|about|with))?", ""),
        # -- what is told whatever is done: "before we go on, let me remind you that ..."
        (rf"^(?:(?:and|so|but|well|now|okay) )*(?:(?:before|after) (?:we|you|i) {_PLAIN}{{1,10}}, )?(?:let me|i want to|i have to|i must|i should|i would like to|allow me to|may i)(?: (?:just|also|quickly|first|please|again))* (?:remind|tell|show|assure|inform|warn|mention|point out|say|add|repeat|stress)(?: to)?(?: you| everyone| everybody| us)?(?: (?:again|here|all|once|right away))* that", ","),
        (r"^what (?:should|must|has to|ought to|really should|will|may|might) (?:really )?(?:worry|concern|bother|alarm|trouble|frighten|scare|interest)(?: [a-z]+){1,6}? is that", ","),
        (r"^(?:i am|we are) (?:so |very |really )?(?:sorry|afraid)(?: to (?:have to )?(?:say|tell you|admit|report|announce)(?: (?:it|this|so|that))?)?(?: ,)? but", ","),
        (r"^(?:spoiler(?: alert)?|fun fact|quick note|breaking news|bottom line|long story short|the verdict|final (?:output|result|score)(?: of (?:this|the) game)?) ,", ""),
        (r"^if (white|black) (?:plays?|goes on|continues?|proceeds?)(?: (?:on|it|things|everything))? (?:precisely|correctly|accurately|exactly|perfectly|well|right|properly|the best moves?)(?: (?:from|here|now|on|this point))* ,(?= (?:there|it|this|that) is (?:an? )?(?:[a-z]+ )?(?:check)?mate in \d)", r"for \1"),
        (r"it is not (?:an?|just an?|merely an?|your) (?:ordinary|normal|single|simple|usual|plain|common)? ?check(?: [a-z]+){0,6} ,? ?(?:but |it is |rather |, )*a double (?:1|check)", "it is a double check"),
        (r"(?:somebody|someone|something|a piece) is (?:now |right now )?(?:checking|giving check to) the (white|black) king", r"\1 is in check"),
        (r"there is (?:an? )?check (?:against|on) (white|black)(?! 's)", r"\1 is in check"),
        (r"(white|black) has not (?:yet )?(?:lost|traded|exchanged|given up) (?:a|1|either|any) bishop(?: yet)? ,(?: (?:and|so|but|he|she|white|black|still))* has both(?: of them)?", r"\1 has both bishops"),
        (r"^(?:if|when) (?:you|we|i) (?:check|count|look at|look for) the bishops ,(?: (?:you|we|i|will|can|should|see|find|that|notice))* (white|black) (?:still |now )?(?:has|owns|keeps|got)(?: got)? both(?: of them)?", r"\1 has both bishops"),
        (r"^(?:[a-z]+ ){0,2}?(white|black) (?:saw|knew|realized|realised|decided|understood|felt)(?: [a-z]+){1,10} and(?= (?:resigned|gave up|conceded|surrendered) )", r"\1"),
        (rf"^(?:(?:and|so|but|well|now) )*here is what (?:really |actually )?(?:happened|was played|came)(?: (?:in the game|next|here|now|then))* ,? ?(white|black) (?:went|played|chose|pushed|moved)(?: for)? ({_MOVE})", r"in the game \1 played \2"),
        (rf"what (?:was|got) (?:actually |really )?played(?: (?:here|now|next|in the game))* by (white|black)(?: ,(?: [a-z]+){{1,6}} ,)? (?:was|is) ({_MOVE})", r"\1 played \2 in the game"),
        (r"this is where the (\d+)th move (?:gets|is|was|will be)(?: being| about to be)? (?:played|made)", r"it is move \1"),
        (r"(?:white 's |black 's )?move (?:number )?(\d+) is the 1 (?:that is )?(?:about to be|to be|being|now being|we are about to) (?:made|played|see|make|play|look at)", r"it is move \1"),
        # -- a definition, and that it fits
        (rf"^(?:(?:and|so|well|now|remember|,) )*an? ((?:[a-z-]+ ){{0,2}}[a-z-]+) (?:is|means) (?:[a-z0-9',-]+ ){{2,18}}?(?:, )?(?:(?:and|so|but|here|now|well|clearly) )*({_THING}) (?:is|was) (?:(?:clearly|exactly|just|certainly|precisely|indeed|surely|such) )*(?:1 of (?:those|them|these)|an? (?:pawn|piece|square|file|example|1|case)|that|1|so|like that|that kind of [a-z]+)(?: (?:here|now|too|indeed))*(?= (?:$|,))", r"\2 is a \1"),
        # -- a reason after words that tell of no position
        (rf"^(?:if|when|once|whenever|before|until|after|as soon as) {_PLAIN}{{1,18}}(?:because|since)(?= (?:white|black|the|it is|there is|there are|his|her|this) )", ","),
        (r"^(?:(?:[a-z]+ ){0,6}?, )?unless (?:white|black|he|she|they|we|i|you) (?:does|do|finds?|reacts?|acts?|wakes?|responds?|defends?)(?: (?:something|anything|about|it|this|that|a|an|some|answer|defense|quickly|now|fast|reply|good|up|at once|right away)){0,7} , ?(white|black) (?:will |is going to |then )?(?:gives? |deliver )?(?:check)?mates?(?: him| her)?(?: (?:on the |the )?next move| next| in 1| at once)?", r"\1 threatens mate in 1"),
        (r"if (white|black) (?:were|was|is|got|had|could have|could make) (?:allowed |given |granted |to get |to have |to move |to play )?(?:just )?(?:1 more|another|a second|a free|1 extra|an extra|once more|again)(?: move| tempo| turn| go)?(?: (?:here|now|right away|at once|in a row))* ,? ?(?:then )?(?:it|that|this|he|she|there) (?:would be|would give|would|is|will be) (?:(?:check)?mate)(?: (?:at once|here|now))?", r"\1 threatens mate in 1"),
        # -- where we are
        (r"(?:what (?:you|we|i) (?:see|have|are looking at|are seeing|find)(?: [a-z]+){0,4}? is |this is |it is |here is |here we have |we have |you see |we see |we are looking at |this shows )?(?:now |just )?the (?:position|diagram|situation|board)(?: as it (?:is|stands|was))? (?:at|on) (?:the )?(\d+)th move", r"it is move \1"),
        (r"(?:we|you|i|the game|the players) (?:(?:have|has|are|is|now|just|already|finally|all|so) )*(?:arrived|come|got|gotten|reached|advanced|landed|stand|at|standing|here|progressed|made it|find ourselves|are)(?: (?:at|to|on|as far as|up to|now|by|the|, [a-z]+(?: [a-z]+){0,3} ,))* (?:move(?: number)? (\d+)|(\d+)th move)(?= (?:$|,|now|here|of|and|in|with))", r"it is move \1\2"),
        (r"(?:the square )?([a-h][1-8]) (?:is|has been|gets) (?:(?:currently|now|already|at the moment|right now|still) )*(?:occupied|inhabited|filled|taken|held)(?: (?:at the moment|right now|now|currently))? by (?:an? |the )?((?:white |black )?)(?:'s )?(king|queen|rook|bishop|knight|pawn)(?! (?:on|at) )", r"on \1 there is a \2\3"),
        (r"not (?:just |only |merely )?1 (?:piece|man|attacker) but 2", "2 pieces"),
        # -- the rules, and what was played
        (rf"the (?:rules?|laws?)(?: of (?:chess|the game))? (?:(?:do|does|really|certainly|clearly|fully|would|will) )*(?:lets?|allows?|permits?) (white|black)(?: to)?(?: play)?(?= {_MOVE} )", r"it is legal for \1 to play"),
        (rf"the (?:next |actual |real |very next )?move (?:(?:that|which) )?(?:(?:was|is|got|actually|really|then) )*(?:played|chosen|made)(?: (?:here|now|next|then|in the game|on the board|at this point))* (?:was|is) (?:actually |in fact )?({_MOVE})", r"\1 was played in the game"),
        (rf"(?:score|record|scoresheet|game|notation|database)(?: of the game)? (?:has|shows|gives|records|sees|lets) (white|black) (?:answer(?:ing)?|reply(?:ing)?|play(?:ing)?|continu(?:e|ing)|go(?:ing)?|respond(?:ing)?|choos(?:e|ing)|opt(?:ing)?)(?: (?:with|for|on))? ({_MOVE})", r"\1 played \2 in the game"),
        # -- how it ended
        (rf"(white|black) (?:(?:finally|eventually|in the end|duly|then) )*(?:takes?|took|scored|scores|claimed|claims|collected|collects|grabbed|earned|earns|bagged|secured|celebrated|celebrates|walked away with|went home with|takes home|took home) {_RESULT}(?= (?:$|,|here|in|at|and|today))", r"\1 won"),
        (r"(white|black) (?:has|had|was|got|is|gets) (?:been )?(?:beaten|defeated|vanquished|conquered)(?= (?:$|,|in|here|by|at|after|and))", r"\1 lost"),
        # -- verbs for what is told with nouns
        *((rf"(?:1 of )?the (?:[a-z]+ )?{_DUTY} (?:(?:that|which) )?(?:of )?({_PLACED})(?: (?:has|does|performs|fulfils|carries out))?(?: (?:here|now))? (?:is|are|includes?) (?:(?:simply|also|just|mainly) )?(?:to )?{verb}(?:ing)?", rf"\1 {said}") for verb, said in _GUARDS),
        (rf"from (?:its|his|her|the) (?:[a-z]+ )?(?:place|post|spot|square|seat|home|position|perch|base|outpost|station) (?:on|at) ([a-h][1-8])(?: ,)? ((?:the|this|that|his|her|white 's|black 's) )({_MAN})(?! (?:on|at) )", r"\2\3 on \1"),
        (rf"(?:gives?|gave|offers?|offered|lends?|provides?|provided|grants?|extends?|supplies) {_OFFERS} (?:to|for)", "protects"),
        (rf"(?:giving|offering|lending|providing|granting|extending) {_OFFERS} (?:to|for)", "protecting"),
        (r"(?:comes|came|has come|hurries|rushes|springs|sprang|runs) to the (?:aid|rescue|defense|help|assistance|support) of", "protects"),
        (rf"(?:acts|serves|works|functions|operates|doubles|stands) as (?:an?|the) {_GUARDIAN} (?:of|for|to)", "protects"),
        (rf"(?:is|remains) (?:an?|the) {_GUARDIAN} (?:of|for|to)", "protects"),
        (rf"is (?:an?|the|under the) (?:target of|prey of|object of (?:the )?attack (?:of|by))(?= {_DET} )", "is attacked by"),
        (rf"(?:is|are|stands|stand|sits|lies) (?:right |exactly |directly )?(?:in|within) the (?:sights?|crosshairs|line of fire|firing line|range|reach|view) of(?= {_DET} )", "is attacked by"),
        (rf"(?:captures?|options?|possibilities)(?: (?:that|which|you|we|i|could|can|may|might|one|1|here|now|on|the|board|list|write|down|find|make|exist|available|are|is|be|for|white|black|in|this|position|to|choose|from|legal))* (?:(?:,|is|are|there|also|1|a|an|the|that|in|which|where|by|with|we|find|have|:|capture|move|when) )+({_PLACED}) (?:takes|captures|capturing|taking|grabs|eats|to take|to capture|takes on) ({_NOUN})", r"\1 can take \2"),
    )
)  # fmt: skip
"""Tried before ``framing.FRAMES``, on the words of a sentence."""
