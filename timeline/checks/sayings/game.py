"""How teachers speak of: the game, its moves, and judgements for an engine."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.openings import opening_names
from timeline.checks.sayings.book import Book

RULES = Book()

RULES.say(
    "move_number_played", "move",
    "(?:on|at|in|with) (?:the )?move (?:number )?<N> <S> <~> (?:played|plays|went|goes|chose|chooses|continued|continues|tried|tries|pushed|pushes|answered|answers|moved|moves) "
    "(?:with )?<~> <V>", "<S> 's <N>th move (?:was|is) <V>", "move <N> (?:was|is) <V>", "<S> <~> (?:played|plays|went|chose|moved|continued) (?:with )?<V> (?:on|at|in) (?:the )?move (?:number )?<N>",
)  # fmt: skip
RULES.say(
    "move_number", "move",
    "(?:we are|we 're|we 've reached|we have reached|we reach|we reached|we have arrived at|we arrive at|this is|here is|we get to|we come to|this was|it is|it was) "
    "<~> (?:on |at |already at |already on |now at |now on |only )?move (?:number )?<N>", "(?:this is|here is|we have|we see|we are in|it is) (?:the |a )?(?:position|situation|picture|state|board) (?:at|on|of|around)? ?move (?:number )?<N>",
    "(?:this|that|it|which) <~> (?:happened|happens|occurred|took place|came|arose|comes) (?:on|at) move (?:number )?<N>", "we (?:have |had )?<~> (?:got|come|gotten|made it|moved on|moved|progressed|are up) to move (?:number )?<N>", "(?:it is|this is|it was) (?:already |now )?(?:white 's|black 's) <N>th move",
    "(?:it is|this is|we are at|we are on|this was) (?:already |now |only )?(?:the )?<N>th move(?! (?:of the|in a))", "(?:on|at) move (?:number )?<N> here",
    "the game is (?:now )?(?:on|at) move <N>", "<S> <IS> <~> (?:thinking|pondering|thinks|brooding) (?:about|over|on) (?:his |her )?move (?:number )?<N>", "(?:that|this|it) (?:is|was) <~> move (?:number )?<N>", "<S> <IS> <~> (?:about|going|ready) to (?:make|play) (?:his|her|the|its) <N>th move", "here (?:we are )?(?:on|at) move <N>", "(?<=^ )(?:okay |so |now |and |right |well |all right |already |, )*move (?:number )?<N>(?: already| now| here| it is| then)*(?= (?:$|,))",
)  # fmt: skip
_OBJECT = r"(?! (?:the|his|her|a|an|on|material|hope|my|our|your|their|its|one|1|2|some|that|this|both|everything|all|two|another|[a-h][1-8]|[a-h]|in [0-9]|king|queen|rook|bishop|knight|pawn|with|by|time|to|it|for|back))"
_GAME = "(?:and )?(?:the|this|our) (?:whole |entire )?(?:game|thing|encounter|battle|fight|struggle|contest|match|duel|affair|story)"
RULES.say(
    "result", "give up|tipped|called it|result|outcome|loser|losing|winning|point|victory|prevail|triumph|victorious|capitulat|surrender|conce|came out|went down|won|win|wins|draw|drawn|lost|resign|gave up|gives up|drew|agreed|shared|split|halved|peace|lose|loses|victor|beat|defeat|stopped the clock|towel",
    f"(?:it|this|{_GAME}) <IS> <~> (?P<out>won|lost) by <S>", f"(?:{_GAME}) (?:was |is |ended |ends |finished |finishes |ended up |is agreed |was agreed |eventually ended |eventually finished )<~> "
    "(?:in |with |as |up )?(?:a )?(?P<out>draw|drawn|drawn game)(?! (?:by|if))", f"(?:it|{_GAME}) <~> (?:ended|finished|ends|finishes|was settled|concluded|concludes) <~> (?:in|as|with|up in|up as) (?:a )?(?:[a-z]+ )?(?P<out>draw)", "(?:the )?(?:full |whole )?point <~> (?:went|goes|belongs|belonged) to <S>", "<S> <~> (?:took|takes|scored|scores|collected|bagged|earned|got) <~> (?:the )?(?:full |whole )?(?:point|victory)", "<S> <IS> <~> on the (?P<out>losing|winning) (?:side|end)", "<S> <~> (?P<out>lost|won|loses|wins)(?= (?:this|that) (?:1|one))", "<S> <~> (?P<out>prevailed|prevails|triumphed|triumphs|came out on top|emerged victorious|went down|had to concede|capitulated|surrendered)(?! in)", "(?:the |they )?(?P<out>split point|split the point|shared the point)", "(?<=^ )(?:and |so |in the end |here |then |, )*(?:it|this) (?:was|ended|became) <~> (?:a |just a )?(?P<out>draw|drawn)(?= (?:,|$))",
    f"<S> (?:went on to|goes on to|would go on to|eventually|in the end|finally|later|ultimately) <~> (?P<out>win|won|wins|lost|lose|loses)(?: (?:the|this) game| this)?{_OBJECT}",
    f"(?:in the end|finally|at the end|eventually) <S> <~> (?P<out>won|wins|lost|loses|resigned|resigns|gave up){_OBJECT}",
    f"<S> <~> (?P<out>resigned|resigns|threw in the towel|had to resign|has to resign|has resigned|had to give up|has to give up|tipped (?:his|her) king|called it a day|stopped the clock|laid down (?:his|her) king){_OBJECT}",
    "<S> <~> (?P<out>resigned|resigns|gave up|lost|won) (?:the|this) game", "<S> <IS> <~> (?:the )?(?P<out>loser|winner|victor)(?= (?:$|,|here|of|in|today))", "<S> <~> (?P<out>resigned|resigns)(?= (?:here|now|at|on|in|immediately|without|after|$|,))", "<S> <~> (?P<out>gave up|gives up)(?= ,? ?(?:$|here|now|at once|immediately|in this position|without|after))",
    "<S> would <~> (?P<out>win|lose) (?:the|this) (?:game|one|1)", "<S> (?P<out>won|lost) (?:the|this) (?:game|one|1)", "<S> (?:ended|ends|wound|finished) up (?P<out>winning|losing)(?: the game| this game| this 1| it)?(?= (?:,|$|in))", "(?<=^ )(?:and |so |in the end |here |then )*<S> <~> (?P<out>won|lost|wins)(?= ,? ?(?:$|here|in \\d+ moves|the game|this game|in the end|eventually|easily|quickly|after|this 1|it))", "the players (?:agreed|agree) (?:to |on )?(?:a )?(?P<out>draw)", "(?P<out>draw) agreed", "a (?P<out>draw) (?:was|is|has been|had been) <~> (?:agreed|signed|reached|concluded|the result|the outcome)", "(?:the )?(?P<out>loser|winner|victor)(?: of (?:the|this) game)? <IS> <~> <S>(?= (?:$|,|here|in|today))", "(?:the )?(?:result|outcome) <IS> <~> a (?P<out>draw)", "(?:the )?(?:result|outcome) <IS> <~> a (?P<out>win|loss|victory|defeat) for <S>",
    "(?:they|we|the players|both sides|both players|both) <~> (?:agreed|settled|shook hands)(?: (?:to|on|for|upon))? (?:a )?(?P<out>draw)", "(?:a )?(?P<out>draw) (?:was |is )?agreed", "(?P<out>points?) (?:was|were|is|are) (?:shared|split|halved|divided)",
    "peace (?:was|is) (?:made|signed|agreed) ,? ?(?:and )?(?:it is |a )*(?P<out>draw)", "(?:victory|a win) (?:for|to) <S>(?= (?:$|,))",
    "a (?:win|victory) for <S> in the end", "(?<=^ )(?:so |and )?a (?P<out>defeat|loss) for <S>(?= ,? ?(?:$|here|in|then))", "<S> (?P<out>beat|beats|defeated|defeats) (?:white|black)", "<S> (?P<out>(?:was|got|has been|had been) (?:well |soundly |badly |quickly )?(?:beaten|defeated))(?= ,? ?(?:$|by|in|here|today|at|after|and))", "<S> <~> (?P<out>drew)(?= ,? ?(?:$|the game|this game))",
)  # fmt: skip
RULES.say(
    "players", "white|black|pieces|play|against",
    "(?:on|at) (?P<seat>white|black) of the board ,? ?(?:is |was |sits |sat |we have |there is )?(?P<who>[a-z'.]+)(?= (?:$|,|here|and))",
    "(?P<who>[a-z'.]+) 's (?P<seat>white|black)(?= (?:$|,|here|in|today|this time))",
    "(?P<seat>white|black) (?:is|was) <~> (?P<who>[a-z'.]+)(?= (?:$|,|here|and|in|today))",
    "(?P<who>[a-z'.]+) (?:is|was) the (?:1|one|player|man|woman|side) (?:with|having|playing|behind|holding) (?:the )?(?P<seat>white|black)(?: pieces)?",
    "(?P<who>[a-z'.]+) (?:is|was) <~> (?:defending|conducting|commanding|leading|handling|holding|steering|representing|in charge of|at the helm of|on) <~> (?:the )?(?P<seat>white|black)(?: side| pieces| army| forces)?",
    "(?P<who>[a-z'.]+) <~> (?:defended|conducted|commanded|led|handled|held|steered|represented|sat behind|sits behind|defends|handles|conducts|sat on) <~> (?:the )?(?P<seat>white|black)(?: side| pieces| army| forces)?(?= (?:$|,|here|in|and|today))",
    "(?P<who>[a-z'.]+) (?:is |was |had |has )?(?:sitting|seated|sat|took|taking|given|chose|manoeuvring|maneuvering|moving|piloting|guiding|directing|managing|managed|guided|drew|handling) (?:down )?(?:behind |with |for |to play )?(?:the )?(?P<seat>white|black) (?:pieces|side|men|army|forces)",
    "(?:on|at|for) the (?P<seat>white|black) side(?: of the board)? ,? ?(?:is |was |sits |sat |we have )?(?P<who>[a-z'.]+)", "(?:with|playing) (?P<seat>white|black) we have (?P<who>[a-z'.]+)",
    "(?:the )?(?P<seat>white|black) pieces (?:belong|belongs|belonged) to (?P<who>[a-z'.]+)",
    "(?P<who>[a-z'.]+) (?:has|had|is playing|plays|played|handles|handled|took|takes|is|was|with|leads|conducted|conducts|commands|commanded|is handling|sits behind|is behind|led|"
    "is with|was playing|gets|got) (?:with )?(?:the )?(?P<seat>white|black) pieces", "(?P<who>[a-z'.]+) (?:is|was|plays|played|is playing|was playing|takes|took|has|had|as) "
    "(?:as |with )?(?P<seat>white|black)(?= (?:here|in|and|against|today|for|,|this|\\.)| $)",
    "(?:with )?(?P<who>[a-z'.]+) as (?P<seat>white|black)", "(?P<seat>white|black)(?: side| pieces| army)? (?:is|was|are|were) (?:played by|taken by|in the hands of|the great|none other than|led by|handled by) (?P<who>[a-z'.]+)",
    "(?P<who>[a-z'.]+) (?:(?!(?:attack|hit|t[ao]k|took|captur|beat|defeat|outplay|press|against|threat|trap|push|sacrific|and|but|not|with)[a-z]* )[a-z']+ ){1,4}?(?:the )?(?P<seat>white|black) (?:pieces|army|forces|side)(?= (?:$|,|and|here|in|today|for|this|that))",
    "(?P<seat>white|black)(?: side| pieces| army| forces)? (?:is|was|are|were|we have got|we have|fell to|went to|goes to|belongs to|belonged to) (?:mister |old |young |the great )?(?P<who>[a-z'.]+)(?= (?:$|,|here|and|in|today))",
    "(?P<seat>white|black) pieces (?:are|were) (?:played|handled|led|conducted|commanded) by (?P<who>[a-z'.]+)",
    "playing (?:the )?(?P<seat>white|black)(?: pieces)? (?:is|was|we have|were) (?P<who>[a-z'.]+)", "(?P<who>[a-z'.]+) (?:playing|with) (?:as )?(?P<seat>white|black)",
    "(?<=^ )(?:and )?(?:with|handling|holding|leading|behind) (?:the )?(?P<seat>white|black)(?: pieces)? ,? ?(?:(?:is|was|it is|we have|sat|sits) )?(?P<who>[a-z'.]+)",
)  # fmt: skip
RULES.say(
    "opening", "defense|gambit|game|opening|attack|indian|system|" + "|".join(n for n in opening_names() if " " not in n),
    "(?:this is|that is|it is|we have|we are in|we get|we reach|we enter|which is|gives us|brings us to|we are looking at|entering|enters|this opening is|"
    "the opening is|transposes to|transposes into|transposing to|transposing into|transposed to|transposed into|is called|is known as|known as|we have reached|we reached|takes us into|takes us to|"
    "leads to|<S> (?:chooses|chose|plays|goes for|played|opts for|went for|has chosen)|we go into|we transpose into|we transpose to|we have got|got|became|becomes|called|here is|welcome to|is|was|call|we call|call this|call it|find ourselves in|found ourselves in|landed in|ended up in|turned into|turns into|born from|arose from|stems from|comes from|belongs to|out of|headed for|heading for|opening they chose is|opening chosen is|opening was|opening they played is|opening they chose was|"
    "a typical|a classical|a good old|have|see|the name of this opening is) <~> (?:now |the |a |an |into |called |good old |old |famous |so-called |what we call |what is called |well-known |classic |typical |main line |main line of the )*<OPENING>"
    "(?! (?:word|name|player|players|master|pawn|rook|man|way|school|style|bishop|knight|type|idea|structure|pawn structure|kind|lesson|champion|language|saying|trap|accent|term))",
    "(?:they|we|the players|both players|both sides) (?:are|were) <~> (?:playing|in) <~> (?:the |a |an )?<OPENING>(?! (?:style|word|player|players))", "(?:the game|this game|this|it|they|we|the players|white|black) (?:<IS> <~> )?(?:opened|opens|opening|began|begins|started|starts|makes|make) (?:(?:out|off|life|with|as|it) )*<~> (?:the |a |an )<OPENING>(?! (?:style|word|player|players))", "<OPENING> (?:is )?on the board", "(?<=^ )(?:and |so |well |, )*(?:a |an |the |our )?(?:good old |classic |typical )?<OPENING>(?= $)", "(?:opened|opens|open|started|starts|began|begins|kicked off|kicks off) with <~> (?:the |a |an )?<OPENING>(?! (?:style|word|player|players))", "<OPENING> (?:has been|was) (?:played|chosen)",
)  # fmt: skip
RULES.say(
    "in_the_game", "game|score|actual|really|played|what|text",
    "in the (?:actual |real )?game (?:itself )?<S> <~> (?:played|went|chose|continued|continues|plays|goes|chooses|tried|moved|answered|preferred|decided on|opted for) (?:with )?<~> <V>",
    "the game (?:continued|went|continues|goes|went on|goes on|saw|sees|proceeded|proceeds) (?:with )?<V>", "what (?:was|happened) (?:actually )?(?:played )?(?:in the game )?was <V>",
    "<S> (?:actually|really) (?:played|went|chose) <V>(?: in the game)?", "<S> <~> (?:played|went|chose|continued) (?:with )?<~> <V> in the (?:actual |real )?game", "what <S> <~> (?:actually |really |in fact |then )?(?:played|did|chose|went for)(?: in the game)? (?:is|was) (?:to play )?<V>", "the (?:game|actual|text) (?:move|continuation)(?: here| in the game)? (?:is|was) <V>", "the move (?:actually )?played (?:is|was) <V>", "in the (?:actual |real )?game (?:itself )?,? ?(?:it|the move|he|she|they) <~> (?:is|was|became|played|went|chose) <~> <V>", "<S> 's (?:actual |real )?(?:choice|move|decision|answer|reply|pick)(?: here)? in the (?:actual )?game (?:is|was) <V>",
)  # fmt: skip
RULES.say(
    "turn", "move|moving|turn|play|go|clock|falls|onus|burden|ball|act|up to|on white|on black|it is white|it is black",
    "<S> <~> (?:moves|plays|goes) (?:next|now)(?= (?:$|,))", "(?<=^ )(?:and |so |now |here |, )*<S> moves(?= $)", "(?<=^ )(?:and |so |now |, )*it is <S>(?: now| again| ,)*(?= $)", "<S> <~> moves (?:next|now)", "<S> 's clock (?:is|'s|keeps) <~> (?:running|ticking)", "it (?:falls|is left|comes down) to <S> to", "(?:the )?(?:onus|burden|ball) (?:is|lies|falls) <~> (?:on|with|in) <S>", "<S> <IS> <~> (?:next|the next|first) to (?:move|play|act|go)", "(?:the )?(?:turn|move|right to move|obligation to move) (?:passes|goes|falls|comes|belongs) (?:to|over to) <S>", "<S> <HAS> <~> the next move", "it is <~> on <S>(?= (?:,|$))",
    "<S> <IS> <~> the (?:1|one|side|player) (?:to move|to play|to go|on move|moving|whose (?:turn|move) it is)", "<S> 's (?:go|move)(?= (?:,|$|here|now))", "(?:the )?side to move is <S>", "<S> <IS> <~> up(?= (?:,|$))", "it is <~> up to <S>(?= (?:,|$))",
    "<S> <IS> <~> (?:to move|to play|on move|on the move|to go)(?! (?:\\d|the|his|her|to))", "(?:it is|it 's|now it is) <~> <S> (?:to move|to play|on move|on the move|to go)",
    "(?:it is|it was|it 's) <~> <S> (?:'s )?<~> (?:turn|move)(?! \\d)", "<S> to (?:move|play)(?! (?:\\d|here for|the|for|his|her|in|against|on|actively))",
    "the move is with <S>", "<S> <HAS> <~> the move(?! (?:\\d|[a-h]))", "(?:the )?turn (?:is|belongs) (?:with |to )?<S>", "<S> 's turn",
    "<S> on move", "it is for <S> to move", "<S> (?:has|needs|gets|gets the chance|is about) to (?:move|play|make a move|find a move)(?= (?:,|$|now|here|next))", "it <IS> <~> (?:up to|on) <S>(?= (?:,|$|now|to move|to find|to play))", "<P> (?:turn|move|go) (?:to move |to play )?<IS> <~> (?:next|now)",
)  # fmt: skip
RULES.say(
    "illegal", "illegal|legal|possible|allowed|not|rules|forbidden|may",
    "<V> (?:<IS>|would be) <~> (?:an )?(?:illegal|impossible|not legal|not possible|not allowed|not a legal move|against the rules|forbidden|illegal move)",
    "<S> (?:can not|may not|is not allowed to) <~> (?:legally )?(?:play|go) <V>", legality="no",
)  # fmt: skip
RULES.say(
    "legal", "legal|can|able|could|may|allowed",
    "<S> <IS> <~> (?:allowed|able|free) to (?:play|go) (?:with )?<V>",
    "<V> <IS> <~> (?:a )?(?:legal|perfectly legal|legally possible)(?: move)?", "<S> (?:can|could|may|is able to|is allowed to) <~> (?:legally )?(?:play|go|reply|answer|respond) "
    "(?:with )?<~> <V>", legality="yes",
)  # fmt: skip

# -- for an engine
RULES.say(
    "best", "best|strongest|accurate|mistake|blunder",
    "(?:the )?(?:best|strongest|most accurate|engine 's|computer 's) (?:move|continuation|reply|answer|choice)(?: here| now)? (?:is|was|would have been|would be) <~> <V>",
    "<V> (?:is|was|would have been|would be) <~> (?:the )?(?:best|strongest|most accurate)(?: move| choice| reply| continuation)?(?: here)?", "(?:better|best) (?:is|was) <V>",
)  # fmt: skip
RULES.say(
    "blunder",
    "blunder|mistake|losing move",
    "<V> (?:is|was) <~> (?:a |an )?(?:terrible |huge |big |clear |serious |losing )?(?P<fault>blunder|mistake|losing move)",
)
_SIDE_STATE = "<~> (?:completely |totally |clearly |objectively |simply |just |easily |absolutely |probably |already |strategically )*"
RULES.say(
    "winning", "winning|losing|lost|won|better|equal|drawn|advantage|worse|level|balanced|fine",
    f"<S> <IS> {_SIDE_STATE}(?P<state>winning|won|lost|losing|better|worse|much better|slightly better|equal|fine)(?! (?:the|a|an|his|her|by|in|to|on|back|material|time|queen|rook|piece|pawn))",
    "<S> <HAS> <~> (?:a |an |the )?(?P<state>winning (?:position|advantage|attack|endgame|game)|decisive advantage|won game|lost position|lost game|clear advantage|big advantage)",
    f"(?:the position|this position|the game|it|this|the endgame|the ending) (?:<IS>) {_SIDE_STATE}(?:a )?(?:dead )?(?P<state>equal|winning|won|lost|drawn|level|balanced)(?: (?:for|position for) <S>)?"
    "(?! (?:in material|on material|by))", "(?P<state>winning|losing|lost|won|equal) (?:for|position for) <S>",
)  # fmt: skip
