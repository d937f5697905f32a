"""How teachers say each kind of statement: the rules of the grammar, most specific first.

To teach it a new way of speaking, add a line. A rule's key words (any one of
them must occur) only make reading fast.
"""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.grammar import Grammar, Rule
from timeline.checks.openings import opening_names

_RULES: list[Rule] = []


def _say(kind: str, keys: str, *templates: str, **fixed: str) -> None:
    _RULES.extend(Rule(kind, tuple(keys.split("|")), template, fixed) for template in templates)


_BE = "(?:(?:it|that|this|which|here|there) <IS>|that 's|we have|we get|we see|here comes|and|what we have here is|what we have is)"
_END = r"(?! (?:in|if|what|whether|out|how|your|my|for|that|the|mate|mated|when|means|is|has|must|can|would|could|was))"
_IT = "(?:(?:it|that|this|which|here|there) <IS>|that 's|what we have here is|what we have is)"
_OVER = r"(?! (?:in|if|threat|threats|stuff|to|soon|next|follows|attack|net|pattern|would|will|when|means|was not|coming|on the next|material|with|trick|idea|by|eventually|later|after|on [a-h][1-8] to|on [a-h][1-8] next))"
_NICE = "(?:nasty |annoying |nice |strong |powerful |deadly |simple |quiet |little |useful |spite |last |final |free |cheeky |big |terrible |dangerous |harmless |beautiful |pesky |silly |easy |clever )*"
_HIT = "(?:attacks|is attacking|hits|is hitting|strikes at|attacked|assaults|bears down on|is bearing down on|targets|"
_HIT += "is targeting|eyes|is eyeing|is eying|aims at|is aiming at|is aimed at|points at|is pointing at|looks at|"
_HIT += "is looking at|threatens|is threatening|menaces|has its eye on|is trained on|bears on|is bearing on|attack|hit|is staring at|stares at|pressures|is pressuring|puts pressure on|is putting pressure on|is hitting on|"
_HIT += "is pressing on|presses|takes aim at|is attacking on|looks down at|is after|goes after|keeps an eye on)"
_GUARD = "(?:defends|is defending|protects|is protecting|guards|is guarding|covers|is covering|supports|is supporting|"
_GUARD += (
    "looks after|is looking after|watches over|is watching over|holds|is holding|backs up|is backing up|over-protects)"
)
_GUARDED = "(?:defended|protected|guarded|covered|supported|backed up|held|looked after|secured)"
_TAKE = (
    "(?:take|takes|capture|captures|grab|grabs|snatch|snap off|eat|win|pick off|pick up|remove|gobble up|chop|chop off)"
)
_TO_KING = "(?:to|against|on|onto|in front of) (?:the |his |her |its |their |white 's |black 's |my |our )?(?:own )?"

# -- check in its kinds
_say(
    "double_check", "double|both|two pieces|2 pieces",
    "(?:2|two) checks at (?:once|the same time|1 time)", "double check(?! (?:that|what|your|this|the|everything|with|if|whether|your|my|all|it|means))",
    "(?:check|checked|checking) (?:from|by) (?:2|both) (?:pieces|sides|directions)",
    "(?:both|2|the 2) (?:pieces |of them |attackers )?(?:are |is )?(?:checking|giving check|give check|check) (?:to )?"
    "(?:the |black 's |white 's |his )?(?:white |black )?king",
    "(?:2|both) (?:pieces|attackers|men) (?:are )?(?:giving check|give check|checking)",
)  # fmt: skip
_say(
    "discovered_check", "discover|uncover|unveil|unmask|reveal",
    "discover(?:ed|y|ing|s) (?:a )?check", "(?:uncover|unveil|unmask|reveal)(?:s|ed|ing)? (?:a )?(?:discovered )?check",
    "check by discovery", "the check is (?:a )?(?:discovered|discovery)(?: one| 1| check)?", "(?:a )?discovery with check", "(?:a )?discovered attack on the king",
    "(?:uncovers|unveils|unmasks|reveals) (?:a |the )?(?:check|attack) (?:on the king )?from the (?:rook|bishop|queen)",
    "discovering (?:a )?check",
)  # fmt: skip
_say(
    "discovered_attack", "discover|uncover|unveil|unmask",
    "(?:it is|that is|this is|with|a nice|unleashes|unleashing) (?:a )?discovered attack(?: on <B>)?",
    "(?:it |this |that |which |the knight |the bishop |the pawn |the rook )?(?:discovers|uncovers|unveils|unmasks|opens up)"
    " (?:an|the) attack on <B>", "(?:and )?(?:a )?discovered attack on <B>",
)  # fmt: skip

# -- mate
_MATE = (
    "(?:(?:a )?(?:forced |quick |clear |beautiful |lovely |nice |unstoppable |simple )?(?:checkmates?|mates?|mating))"
)
_AT = r"(?: (?:on|at) <Q>)?"
_say(
    "threat_mate", "threat|threaten",
    f"<S> <IS> <~> threatening (?:to give |to deliver |to play |a )?(?:check)?mate(?!_in_[2-9])(?: in 1| on the next move)?{_AT}",
    f"<S> <IS> <~> threatening to (?:check)?mate(?!_in){_AT}", f"<S> <~> (?:threatens|threatened|threaten) (?:a |to give |to )?"
    f"(?:check)?mate(?!_in_[2-9])(?: in 1| next move| on the next move)?{_AT}",
    "(?:the |a |his |white 's |black 's )?threat (?:is|of|was) <~> (?:a |simply |just )?(?:check)?mate(?!_in_[2-9])(?: in 1)?(?: on <Q>)?"
    "(?: on the <~> next move)?(?: by <S>)?", f"(?:and |now )?(?:this |that |it |which |<A> )?<~> "
    f"(?:threatens|threatening|creates a threat of|is threatening) (?:a |to give )?(?:check)?mate(?!_in_[2-9])(?: in 1)?{_AT}",
    "there is a threat of (?:check)?mate(?!_in_[2-9])(?: in 1)?(?: on <Q>)?", f"with the threat of (?:check)?mate{_AT}",
    f"<S> <HAS> <~> (?:a |the )?threat of (?:check)?mate{_AT}", "(?:check)?mate (?:in 1 )?<IS> <~> threatened(?: by <S>)?",
    "(?:check)?mate threat(?: by <S>)?(?: on <Q>)?", "<S> <IS> <~> 1 move (?:away )?from (?:giving )?(?:check)?mate",
)  # fmt: skip
_say(
    "mate_in", "mat",
    "mate <IS> <~> <N> moves away", "in <N> moves it is (?:check)?mate", "<N> moves and (?:check)?mate",
    f"<S> <HAS> <~> (?:a |the )?{_MATE} in <N>", f"{_MATE} in (?:just |only )?<N>(?: moves?)? (?:for|by) <S>",
    f"<S> (?:can|could|is able to) <~> (?:force|give|deliver|play) {_MATE} in <N>",
    "<S> <~> (?:forces|has forced|mates|checkmates|is mating|gives mate|gives checkmate|can mate|delivers mate|wins by mate|"
    "can checkmate|can give mate|can give checkmate|wins with mate|announces mate|delivers checkmate|forces mate|"
    "forces checkmate|has forced mate|finds mate|finds a mate) (?:in|within) (?:just |only )?<N>",
    f"<S> <~> (?:to move|to play|on move)(?: here| now)? (?:and )?(?:to )?{_MATE} in <N>",
    f"<S> to {_MATE} in <N>",
    f"{_MATE} (?:in|within) (?:just |only )?<N>", "<N> moves? (?:to|until|before|from) (?:check)?mate",
    "<N> moves? (?:away from|short of) (?:check)?mate", "<N> move (?:check)?mate",
    "mate <~> follows in <N>", "(?:check)?mate is (?:forced |coming )?in <N>",
    "<N> (?:more )?moves and it is (?:check)?mate",
    "(?:check)?mate (?:is )?forced in <N>", "forced (?:check)?mate in <N>", "forces (?:check)?mate in <N>",
)  # fmt: skip
_say(
    "checkmate", "mated",
    "<P> king (?:has been|is|was|got|gets|'s) <~> (?:check)?mated", "<S> (?:has been|is|was|got|gets|'s|are) <~> (?:check)?mated",
    role="victim",
)  # fmt: skip
_say("checkmate", "mates|mated", "<S> (?:checkmates|mates|checkmated|mated)(?! in)", role="giver")
_say(
    "checkmate", "mate",
    f"(?:{_IT} |(?<=check )and )<~> (?:a |an |the )?(?:smothered |back-rank |back rank |beautiful |pretty |lovely |nice )?(?:check)?mate{_OVER}"
    "(?: (?:on|at) <Q>(?! to))?", f"(?:gives|giving|delivers|delivering) (?:check)?mate{_OVER}{_AT}", "(?:checkmate|mate) on the board",
    "(?:the game is over because it is|ends in|ending in|with) (?:check)?mate"
    f"{_OVER}(?: on the board)?", f"<Q> (?:with |is |and |and it is )?(?:check)?mate{_OVER}(?! (?:on|at))", "(?:(?<=^ )|(?<=, ))(?:checkmate|mate)(?= (?:,|$))",
    "(?:(?<=^ )|(?<=, ))a checkmate(?= (?:,|$))",
)  # fmt: skip
_say(
    "stalemate", "stalemate",
    "<S> <IS> <~> stalemated", "<P> king <IS> <~> stalemated", f"(?:{_BE} <~> )?(?:a |an )?<~> stalemate(?:d)?"
    "(?! (?:trick|trap|idea|is|means|occurs|happens|tricks|traps|threat|danger|defense|if|when))",
)  # fmt: skip

# -- forced moves
_say(
    "only_legal", "legal|forced|only 1 move",
    "no choice 1 legal move",
    "(?:only|just|exactly|but) (?:1 )?legal (?:move|reply|answer|response)", "(?:only|just) has 1 legal move",
    "1 legal (?:move|reply|answer)", "<S> <HAS> <~> (?:only |just )?1 (?:legal )?move (?:legal|available)",
    "no other legal (?:move|reply)", "the 1 legal move", "(?:sole|single) legal (?:move|reply)",
    "the only (?:move|reply) (?:that is )?legal", "legally (?:there is |<S> has )?(?:only|just|exactly) 1 (?:move|reply)", "<S> <HAS> <~> only 1 move on the board",
)  # fmt: skip
_say(
    "only_move", "only move|only reply|only answer|forced|only 1 move|just 1 move|only response|only square|forced move",
    "(?:the |his |her |white 's |black 's )?only (?:move|reply|answer|response)(?! (?:to|that wins|that))",
    "(?:it is|that is|this is|which is|is|was) <~> (?:absolutely |totally |completely |entirely )?forced",
    "a forced (?:move|reply)", "<S> <HAS> <~> (?:only |just )1 move", "<S> <IS> <~> forced to (?:play|move|take|recapture)",
    "there is (?:only|just) 1 (?:move|reply)",
)  # fmt: skip
_say(
    "check", "check",
    "<S> (?:finds|found|sees|has|gets|got|with) (?:the |his |her |its |their )?(?:own )?(?:king|himself|herself|itself) <~> in check", "<S> <IS> <~> (?:being )?checked(?= ,? ?(?:$|here|now|by))",
    "<S> <IS> <~> (?:in|under) check", "<P> king (?:<IS>|finds itself|finds himself) <~> (?:in|under) check",
    "(?:puts|put|puts the|placing|leaves|leaving|puts the <F>) (?:the )?<S>(?: king)? <~> in check",
    "check (?:to|against|on) (?:the |black 's |white 's )?<S> (?:king)?", "check to the <S> king",
    "<S> (?:<~> )?(?:has to|must|needs to|is forced to) <~> (?:respond to|deal with|answer|meet|get out of|escape) (?:the|this) check",
    "<A> (?:gives|is giving|delivers|gave) (?:a |another )?check", "<A> (?:is checking|checks) (?:the |black 's |white 's )?"
    "(?:white |black )?king", "check from <A>", "gives (?:a )?check to the <S> king",
    "<A> <~> (?:takes|takes on|captures|captures on|to|comes to|goes to|moves to|on|jumps to|drops to|slides to|lands on|steps to|retreats to)? ?(?:<Q> )?"
    "(?:is |with |and |and it is |comes with )?(?:a )?check(?! (?:what|if|whether|out|the|this|that|how|your|my|for|mate|it))",
    f"(?:takes|captures|to|takes on) <Q> (?:with |is |and |comes with )?(?:a )?check{_END}",
    f"<Q> (?:with |is |and |comes with )?(?:a )?check{_END}",
    f"(?:with|gives|give|giving|gave|delivers|delivering|comes with|coming with|is) <~> (?:a |another ){_NICE}check{_END}",
    f"(?:with|gives|give|giving|gave|comes with|coming with|is) <~> check{_END}", f"(?:(?<=^ )|(?<=, ))(?:a |another ){_NICE}check(?= (?:,|$))",
    f"(?:{_BE}|that comes with|and) <~> (?:(?:a |another ){_NICE})?check{_END}", "the (?:white |black )?king is <~> (?:in|under) check",
    "checking the (?:white |black )?king", "forcing the king to respond to check",
)  # fmt: skip

# -- pins, forks, lines
_say(
    "pinned_to", "pin",
    f"<A> <IS> <~> pinned <~> {_TO_KING}<PIECE>", f"<A> (?:<IS> )?<~> (?:in|stuck in|caught in|sitting in|under) (?:a|an|the) "
    f"(?:nasty |awkward |absolute |relative |deadly )?pin {_TO_KING}<PIECE>",
    f"(?:pins|pinning|pinned|has pinned) (?:down )?<A> {_TO_KING}<PIECE>", f"pin on <A> {_TO_KING}<PIECE>",
    f"<A> (?:<~> )?(?:can not|may not|is not able to) move <~> because (?:it is|of the pin|he is|she is) pinned {_TO_KING}<PIECE>",
    "<A> <IS> <~> absolutely pinned", "<A> <IS> <~> in an absolute pin",
)  # fmt: skip
_say(
    "pins", "pin",
    "<A> <~> (?:pins|is pinning|pins down|is pinning down|pinned|has pinned|puts a pin on|keeps pinned) (?:down )?<B>",
    "<B> <IS> <~> pinned (?:down )?by <A>", "(?:a|the) pin (?:of|by) <A> (?:on|against) <B>",
    "<A> <HAS> <~> <B> <~> pinned",
)  # fmt: skip
_NOT_BY = (
    r"(?! (?:by its|by his|by her|in its|by the (?:threat|need|weakness)|to (?:the defense|its|defending|protecting)))"
)
_say(
    "pinned", "pin",
    f"<A> <IS> <~> (?:absolutely |relatively )?pinned(?: down)?{_NOT_BY}",
    "<A> (?:<IS> |finds itself |finds himself |finds herself |got |gets |fell |falls |ended up |ends up )?<~> (?:in|into|stuck in|caught in|trapped in|sitting in|under|suffering from) (?:a|an|the|this) "
    "(?:nasty |awkward |terrible |annoying |deadly |painful )?pin", "pin (?:on|against|of) <A>",
    "<A> (?:can not|may not|is not able to) <~> (?:move|run|go anywhere) because (?:it is|he is|she is|of the) <~> (?:pinned|pin)",
    "<S> (?:<HAS>|<IS>) <~> (?:pinned|pinning) <A>", "pinning <A>",
)  # fmt: skip
_TARGETS = "<B>(?: on <Q>)? and (?:also )?<C>"
_say(
    "fork", "fork|attacks both|both attacked|double attack|attacks 2",
    f"<A> <~> (?:forks|is forking|forked|has forked|is now forking) (?:both )?{_TARGETS}",
    f"<S> <IS> <~> forking {_TARGETS}", f"(?:it is |that is |this is |with )?a (?:royal |family |nice |deadly )?fork (?:of|on|"
    f"between|against) {_TARGETS}", f"(?:a )?fork <A> (?:attacks|hits) (?:both )?{_TARGETS}",
    f"<A> (?:attacks|hits|is attacking|is hitting) (?:both )?{_TARGETS}(?: at once| at the same time| simultaneously)",
    f"(?:forking|forks) (?:both )?{_TARGETS}", f"(?:a )?fork (?:from|by|with) <A> (?:hitting|attacking|on|against|of|that hits|that attacks) (?:both )?{_TARGETS}", "<A> <~> (?:gives|makes|creates|has|delivers) a fork",
    "(?:it is|that is|this is|we have|there is) <~> (?:a|the) (?:royal |family |nice |knight |pawn |deadly |classic |textbook )*fork",
    f"(?:in )?a fork with <A>(?: on {_TARGETS})?", "<A> <~> forks <B>",
)  # fmt: skip
_say(
    "skewer", "skewer",
    "(?:a )?skewer (?:with )?(?:the )?<B> (?:is )?in front (?:and|with) (?:the )?<C> (?:is )?behind(?: it)?",
    f"<A> <~> (?:skewers|is skewering|skewered) {_TARGETS}", "<A> <~> (?:skewers|is skewering) <B>(?: (?:to|against|with) <C>)?",
    "(?:it is |that is |this is |with |a |another )<~> (?:a )?skewer(?: (?:of|on|against) <B> (?:and|to) <C>)?", "skewering <B> (?:and|to) <C>",
)  # fmt: skip
_say(
    "battery", "battery|lined up|batteries|line up",
    "<A> (?:and|with|together with|along with|plus|combined with) <B> <~> (?:form|forms|make|makes|create|creates|build|builds|are forming|are in|is in|set up|sets up|are lined up in|combine for|combine in|are|is|give|gives) <~> "
    "(?:a |an )?(?:nice |powerful |strong |deadly )?battery(?: on the <F> file)?",
    "<S> (?:has|have|is|sets up|builds|forms|has set up|has built|'s|creates)(?: lined up| got)? (?:a |an )?(?:<A> and <B> (?:in|as) "
    "(?:a |an )?)?battery(?: on the <F> file)?",
    "(?:a )?battery (?:of|with|between) <A> and <B>(?: on the <F> file)?", "a battery on the <F> file",
    "<A> (?:is )?(?:lined up )?(?:behind|in front of) <B> <~> (?:in|as|forming|forms|making) a battery",
    "(?:lined|lining) up <A> and <B>(?: in a battery)?(?: on the <F> file)?",
)  # fmt: skip
_say(
    "xray", "x-ray",
    "<A> <~> (?:x-rays|is x-raying|x-rayed) (?:<B>|<Q>)", "x-ray (?:attack )?(?:on|against|at|to) (?:<B>|<Q>)(?: from <A>)?",
    "<A> <HAS> <~> an x-ray (?:attack )?(?:on|against|to) (?:<B>|<Q>)", "<A> <~> (?:attacks|defends|eyes|protects) "
    "(?:<B>|<Q>) (?:by x-ray|with an x-ray|through)",
)  # fmt: skip

# -- attack and defence
_say(
    "attack_defend", "defend|protect|guard",
    f"(?:<A>|<Q>) (?:<IS> )?<~> attacked <T> (?:and|but|while) (?:it is |is |only |just )*{_GUARDED} (?:only |just )?<U>",
    "(?:<A>|<Q>) has <N> attackers and (?:only |just )?<M> defenders?", "<N> attackers (?:and|against|versus) (?:only |just )?"
    "<M> defenders? (?:on|of|for) (?:<A>|<Q>)",
)  # fmt: skip
_say(
    "attackers", "attack|hits|hit|aim|pointing|under fire|bear|trained",
    "(?:<A>|<Q>) <IS> <~> attacked (?:by|from) <~> <N> (?:<S> )?(?:pieces|men|units|attackers|of <P> pieces)", "<N> (?:<S> )?(?:pieces|men) <~> (?:bear on|are trained on|are aimed at|are attacking|are bearing on|are hitting) (?:<A>|<Q>)",
    "(?:<A>|<Q>) <IS> <~> (?:attacked|under attack|hit|being attacked|under fire) <~> <T>(?: by <S>)?", "<S> <HAS> <~> <N> (?:attackers|attacks|pieces) (?:attacking |aimed at |"
    "aiming at |pointing at |hitting |on |bearing on |looking at )(?:<A>|<Q>)",
    "(?:there are |we have )?<N> (?:<S> )?(?:pieces|attackers|men|units)(?: are)? <~> (?:attack|attacking|hit|hitting|aiming at|"
    "pointing at|bearing down on|aim at|eyeing|on) (?:<A>|<Q>)", "<S> (?:attacks|hits|is attacking|is hitting|attack|hit|"
    "pressures) (?:<A>|<Q>) <~> <T>", "(?:<A>|<Q>) has <N> attackers",
)  # fmt: skip
_say(
    "defenders", "defen|protect|guard|cover|support",
    f"(?:<A>|<Q>) <IS> <~> {_GUARDED} <~> (?:by|with) <~> <N> (?:<S> )?(?:pieces|men|units|defenders)",
    f"(?:<A>|<Q>) <IS> <~> {_GUARDED} <~> <T>(?: by <S>)?", "<S> <HAS> <~> <N> (?:defenders|guards|protectors|pieces defending|"
    "pieces protecting|pieces guarding) (?:of |for |on |around )?(?:<A>|<Q>)", "(?:<A>|<Q>) has <N> (?:defenders|protectors|guards)",
    "<N> (?:<S> )?(?:pieces|defenders|men) <~> (?:defend|protect|guard|defending|protecting|guarding|cover) (?:<A>|<Q>)",
    f"<S> {_GUARD[:-1]}|defend|protect|guard|cover) (?:<A>|<Q>) <~> <T>",
)  # fmt: skip
_say(
    "can_capture", "can|could|able|may|allowed",

    "<B> (?:can|could|may) <~> be (?:taken|captured|grabbed|won|picked off|picked up|snapped off) <~> (?:by|with) <A>",
    f"<A> (?:can|could|may|is able to) <~> {_TAKE} <~> (?:on )?(?:<B>|<Q>)",
)  # fmt: skip
_say(
    "attacked_by", "attack|under|hit|fire",
    "<B> <IS> <~> (?:attacked|hit|targeted|under attack|under fire) <~> (?:by|from) <A>",
    "<B> <~> (?:comes|came|is coming) under (?:attack|fire) (?:by|from) <A>",
)  # fmt: skip
_say(
    "defended_by", "defend|protect|guard|cover|support|held|backed",
    f"(?:<B>|<Q>) <IS> <~> {_GUARDED} <~> (?:by|from) <A>", "(?:<B>|<Q>) is under the protection of <A>",
)  # fmt: skip
_say(
    "hanging_pawns", "hanging pawns",
    "<S> <HAS> <~> (?:the |so-called |the so-called )?hanging pawns(?: on (?:the )?<F>(?: file)? and (?:the )?<G>(?: files?)?)?",
    "<P> hanging pawns on (?:the )?<F>(?: file)? and (?:the )?<G>(?: files?)?", "(?:these|those|they) are <~> hanging pawns",
    "(?:the )?<F> and <G> pawns are <~> hanging pawns",
)  # fmt: skip
_say(
    "hanging", "hang|en-prise|for free|free",
    "<A> (?:<IS>|<IS> left) <~> (?:just |simply )?(?:hanging|en-prise|left hanging|for the taking|up for grabs)",
    "<A> (?:<IS> )?<~> hangs", "(?:leaves|leaving|left|has left|leaves behind) <A> <~> (?:hanging|en-prise|to be taken for free)",
    "<S> (?:hangs|has hung|hung|is hanging) <A>", "<A> (?:can|could) <~> (?:be|simply be|just be) (?:taken|captured|won|grabbed) "
    "(?:for free|for nothing)", "<A> <~> (?:hanging|en-prise)(?= (?:there|here|and|now|too|as)| $)",
    "the hanging <A>", "<A> <IS> <~> free for the taking",
)  # fmt: skip
_say(
    "undefended", "undefended|unprotected|nothing|nobody|no protection|no defender|loose|no piece|unguarded|no 1|without",
    "<A> <IS> <~> (?:completely |totally )?(?:undefended|unprotected|unguarded|a loose piece|loose|without (?:protection|a defender|"
    "any protection|defense|support|any defense|any support))", "(?:nothing|nobody|no piece|no 1|none of (?:his|her|the) pieces) "
    "<~> (?:defends|protects|guards|is defending|is protecting|covers|supports|is guarding|looks after) <A>",
    "<A> has no (?:protection|defender|defenders|defense|support|protector|protectors)",
    "<A> <IS> <~> (?:defended|protected|guarded) by (?:nothing|nobody|no 1)", "there is (?:nothing|nobody) (?:defending|protecting|"
    "guarding) <A>", "<S> <HAS> <~> (?:an undefended|a loose|an unprotected) <A>",
)  # fmt: skip
_say(
    "attacks", "attack|hit|threaten|menace|trained|target|eye|aim|point|look|star|press|strike|bear|after|assault",
    f"<A> <~> {_HIT} (?:both )?{_TARGETS}", f"<A> <~> {_HIT} <~> (?:<B>|<Q>)",
    "<B> <IS> <~> under (?:attack|fire)", "<B> <IS> <~> (?:attacked|being attacked)(?! (?:twice|once|thrice|\\d))",
)  # fmt: skip
_say(
    "defends", "defend|protect|guard|cover|support|look|watch|hold|back",
    f"<A> <~> {_GUARD} <~> (?:<B>|(?:the )?<Q>(?: square)?)",
    "<A> <~> (?:keeps|has|gives|lends) <B> <~> (?:protected|defended|guarded|covered|support|protection)", "<A> <~> (?:gives|lends) <~> (?:protection|support) to <B>",
    f"<B> <IS> <~> (?:solidly |well |firmly |safely |securely )*{_GUARDED}(?! (?:twice|once|thrice|\\d|by|from))",
)  # fmt: skip

# -- pawns, files, squares
_PAWN = "(?:(?:<F>|queen 's|king 's|center|central|queen|king) )?pawn"
for _kind, _keys, _word, _noun in (
    ("isolated", "isola|iqp", "isolated", "isolani"),
    ("backward", "backward", "backward", "backward pawn"),
    ("passed", "passed|pass pawn|passed pawn", "passed", "passed pawn"),
):
    _say(
        _kind, _keys,
        f"<S> <HAS> <~> (?:a |an |the )?(?:dangerous |strong |weak |protected |outside |nice |permanent |beautiful |very |far |distant )*{_word} "
        f"{_PAWN}(?: (?:on|at) (?:<Q>|the <F2> file))?".replace("<F2>", "<G>"),
        f"<A> (?:for <S> )?<IS> <~> (?:a |an |the )?(?:dangerous |strong |weak |protected |outside |nice |real )*{_word}(?: pawn)?",
        f"<A> <IS> <~> (?:a |an |the )?{_noun}", f"<A> (?:has become|becomes|became) (?:a |an )?{_word}(?: pawn)?",
        f"<S> <HAS> <~> (?:a |an |the )?{_noun}(?: (?:on|at) <Q>)?",
        f"(?:the|this|that|his|her|white 's|black 's|a|an) {_word} (?:<F> )?pawn (?:on|at) <Q>",
        f"(?:there is|we have) (?:a |an )?{_word} (?:<F> )?pawn (?:on|at) <Q>",
    )  # fmt: skip
_say(
    "isolated", "isola|queen 's pawn", "<S> <HAS> <~> (?:a |an |the )?isolated queen 's pawn", "<A> <IS> <~> all alone with no neighbors",
)  # fmt: skip
_say(
    "passed",
    "pass",
    "<S> <HAS> <~> (?:a |the )?pawn on <Q> (?:that is|which is) passed",
    "<A> <IS> <~> (?:a )?pawn passed",
)
_say("passed", "no enemy pawn|no pawn", "no (?:enemy |black |white )?pawn can (?:ever )?stop <A>")
_say(
    "doubled", "doubled|double pawn|2 pawns|doubling|doubles",
    "<S> <HAS> <~> (?:a |the )?(?:doubled|double) <F> pawns?",
    "<S> <HAS> <~> (?:the )?(?:ugly |terrible |weak |horrible )?(?:isolated )?doubled (?:<F> )?pawns?(?: on (?:the )?(?:<G>(?: file)?))?",
    "(?:<P> )?<F> pawns <IS> <~> doubled", "(?:<P> )?pawns on the <F> file <IS> <~> doubled(?: for <S>)?",
    "<P> pawns <IS> <~> doubled(?: on the <F> file)?", "doubled pawns on the <F> file(?: for <S>)?",
    "<S> <HAS> <~> 2 pawns on the <F> file", "there <IS> <~> 2 <S> pawns on the <F> file", "<P> doubled <F> pawns", "doubled <F> pawns(?: for <S>)?", "(?:double|doubling|doubles) <P> pawns on the <F> file",
    "<P> pawn structure (?:<IS> )?<~> (?:ruined|damaged|compromised) (?:by|with) doubled <F> pawns",
)  # fmt: skip
_say(
    "half_open", "half-open",
    "<F> <IS> <~> a half-open file(?: for <S>)?",
    "(?:the )?<F> file <IS> <~> (?:a )?half-open(?: file)?(?: for <S>)?", "<S> <HAS> <~> (?:the |a )?half-open <F> file",
    "half-open <F> file(?: for <S>)?", "<F> file is half-open",
    "half-open file on (?:the )?<F>(?: file)?", "<S> (?:can use|uses|enjoys|controls) the half-open <F> file",
)  # fmt: skip
_say(
    "open_file", "open|pawns",
    "<F> <IS> <~> an open file", "open files? on (?:the )?<F>(?: file)?",
    "(?:the )?<F> file <IS> <~> (?:completely |fully |wide |totally )*(?:an )?open(?: file)?(?! (?:up|the|for))",
    "there is an open <F> file", "an open file on (?:the )?<F>(?: file)?", "the open <F> file", "<F> file <~> is wide open",
    "no pawns (?:left |at all )?on the <F> file", "we have an open <F> file", "an open <F> file",
    "<F> and <G> files are <~> open", "<F> file <HAS> <~> no pawns(?: on it| left| at all)*", "<F> file <IS> <~> (?:free of pawns|empty of pawns|without pawns|without any pawns)",
)  # fmt: skip
_say(
    "outpost", "outpost",
    "<A> (?:<IS>|sits|stands|is sitting|is standing|has|lands|enjoys|occupies|has found|has reached|reaches) <~> (?:on |in |at )?(?:a |an |the )?"
    "(?:perfect |great |nice |strong |beautiful |wonderful |ideal |excellent |fantastic |dream |secure |powerful |permanent |lovely )*outpost"
    "(?: (?:on|at) <Q>)?", "<Q> <IS> <~> (?:a |an |the )?(?:perfect |great |nice |strong |beautiful |ideal |wonderful |excellent |dream |good |"
    "natural |classic )*outpost(?: square)?(?: for (?:the |a |his |her )?(?:<S> )?(?:'s )?(?:knight|bishop|piece|pieces)?)?",
    "(?:a|an|the) (?:perfect |great |nice |strong |beautiful |ideal |wonderful )*outpost (?:on|at) <Q>(?: for (?:the )?<S>)?",
    "outpost square <Q>",
)  # fmt: skip
_say(
    "weak_square", "weak|hole|guard|control|cover",
    "<Q>(?: square)? <IS> <~> (?:a |an )?(?:weak square|weakened square|hole|weakness|terrible weakness|permanent weakness|big hole|gaping hole|"
    "very weak square|weak)(?: (?:in|for|of|inside) (?:<P> (?:camp|position|structure|pawn structure|territory|side|half)|<S>))?",
    "<S> <HAS> <~> (?:a |an )(?:weak square|hole|big hole|terrible hole|weakness) on <Q>",
    "<S> can (?:never|no longer|not) <~> (?:again )?(?:guard|control|cover|defend|protect) (?:the )?<Q>(?: square)? <~> "
    "(?:with a pawn|with pawns|by a pawn)", "no (?:<S> )?pawn can <~> (?:ever )?(?:guard|control|cover|protect) <Q>",
    "(?:a |the )?(?:hole|weakness|weak square) (?:on |at )?<Q>(?: (?:in|for|of) (?:<P> (?:camp|position|structure|pawn structure|territory)|<S>))?",
)  # fmt: skip

# -- bishops, kings, development, material
_say(
    "opposite_bishops", "opposite|different color",
    "(?:we have|there are|these are|with|it is|this is|and|reach|it is an ending with|left with|has become|an ending of|got|are|the) <~> "
    "(?:an )?opposite-colored bishops(?: here| ending| endgame| on the board)?", "opposite-colored bishops here",
    "opposite-colored bishops on the board", "the bishops are (?:of |on )?(?:opposite|different) colors?",
)  # fmt: skip
_say(
    "bishop_pair", "bishop|pair",
    "<S> <HAS> <~> (?:the |a |his |her )?(?:bishop pair|pair of bishops|2 bishops(?! (?:on|against|for|and|aimed|pointing))|"
    "both (?:his |her |of his |of her |the )?bishops(?! (?:on|aimed|pointing|developed|out)))",
    "<S> (?:still|now|also|already) <HAS> <~> (?:the )?(?:bishop pair|2 bishops|both bishops)", "with <P> bishop pair",
    "the bishop pair (?:is )?(?:belongs to|for|goes to) <S>", "<S> enjoys the advantage of the (?:bishop pair|2 bishops)",
)  # fmt: skip
_say(
    "fianchetto", "fianchetto",
    "<A> <IS> <~> fianchettoed", "<S> <HAS> <~> fianchettoed (?:<A>|(?:the|his|her|both) bishops?)",
    "<S> <HAS> <~> a fianchettoed (?:bishop|king 's bishop|queen 's bishop)(?: on <Q>)?", "(?:the|his|her) fianchettoed bishop on <Q>",
    "<S> (?:fianchettoes|fianchettos|fianchettoed|is fianchettoing) (?:<A>|both bishops)", "<S> has a fianchetto (?:on (?:the )?)?"
    "(?:<Q>|kingside|queenside)?", "(?:the )?fianchetto bishop on <Q>", "a double fianchetto",
)  # fmt: skip
_WING = "(?: (?:on the )?(?P<wing>kingside|queenside|short|long))?"
_say(
    "castle_lost", "castle|castling|right",
    f"<S> (?:can not|can no longer|is no longer able to|is unable to|will never be able to|may no longer|is not allowed to|can never) <~> "
    f"castle{_WING}(?: any more| anymore| now| again| any longer)?(?! (?:because|through|out|while|into|since|as|right now))",
    f"<S> (?:has|have|had|'s) <~> (?:lost|forfeited|given up|ruined|thrown away|no|no more|spoiled|forgone) (?:the |his |her |all |its |their )?"
    f"(?:right|rights|ability|chance|privilege|castling rights?)(?: to castle| of castling)?{_WING}",
    "<P> castling rights? (?:is|are|have been) <~> (?:gone|lost)", "<S> has (?:lost|no) castling rights?",
    "castling is no longer (?:possible|available|an option) for <S>",
)  # fmt: skip
_say(
    "castle_right", "castle|castling",
    f"<S> <~> (?:can|may|could|<IS> <~> (?:able to|allowed to|free to|ready to|in a position to)) <~> (?:still )?castle{_WING}(?! (?:out|into|through|by))",
    f"<S> still <HAS> <~> (?:the |his |her |all )?(?:right|rights|option|castling rights?)(?: to castle| of castling)?{_WING}",
    f"<S> <HAS> <~> still (?:the )?(?:right|rights) to castle{_WING}",
    "castling is (?:still )?(?:possible|legal|available) for <S>", f"<S> has (?:not|never) lost the right to castle{_WING}",
)  # fmt: skip
_say(
    "castled", "castle",
    f"<S> (?:has|have|had|is|'s) <~> castled{_WING}", f"<P> king (?:<IS>|has) <~> (?:safely )?castled{_WING}",
    "both (?:sides|players|kings|of them) (?:have|are|has) <~> castled", f"<S> <~> (?:already )?castled{_WING}(?: already| earlier| long ago| quickly)?",
)  # fmt: skip
_say(
    "uncastled", "castle",
    "<S> (?:has|have|had) (?:not|never|yet to|still not|not yet) <~> (?:castled?|to castle)", "<S> (?:<IS> )?<~> un-castled", "<S> <IS> <~> not <~> castled",
    "<P> king (?:<IS>|has) <~> (?:in the center )?(?:still )?(?:in the center )?(?:un-castled|not castled|not yet castled|never castled)",
    "<P> (?:un-castled) king", "<S> still (?:has to|needs to|must) castle",
    "neither (?:side|player|of them) has castled", "<S> has yet to castle",
)  # fmt: skip
_say(
    "developed", "develop|out|in play",
    "<S> <HAS> <~> (?:already |only |just |developed )?<N> (?:pieces? )?(?:developed|in play|out|already out|developed pieces|pieces out)",
    "<S> <HAS> <~> developed (?:only |just |all )?<N> (?:of (?:his|her) )?(?:pieces|minor pieces)?",
    "(?:only |just )?<N> (?:<S> )?pieces? (?:is|are|have been|has been) <~> (?:developed|out|in play)",
    "<S> <HAS> <~> (?:brought out|moved out) <N> pieces", "<N> (?:of <P> )?pieces are developed(?: for <S>)?",
    "<S> <HAS> <~> <N> developed pieces",
)  # fmt: skip
_UP = "(?P<up>up|ahead|down|behind|short|more|less|to the good|in the hole|fewer)"
_say(
    "exchange_up", "exchange",
    f"<S> <IS> <~> (?:the|an) (?:whole |full |clear )?exchange {_UP}", f"<S> <IS> <~> {_UP} (?:the|an) (?:whole |full )?exchange",
    "<S> <HAS> <~> (?P<up>won|lost|sacrificed|given up) the exchange", f"<S> <HAS> <~> (?:an |the )exchange {_UP}",
)  # fmt: skip
_MUCH = "(?:whole |full |clear |clean |healthy |solid |entire |good |big |mere |extra |single |couple of )*"
_say(
    "material", "leads|up|ahead|down|behind|extra|more|less|short|good|fewer|without",
    f"<S> <IS> <~> (?:a |an |1 |just a |only a )?{_MUCH}(?:<N> )?{_MUCH}<PIECE>s? {_UP}(?! (?:the|on|to the [a-h]|by|front|for a))",
    f"<S> <IS> <~> {_UP} (?:by )?(?:a |an |1 |just a )?{_MUCH}(?:<N> )?{_MUCH}<PIECE>s?",
    f"<S> <HAS> <~> (?:a |an |1 )?{_MUCH}(?:<N> )?{_MUCH}<PIECE>s? {_UP}(?! (?:on|than one))",
    "<S> <HAS> <~> (?:a|an|1) (?:clean |clear |whole |healthy )?extra <PIECE>(?! (?:move|tempo|on the))",
    "<S> <HAS> <~> <N> extra <PIECE>s", f"<S> <~> (?P<up>leads) by (?:a |an |1 )?{_MUCH}(?:<N> )?<PIECE>s?", "<S> <HAS> <~> an extra (?:clean |healthy |whole )?<PIECE>",
    "<S> <HAS> <~> (?:a|1) <PIECE> (?P<up>more|less) than (?:white|black|his opponent|opponent)",
    "<S> <HAS> <~> <N> <PIECE>s? (?P<up>more|less|fewer) than (?:white|black|opponent)",
)  # fmt: skip
_say(
    "material_even", "material|equal|even|level",
    "material (?:<IS>|count is) <~> (?:equal|level|even|balanced)(?! if)", "<P> (?:material count|material balance|material) (?:<IS>) <~> "
    "(?:equal|level|even|balanced)", "(?:equal|even|level) material", "(?:both sides|they|both players|white and black) have <~> (?:equal|the same) "
    "(?:amount of )?material", "<S> <IS> <~> (?:equal|level|even) (?:on|in) material",
)  # fmt: skip
_say(
    "material_lead", "material|ahead|behind",
    "<S> <IS> <~> (?P<up>ahead|up|behind|down) (?:in|on) material", "<S> <HAS> <~> (?P<up>more|less) material", "<S> <IS> <~> (?P<up>up|down) material",
    "<S> <HAS> <~> a material (?P<up>advantage|edge|lead|deficit|disadvantage)", "<S> <HAS> <~> an? <N> point (?P<up>lead|advantage)",
)  # fmt: skip
_say(
    "piece_count", "left|remaining|board|still|all|both|only",
    "<S> <HAS> <~> (?:all |only |just )?<N> <PIECE>s? <~> (?:left|remaining|on the board|still)",
    "<S> (?:still|only|just) <HAS> <~> (?:all |only |just )?<N> <PIECE>s?(?! (?:on|against|in|for|and|up|down|more|ahead|extra|pointing|aimed|attacking))",
    "<S> <HAS> <~> (?:still |only |just )?all <N> <PIECE>s", "there <IS> <~> (?:only |just )?<N> <PIECE>s? <~> (?:left |remaining )?on the board",
    "there <IS> <~> (?:only |just )?<N> <PIECE>s? (?:left|remaining)", "(?:only |just )<N> (?:<S> )?<PIECE>s? (?:is|are) <~> (?:left|remaining)",
    "<S> has (?P<n0>no) <PIECE>s? (?:left|any more|anymore|on the board)",
)  # fmt: skip
_LIGHT = "(?P<shade>light|dark|white|black)"
_say(
    "shade", "light|dark|white|black",
    f"<Q> <IS> <~> (?:a |an )?{_LIGHT}(?: square|-squared square)", f"<A> <IS> <~> (?:standing |sitting |placed )?on (?:a |an )?{_LIGHT} square",
    f"<A> (?:stands|sits|lives) <~> on (?:a |the )?{_LIGHT} squares?", f"(?:the|a) {_LIGHT} square (?:on )?<Q>",
    f"<P> (?:remaining|only|last|one|single) bishop <IS> <~> (?:the |a )?{_LIGHT}-squared(?: one| bishop)?", f"<Q> <IS> <~> {_LIGHT}(?! (?:pieces|has|is|'s))", f"<Q> (?:that is|this is|it is|which is|being|of course|is) <~> (?:a |an )?{_LIGHT} square", f"square <Q> <IS> <~> {_LIGHT}(?! square)",
    f"{_LIGHT}-squared bishop (?:on|at) <Q>", f"<P> (?:remaining|only) bishop (?:runs|travels|moves|is) on (?:the )?{_LIGHT} squares",
)  # fmt: skip

# -- the game
_say(
    "move_number_played", "move",
    "(?:on|at) move (?:number )?<N> <S> <~> (?:played|plays|went|goes|chose|chooses|continued|continues|tried|tries|pushed|pushes|answered|answers|moved|moves) "
    "(?:with )?<~> <V>", "<S> 's <N>th move (?:was|is) <V>", "move <N> (?:was|is) <V>", "<S> <~> (?:played|plays|went|chose) <V> (?:on|at) move <N>",
)  # fmt: skip
_say(
    "move_number", "move",
    "(?:we are|we 're|we 've reached|we have reached|we reach|we reached|we have arrived at|we arrive at|this is|here is|we get to|we come to|this was|it is|it was) "
    "<~> (?:on |at |already at |already on |now at |now on |only )?move (?:number )?<N>", "(?:it is|this is|it was) (?:already |now )?(?:white 's|black 's) <N>th move",
    "(?:it is|this is|we are at|we are on|this was) (?:already |now |only )?(?:the )?<N>th move(?! (?:of the|in a))", "(?:on|at) move (?:number )?<N> here",
    "the game is (?:now )?(?:on|at) move <N>", "here (?:we are )?(?:on|at) move <N>", "(?<=^ )(?:okay |so |now |and |right |well |all right )*move (?:number )?<N>(?= $)",
)  # fmt: skip
_OBJECT = r"(?! (?:the|his|her|a|an|on|material|hope|my|our|your|their|its|one|1|2|some|that|this|both|everything|all|two|another|[a-h][1-8]|[a-h]|in [0-9]|king|queen|rook|bishop|knight|pawn|with|by|time|to|it|for|back))"
_say(
    "result", "won|win|wins|draw|drawn|lost|resign|gave up|gives up|drew|lose|loses|victor|beat|defeat|stopped the clock|towel",
    "(?:the game|this game|and the game) (?:was |is |ended |ends |finished |finishes |ended up |is agreed |was agreed |eventually ended |eventually finished )<~> "
    "(?:in |with |as |up )?(?:a )?(?P<out>draw|drawn|drawn game)(?! (?:by|if))", "it (?:ended|finished) <~> (?:in|as|with) a (?P<out>draw)",
    f"<S> (?:went on to|goes on to|would go on to|eventually|in the end|finally|later|ultimately) <~> (?P<out>win|won|wins|lost|lose|loses)(?: (?:the|this) game| this)?{_OBJECT}",
    f"(?:in the end|finally|at the end|eventually) <S> <~> (?P<out>won|wins|lost|loses|resigned|resigns|gave up){_OBJECT}",
    f"<S> <~> (?P<out>resigned|resigns|threw in the towel|had to resign|has to resign|has resigned|stopped the clock|laid down (?:his|her) king){_OBJECT}",
    "<S> <~> (?P<out>resigned|resigns)(?= (?:here|now|at|on|in|immediately|without|after|$|,))", "<S> <~> (?P<out>gave up|gives up)(?= ,? ?(?:$|here|now|at once|immediately|in this position|without|after))",
    "<S> (?P<out>won|lost) (?:the|this) (?:game|one)", "(?<=^ )(?:and |so |in the end |here |then )*<S> <~> (?P<out>won|lost)(?= ,? ?(?:$|here|in \\d+ moves|the game|this game))", "the players (?:agreed|agree) (?:to |on )?(?:a )?(?P<out>draw)", "(?P<out>draw) agreed",
    "a (?:win|victory) for <S> in the end", "<S> (?P<out>beat|beats|defeated|defeats) (?:white|black)", "<S> <~> (?P<out>drew)(?= ,? ?(?:$|the game|this game))",
)  # fmt: skip
_say(
    "players", "white|black|pieces|play|against",
    "(?P<who>[a-z'.]+) (?:has|had|is playing|plays|played|handles|handled|took|takes|is|was|with|leads|conducted|conducts|commands|commanded|is handling|sits behind|is behind|led|"
    "is with|was playing|gets|got) (?:with )?(?:the )?(?P<seat>white|black) pieces", "(?P<who>[a-z'.]+) (?:is|was|plays|played|is playing|was playing|takes|took|has|had|as) "
    "(?:as |with )?(?P<seat>white|black)(?= (?:here|in|and|against|today|for|,|this|\\.)| $)",
    "(?:with )?(?P<who>[a-z'.]+) as (?P<seat>white|black)", "(?P<seat>white|black) (?:is|was) (?:played by|the great|none other than|led by|handled by) (?P<who>[a-z'.]+)",
    "(?P<seat>white|black) pieces (?:are|were) (?:played|handled|led|conducted|commanded) by (?P<who>[a-z'.]+)",
    "playing (?:the )?(?P<seat>white|black)(?: pieces)? (?:is|was|we have|were) (?P<who>[a-z'.]+)", "(?P<who>[a-z'.]+) (?:playing|with) (?:as )?(?P<seat>white|black)",
)  # fmt: skip
_say(
    "opening", "defense|gambit|game|opening|attack|indian|system|" + "|".join(n for n in opening_names() if " " not in n),
    "(?:this is|that is|it is|we have|we are in|we get|we reach|we enter|which is|gives us|brings us to|we are looking at|entering|enters|this opening is|"
    "the opening is|transposes to|transposes into|transposing to|transposing into|transposed to|transposed into|is called|is known as|known as|we have reached|we reached|takes us into|takes us to|"
    "leads to|<S> (?:chooses|chose|plays|goes for|played|opts for|went for|has chosen)|we go into|we transpose into|we transpose to|we have got|got|became|becomes|called|here is|welcome to|is|was|call|we call|call this|call it|"
    "a typical|a classical|a good old|have|see|the name of this opening is) <~> (?:now |the |a |an |into |called |good old |old |famous |so-called |what we call |what is called |well-known |classic |typical |main line |main line of the )*<OPENING>"
    "(?! (?:word|name|player|players|master|pawn|rook|man|way|school|style|bishop|knight|type|idea|structure|pawn structure|kind|lesson|champion|language|saying|trap|accent|term))",
    "<OPENING> (?:is )?on the board", "<OPENING> (?:has been|was) (?:played|chosen)",
)  # fmt: skip
_say(
    "in_the_game", "game|score",
    "in the (?:actual |real )?game (?:itself )?<S> <~> (?:played|went|chose|continued|continues|plays|goes|chooses|tried|moved|answered|preferred|decided on|opted for) (?:with )?<~> <V>",
    "the game (?:continued|went|continues|goes|went on|goes on) (?:with )?<V>", "what (?:was|happened) (?:actually )?(?:played )?(?:in the game )?was <V>",
    "<S> (?:actually|really) (?:played|went|chose) <V>(?: in the game)?",
)  # fmt: skip
_say(
    "turn", "move|turn|play|go",
    "<S> <~> moves next", "<S> <HAS> <~> the next move", "it is <~> on <S>(?= (?:,|$))",
    "<S> <IS> <~> the (?:1|one|side|player) (?:to move|on move|whose turn it is)", "<S> 's (?:go|move)(?= (?:,|$|here|now))", "(?:the )?side to move is <S>", "<S> <IS> <~> up(?= (?:,|$))", "it is <~> up to <S>(?= (?:,|$))",
    "<S> <IS> <~> (?:to move|to play|on move|on the move|to go)(?! (?:\\d|the|his|her|to))", "(?:it is|it 's|now it is) <~> <S> (?:to move|to play|on move|on the move|to go)",
    "(?:it is|it was|it 's) <~> <S> (?:'s )?<~> (?:turn|move)(?! \\d)", "<S> to (?:move|play)(?! (?:\\d|here for|the|for|his|her|in|against|on|actively))",
    "the move is with <S>", "<S> <HAS> <~> the move(?! (?:\\d|[a-h]))", "(?:the )?turn (?:is|belongs) (?:with |to )?<S>", "<S> 's turn",
    "<S> on move", "it is for <S> to move",
)  # fmt: skip
_say(
    "illegal", "illegal|legal|possible|allowed",
    "<V> (?:<IS>|would be) <~> (?:an )?(?:illegal|impossible|not legal|not possible|not allowed|not a legal move|against the rules|forbidden|illegal move)",
    "<S> (?:can not|may not|is not allowed to) <~> (?:legally )?(?:play|go) <V>", legality="no",
)  # fmt: skip
_say(
    "legal", "legal|can|able|could|may|allowed",
    "<S> <IS> <~> (?:allowed|able|free) to (?:play|go) (?:with )?<V>",
    "<V> <IS> <~> (?:a )?(?:legal|perfectly legal|legally possible)(?: move)?", "<S> (?:can|could|may|is able to|is allowed to) <~> (?:legally )?(?:play|go|reply|answer|respond) "
    "(?:with )?<~> <V>", legality="yes",
)  # fmt: skip

# -- for an engine
_say(
    "best", "best|strongest|accurate|mistake|blunder",
    "(?:the )?(?:best|strongest|most accurate|engine 's|computer 's) (?:move|continuation|reply|answer|choice)(?: here| now)? (?:is|was|would have been|would be) <~> <V>",
    "<V> (?:is|was|would have been|would be) <~> (?:the )?(?:best|strongest|most accurate)(?: move| choice| reply| continuation)?(?: here)?", "(?:better|best) (?:is|was) <V>",
)  # fmt: skip
_say(
    "blunder",
    "blunder|mistake|losing move",
    "<V> (?:is|was) <~> (?:a |an )?(?:terrible |huge |big |clear |serious |losing )?(?P<fault>blunder|mistake|losing move)",
)
_SIDE_STATE = "<~> (?:completely |totally |clearly |objectively |simply |just |easily |absolutely |probably |already |strategically )*"
_say(
    "winning", "winning|losing|lost|won|better|equal|drawn|advantage|worse",
    f"<S> <IS> {_SIDE_STATE}(?P<state>winning|won|lost|losing|better|worse|much better|slightly better|equal|fine)(?! (?:the|a|an|his|her|by|in|to|on|back|material|time|queen|rook|piece|pawn))",
    "<S> <HAS> <~> (?:a |an |the )?(?P<state>winning (?:position|advantage|attack|endgame|game)|decisive advantage|won game|lost position|lost game|clear advantage|big advantage)",
    f"(?:the position|this position|the game|it|this|the endgame|the ending) (?:<IS>) {_SIDE_STATE}(?:a )?(?:dead )?(?P<state>equal|winning|won|lost|drawn|level|balanced)(?: (?:for|position for) <S>)?"
    "(?! (?:in material|on material|by))", "(?P<state>winning|losing|lost|won|equal) (?:for|position for) <S>",
)  # fmt: skip

# -- where things stand (last: everything above may hold a piece and its square)
_MAN = "(?P<man>king|queen|rook|bishop|knight|pawn)"
_say(
    "standing", "on|at",
    f"on <Q> (?:there (?:is|was|stands|sits)|stands|sits) <~> (?:<P> )?{_MAN}(?! (?:on|at))", f"<Q> <IS> <~> occupied by <~> <P> {_MAN}",
    "there <IS> <~> (?:a |an |the |that |this |still a )?<A>", "<S> <HAS> <~> <A>", f"<P> {_MAN} <IS> <~> (?:on|at) <Q>", f"<S> has <P> {_MAN} on <Q>",
    f"<P> {_MAN} (?:stands|sits|is standing|is sitting|is placed|lives|is posted|stays) <~> on <Q>",
    "(?<!with )(?<!and )(?=(?:the|this|that|his|her|my|our|your|white 's|black 's) )<A>", "(?<= with )(?=(?:this|that) )<A>",
)  # fmt: skip

GRAMMAR = Grammar([rule for rule in _RULES if rule.kind != "players"])
PLAYERS = Grammar([rule for rule in _RULES if rule.kind == "players"])
"""Who has which side: read on the sentence with the players' names in it."""
