"""How teachers speak of: attack and defence."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import ANYONE, GUARD, GUARDED, HIT, IT_DOES, KINDLY, TAKE, TARGETS, Book

RULES = Book()

_HIT_KEYS = "attack|hit|threaten|menace|trained|target|eye|aim|point|look|star|press|strike|bear|after|assault|fire|focus|directed|fixed|sights|harass|bother|gaz|glar|shoot|striking|neck|zero|hom|bite|biting|lock|tickl|annoy|challeng|gun|hunt|question|pok|prod|nudg|jab|peck|nibbl|gnaw|teas|needl|pester|tak"
_GUARD_KEYS = "defend|defens|protect|guard|cover|support|look|watch|hold|held|back|shield|secur|care|prop|bolster|reinforc|underpin|shor|babysit|nurs|mind|insur|charge|busy|responsible"
_MEN = "(?:pieces|men|units|soldiers|fighters|guys|fellows|friends|boys|chaps|things|of them)"

RULES.say(
    "attack_defend", "defend|protect|guard",
    f"(?:<A>|<Q>) (?:<IS> )?<~> attacked <T> (?:and|but|while) (?:it is |is |only |just )*{GUARDED} (?:only |just )?<U>",
    "(?:<A>|<Q>) has <N> attackers and (?:only |just )?<M> defenders?", "on <Q> (?:there <IS> |it <IS> |we have |we see |we count )<N> attackers? (?:and|against|versus) <M> defenders?", "<N> attackers? (?:and|against|versus) (?:only |just )?"
    "<M> defenders? (?:on|of|for|at) (?:<A>|<Q>)",
)  # fmt: skip
RULES.say(
    "attackers", _HIT_KEYS + "|under fire",
    f"(?:<A>|<Q>) <IS> <~> (?:attacked|hit|targeted|under attack|under fire) (?:by|from) <~> <N> (?:<S> )?(?:{_MEN}|attackers|of <P> pieces)",
    "(?:<A>|<Q>) <IS> <~> (?:attacked|under attack|hit|being attacked|under fire) <~> <T>(?: by <S>)?",
    f"<S> <HAS> <N> (?:attackers|attacks|{_MEN}) (?:on|against) (?:<A>|<Q>)", "<S> <HAS> <N> attackers for (?:<A>|<Q>)", f"<S> <HAS> <N> (?:attackers|{_MEN}) <~> {HIT} (?:<A>|<Q>)",
    f"<S> <~> {HIT} (?:<A>|<Q>) <~> <T>", f"<S> <~> {HIT} (?:<A>|<Q>) <~> with <~> <N> (?:{_MEN}|attackers)",
    f"(?:there <IS> |we have )?<N> (?:<S> )?(?:{_MEN}|attackers)(?: (?:that|which|who))? <~> {HIT} (?:<A>|<Q>)",
    "(?:<A>|<Q>) <HAS> <N> attackers", "on <Q> ,? ?<S> <HAS> <~> <N> attackers", "there <IS> <N> (?:<S> )?(?:attackers|attacks) (?:on|against|of) (?:<A>|<Q>)",
    "(?:the )?attackers (?:of|on|against) (?:<A>|<Q>) ,? ?(?:there <IS>|<IS>|number|total) <~> <N>",
)  # fmt: skip
RULES.say(
    "defenders", _GUARD_KEYS + "|defen|held",
    f"(?:<A>|<Q>) <IS> <~> {GUARDED} <~> (?:by|with) <~> <N> (?:<S> )?(?:{_MEN}|defenders)",
    f"(?:<A>|<Q>) <IS> <~> {GUARDED} <~> <T>(?: by <S>)?",
    f"<S> <HAS> <N> (?:defenders|guards|protectors|{_MEN} defending|{_MEN} protecting|{_MEN} guarding) (?:of |for |on |around )?(?:<A>|<Q>)",
    "(?:<A>|<Q>) <HAS> <N> (?:defenders|protectors|guards|guardians)", "on <Q> ,? ?<S> <HAS> <~> <N> (?:defenders|guards)", "there <IS> <N> (?:<S> )?(?:defenders|guards|protectors) (?:of|for|on|around) (?:<A>|<Q>)",
    "(?:the )?(?:defenders|guards|protectors) (?:of|for|around) (?:<A>|<Q>) ,? ?(?:there <IS>|<IS>|number|total) <~> <N>",
    f"(?:there <IS> |we have )?<N> (?:<S> )?(?:{_MEN}|defenders)(?: (?:that|which|who))? <~> {GUARD} (?:<A>|<Q>)",
    f"<S> <~> {GUARD} (?:<A>|<Q>) <~> <T>", f"<S> <HAS> <A> <~> {GUARDED} <~> <T>", f"<S> <~> {GUARD} (?:<A>|<Q>) <~> with <~> <N> {_MEN}",
)  # fmt: skip
RULES.say(
    "can_capture", "can|could|able|may|allowed|available|legal|possible|falls|drops|lost|goes",
    "<B> (?:can|could|may) <~> be (?:taken|captured|grabbed|won|picked off|picked up|snapped off|eaten|removed) <~> (?:by|with) <A>",
    f"<A> (?:can|could|may|is able to) <~> {TAKE} <~> (?:on )?(?:<B>|<Q>)",
    f"{ANYONE} (?:can|could|may|is able to) <~> {TAKE} <B> <~> (?:with|using|by) <A>",
    f"with <A> {ANYONE} (?:can|could|may|is able to) <~> {TAKE} <B>",
    "<B> <~> (?:falls|drops|is lost|goes) to <A>", "<B> <IS> <~> (?:available|there) for <A> to (?:take|capture)",
    "(?:taking|capturing|grabbing) <B> with <A> <IS> <~> (?:legal|possible|allowed)", "<A> (?:taking|capturing) <B> <IS> <~> (?:legal|possible|allowed)",
)  # fmt: skip
_FROM = "(?:by|from)"
RULES.say(
    "attacked_by", "firing line|crosshairs|attack|under|hit|fire|sights|pressure|target|range|eyed|threatened|trouble",
    f"<B> <IS> <~> (?:being )?(?:attacked|hit|targeted|under attack|under fire|threatened|eyed|pressured|under {KINDLY}pressure|in trouble) <~> {_FROM} <A>",
    "<B> <~> (?:comes|came|is coming|gets|got|feels|faces|has come) (?:under )?(?:the )?(?:attack|fire|pressure) (?:by|from|of) <A>",
    "(?:<B>|<Q>) <IS> <~> in the (?:firing line|crosshairs|sights|line) of <A>", "<A> <HAS> <B> <~> (?:in|within) (?:its|his|her) (?:sights|sight|range|line of fire|crosshairs|view)",
    "<B> <IS> <~> (?:in the (?:sights|line of fire|range|crosshairs)|a target|the target|an easy target) (?:of|for) <A>",
    f"(?:there is |we have |with )?<~> {KINDLY}(?:pressure|attack) (?:from|by|of) <A> (?:on|against) <B>",
    f"(?:there is |we have |with )?<~> {KINDLY}(?:pressure|attack) (?:on|against) <B> (?:from|by) <A>",
)  # fmt: skip
_HELP = "(?:support|protection|backing|cover|defense|help|back-up|backup)"
RULES.say(
    "defended_by", "defend|protect|guard|cover|support|held|backed|depend|rel|backing|shield|secured|looked after|safe",
    f"(?:<B>|<Q>)(?: <IS>| ,| which is| that is)? <~> (?:well |nicely |safely |solidly )?{GUARDED} <~> {_FROM} <A>",
    "(?:<B>|<Q>) is under the protection of <A>",
    f"<B> <~> (?:<HAS>|enjoys|gets|receives|needs) <~> (?:the )?{KINDLY}{_HELP} (?:of|from|by) <A>",
    "<B> <~> (?:relies|depends|leans|is relying|is depending|is dependent|counts) on <A>", "<B> <IS> <~> safe because of <A>",
    f"<A> <~> (?:gives|lends|offers|provides|grants|gave) {KINDLY}{_HELP} (?:to|for) <B>", f"<A> <~> (?:gives|lends|offers|provides|grants|gave) <B> {KINDLY}{_HELP}",
    "<A> <IS> <~> (?:the )?(?:only |sole |main |important )?(?:defender|protector|guard|guardian|bodyguard|protection) (?:of|for) <B>",
    "(?:the )?(?:only |sole |main )?(?:defender|protector|guard|guardian) of <B> <IS> <~> <A>",
    "<A> <~> (?:keeps|has|makes) <B> <~> (?:safe|protected|defended|guarded|covered|alive|secure)",
)  # fmt: skip
RULES.say(
    "hanging_pawns", "hanging pawns",
    "<S> <HAS> <~> (?:the |a pair of )?(?:[a-z-]+ ){0,2}hanging pawns(?: on (?:the )?<F>(?: file)? and (?:the )?<G>(?: files?)?)?",
    "<P> hanging pawns on (?:the )?<F>(?: file)? and (?:the )?<G>(?: files?)?", "(?:these|those|they) are <~> hanging pawns",
    "<P> pawns on (?:the )?<F>(?: file)? and (?:the )?<G>(?: files?)? (?:are|form|have become) <~> (?:the )?hanging pawns",
    "<P> <F> and <G> pawns (?:are|form|have become) <~> (?:the )?hanging pawns",
    "(?:the )?<F> and <G> pawns are <~> hanging pawns",
)  # fmt: skip
_FREE = "(?:for free|for nothing|free of charge|without compensation|as a gift|at no cost)"
_WON = "(?:taken|captured|won|grabbed|had|picked up|collected|eaten|snapped up|pocketed)"
RULES.say(
    "hanging", "hang|hung|en-prise|for free|free|no cost|for nothing|for the taking|up for grabs|grabs|gift",
    "<A> (?:<IS>|<IS> left|stands|sits|stays|remains) <~> (?:just |simply )?(?:standing |sitting |left |there )*(?:hanging|en-prise|left hanging|for the taking|up for grabs|there for the taking)(?! by a)",
    "<A> (?:<IS> )?<~> hangs(?! on)", f"(?:leaves|leaving|left|has left|leaves behind) <A> <~> (?:hanging|en-prise|to be {_WON} {_FREE}|for the taking)",
    "<S> <HAS> <~> (?:a|the|his|her|1) (?P<man>pawn|knight|bishop|rook|queen) <~> (?:hanging|en-prise|loose) (?:on|at) <Q>", "<S> (?:hangs|has hung|hung|is hanging|has hanged|hanged) <A>", f"<S> <~> (?:is losing|loses|drops|gives away|gives up|gave away|lost|is giving away) <A> <~> {_FREE}", f"<A> (?:can|could) <~> (?:just |simply )?be <~> {_WON} <~> {_FREE}",
    f"{ANYONE} (?:can|could|gets to|gets|wins) <~> (?:just |simply )?(?:win|take|have|grab|pick up|capture|collect|eat|pocket|get)? ?<A> <~> {_FREE}",
    "<A> <~> (?:hanging|en-prise)(?= (?:there|here|and|now|too|as)| $)", "the hanging (?!pawns?)<A>", f"<A> <IS> <~> (?:free for the taking|there {_FREE}|a free (?:pawn|piece|rook|knight|bishop|queen))",
)  # fmt: skip
_NOBODY = "(?:nothing|nobody|no piece|no pieces|no 1|none of (?:his|her|the|their) pieces|no pawn or piece)"
RULES.say(
    "undefended", "0 defend|protection|lacks|defender|undefended|unprotected|nothing|nobody|no protection|no defender|loose|no piece|unguarded|no 1|without|none|no ",
    "<A> (?:<IS>|stands|sits|remains|stays) <~> (?:there |left |standing |sitting )*(?:completely |totally )?(?:undefended|unprotected|unguarded|a loose piece|loose|without (?:any |a |1 |even a )?(?:protection|defender|defense|support|help|protector))",
    f"{_NOBODY} <~> {GUARD} <A>", f"{_NOBODY} (?:at all )?<~> {GUARD} <A>",
    "<A> <HAS> <~> (?:no|0) (?:protection|defender|defenders|defense|support|protector|protectors|guard|guards)",
    f"there is <~> {_NOBODY} <~> (?:defending|protecting|guarding|to defend|to protect|to guard) <A>",
    "<S> <HAS> <~> (?:an undefended|a loose|an unprotected) <A>", "<A> <~> (?:lacks|needs) (?:any |all |every )?(?:a defender|a protector|protection|defense)",
)  # fmt: skip
RULES.say(
    "attacks", _HIT_KEYS,
    f"<A> <~> {HIT} (?:both )?{TARGETS}", f"<A> <~> {HIT} <~> (?:<B>|<Q>)",
    "<B> <IS> <~> under (?:attack|fire)", "<B> <IS> <~> (?:attacked|being attacked)(?! (?:twice|once|thrice|\\d))",
)  # fmt: skip
RULES.say(
    "attacks", "attack|hit|eye|eying|target|threaten",
    f"{IT_DOES} <~> {HIT} <~> (?:<B>|<Q>)",
)  # fmt: skip
RULES.say(
    "attacks", "attacking|hitting|eyeing|eying|targeting",
    "(?<=, )(?:now |also |and )*(?:attacking|hitting|eyeing|eying|targeting) <~> (?:<B>|<Q>)(?! (?:or|and))", a="it",
)  # fmt: skip
RULES.say(
    "defends", _GUARD_KEYS,
    "<A> <IS> <~> (?:tied|bound|chained|committed|devoted|dedicated|nailed|glued|confined|reduced) <~> to (?:the )?(?:defense|protection|defending|protecting|guarding|covering)(?: of)? (?:<B>|<Q>)", f"<A> <~> {GUARD} <~> (?:<B>|(?:the )?<Q>(?: square)?)", f"{IT_DOES} <~> {GUARD} <~> (?:<B>|<Q>)",
    "<A> <~> (?:keeps|has|gives|lends) <B> <~> (?:protected|defended|guarded|covered|support|protection)",
    f"<B> <IS> <~> (?:solidly |well |firmly |safely |securely )*{GUARDED}(?! (?:twice|once|thrice|\\d|by|from))",
)  # fmt: skip
