"""How teachers speak of: bishops, kings, development and material."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import Book

RULES = Book()

RULES.say(
    "opposite_bishops", "opposite|different color",
    "(?:we have|there are|these are|with|it is|this is|and|reach|it is an ending with|left with|has become|an ending of|got|are|the) <~> "
    "(?:an )?opposite-colored bishops(?: here| ending| endgame| on the board)?", "opposite-colored bishops here",
    "opposite-colored bishops on the board", "the bishops are (?:of |on )?(?:opposite|different) colors?", "(?:bishops?|they) <~> (?:run|move|travel|live|stand|operate|work|are|walk) on (?:squares of )?(?:different|opposite) colors?(?: squares)?",
)  # fmt: skip
RULES.say(
    "bishop_pair", "bishop|pair",
    "<S> <HAS> <~> (?:the |a |his |her )?(?:bishop pair|pair of bishops|2 bishops(?! (?:on|against|for|and|aimed|pointing))|"
    "both (?:his |her |of his |of her |the )?bishops(?! (?:on|aimed|pointing|developed|out)))",
    "<S> (?:still|now|also|already) <HAS> <~> (?:the )?(?:bishop pair|2 bishops|both bishops)", "with <P> bishop pair",
    "the bishop pair (?:is )?(?:belongs to|for|goes to) <S>", "<S> enjoys the advantage of the (?:bishop pair|2 bishops)",
)  # fmt: skip
RULES.say(
    "fianchetto", "fianchetto",
    "<A> <IS> <~> fianchettoed", "<S> <HAS> <~> fianchettoed (?:<A>|(?:the|his|her|both) bishops?)",
    "<S> <HAS> <~> a fianchettoed (?:bishop|king 's bishop|queen 's bishop)(?: on <Q>)?", "(?:the|his|her) fianchettoed bishop on <Q>",
    "<S> (?:fianchettoes|fianchettos|fianchettoed|is fianchettoing) (?:<A>|both bishops)", "<S> has a fianchetto (?:on (?:the )?)?"
    "(?:<Q>|kingside|queenside)?", "(?:the )?fianchetto bishop on <Q>", "bishop (?:<IS> )?<~> (?:in|into|as) (?:a |the )?fianchetto (?:on|at) <Q>", "a double fianchetto",
)  # fmt: skip
_WING = "(?: (?:on the )?(?P<wing>kingside|queenside|short|long)(?! (?:ago|before|since|time)))?"
RULES.say(
    "castle_lost", "castle|castling|right",
    f"<S> (?:can not|can no longer|is no longer able to|is no longer allowed to|is no longer permitted to|is not permitted to|is unable to|may not|must not|is forbidden to|will never be able to|may no longer|is not allowed to|can never) <~> "
    f"castle{_WING}(?: any more| anymore| now| again| any longer)?(?! (?:because|through|out|while|into|since|as|right now))",
    f"<S> (?:(?:has|have|had|'s) <~> )?(?:lost|forfeited|given up|gave up|loses|ruined|thrown away|no|no more|spoiled|forgone) (?:the |his |her |all |its |their )?"
    f"(?:right|rights|ability|chance|privilege|castling rights?)(?: to castle| of castling)?{_WING}",
    "<P> (?:castling rights?|rights? to castle) (?:is|are|has been|have been|has|have) <~> (?:gone|lost|disappeared|vanished|forfeited|history)", "<S> has (?:lost|no) castling rights?",
    "no more castling for <S>", "<S> (?:has |have )?<~> (?:forfeited|lost|forgone|renounced|given up|gave up|missed|spoiled) castling", "castling <IS> <~> (?:gone|lost|over|out|ruled out|history|off the table|impossible) for <S>", "castling is no longer (?:possible|available|an option) for <S>",
)  # fmt: skip
RULES.say(
    "castle_right", "castle|castling",
    f"<S> <~> (?:can|may|could|<IS> <~> (?:able to|allowed to|free to|ready to|in a position to)) <~> (?:still )?castle{_WING}(?: later| one day| soon| in a moment)?(?! (?:out|into|through|by))",
    f"<S> still <HAS> <~> (?:the |his |her |all )?(?:right|rights|option|castling rights?)(?: to castle| of castling)?{_WING}",
    f"<S> <HAS> <~> still (?:the )?(?:right|rights) to castle{_WING}",
    "castling <IS> <~> (?:possible|legal|available|allowed|an option|open|on|on the cards|on the table) (?:for|to) <S>",
    f"<S> <HAS> <~> (?:the |his |her |all )?(?:right|rights|castling rights?) (?:to castle|of castling){_WING}", f"<S> <HAS> <~> (?:kept|retained|preserved) (?:the |his |her |all )?(?:castling rights?|right to castle|rights? of castling){_WING}", "<S> 's castling rights? <IS> <~> (?:intact|still there|alive|there)", f"<S> has (?:not|never) lost the right to castle{_WING}",
)  # fmt: skip
RULES.say(
    "castled", "castle",
    f"<S> (?:has|have|had|is|'s) <~> castled{_WING}", f"<P> king (?:<IS>|has) <~> (?:safely )?castled{_WING}",
    "both (?:sides|players|kings|of them) (?:have|are|has) <~> castled", f"<S> did <~> castle{_WING}", f"<S> <~> (?:already )?castled{_WING}(?: already| earlier| long ago| quickly)?",
)  # fmt: skip
RULES.say(
    "uncastled", "castl",
    "<S> (?:has|have|had) <~> (?:not|never|yet to|still not|not yet) <~> (?:castled?|to castle)", "<S> (?:<IS> )?<~> un-castled", "<S> <IS> <~> not <~> castled",
    "<P> king (?:<IS>|has) <~> (?:in the center )?(?:still )?(?:in the center )?(?:un-castled|not castled|not yet castled|never castled)",
    "<P> (?:un-castled) king", "<S> still (?:has to|needs to|must) castle",
    "neither (?:side|player|of them) has castled", "<S> (?:has|have) <~> (?:not|never) <~> (?:had|found|got|taken|managed) (?:the |any )?(?:time |chance |opportunity )?to castle", "<S> <HAS> <~> yet to castle", "<S> <IS> <~> (?:yet|still) to castle", "<S> (?:has |have |had )?<~> (?:never|not) <~> (?:got|gotten|came|come|managed|found|find|get|bothered) (?:round |around |the time |time )?(?:to )?castl(?:e|ing)", "<S> (?:did not|never|forgot to|neglected to|failed to|omitted to) <~> castled?", "<P> king (?:did not|never) <~> castled?",
)  # fmt: skip
RULES.say(
    "developed", "develop|out|play|game|action|battle|rank|square",
    "<S> <HAS> <~> (?:already |only |just |developed )?<N> (?:pieces? )?(?:developed|in play|out|already out|developed pieces|pieces out)",
    "<S> <~> developed (?:only |just |all )?<N> (?:of (?:his|her) )?(?:pieces|minor pieces)", "<S> <HAS> <~> developed (?:only |just |all )?<N> (?:of (?:his|her) )?(?:pieces|minor pieces)?",
    "(?:only |just )?<N> (?:<S> )?pieces? (?:is|are|have been|has been) <~> (?:developed|out|in play)",
    "<S> <HAS> <~> (?:brought out|moved out) <N> pieces", "<S> (?:<HAS> )?<~> (?:brought|put|got|moved|taken) <~> <N> (?:of (?:his|her) )?(?:pieces|men|units) <~> (?:out|into play|into the game|into action|off the back rank|into battle)", "<N> (?:of <P> )?pieces are developed(?: for <S>)?",
    "<S> <HAS> <~> <N> (?:of (?:his|her) )?(?:pieces|men|units) off (?:their (?:home|starting|original|first) squares?|the back rank)", "<S> <HAS> <~> <N> developed pieces", "(?:there <IS> )?<~> <N> developed pieces (?:for|by|on) <S>", "<N> pieces <HAS> <~> (?:left|come off|come out of) (?:the back rank|their (?:home|starting|original) squares?) for <S>",
)  # fmt: skip
_ALONE = "(?:(?<=^ )|(?<=, ))(?:and |so |now |just |still |only |we are |that is |it is |but )*"
_UP = "(?P<up>up|ahead|down|behind|short|more|less|to the good|in the hole|fewer)"
RULES.say(
    "exchange_up", "exchange",
    f"<S> <IS> <~> (?:the|an) (?:whole |full |clear )?exchange {_UP}", f"<S> <IS> <~> {_UP} (?:the|an) (?:whole |full )?exchange",
    "<S> (?:<HAS> )?<~> (?P<up>won|lost|sacrificed|given up|gave up) the exchange", f"<S> <HAS> <~> (?:an |the )exchange {_UP}",
    f"<S> (?:the |an )?exchange {_UP}", f"{_ALONE}(?:the |an )?(?:whole |full |clear )?exchange {_UP}(?: for <S>)?(?= (?:,|$))",
)  # fmt: skip
_MUCH = "(?:whole |full |clear |clean |healthy |solid |entire |good |big |mere |extra |single |couple of )*"
RULES.say(
    "material", "leads|up|ahead|down|behind|extra|more|less|short|good|fewer|without|missing|lack|minus",
    f"<S> <IS> <~> (?:a |an |1 |just a |only a )?{_MUCH}(?:<N> )?{_MUCH}<PIECE>s? {_UP}(?! (?:the|on|to the [a-h]|by|front|for a))",
    f"<S> <IS> <~> {_UP} (?:by )?(?:a |an |1 |just a )?{_MUCH}(?:<N> )?{_MUCH}<PIECE>s?",
    f"<S> <HAS> <~> (?:a |an |1 )?{_MUCH}(?:<N> )?{_MUCH}<PIECE>s? {_UP}(?! (?:on|than one))",
    "<S> <HAS> <~> (?:a|an|1) (?:clean |clear |whole |healthy )?extra <PIECE>(?! (?:move|tempo|on the))",
    "<S> <HAS> <~> <N> extra <PIECE>s", f"<S> (?:a |an |1 ){_MUCH}<PIECE> {_UP}(?! (?:the|on|by))",
    f"{_ALONE}(?:a |an |1 |<N> ){_MUCH}<PIECE>s? (?P<up>up|ahead|down)(?: for <S>)?(?= (?:,|$))", f"<S> <~> (?P<up>leads) by (?:a |an |1 )?{_MUCH}(?:<N> )?<PIECE>s?", "<S> <HAS> <~> an extra (?:clean |healthy |whole )?<PIECE>",
    "<S> <IS> <~> (?P<up>missing|lacking|minus|without) (?:a|an|1|<N>) (?:whole |full |entire )?<PIECE>s?", "<S> <~> (?P<up>lacks) (?:a|an|1|<N>) (?:whole |full )?<PIECE>s?(?! (?:on|to|for))",
    "<S> <HAS> <~> (?:a|1) <PIECE> (?P<up>more|less) than (?:white|black|his opponent|opponent)",
    "<S> <HAS> <~> <N> <PIECE>s? (?P<up>more|less|fewer) than (?:white|black|opponent)",
)  # fmt: skip
RULES.say(
    "material_even", "material|equal|even|level",
    "(?:in terms of|in|on) material <~> (?:it|they|both sides|the (?:2 )?sides|the position|everything) <IS> <~> (?:equal|level|even|balanced)", "material ,? ?(?:it|that|this|they) <IS> <~> (?:equal|level|even|balanced)", "materially <~> (?:it|they|both sides|the sides|the position|we|everything|things) <IS> <~> (?:equal|level|even|balanced)", "<~> nobody <IS> <~> (?:ahead|up|behind|down) (?:in )?material", "material (?:<IS>|count is) <~> (?:equal|level|even|balanced)(?! if)", "<P> (?:material count|material balance|material) (?:<IS>) <~> "
    "(?:equal|level|even|balanced)", "(?:equal|even|level) material", "(?:both sides|they|both players|white and black) have <~> (?:equal|the same) "
    "(?:amount of )?material", "<S> <IS> <~> (?:equal|level|even) (?:on|in) material",
)  # fmt: skip
RULES.say(
    "material_lead", "material|ahead|behind",
    "<S> <IS> <~> (?P<up>ahead|up|behind|down) (?:in|on) material", "<S> <HAS> <~> (?P<up>more|less) material", "<S> <IS> <~> (?P<up>up|down) material",
    "<S> <HAS> <~> a material (?P<up>advantage|edge|lead|deficit|disadvantage)", "<S> <HAS> <~> an? <N> point (?P<up>lead|advantage)",
)  # fmt: skip
RULES.say(
    "piece_count", "down to|reduced|left|remaining|remain|survive|board|still|all|both|only|there is|there are|stay",
    "<S> <HAS> <~> (?:all |only |just )?<N> <PIECE>s? <~> (?:left|remaining|on the board|still)",
    "<S> (?:still|only|just) <HAS> <~> (?:all |only |just )?<N> <PIECE>s?(?! (?:on|against|in|for|and|up|down|more|ahead|extra|pointing|aimed|attacking))",
    "<S> <IS> <~> (?:left with|down to|reduced to) <~> (?:only |just )?<N> <PIECE>s?", "<S> <HAS> <~> (?:still |only |just )?all <N> <PIECE>s", "there <IS> <~> (?:only |just )?<N> <PIECE>s? <~> (?:left |remaining )?on the board",
    "there <IS> <~> (?:only |just )?<N> <PIECE>s? (?:left|remaining)", "(?:only |just )<N> (?:<S> )?<PIECE>s? (?:is|are) <~> (?:left|remaining)",
    "(?:both sides|both players|the 2 sides|the 2 players|white and black) (?:together|between them|combined) <HAS> <~> <N> <PIECE>s", "<N> <PIECE>s? (?:remain|remains|survive|are left|stay) for <S>", "there <IS> <~> <N> <S> <PIECE>s(?= (?:$|,|left|remaining|in total|altogether))",
    "<S> has (?P<n0>no) <PIECE>s? (?:left|any more|anymore|on the board)",
)  # fmt: skip
_LIGHT = "(?P<shade>light|dark|white|black)"
RULES.say(
    "shade", "light|dark|white|black",
    f"<S> <~> <HAS> <~> (?:the|a|his|her|its) {_LIGHT}-squared bishop(?! (?:on|at))", f"<Q> ,? ?(?:[a-z]+ ,? ?){{0,8}}(?:it|that|this) <IS> <~> (?:a |the )?{_LIGHT} square", f"<Q> <IS> <~> 1 of the {_LIGHT} squares", f"<Q> <IS> <~> (?:a |an )?{_LIGHT}(?: square|-squared square)", f"<A> <IS> <~> (?:standing |sitting |placed )?on (?:a |an )?{_LIGHT} square",
    f"<A> (?:stands|sits|lives|<IS>|rests) <~> on (?:a |the )?{_LIGHT} squares?", f"<A> (?:stands|sits|lives|<IS>) <~> on {_LIGHT}(?= (?:,|$))", f"(?:the|a) {_LIGHT} square (?:on )?<Q>",
    f"<P> (?:remaining|only|last|one|single) bishop <IS> <~> (?:the |a )?{_LIGHT}-squared(?: one| bishop)?", f"<Q> <IS> <~> {_LIGHT}(?! (?:pieces|has|is|'s))", f"<Q> (?:that is|this is|it is|which is|being|of course|is) <~> (?:a |an )?{_LIGHT} square", f"square <Q> <IS> <~> {_LIGHT}(?! square)",
    f"{_LIGHT}-squared bishop (?:on|at) <Q>", f"<P> (?:remaining|only|last|single) bishop <~> (?:(?:runs|travels|moves|is|works|operates|stands) on|controls|covers|guards|attacks|is restricted to|rules|dominates|can only go to|goes along|looks at) (?:the )?{_LIGHT}(?: squares|-squared squares)",
)  # fmt: skip
