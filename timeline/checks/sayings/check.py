"""How teachers speak of: check, mate, stalemate and forced moves."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import BE, END, IT, NICE, OVER, Book

RULES = Book()

RULES.say(
    "double_check", "double|both|two pieces|2 pieces",
    "(?:2|two) checks at (?:once|the same time|1 time)", "double check(?! (?:that|what|your|this|the|everything|with|if|whether|your|my|all|it|means))",
    "(?:check|checked|checking) (?:from|by) (?:2|both) (?:pieces|sides|directions)",
    "(?:both|2|the 2) (?:pieces |of them |attackers )?(?:are |is )?(?:checking|giving check|give check|check) (?:to )?"
    "(?:the |black 's |white 's |his )?(?:white |black )?king",
    "(?:2|both) (?:pieces|attackers|men) (?:are )?(?:giving check|give check|checking)",
)  # fmt: skip
RULES.say(
    "discovered_check", "discover|uncover|unveil|unmask|reveal",
    "discover(?:ed|y|ing|s) (?:a )?check", "1 of (?:those|these|the) (?:nice |nasty )?discovered checks", "(?:uncover|unveil|unmask|reveal)(?:s|ed|ing)? (?:a )?(?:discovered )?check",
    "check by discovery", "the check is (?:a )?(?:discovered|discovery)(?: one| 1| check)?", "(?:a )?discovery with check", "(?:a )?discovered attack on the king",
    "(?:uncovers|unveils|unmasks|reveals) (?:a |the )?(?:check|attack) (?:on the king )?from the (?:rook|bishop|queen)",
    "discovering (?:a )?check",
)  # fmt: skip
RULES.say(
    "discovered_attack", "discover|uncover|unveil|unmask",
    "(?:it is|that is|this is|it was|that was|this was|there is|we have|with|a nice|unleashes|unleashing|makes|made|gives|creates) <~> (?:a |the )?(?:[a-z-]+ )?discovered attack(?: on <B>)?",
    "(?:it |this |that |which |the knight |the bishop |the pawn |the rook )?(?:discovers|uncovers|unveils|unmasks|opens up)"
    " (?:an|the) attack on <B>", "(?:and )?(?:a )?discovered attack on <B>",
)  # fmt: skip

# -- mate
_MATE = (
    "(?:(?:a )?(?:forced |quick |clear |beautiful |lovely |nice |unstoppable |simple )?(?:checkmates?|mates?|mating))"
)
_AT = r"(?: (?:on|at) <Q>)?"
RULES.say(
    "threat_mate", "threat|threaten|away from|idea|aim|intention|point",
    f"<S> <IS> <~> threatening (?:to give |to deliver |to play |a )?(?:check)?mate(?!_in_[2-9])(?: in 1| on the next (?:move|turn)| next)?{_AT}",
    f"<S> <IS> <~> threatening to (?:check)?mate(?!_in)(?: on the next (?:move|turn)| next move)?{_AT}", f"<S> <~> (?:threatens|threatened|threaten) (?:a |to give |to )?"
    f"(?:check)?mate(?!_in_[2-9])(?: in 1| next move| on the next (?:move|turn))?{_AT}",
    "(?:the |a |his |white 's |black 's )?threat (?:is|of|was) <~> (?:a |simply |just )?(?:check)?mate(?!_in_[2-9])(?: in 1)?(?: on <Q>)?"
    "(?: on the <~> next move)?(?: by <S>)?", f"(?:and |now )?(?:this |that |it |which |<A> )?<~> "
    f"(?:threatens|threatening|creates a threat of|is threatening) (?:a |to give )?(?:check)?mate(?!_in_[2-9])(?: in 1)?{_AT}",
    "there is a threat of (?:check)?mate(?!_in_[2-9])(?: in 1)?(?: on <Q>)?", f"with the threat of (?:check)?mate{_AT}",
    f"<S> <HAS> <~> (?:a |the |this )?(?:[a-z-]+ ){{0,2}}threat of (?:check)?mate(?! in [2-9])(?: in 1(?: move)?)?{_AT}",
    "(?:the )?(?:idea|aim|intention|point) (?:of|for|behind) <S> <IS> <~> (?:check)?mate (?:on the next move|next move|in 1)", "(?:check)?mate (?:in 1 )?<IS> <~> threatened(?: by <S>)?",
    "(?:check)?mate threat(?: by <S>)?(?: on <Q>)?", "<S> <HAS> <~> (?:a |the )?(?:mating|mate|checkmate) threat(?: on <Q>)?", "(?:the )?threat (?:by|of|from) <S> <IS> <~> (?:check)?mate(?!_in_[2-9])(?: next move| on the next move| next)?", "<S> <IS> <~> (?:just |only )?1 move (?:away )?from (?:giving |delivering )?(?:check)?mat(?:e|ing)",
)  # fmt: skip
RULES.say(
    "mate_in", "mat",
    "mate <IS> <~> <N> moves away", "it takes <S> <~> <N> (?:more )?moves? to (?:give |deliver |force )?(?:check)?mate", "<S> <~> (?:needs|requires|takes) <~> <N> (?:more )?moves? (?:to|for) (?:give |deliver |force )?(?:check)?mate", "<S> can <~> (?:check)?mate (?:in|within) <N>", "in <N> moves it is (?:check)?mate", "<N> moves and (?:check)?mate",
    f"<S> <HAS> <~> (?:a |the )?{_MATE} in <N>", f"{_MATE} in (?:just |only )?<N>(?: moves?)? (?:for|by) <S>",
    f"<S> (?:can|could|is able to) <~> (?:force|give|deliver|play) {_MATE} in <N>",
    "<S> <~> (?:forces|has forced|mates|mates by force|checkmates by force|forces a mate|checkmates|is mating|gives mate|gives checkmate|can mate|delivers mate|wins by mate|"
    "can checkmate|can give mate|can give checkmate|wins with mate|announces mate|delivers checkmate|forces mate|"
    "forces checkmate|has forced mate|finds mate|finds a mate) (?:in|within) (?:just |only )?<N>",
    f"<S> <~> (?:to move|to play|on move)(?: here| now)? (?:and )?(?:to )?{_MATE} in <N>",
    f"<S> to {_MATE} in <N>", f"<S> (?:will|is going to) <~> (?:give |force |deliver |play )?{_MATE} in <N>",
    f"{_MATE} (?:in|within) (?:just |only )?<N>", "<N> moves? (?:to|until|till|before|from) (?:check)?mate(?: for <S>)?",
    "<N> moves? (?:away from|short of) (?:check)?mate", "<N> move (?:check)?mate",
    "mate <~> follows in <N>", "(?:check)?mate is (?:forced |coming )?in <N>",
    "<N> (?:more )?moves and it is (?:check)?mate",
    "(?:check)?mate (?:is )?forced in <N>", "forced (?:check)?mate in <N>", "forces (?:check)?mate in <N>",
)  # fmt: skip
RULES.say(
    "checkmate", "mated",
    "<P> king (?:has been|is|was|got|gets|'s) <~> (?:check)?mated", "<S> (?:has been|is|was|got|gets|'s|are) <~> (?:check)?mated",
    role="victim",
)  # fmt: skip
RULES.say(
    "checkmate",
    "mates|mated",
    "(?<!with )<S> (?:checkmates|mates|checkmated|mated)(?! (?:in|by|within|soon|next|next|eventually|with))",
    role="giver",
)
RULES.say(
    "checkmate", "mate",
    f"(?:{IT} |(?<=check )and )<~> (?:a |an |the )?(?:smothered |back-rank |back rank |beautiful |pretty |lovely |nice )?(?:check)?mate{OVER}"
    "(?: (?:on|at) <Q>(?! to))?", "the (?:final |end |last |resulting )?position <IS> <~> (?:a )?(?:check)?mate", f"(?:gives|giving|delivers|delivering) (?:check)?mate{OVER}{_AT}", "(?:checkmate|mate) on the board",
    "(?:the game is over because it is|ends in|ending in|with) (?:check)?mate"
    f"{OVER}(?: on the board)?", f"<Q> (?:with |is |and |and it is )?(?:check)?mate{OVER}(?! (?:on|at))", "(?:(?<=^ )|(?<=, ))a checkmate(?= (?:,|$))",
)  # fmt: skip
RULES.say(
    "checkmate", "mate", "(?:(?<=^ )|(?<=, )|(?<=^ and ))(?:checkmate|mate)(?= (?:,|$))", bare="yes",
)  # fmt: skip
RULES.say(
    "stalemate", "stalemate",
    "<S> <IS> <~> stalemated", "<P> king <IS> <~> stalemated", f"(?:{BE} <~> )?(?:a |an )?<~> stalemate(?:d)?"
    "(?! (?:trick|trap|idea|is|means|occurs|happens|tricks|traps|threat|danger|defense|if|when))",
)  # fmt: skip

# -- forced moves
RULES.say(
    "only_legal", "legal|forced|only 1 move|rules|laws",
    "(?:rules|laws)(?: of (?:the game|chess))? (?:leave|permit|allow|give|grant|offer) <S> (?:with )?(?:only |just |exactly |but )?1(?: (?:single|legal|possible|solitary))? (?:move|1|reply|option)(?! (?:more|less))",
    "no choice 1 legal move", "(?:only|just|exactly) 1 move (?:that |which )?(?:<S> )?<IS> <~> (?:allowed|permitted)(?: to (?:make|play))?", "(?:all|every 1|each) (?:of )?(?:<P> )?other moves? <IS> <~> (?:illegal|impossible|against the rules|forbidden)",
    "(?:only|just|exactly|but) (?:1 )?legal (?:move|reply|answer|response)", "(?:only|just) has 1 legal move",
    "1 legal (?:move|reply|answer)", "moves only 1 <IS> <~> (?:legal|allowed|possible)", "<S> <HAS> <~> (?:only |just )?1 (?:legal )?move (?:legal|available)",
    "no other legal (?:move|reply)", "the 1 legal move", "(?:sole|single) legal (?:move|reply)",
    "the only (?:move|reply) (?:that is )?legal", "(?:only |just |exactly )?1 (?:move|reply) <IS> <~> (?:legal|possible|available|allowed)", "(?:no other|all other|every other|any other) moves? <IS> <~> (?:illegal|legal|possible|allowed)", "legally (?:speaking )?,? ?(?:there is |<S> has )?(?:only|just|exactly) 1 (?:move|reply)", "<S> <HAS> <~> only 1 move on the board",
)  # fmt: skip
RULES.say(
    "only_move", "only move|only reply|only answer|forced|only 1 move|just 1 move|only response|only square|forced move",
    "(?:the |his |her |white 's |black 's )?only (?:move|reply|answer|response)(?! (?:to|that wins|that|number|[0-9]+))",
    "(?:it is|that is|this is|which is|is|was) <~> (?:absolutely |totally |completely |entirely )?forced",
    "a forced (?:move|reply)", "<S> <HAS> <~> (?:only |just )1 move", "<S> <IS> <~> forced to (?:play|move|take|recapture)",
    "there is (?:only|just) 1 (?:move|reply)",
)  # fmt: skip
RULES.say(
    "check", "check",
    "<S> (?:finds|found|sees|has|gets|got|with) (?:the |his |her |its |their )?(?:own )?(?:king|himself|herself|itself) <~> in check", "<S> <IS> <~> (?:being )?checked(?= ,? ?(?:$|here|now|by))",
    "<S> <IS> <~> (?:in|under) check", "<P> king (?:<IS> )?<~> (?:being )?checked(?! by the)", "<S> <IS> <~> (?:being )?checked(?! by the)", "<P> king (?:<IS>|finds itself|finds himself) <~> (?:in|under) check",
    "(?:puts|put|puts the|placing|leaves|leaving|puts the <F>) (?:the )?<S>(?: king)? <~> in check",
    "check (?:to|against|on) (?:the |black 's |white 's )?<S> (?:king)?", "check to the <S> king",
    "<S> (?:<~> )?(?:has to|must|needs to|is forced to) <~> (?:respond to|deal with|answer|meet|get out of|escape|escape from|get away from|run from|parry|address|do something about|react to|take care of|cope with) (?:the |this |a )?check",
    "<A> (?:gives|is giving|delivers|gave) (?:a |another )?check", "<A> (?:is checking|checks) (?:the |black 's |white 's )?"
    "(?:white |black )?king", "check from <A>", "gives (?:a )?check to the <S> king",
    "<A> <~> (?:takes|takes on|captures|captures on|to|comes to|goes to|moves to|on|jumps to|drops to|slides to|lands on|steps to|retreats to)? ?(?:<Q> )?"
    "(?:is |with |and |and it is |comes with )?(?:a )?check(?! (?:what|if|whether|out|the|this|that|how|your|my|for|mate|it))",
    f"(?:takes|captures|to|takes on) <Q> (?:with |is |and |comes with )?(?:a )?check{END}",
    f"<Q> (?:with |is |and |comes with )?(?:a )?check{END}",
    f"(?:with|gives|give|giving|gave|delivers|delivering|comes with|coming with|is) <~> (?:a |another ){NICE}check{END}",
    f"(?:with|gives|give|giving|gave|comes with|coming with|is) <~> check{END}", f"(?:(?<=^ )|(?<=, ))(?:a |another ){NICE}check(?: to (?:begin|start) with| first| here| now)*(?= (?:,|$))", f"(?<=^ )(?:and |so )*{NICE}check(?= ,)(?! , (?:please|the (?:list|notes|link)))",
    f"(?:{BE}|that comes with|and) <~> (?:(?:a |another ){NICE})?check{END}", "the (?:white |black )?king is <~> (?:in|under) check",
    f"(?<=^ )(?:and |a |another |{NICE})*check(?: again| now| there)?(?= $)",
    "checking the (?:white |black )?king", "(?:it|this|that)(?: move)? <~> checks (?:the |his |her )?(?:white |black )?king", "forcing the king to respond to check",
)  # fmt: skip
