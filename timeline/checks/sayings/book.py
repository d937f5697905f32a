"""What the rules of all kinds share: how a rule is written, and words that many of them use."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

import re

from timeline.checks.grammar import Rule


class Book(list[Rule]):
    """Rules in order, most specific first."""

    def say(self, kind: str, keys: str, *templates: str, **fixed: str) -> None:
        """Ways of saying ``kind``; a sentence must hold one of ``keys`` (parted by a stroke) to be looked at."""
        self.extend(Rule(kind, tuple(keys.split("|")), template, fixed) for template in templates)


BE = "(?:(?:it|that|this|which|here|there) <IS>|that 's|we have|we get|we see|(?:here|there) comes(?: the)?|and|what we have here is|what we have is)"
END = r"(?! (?:in|if|what|whether|out|how|your|my|for|that|the|mate|mated|when|means|is|has|must|can|would|could|was))"
IT = "(?:(?:it|that|this|which|here|there) <IS>|that 's|what we have here is|what we have is)"
OVER = r"(?! (?:in|if|can|could|must|may|might|should|threat|threats|stuff|to|soon|next|follows|attack|net|pattern|would|will|when|means|was not|coming|on the next|material|with|trick|idea|by|eventually|later|after|on [a-h][1-8] to|on [a-h][1-8] next))"
NICE = "(?:nasty |annoying |nice |strong |powerful |deadly |simple |quiet |little |useful |spite |last |final |free |cheeky |big |terrible |dangerous |harmless |beautiful |pesky |silly |easy |clever )*"
_PAST = {"hit": "hit", "hold": "held", "keep": "kept", "bear": "bore", "strike": "struck", "put": "put", "set": "set"}
_RIGHT = "(?:(?:[a-z]+ly|straight|right|again|now|just|still|also|already|here|there|only|even|very|indeed|too|both|all) )*"
"""Between a verb and its preposition: fewer words than elsewhere, as it stands in many branches."""
_DOUBLED = frozenset("pin hit set put grab prop underpin babysit prod jab".split())


def _forms(word: str) -> list[str]:
    """A verb's base, third person, participle and past: "press" gives presses, pressing, pressed."""
    stem = word[:-1] if word.endswith("e") and not word.endswith("ye") else word
    stem += word[-1] if word in _DOUBLED else ""
    third = word + ("es" if re.search(r"(?:s|sh|ch|x)$", word) else "s")
    return [word, third, f"{stem}ing", _PAST.get(word, f"{stem}ed")]


def verb(*verbs: str, also: str = "") -> str:
    """Verbs that take an object, in every form: "aim at" is "aims at", "is aiming straight at", "can be aiming at".

    ``also``: phrases that do the same work, parted by strokes.
    """
    by_rest: dict[str, list[str]] = {}
    for text in verbs:
        word, _, rest = text.partition(" ")
        to_viewer = word in ("look", "watch", "take") and rest not in ("after", "out for")  # "look at the knight"
        forms = _forms(word)[to_viewer:]
        by_rest.setdefault(rest, []).extend(forms)
    # Verbs that share their preposition share one branch: the adverbs' pattern is long. Bare verbs come last.
    found = [
        f"(?:{'|'.join(forms)})" + (f" {_RIGHT}{rest}" if rest else "")
        for rest, forms in sorted(by_rest.items(), key=lambda item: not item[0])
    ]
    return f"(?:(?:<IS> |keeps |starts |begins )?<~> (?:{'|'.join(found)}{'|' + also if also else ''}))"


HIT = verb(
    "attack", "hit", "strike at", "strike", "assault", "bear down on", "bear on", "target", "eye", "aim at", "point at", "look at",
    "look down at", "stare at", "stare down", "gaze at", "glare at", "threaten", "menace", "pressure", "pressurize", "press", "press on", "go after",
    "hit on", "attack on", "harass", "bother", "shoot at", "fire at", "focus on", "take aim at", "put pressure on", "exert pressure on",
    "keep pressure on", "keep an eye on", "set its sights on", "zero in on", "home in on", "poke at", "prod", "nudge", "jab at", "peck at", "nibble at", "gnaw at", "tease", "needle", "pester", "take on", "take a shot at", "bite into", "lock on to", "tickle", "annoy", "challenge",
    also="(?:goes|going|gone|went|gunning|guns|hunting) (?:straight )?(?:after|for)|(?:breathes|breathing) down the neck of|puts the question to|takes dead aim at|<IS> (?:straight )?<,> (?:locked on to|homing in on|zeroing in on|aimed at|trained on|after|directed at|pointed at|focused on|fixed on|eying)|(?:has|have) (?:its|his|her|an) (?:eye|eyes|sights|sight) "
    "(?:set |fixed |trained )?on|(?:has|have|puts|exerts) <,> (?:strong |some |a lot of |great |heavy )?pressure on|makes an attack on",
)  # fmt: skip
GUARD = verb(
    "defend", "protect", "guard", "cover", "support", "look after", "watch over", "hold", "back up", "over-protect",
    "secure", "babysit", "nurse", "mind", "insure", "keep watch over", "look out for", "prop up", "bolster", "reinforce", "underpin", "shore up", "take care of", "stand guard over", "keep guard of", "stand up for",
    also="(?:<IS> <~> (?:there|here|needed|placed|tied|bound|used|busy|in charge of|responsible for) |helps |serves |has the job )?<~> "
    "(?:to |of |with )?(?:defend|protect|guard|cover|support|defending|protecting|guarding|covering)",
)  # fmt: skip
GUARDED = "(?:defended|protected|guarded|covered|supported|backed up|held|looked after|secured|shielded)"
TAKE = "(?:take|takes|capture|captures|grab|grabs|snatch|snap off|snap up|eat|win|pick off|pick up|remove|gobble up|chop|chop off|help itself to|pocket|nab|bag|swipe|scoop up|scoop|devour|swallow|gobble|collect|munch|nick|steal|hoover up|have)"
TO_KING = "(?:to|against|on|onto|in front of) (?:the |his |her |its |their |white 's |black 's |my |our )?(?:own )?"
TARGETS = "<B>(?: on <Q>)? and (?:also )?<C>"
KINDLY = "(?:[a-z-]+ ){0,2}"
"""Up to two words that only colour a noun: "a really nasty pin"."""
IT_DOES = "(?P<a>it|this|that|which)"
"""The piece that has just moved, or one named before, does something."""
ANYONE = "(?:white|black|he|she|they|we|i|you|opponent)"
"""A side that does something to a piece of the other."""
