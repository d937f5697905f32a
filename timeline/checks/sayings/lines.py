"""How teachers speak of: pins, forks, skewers, batteries."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import TARGETS, TO_KING, Book

RULES = Book()

RULES.say(
    "pinned_to", "pin",
    f"<A> <IS> <~> pinned <~> {TO_KING}<PIECE>", f"<A> (?:<IS> )?<~> (?:in|stuck in|caught in|sitting in|under) (?:a|an|the) "
    f"(?:nasty |awkward |absolute |relative |deadly )?pin {TO_KING}<PIECE>",
    f"(?:pins|pinning|pinned|has pinned) (?:down )?<A> {TO_KING}<PIECE>", f"pin on <A> {TO_KING}<PIECE>",
    f"<A> (?:<~> )?(?:can not|may not|is not able to) move <~> because (?:it is|of the pin|he is|she is) pinned {TO_KING}<PIECE>",
    "<A> <IS> <~> absolutely pinned", "<A> <IS> <~> in an absolute pin",
)  # fmt: skip
RULES.say(
    "pins", "pin",
    "<A> <~> (?:pins|is pinning|pins down|is pinning down|pinned|has pinned|puts a pin on|keeps pinned) (?:down )?<B>",
    "<B> <IS> <~> pinned (?:down )?by <A>", "(?:a|the) pin (?:of|by) <A> (?:on|against) <B>",
    "<A> <HAS> <~> <B> <~> pinned",
)  # fmt: skip
_NOT_BY = (
    r"(?! (?:by its|by his|by her|in its|by the (?:threat|need|weakness)|to (?:the defense|its|defending|protecting)))"
)
RULES.say(
    "pinned", "pin",
    f"<A> <IS> <~> (?:absolutely |relatively )?pinned(?: down)?{_NOT_BY}",
    "<A> (?:<IS> |finds itself |finds himself |finds herself |got |gets |fell |falls |ended up |ends up )?<~> (?:in|into|stuck in|caught in|trapped in|sitting in|under|suffering from) (?:a|an|the|this) "
    "(?:nasty |awkward |terrible |annoying |deadly |painful )?pin", "pin (?:on|against|of) <A>",
    "<A> (?:can not|may not|is not able to) <~> (?:move|run|go anywhere) because (?:it is|he is|she is|of the) <~> (?:pinned|pin)",
    "<S> (?:<HAS>|<IS>) <~> (?:pinned|pinning) <A>", "pinning <A>",
)  # fmt: skip
RULES.say(
    "fork", "fork|attacks both|both attacked|double attack|attacks 2",
    f"<A> <~> (?:forks|is forking|forked|has forked|is now forking) (?:both )?{TARGETS}",
    f"<S> <IS> <~> forking {TARGETS}", f"(?:it is |that is |this is |with )?a (?:royal |family |nice |deadly )?fork (?:of|on|"
    f"between|against) {TARGETS}", f"(?:a )?fork <A> (?:attacks|hits) (?:both )?{TARGETS}",
    f"<A> (?:attacks|hits|is attacking|is hitting) (?:both )?{TARGETS}(?: at once| at the same time| simultaneously)",
    f"(?:forking|forks) (?:both )?{TARGETS}", f"(?:a )?fork (?:from|by|with) <A> (?:hitting|attacking|on|against|of|that hits|that attacks) (?:both )?{TARGETS}", "<A> <~> (?:gives|makes|creates|has|delivers) a fork",
    "(?:it is|that is|this is|we have|there is) <~> (?:a|the) (?:royal |family |nice |knight |pawn |deadly |classic |textbook )*fork",
    f"(?:in )?a fork with <A>(?: on {TARGETS})?", "<A> <~> forks <B>",
)  # fmt: skip
RULES.say(
    "skewer", "skewer",
    "(?:a )?skewer (?:with )?(?:the )?<B> (?:is )?in front (?:and|with) (?:the )?<C> (?:is )?behind(?: it)?",
    f"<A> <~> (?:skewers|is skewering|skewered) {TARGETS}", "<A> <~> (?:skewers|is skewering) <B>(?: (?:to|against|with) <C>)?",
    "(?:it is |that is |this is |with |a |another )<~> (?:a )?skewer(?: (?:of|on|against) <B> (?:and|to) <C>)?", "skewering <B> (?:and|to) <C>",
)  # fmt: skip
RULES.say(
    "battery", "battery|lined up|batteries|line up",
    "<A> (?:and|with|together with|along with|plus|combined with) <B> <~> (?:form|forms|make|makes|create|creates|build|builds|are forming|are in|is in|set up|sets up|are lined up in|combine for|combine in|are|is|give|gives) <~> "
    "(?:a |an )?(?:nice |powerful |strong |deadly )?battery(?: on the <F> file)?",
    "<S> (?:has|have|is|sets up|builds|forms|has set up|has built|'s|creates)(?: lined up| got)? (?:a |an )?(?:<A> and <B> (?:in|as) "
    "(?:a |an )?)?battery(?: on the <F> file)?",
    "(?:a )?battery (?:of|with|between) <A> and <B>(?: on the <F> file)?", "a battery on the <F> file",
    "<A> (?:is )?(?:lined up )?(?:behind|in front of) <B> <~> (?:in|as|forming|forms|making) a battery",
    "(?:lined|lining) up <A> and <B>(?: in a battery)?(?: on the <F> file)?",
)  # fmt: skip
RULES.say(
    "xray", "x-ray",
    "<A> <~> (?:x-rays|is x-raying|x-rayed) (?:<B>|<Q>)", "x-ray (?:attack )?(?:on|against|at|to) (?:<B>|<Q>)(?: from <A>)?",
    "<A> <HAS> <~> an x-ray (?:attack )?(?:on|against|to) (?:<B>|<Q>)", "<A> <~> (?:attacks|defends|eyes|protects) "
    "(?:<B>|<Q>) (?:by x-ray|with an x-ray|through)",
)  # fmt: skip
