"""One thing said in many ways: general English turns put into the plainest one, before the grammar reads.

Nothing here is about one kind of statement: lead-ins are left out ("don't
forget that"), clefts are undone ("it is White who moves next"), possession has
one verb ("is left with", "has got"), a thing of a side becomes the side's ("the
f pawn of White"), denied existence has one form ("there isn't a single").
"""

# ruff: noqa: E501  (a turn stands on one line)

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.checks.sentence import Token, sentence_of

Table = tuple[tuple[re.Pattern[str], str], ...]

_TERMS = (
    (r"check mate", "checkmate"), (r"check mates", "checkmates"), (r"stale mate", "stalemate"),
    (r"en prise", "en-prise"), (r"on prize", "en-prise"), (r"on pre", "en-prise"), (r"x ray", "x-ray"),
    (r"x (rays|raying|rayed)", r"x-\1"), (r"half open", "half-open"), (r"semi open", "half-open"),
    (r"(light|dark|white|black) square(?:d|s)? bishop", r"\1-squared bishop"),
    (r"(light|dark|white|black) square(?:d|s)? bishops", r"\1-squared bishops"),
    (r"(light|dark) bishop", r"\1-squared bishop"), (r"white squared", "light-squared"),
    (r"white-squared", "light-squared"), (r"black-squared", "dark-squared"),
    (r"(light|dark) squared", r"\1-squared"), (r"(light|dark|white|black) square one", r"\1-squared one"),
    (r"king side", "kingside"), (r"queen side", "queenside"), (r"king 's side", "kingside"),
    (r"queen 's side", "queenside"), (r"the (white|black) (?:side|player)", r"\1"),
    (r"(?:made|make it) in(?= \d+ )", "mate in"), (r"opposite color(?:ed)? bishops", "opposite-colored bishops"),
    (r"opposite colors? bishops", "opposite-colored bishops"), (r"bishops of (?:the )?opposite colors?",
     "opposite-colored bishops"), (r"opposite bishops", "opposite-colored bishops"),
    (r"bishops of (?:a )?different colors?", "opposite-colored bishops"),
    (r"(?:a|1) (?:single|solitary|sole)", "1"),
    (r"opposite-colored bishop(?! s)", "opposite-colored bishops"), (r"opposite color(?:ed)? bishop", "opposite-colored bishops"),
    (r"uncastled", "un-castled"), (r"un castled", "un-castled"),
    (r"spins?(?= (?:the|down|to) )", "pins"),
    (r"the opponent", "opponent"), (r"once (?:again|more)", "again"), (r"after all", "indeed"), (r"at this point", "now"), (r"at once", "immediately"),
    (r"(?:his|her|my|our|your|their) opponent(?! 's)", "opponent"),
    (r"([b-h]|(?:the|this|that|half-open|open) a) (?:line|column)", r"\1 file"), (r"([a-h]) and ([a-h]) (?:lines|columns)", r"\1 and \2 files"),
    (r"if ever (?:there was|i saw|you saw|we saw) 1", ""), (r"(?:a|1) pair of doubled", "doubled"),
    (r"the first player", "white"), (r"the second player", "black"),
    (r"long castle", "castles queenside"), (r"short castle", "castles kingside"),
)  # fmt: skip

_MAN = "(?:king|queen|rook|bishop|knight|pawn)s?"
_SIDE = "(?:white|black|he|she|they|we|i|you|opponent)"
_BE = "(?:is|are|was|were)"
_LY = "(?:(?:[a-z]+ly|now|still|also|just|all|already|really|even|here|there) )*"
_NOUN = rf"(?:the|this|that|these|those|his|her|their|my|our|your|white 's|black 's|white|black) (?:(?!to )[a-z-]+ ){{0,2}}{_MAN}(?: (?:over )?(?:on|at) [a-h][1-8])?"

_TURNS = (
    # -- looking is no condition: "if you look hard, you will see it is mate"
    (r"(?:and )?(?:if|when|whenever|once) (?:you|we|i|anyone|anybody|1|somebody) (?:really |just |only |care to |were to |wanted to |want to |bother to )*(?:look(?:s|ed)?|search|see|check(?:s)?|count|calculate|think|ask|wanted|want|wish|like|know|listen|pay attention|go through|compare)(?: [a-z]+){0,6}? (?:,|(?:then )?(?:you|we|i) (?:will|can|could|would)?(?: easily| soon| also)? ?(?:see|find|notice|spot|discover|realize)(?: that| how)?)(?= )", ","),
    # -- "White's the one", "Black's got": a verb, not whose
    (r"(white|black) 's(?= (?:the|a|an|in|to|up|down|not|still|now|already|about|on|under|going|threatening|forced|left|just (?!as)[a-z]+ed) )(?! (?:still|now|not) [a-z-]+ (?:king|queen|rook|bishop|knight|pawn))(?! a pawns?(?! (?:up|down|ahead|behind|short|to) ))", r"\1 is"),
    (r"(white|black) 's(?= (?:got|been|had) )", r"\1 has"),
    (r"^(?:(?:and|so|but|well|now) ,? ?)?(?:unfortunately|sadly|luckily|fortunately|finally|obviously|clearly|certainly|surely|interestingly|amazingly|surprisingly|naturally|incidentally|curiously|crucially|strangely|happily|regrettably|evidently|undoubtedly)(?: enough)? ,?(?= ?(?:white|black|the|it|this|that|there|his|her|he|she) )", ""),
    (r"(?:an? )?(?:immediate|instant|direct|outright) ((?:check)?mate)", r"\1"),
    (r"(?:if|unless) (?:i am|you are) not (?:much |very much )?(?:mistaken|wrong) ?,?", ""),
    # -- lead-ins: they ask for attention and say nothing of the board
    (r"^(?:(?:boom|bang|oh|ah|oops|wow|hey|ouch|whoa|yes|yeah|okay|ok|well|right|voila|aha|ha|uh|um|er|hop|indeed|anyway|listen|careful|alas|luckily|sadly) ,? ?)+(?=[a-z0-9])", ","),
    (r"(?:let me|i can|i could|i must|i have to|i will|i would like to|allow me to) (?:just )?(?:tell|show|assure|remind) you(?: that)?(?= (?:the|that|this|his|her|white|black|it) )", ""),
    (r"without (?:a |any )?(?:doubt|question)", ""),
    (r",? ?(?:if|when|whenever) (?:it|he|she|they|you|we|white|black) (?:likes?|wants?|wish(?:es)?|pleases?|feels? like it|cares?|needs?|must|prefers?|so wishes)(?: (?:to|it|that))*(?= (?:$|,))", ""),
    (r"(?:please )?(?:do not|never) (?:forget|overlook|miss|ignore) (?:the fact )?(?:that|how)?", ""),
    (r"(?:please )?(?:remember|note|notice|observe|mind|realize|understand|see)(?: here)? (?:that|how)", ""),
    (r"(?:please )?(?:remember|note|notice|mind you|look|you know|you see|guess what|believe it or not) ,", ""),
    (r"^(?:(?:well|oh|and|but|so|yes|yeah) ,? ?)?i mean(?: ,)?(?: that)?", ""),
    # -- fillers of lively talk; "I mean" before what sets something right stays (see "guards")
    (r"((?:he|she|it|that|this|there|they|we|you|i) (?:is|are|was|has|have|had))(?: ,)? i mean(?: ,)? \1", r"\1"),
    (r"(?<!no )(?<!no , )(?<!what )(?:, )?i mean(?: ,)?(?= (?:he|she|it|they|we|you|this|that) (?:[a-z]+ly |just |only |still |also |already |now )*(?:is|are|was|has|have|had|got)(?! (?:not|never|no) ) )", ","),
    (r"(?:uh|uhm|um|er|erm)(?: (?:uh|uhm|um|er|erm|like))*", ""),
    (r"(is|are|was|were|has|have|had|got)((?: (?:[a-z]+ly|just|now))*)(?: (?:well you know|you know|let us face it|what do you call it|how shall i say))+(?: like)?(?! (?:what|who|how|that|where|why|it|this|when|if) )", r"\1\2"),
    (r"(has|have|had|got)((?: (?:[a-z]+ly|just|now))*) like(?= )", r"\1\2"),
    (r"(is|are|was|were)((?: (?:[a-z]+ly|just|now))*) like(?= (?:[a-z]+ly )*(?:(?!nothing |something |anything |everything |king |castling )[a-z]+(?:ed|ing)|loose|under attack|\d+) )", r"\1\2"),
    (r"(is|are|was|were|has|have|had)(?: ,)? i mean(?: ,)?(?! (?:,|i|he|she|it|they|we|you|the|his|her|my|white|black|this|that|there|not|no|is|was|has) )", r"\1"),
    (r"(?:, )?(?:(?:but|and|well|i mean|,) )*(?:honestly |really |,)*(?:who(?: really)? cares|who is counting|(?:nobody|no 1) (?:really )?cares|what do i care)(?: (?:about (?:that|it|pawns|a pawn)|right|really|anyway))*", ","),
    (r"(?:, )?(?:(?:but|and|well|i mean|,) )*who would(?: not)? (?:have |ever )*(?:like|love|want|think|thought|believe|believed|guess|guessed|care|mind|expect|expected|complain|object)(?: (?:that|it|so|this))*(?= (?:$|,))", ""),
    (r"(?:just )?(?:have a )?look (?:at )?(?:how|what)", ""),
    (r"(?:you|we|i) will (?:all |surely |certainly )?(?:notice|see|agree|observe|find)(?: that)?(?= (?:the|that|this|his|her|white|black|it) )", ""),
    (r"(?:and )?if (?:you|we) (?:just )?(?:calculate|work it out|look|count|check|compare|think|pay|recall|remember|notice|like|will|please|may)"
     r"(?: (?:closely|carefully|again|back|here|around|up|at|about|it|this|that|the|board|position|attention|so|them)){0,4} ,", ","),
    (r"if (?:you|we) look (?:more )?(?:closely|carefully)", ","),
    (r"as (?:you|we|everybody|everyone|anybody|anyone) (?:can |will |may |might |could )?(?:all |clearly |easily )?"
     r"(?:see|saw|know|remember|notice|noticed|guessed|recall)(?: here| now| there)?", ","),
    (rf"(?:the )?(?:whole |sad |simple )?(?:fact|truth|point|thing|problem|trouble|good news|bad news|reason|beauty|nice thing) {_BE} (?:that|,)", ""),
    (r"(?:let us|we should|you should|we must|you must|i should|i must) (?:all )?(?:note|notice|remember|observe|add|admit|mention)(?: that| how)?", ""),
    (r"(?:it|that) (?:turns|turned) out (?:that|to be)", "it is"),
    (r"(?:there is |there was |he has |she has |with )?no (?:choice|question|doubt|wonder|surprise|problem|escaping it|arguing|other choice|need to panic)(?: here| now| left| about it| about that| for (?:white|black|him|her))*(?= ,)", ""),
    (r"(?:on|at) (?:the |his |her |their )?very next (?:move|turn|go)", "on the next move"),
    (r"(?:it|this|that) is (?:not|more than) (?:just |only |merely )?an? (?:ordinary|normal|simple|usual|plain|single|regular) (check|pin|pawn|fork) ,? ?(?:(?:but|it is|rather|no) )*(?:an? )?(double|discovered|passed|absolute)(?: 1| one)?(?= (?:$|,))", r"it is a \2 \1"),
    (r"(?:does|do|did|doing) (?:it|so|that|this)(?= (?:with|by) )", ""),
    (r"whose (?:move|turn|go)(?: it is| is it)? ,(?: [^,]{0,25} ,)*? (?:oh )?(?:here )?(?:it is )?(white|black)(?: 's)?(?= $)", r"it is \1 's turn"),
    (r"who is (?:moving|to move|on move|up) ,(?: [^,]{0,25} ,)*? (?:oh )?(?:it is )?(white|black)(?= $)", r"it is \1 's turn"),
    (r"(?:i|you) (?:see|spot)(?= (?:a|an|\d) )", "there is"),
    (r"(?:brings|takes|gets|leads|carries) us (?:right |up |straight )*to(?= move )", "is"),
    (r"move (?:number )?(\d+) (?:has|is) (?:come|arrived|been reached|here|reached|upon us)", r"it is move \1"),
    (r"(?:stands?|is|are) (?:there )?ready to(?= (?:defend|protect|guard|cover|attack) )", ""),
    (r"(?:^|,) what (an?)(?= (?:[a-z]+ ){0,2}(?:battery|skewer|fork|pin|check|mate|checkmate|stalemate|outpost|hole|move)(?: |$))", r", \1"),
    (r"(?:in other words|to be (?:fair|honest|precise|exact|clear)|by the way|mind you|ladies and gentlemen|my friends|believe it or not)", ","),
    (r"not (?:just|only|merely|simply) (?:any|a|an)", "a"),
    (r"(?:what|which) (?:we|they|you|people|some people|some|chess players|players|teachers|the books|books|everybody)"
     r"(?: would| usually| often| like to| normally)* calls?(?= (?:an?|the) )", ""),
    (r"(?:a kind of|a sort of|so-called|so called|in fact|in effect|a case of|an example of|an instance of)", ""),
    (r"(?:is|are) to be (?:found|seen|discovered)", "is"),
    (r"(?:is|are) down to(?= (?:\d|a|an|just|only|exactly) )", "has only"),
    (r"(checkmate|stalemate|check|mate|double check) (?:it|that) (?:is|was)(?= (?:$|,))", r"it is \1"),
    # -- threats: what would be mate with another move, what a side is about to do
    (r"(?:if|when|should|once) (white|black) (?:gets?|is given|has|had|is allowed|is granted) (?:just |only )?(?:1 more|another|a second|a free|1 extra|an extra|the next) (?:move|tempo|turn)(?: here| now| in a row)? ,? ?(?:then )?(?:it is|he|she|they|that is|comes|we get|white|black)? ?(?:will |would |can |gives? |has )*(?:check)?mates?(?: is)?", r"\1 threatens mate in 1"),
    (r"(white|black) (?:now )?(?:wants|would like|intends|is hoping|hopes|is looking|is ready|is about|is planning|plans|is trying|aims) to (?:give |deliver |play )?(?:check)?mate(?: (?:next move|next|in 1|at once|immediately))?(?! (?:in|on|with|by|some|sooner|later|eventually|soon) )", r"\1 threatens mate in 1"),
    # -- clefts
    (rf"it {_BE} ({_SIDE}|{_NOUN}) (?:who|that|which)", r"\1"),
    (rf"(?<!there ){_BE} {_LY}(?:the|an?) (?:only |very )?(?:1|one|side|player|piece|man|guy|unit|pawn|rook|bishop|knight|queen|king|thing) (?:who|that|which)(?= [a-z])", ""),
    (rf"{_BE} {_LY}the (?:1|one|side|player) (?:with|having|holding)", "has"),
    (rf"what (?:we|you) (?:have|see|get|find|are looking at|are seeing)(?: here| now| there)* {_BE}", "it is"),
    (r"(?:here|now) (?:you|we) (?:can )?(?:see|find|get)", "there is"),
    (r"(?:you|we|i) can (?:all |clearly |easily |already |also )*(?:see|spot|notice|find|make out)(?= (?:a|an|the|1|2|3|4|no) )", "there is"),
    (rf"^(?:straight |right |way |all the way |just )?from ([a-h][1-8]) ((?:the|his|her|my|our|your|their|that|this|white 's|black 's) )({_MAN})(?! (?:on|at|to|takes|captures|from|goes|comes|moves) )", r"\2\3 on \1"),
    (rf"({_NOUN}) is (?:what|the (?:piece|1|man|thing) that)(?= (?:keeps|holds|makes|guards|protects|defends|attacks|pins|hits|gives) )", r"\1"),
    # -- a piece that has come to a square, and what it does there
    (rf"((?:the|this|that|his|her|my|our|white 's|black 's|white|black) (?:[a-z-]+ )?{_MAN}) (?:has |have |had )?(?:just |now |finally )*(?:came|come|comes|gone|goes|went|moved|jumped|jumps|landed|lands|arrived|dropped|retreated|swung|got|put|placed|stands|sits|settled)(?: back| over| up| down)* (?:to|on|at|into|in) ([a-h][1-8])(?: ,)? (?:and|where|from where|from there)(?: it| he| she)?(?: now| there| also)?(?= (?:attacks|hits|pins|forks|skewers|defends|protects|guards|covers|threatens|eyes|targets|is) )", r"\1 on \2"),
    # -- possession
    (r"(has|have|had) (?:got|gotten|kept|retained|obtained|acquired|gained|received|been left with|managed to keep|picked up|at (?:his|her|its) disposal)(?= (?:the|a|an|his|her|both|all|only|just|\d|no|[a-z-]+ed|double|half-open|hanging|opposite-colored) )", r"\1"),
    (rf"(?:(?:ended|ends|end|winds|wound|finished|finishes) up (?:with|having)|{_BE} {_LY}(?:stuck|left|saddled|burdened|blessed|armed|sitting|playing|living|equipped) with|finds (?:himself|herself|itself) with|found (?:himself|herself|itself) with|has to live with|must live with|has to put up with)", "has"),
    (rf"((?:the|an?|his|her) (?!white pieces |black pieces )(?:[a-z-]+ ){{0,3}}[a-z]+) (?:{_BE}|lies|lie|rests|stays|remains) {_LY}in (white|black) 's hands", r"\2 has \1"),
    (rf"((?:the|an?|his|her) (?!white pieces |black pieces )(?:[a-z-]+ ){{0,3}}[a-z]+) (?:{_BE}|lies|lie|rests|stays|remains) {_LY}in the hands of (white|black)", r"\2 has \1"),
    (r"((?:the|an?) (?:[a-z-]+ ){0,3}[a-z]+) belongs to (white|black)", r"\2 has \1"),
    (r"(has|have|had) (?:(?:[a-z]+ly|just|now|already|also|still|again|once more) )+(been|become|got|gone)", r"\1 \2"),
    (r"(has|have|had|got|gets) (?:(?:his|her|the|its) )king (?:(?:safely|already|quickly) )?castled", "has castled"),
    # -- counting aloud
    (r"^(?:(?:and|so|now|well|okay) ,? ?)?(?:i|we|you) (?:can |could )?(?:count|see|find|notice|spot|get|have)(?= (?:\d|no|only|just|exactly) )", "there is"),
    (rf"with ({_NOUN}) ,? ?{_SIDE} ((?:hits?|attacks?|forks?|pins?|defends?|protects?|guards?|covers?|targets?|eyes?|skewers?))", r"\1 \2"),
    # -- whose
    (r"the ((?:clock|turn|move|task|structure|camp|position)) of (white|black)", r"\2 's \1"),
    (rf"(?:the|that|this|a|an|1) ((?:[a-z-]+ ){{0,3}}{_MAN}(?: (?:on|at) [a-h][1-8])?) of (white|black)(?: 's)?(?! (?:king|queen|rook|bishop|knight|pawn))", r"\2 's \1"),
    (rf"(?:the|that|a|an) ({_MAN}) (?:for|of) (white|black)(?= (?:on|at) [a-h][1-8])", r"\2 's \1"),
    (rf"(\d+|no) of (white|black) 's ({_MAN}|pieces|men)", r"\1 \2 \3"),
    (rf"no ({_MAN}) of (white|black)(?: 's)?", r"no \2 \1"),
    (r"(?:for|with) (white|black) (?:there (?:is|are)|we have|we see)(?= (?:a|an|the|\d+|no|only|just|both|his|her|doubled|hanging|isolated) )", r"\1 has"),
    (r"((?:an?|the) (?:[a-z-]+ ){1,3}?[a-z-]+) is what (white|black) (?:has|gets|keeps|owns)(?: got)?(?: here| now)*", r"\2 has \1"),
    (r"from (white|black) 's (?:point of view|side|perspective|angle|viewpoint)", r"for \1"),
    (r"in (white|black) 's (?:position|camp|structure|army|pawn structure) ,? ?(?:there (?:is|are)|we (?:see|have|find))", r"\1 has"),
    # -- being there, and not being there
    (r"on ([a-h][1-8]) (?:we|i|you) (?:can )?(?:see|have|find|get|got|notice)", r"on \1 there is"),
    (r"there (?:is|are|was|were) not (?:1|any|even 1|even any|even a)", "there is no"),
    (r"(?:has|have|had) not (?:1|any|even 1|even a)", "has no"),
    (r"not (?:1|even 1|any)", "no"),
    (r"^(?:and |so |, )*no (king|queen|rook|bishop|knight|pawn)s? (?:is|are) (?:left )?on", r"there is no \1 on"),
    (r"not (?:being )?(?:protected|defended|guarded|covered|supported) by (?:anybody|anyone|anything|any piece|a single piece|a soul)", "undefended"),
    (r"(?:can |may )?(?:relies|rely|depends|depend|leans|lean|counts|count) on (?:the )?(?:protection|support|help|backing|defense) (?:of|from)", "is defended by"),
    (r"that is how it (?:stands|is|looks|goes) (?:with|for|on)", "on"),
    (r"(?:has|have) (?:nobody|nothing|no 1|no piece|no pieces|no friend|no friends|no help|no man) (?:to|that can|that could|which can|who can|left to|around to) (?:defend|protect|guard|cover|support|help|save) (?:it|him|her)", "is undefended"),
    (rf"{_BE} {_LY}not {_LY}(?:protected|defended|guarded|covered|supported)(?: (?:by|with) (?:anything|anyone|anybody|any piece|a piece|any pieces))?(?: at all)?(?! (?:by|with|enough|as|twice|well|any|against))", "is undefended"),
    (rf"{_BE} {_LY}(?:being )?(?:protected|defended|guarded|covered) by (?:absolutely |literally |exactly |precisely )?(?:nothing|nobody|no 1|no piece)(?: at all)?", "is undefended"),
    (rf"(?:thanks to|because of|due to|courtesy of|by virtue of) ({_NOUN}) ,? ?({_NOUN}) ({_BE}) {_LY}(defended|protected|guarded|covered|held|attacked|pinned|in a pin|forked|safe|under attack)(?! by)", r"\2 \3 \4 by \1"),
    (r"^(?:(?:and|but|so) ,? ?)?for (white|black) ,? ?((?:the )?[a-h] file (?:is|was|remains) (?:[a-z]+ )*half-open)", r"\2 for \1"),
    (r"(?:(?:and|but) )?(?:so|so that|which means) (?:they|these 2|the 2|both|together they)(?= (?:are|form|make|build|stand) )", "they"),
    (r"(?:as )?we (?:can |could |would )?say(?: that)?(?= (?:the|that|this|his|her|it|white|black) )", ""),
    (r"does (?:a|an) (?:[a-z]+ )?job (?:of|in|at|by)(?= [a-z]+ing )", "is"),
    (r"(?:has|have|needs) to (?:look after|guard|protect|defend|cover|watch over)", "guards"),
    (r"(?:has |have )?(?:managed|contrived) to develop", "has developed"), (r"(?:has |have )?(?:managed|contrived) to castle", "has castled"),
    (r"(?:went (?:ahead )?and|decided to go and)(?= (?:castled|took|won|lost|resigned) )", ""),
    (r"^(?:and |so )?(?:that|which|this) leaves(?: us with)?", "there is"),
    # -- ability
    (r"can (?:boast|be proud of|count on|point to|call on|rejoice in)(?= (?:the|a|an|both|\d) )", "has"),
    (rf"(?:there is )?nothing (?:stops|prevents|keeps|is stopping|can stop|to stop|to prevent|that stops|that prevents|stopping|preventing) ({_NOUN}) from (?:taking|capturing|grabbing)", r"\1 can take"),
    (rf"it {_BE} {_LY}(?:possible|legal|allowed|ok|fine) for ({_NOUN}|{_SIDE}) to", r"\1 can"),
    (rf"{_BE} {_LY}(?:able|ready|free|allowed|permitted|in a position|in the position) to(?= (?:take|capture|grab|snap|win|play) )", "can"),
    (r"(?:has|have) (?:the )?(?:option|possibility|chance|opportunity|right) to(?= (?:take|capture|grab) )", "can"),
    (r"can be seen|can be found", "is"),
    (rf"({_NOUN}|white|black) gets to(?= (?:take|capture|grab|play) )", r"\1 can"),
    (r"(?:somebody|someone)(?= (?:left|forgot|has left|has forgotten) )", ""),
    (r"(?:nobody|no 1) (?:is|has|'s) (?:got )?an? (pawn|piece|defender)", r"there is no \1"),
    (r"(has|have) not got (?:a single|any|1|an?)", r"\1 no"),
    (r"(?:has|have) no (?:friend|helper|piece|colleague|ally|man|soul|partner|unit) to (?:defend|protect|guard|cover|support|help|save) (?:it|him|her)", "is undefended"),
    (r"(?:we|you|people|players|books?) (?:would |will |can |all )?calls? (?:it|this|that)(?= an? )", "it is"),
    (r"(?:the |our )?(?:winner|victor)(?: ,(?: [a-z]+){1,4} ,)? (?:is|was) (?:of course )?(white|black)", r"\1 won"),
    (r"(?:the )?(?:victory|win|full point) (?:is|was|went to|goes to|belongs to|belonged to) (white|black)(?: 's)?(?= (?:$|,))", r"\1 won"),
    (r"(?:came|comes|followed|follows) (white|black) 's (?:next |actual |real )?(?:move|reply|answer) ,", r"\1 played"),
    (r"acts on", "hits"),
    (r"(?:the 2 |both |our 2 )?(?:armies|teams|forces) (?:are|stand) (?:still |now |exactly |all |completely )*(?:level|equal|even|balanced)", "material is equal"),
    (r"(?:we are|i am|everybody is|everyone is|all) (?:still |now |all )?waiting for (white|black)(?: 's (?:move|reply|answer))?(?= (?:$|,|here|now|to))", r"it is \1 's turn"),
    (r"^(?:(?!(?:white|black|not) )[a-z',]+ )*?(white|black) , who(?= (?:lost|won|resigned|has|is|was|plays|played) )", r"\1"),
    (r"the number of ([a-z]+ [a-z]+|[a-z]+) is (?:exactly |only )?(\d+)", r"there are \2 \1"),
    (r"(lost|forfeited|given up|gave up) (?:the |his |her |all )?(?:possibility|option|opportunity|permission|hope) (?:to castle|of castling)", r"\1 the right to castle"),
    # -- what a side has put somewhere is there
    (r"(white|black) (?:has|have) (?:just |already |now )?(?:put|placed|parked|posted|stationed|planted|installed) (an?|his|her|the)(?= (?:[a-z]+ )?(?:king|queen|rook|bishop|knight|pawn) (?:on|at) )", r"\1 has \2"),
    (r"0 (defenders?|protection|guards?|protectors?|support|cover|attackers?|friends)", r"no \1"),
    (r"neither an? [a-z]+ nor an? [a-z]+ (defends|protects|guards|covers|supports)", r"nothing \1"),
    (r"each (?:side|player|of them) has", "both have"), (r"in an? (?:[a-z]+ )?pin (?:against|to)", "pinned to"),
    (r"not an? (?:single )?(pawn|piece|soul)", r"no \1"),
    (r"it is not (?:white|black) 's (turn|move|go) ,? ?(?:but )?(?:it is |rather )?(white|black)(?: 's)?(?= $)", r"it is \2 's \1"),
    (r"(?:the|this|that) (?!(?:other|next|last|same|only|first|second|whole|main|strange|nice|funny|important|good|bad|best|worst|key) )(?:[a-z]+ )?(?:thing|fellow|guy|chap|soul|creature|beast)(?= (?:is|was|has been) (?:[a-z]+ly |now |also |still )?(?:pinned|hanging|undefended|isolated|attacked|passed|backward|unprotected|defended|in a pin|en-prise) )", "it"),
    (r"(is|are) (?:an?|the) (?:[a-z]+ ){0,2}(?:example|case|instance|specimen) of", r"\1"),
    (r"what (?:[a-z]+ ){1,4}?calls?(?= (?:an?|the) )", ""),
)  # fmt: skip


def compiled(rows: Sequence[tuple[str, str]]) -> Table:
    """Patterns on the text of a sentence, which has a space before and after each word; "^" is its beginning."""
    found = []
    for pattern, new in rows:
        start = "^" if pattern.startswith("^") else ""
        found.append((re.compile(f"{start} (?:{pattern.removeprefix('^')})(?= )"), f" {new} "))
    return tuple(found)


TERMS = compiled(_TERMS)
"""Terms of the trade, one word for each: "check mate" is "checkmate"."""
TURNS = compiled(_TURNS)


def reword(tokens: Sequence[Token], table: Table) -> list[Token]:
    """Tokens with every phrase of the table replaced, in the table's order; new words stand where the old ones did."""
    result = list(tokens)
    sentence = sentence_of(result, "")
    for pattern, new in table:
        if not pattern.search(sentence.text):
            continue
        out: list[Token] = []
        done = 0
        for match in pattern.finditer(sentence.text):
            first = sentence.token_at(match.start() + 1)
            last = sentence.token_at(match.end() - 1)
            if first < done:
                continue
            out.extend(result[done:first])
            names = {t.text: t.name for t in result[first : last + 1] if t.name}
            for word in match.expand(new).split():
                out.append(Token(word, result[first].first, result[last].last, names.get(word)))
            done = last + 1
        result = out + result[done:]
        sentence = sentence_of(result, "")
    return [
        t
        for t, before in zip(result, [None, *result], strict=False)
        if t.text != "," or (before and before.text != ",")
    ]
