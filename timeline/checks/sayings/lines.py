"""How teachers speak of: pins, forks, skewers, batteries."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import IT_DOES, KINDLY, TARGETS, TO_KING, Book, verb

RULES = Book()

PIN = verb(
    "pin",
    "pin down",
    "freeze",
    "paralyze",
    also="puts a pin on|keeps pinned|has pinned(?: down)?|has a pin on|creates a pin on",
)
PINNED = "(?:pinned(?: down)?|frozen by a pin|paralyzed by a pin|held by a pin|stuck because of a pin)"
IN_PIN = f"(?:in|into|under|suffering from|victim of|a victim of) (?:a|an|the|this) {KINDLY}pin"
SITS = "(?:(?:<IS>|finds itself|finds himself|finds herself|got|gets|fell|falls|ended up|ends up|has fallen|sits|stands) <~> )?(?:stuck |caught |trapped |sitting |standing |held |locked )?"

RULES.say(
    "pinned_to", "pin",
    f"<A> <IS> <~> {PINNED} <~> {TO_KING}<PIECE>", f"<A> {SITS}{IN_PIN} {TO_KING}<PIECE>",
    f"{PIN} <A> {TO_KING}<PIECE>", f"pin (?:on|of) <A> {TO_KING}<PIECE>",
    f"<A> (?:can not|may not|is not able to) move <~> because (?:it is|of the pin|he is|she is) pinned {TO_KING}<PIECE>",
    "<A> <IS> <~> absolutely pinned", "<A> <IS> <~> in an absolute pin",
)  # fmt: skip
RULES.say(
    "pins", "pin",
    f"<A> <~> {PIN} <B>", f"{IT_DOES} <~> {PIN} <B>", f"<B> <IS> <~> {PINNED} <~> by <A>", f"<B> {SITS}{IN_PIN} (?:from|by|of) <A>",
    f"(?:a|the) {KINDLY}pin (?:of|by|from) <A> (?:on|against) <B>", f"(?:a|the) {KINDLY}pin (?:on|against|of) <B> (?:by|from|with) <A>(?! (?:behind|at the back|at its back|in the back|standing behind|right behind)(?= ))",
    "<A> <HAS> <B> <~> (?:pinned|in a pin)", f"<A> <~> (?:puts|put|has put|places|keeps|holds|has) <B> {IN_PIN}",
    f"<A> <~> (?:creates|makes|sets up|gives|is|forms|establishes) (?:a|an) {KINDLY}pin (?:on|of|against) <B>",
)  # fmt: skip
_NOT_BY = (
    r"(?! (?:by its|by his|by her|in its|by the (?:threat|need|weakness)|to (?:the defense|its|defending|protecting)))"
)
RULES.say(
    "pinned", "pin",
    f"<A> <IS> <~> (?:absolutely |relatively )?{PINNED}{_NOT_BY}", f"<A> {SITS}{IN_PIN}", f"<Q> <IS> <~> {PINNED}(?! (?:to|by|against))", "pin (?:on|against) (?!the (?:king|queen)(?! on| at))<A>",
    "<A> (?:can not|may not|is not able to) <~> (?:move|run|go anywhere) because (?:it is|he is|she is|of the) <~> (?:pinned|pin)",
    "<S> (?:<HAS>|<IS>) <~> (?:pinned|pinning) <A>", "pinning <A>",
)  # fmt: skip
_FORK = f"(?:fork|{KINDLY}fork|{KINDLY}double attack)"
RULES.say(
    "fork", "fork| 2 things| 2 pieces| 2 men|attacks both|both attacked|double attack|attacks 2|at the same time|at once|simultaneously|immediately",
    f"<A> <~> {verb('fork', 'double attack')} (?:both )?{TARGETS}", f"{IT_DOES} <~> {verb('fork', 'double attack')} (?:both )?{TARGETS}", f"<S> <~> {verb('fork')} (?:both )?{TARGETS}",
    f"<A> <~> (?:<IS> )?(?:gives|makes|creates|has|delivers|giving|making|delivering|executes|plays|lands|with|forms|sets up) (?:a|the|this) {_FORK} (?:of|on|to|against|between) (?:both )?{TARGETS}",
    f"(?:<A> )?(?:it is |that is |this is |with )?(?:a|the|this) {_FORK} (?:of|on|to|between|against) (?:both )?{TARGETS}",
    f"(?:a )?fork <A> (?:attacks|hits) (?:both )?{TARGETS}",
    f"<A> <~> {verb('attack', 'hit', 'threaten', 'target', 'eye')} (?:both )?{TARGETS} (?:immediately|at the same time|simultaneously|in 1 go|with 1 move)",
    f"{verb('fork')} (?:both )?{TARGETS}", f"<A> <~> {verb('attack', 'hit')} 2 (?:pieces|things|men)(?: immediately| at the same time)?(?: ,|:)? {TARGETS}",
    f"(?:a )?{_FORK} (?:from|by|with) <A> (?:hitting|attacking|on|against|of|that hits|that attacks) (?:both )?{TARGETS}",
    "<B> and <C> ,? ?<~> (?:both )?(?:attacked|hit|forked) <~> by <A>", "<B> and <C> <IS> <~> (?:both )?(?:forked|attacked immediately|under attack at the same time)(?: by <A>)?",
    "<A> <~> (?:gives|makes|creates|has|delivers) a fork",
    f"(?:it is|that is|this is|we have|there is) <~> (?:a|the) {_FORK} (?:from|by|with) <A>",
    f"(?:it is|that is|this is|we have|there is) <~> (?:a|the) {KINDLY}fork",
    f"(?:in )?a fork with <A>(?: on {TARGETS})?", f"<A> <~> {verb('fork')} <B>",
)  # fmt: skip
_SKEWER = verb("skewer")
RULES.say(
    "skewer", "skewer",
    "(?:a )?skewer (?:here |there )?(?:, )?(?:with )?(?:the )?<B> (?:is )?in front (?:and|with) (?:the )?<C> (?:is )?behind(?: it)?",
    f"<A> <~> {_SKEWER} {TARGETS}", f"<A> <~> {_SKEWER} <B>(?: (?:to|against|with|and behind it|and then) <C>)?",
    f"<A> <~> (?:has|puts|put|holds|gets|catches) {TARGETS} (?:on|in) a {KINDLY}skewer",
    "<B> <IS> <~> skewered (?:to|against|with) <C>(?: by <A>)?", "<B> and <C> <IS> <~> (?:skewered|on a skewer|in a skewer)(?: by <A>)?",
    f"<A> <~> (?:makes|gives|is|has|creates|delivers) (?:a|an) {KINDLY}skewer(?: (?:of|on|against) <B> (?:and|to) <C>)?",
    f"(?:it is |that is |this is |with |there is |we have |a |another )<~> (?:a )?{KINDLY}skewer(?: (?:of|on|against|through) <B> (?:and|to) <C>)?(?: by <A>)?",
    "skewering <B> (?:and|to) <C>",
)  # fmt: skip
_TOGETHER = (
    "(?:(?:<IS>|stand|stands|line up|work|works|act|acts|cooperate|combine|team up|come together|join forces|lined up|operate) <~> (?:together )?)?"
    "(?:on the same (?:line|file|diagonal|rank) (?:and |, |as |forming )?)?"
)
RULES.say(
    "battery", "battery|lined up|batteries|line up",
    f"<A> (?:and|with|together with|along with|plus|combined with) <B> <~> (?:both )?{_TOGETHER}(?:(?:they|that|it|which) )?(?:form|forms|forming|make|makes|making|create|creates|creating|build|builds|building|are|is|in|as|for|to form|to make|into|set up|sets up|give|gives|, )? ?"
    f"(?:a |an )?{KINDLY}battery(?: on the <F> file)?",
    f"<S> <HAS> <~> (?:lined up |set up |built |made )?(?:a |an )?{KINDLY}battery (?:with|of|from) <A> (?:and|with) <B>",
    "<S> (?:has|have|is|sets up|builds|forms|has set up|has built|'s|creates)(?: lined up| got)? (?:a |an )?(?:<A> and <B> (?:in|as) "
    f"(?:a |an )?)?{KINDLY}battery(?: on the <F> file)?",
    f"(?:a )?{KINDLY}battery (?:of|with|between) <A> and <B>(?: on the <F> file)?", "a battery on the <F> file",
    f"<A> (?:is )?(?:lined up )?(?:behind|in front of) <B> <~> (?:in|as|forming|forms|making|is|, )? ?a {KINDLY}battery",
    "(?:lined|lining) up <A> (?:and|with) <B>(?: in a battery)?(?: on the <F> file)?",
)  # fmt: skip
RULES.say(
    "xray", "x-ray|through",
    f"<A> <~> {verb('x-ray')} (?:<B>|<Q>)",
    "<A> <~> (?:<HAS>|gives|makes|creates) <~> an x-ray (?:attack |view )?(?:on|against|to|at) (?:<B>|<Q>)",
    "<A> <~> (?:attacks|defends|eyes|protects|hits|sees|looks at) (?:<B>|<Q>) (?:by x-ray|with an x-ray|through)",
    "<A> <IS> <~> (?:looking|peeking|peering|staring|shining) <~> through (?:at|to|towards|on) (?:<B>|<Q>)", "<A> <~> (?:looks|peeks|peers|stares|shines) <~> through (?:at|to|towards|on) (?:<B>|<Q>)",
    "x-ray (?:attack )?(?:from|by|of) <A> (?:on|against|at|to) (?:<B>|<Q>)",
    "x-ray (?:attack )?(?:on|against|at|to) (?:<B>|<Q>)(?: (?:from|by) <A>)?",
)  # fmt: skip
