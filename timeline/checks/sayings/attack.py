"""How teachers speak of: attack and defence."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import GUARD, GUARDED, HIT, TAKE, TARGETS, Book

RULES = Book()

RULES.say(
    "attack_defend", "defend|protect|guard",
    f"(?:<A>|<Q>) (?:<IS> )?<~> attacked <T> (?:and|but|while) (?:it is |is |only |just )*{GUARDED} (?:only |just )?<U>",
    "(?:<A>|<Q>) has <N> attackers and (?:only |just )?<M> defenders?", "<N> attackers (?:and|against|versus) (?:only |just )?"
    "<M> defenders? (?:on|of|for) (?:<A>|<Q>)",
)  # fmt: skip
RULES.say(
    "attackers", "attack|hits|hit|aim|pointing|under fire|bear|trained",
    "(?:<A>|<Q>) <IS> <~> attacked (?:by|from) <~> <N> (?:<S> )?(?:pieces|men|units|attackers|of <P> pieces)", "<N> (?:<S> )?(?:pieces|men) <~> (?:bear on|are trained on|are aimed at|are attacking|are bearing on|are hitting) (?:<A>|<Q>)",
    "(?:<A>|<Q>) <IS> <~> (?:attacked|under attack|hit|being attacked|under fire) <~> <T>(?: by <S>)?", "<S> <HAS> <~> <N> (?:attackers|attacks|pieces) (?:attacking |aimed at |"
    "aiming at |pointing at |hitting |on |bearing on |looking at )(?:<A>|<Q>)",
    "(?:there are |we have )?<N> (?:<S> )?(?:pieces|attackers|men|units)(?: are)? <~> (?:attack|attacking|hit|hitting|aiming at|"
    "pointing at|bearing down on|aim at|eyeing|on) (?:<A>|<Q>)", "<S> (?:attacks|hits|is attacking|is hitting|attack|hit|"
    "pressures) (?:<A>|<Q>) <~> <T>", "(?:<A>|<Q>) has <N> attackers",
)  # fmt: skip
RULES.say(
    "defenders", "defen|protect|guard|cover|support",
    f"(?:<A>|<Q>) <IS> <~> {GUARDED} <~> (?:by|with) <~> <N> (?:<S> )?(?:pieces|men|units|defenders)",
    f"(?:<A>|<Q>) <IS> <~> {GUARDED} <~> <T>(?: by <S>)?", "<S> <HAS> <~> <N> (?:defenders|guards|protectors|pieces defending|"
    "pieces protecting|pieces guarding) (?:of |for |on |around )?(?:<A>|<Q>)", "(?:<A>|<Q>) has <N> (?:defenders|protectors|guards)",
    "<N> (?:<S> )?(?:pieces|defenders|men) <~> (?:defend|protect|guard|defending|protecting|guarding|cover) (?:<A>|<Q>)",
    f"<S> {GUARD[:-1]}|defend|protect|guard|cover) (?:<A>|<Q>) <~> <T>",
)  # fmt: skip
RULES.say(
    "can_capture", "can|could|able|may|allowed",

    "<B> (?:can|could|may) <~> be (?:taken|captured|grabbed|won|picked off|picked up|snapped off) <~> (?:by|with) <A>",
    f"<A> (?:can|could|may|is able to) <~> {TAKE} <~> (?:on )?(?:<B>|<Q>)",
)  # fmt: skip
RULES.say(
    "attacked_by", "attack|under|hit|fire",
    "<B> <IS> <~> (?:attacked|hit|targeted|under attack|under fire) <~> (?:by|from) <A>",
    "<B> <~> (?:comes|came|is coming) under (?:attack|fire) (?:by|from) <A>",
)  # fmt: skip
RULES.say(
    "defended_by", "defend|protect|guard|cover|support|held|backed",
    f"(?:<B>|<Q>) <IS> <~> {GUARDED} <~> (?:by|from) <A>", "(?:<B>|<Q>) is under the protection of <A>",
)  # fmt: skip
RULES.say(
    "hanging_pawns", "hanging pawns",
    "<S> <HAS> <~> (?:the |so-called |the so-called )?hanging pawns(?: on (?:the )?<F>(?: file)? and (?:the )?<G>(?: files?)?)?",
    "<P> hanging pawns on (?:the )?<F>(?: file)? and (?:the )?<G>(?: files?)?", "(?:these|those|they) are <~> hanging pawns",
    "(?:the )?<F> and <G> pawns are <~> hanging pawns",
)  # fmt: skip
RULES.say(
    "hanging", "hang|en-prise|for free|free",
    "<A> (?:<IS>|<IS> left) <~> (?:just |simply )?(?:hanging|en-prise|left hanging|for the taking|up for grabs)",
    "<A> (?:<IS> )?<~> hangs", "(?:leaves|leaving|left|has left|leaves behind) <A> <~> (?:hanging|en-prise|to be taken for free)",
    "<S> (?:hangs|has hung|hung|is hanging) <A>", "<A> (?:can|could) <~> (?:be|simply be|just be) (?:taken|captured|won|grabbed) "
    "(?:for free|for nothing)", "<A> <~> (?:hanging|en-prise)(?= (?:there|here|and|now|too|as)| $)",
    "the hanging <A>", "<A> <IS> <~> free for the taking",
)  # fmt: skip
RULES.say(
    "undefended", "undefended|unprotected|nothing|nobody|no protection|no defender|loose|no piece|unguarded|no 1|without",
    "<A> <IS> <~> (?:completely |totally )?(?:undefended|unprotected|unguarded|a loose piece|loose|without (?:protection|a defender|"
    "any protection|defense|support|any defense|any support))", "(?:nothing|nobody|no piece|no 1|none of (?:his|her|the) pieces) "
    "<~> (?:defends|protects|guards|is defending|is protecting|covers|supports|is guarding|looks after) <A>",
    "<A> has no (?:protection|defender|defenders|defense|support|protector|protectors)",
    "<A> <IS> <~> (?:defended|protected|guarded) by (?:nothing|nobody|no 1)", "there is (?:nothing|nobody) (?:defending|protecting|"
    "guarding) <A>", "<S> <HAS> <~> (?:an undefended|a loose|an unprotected) <A>",
)  # fmt: skip
RULES.say(
    "attacks", "attack|hit|threaten|menace|trained|target|eye|aim|point|look|star|press|strike|bear|after|assault",
    f"<A> <~> {HIT} (?:both )?{TARGETS}", f"<A> <~> {HIT} <~> (?:<B>|<Q>)",
    "<B> <IS> <~> under (?:attack|fire)", "<B> <IS> <~> (?:attacked|being attacked)(?! (?:twice|once|thrice|\\d))",
)  # fmt: skip
RULES.say(
    "defends", "defend|protect|guard|cover|support|look|watch|hold|back",
    f"<A> <~> {GUARD} <~> (?:<B>|(?:the )?<Q>(?: square)?)",
    "<A> <~> (?:keeps|has|gives|lends) <B> <~> (?:protected|defended|guarded|covered|support|protection)", "<A> <~> (?:gives|lends) <~> (?:protection|support) to <B>",
    f"<B> <IS> <~> (?:solidly |well |firmly |safely |securely )*{GUARDED}(?! (?:twice|once|thrice|\\d|by|from))",
)  # fmt: skip
