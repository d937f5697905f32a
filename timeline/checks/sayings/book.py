"""What the rules of all kinds share: how a rule is written, and words that many of them use."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.grammar import Rule


class Book(list[Rule]):
    """Rules in order, most specific first."""

    def say(self, kind: str, keys: str, *templates: str, **fixed: str) -> None:
        """Ways of saying ``kind``; a sentence must hold one of ``keys`` (parted by a stroke) to be looked at."""
        self.extend(Rule(kind, tuple(keys.split("|")), template, fixed) for template in templates)


BE = "(?:(?:it|that|this|which|here|there) <IS>|that 's|we have|we get|we see|here comes|and|what we have here is|what we have is)"
END = r"(?! (?:in|if|what|whether|out|how|your|my|for|that|the|mate|mated|when|means|is|has|must|can|would|could|was))"
IT = "(?:(?:it|that|this|which|here|there) <IS>|that 's|what we have here is|what we have is)"
OVER = r"(?! (?:in|if|threat|threats|stuff|to|soon|next|follows|attack|net|pattern|would|will|when|means|was not|coming|on the next|material|with|trick|idea|by|eventually|later|after|on [a-h][1-8] to|on [a-h][1-8] next))"
NICE = "(?:nasty |annoying |nice |strong |powerful |deadly |simple |quiet |little |useful |spite |last |final |free |cheeky |big |terrible |dangerous |harmless |beautiful |pesky |silly |easy |clever )*"
HIT = "(?:attacks|is attacking|hits|is hitting|strikes at|attacked|assaults|bears down on|is bearing down on|targets|"
HIT += "is targeting|eyes|is eyeing|is eying|aims at|is aiming at|is aimed at|points at|is pointing at|looks at|"
HIT += "is looking at|threatens|is threatening|menaces|has its eye on|is trained on|bears on|is bearing on|attack|hit|is staring at|stares at|pressures|is pressuring|puts pressure on|is putting pressure on|is hitting on|"
HIT += "is pressing on|presses|takes aim at|is attacking on|looks down at|is after|goes after|keeps an eye on)"
GUARD = "(?:defends|is defending|protects|is protecting|guards|is guarding|covers|is covering|supports|is supporting|"
GUARD += (
    "looks after|is looking after|watches over|is watching over|holds|is holding|backs up|is backing up|over-protects)"
)
GUARDED = "(?:defended|protected|guarded|covered|supported|backed up|held|looked after|secured)"
TAKE = (
    "(?:take|takes|capture|captures|grab|grabs|snatch|snap off|eat|win|pick off|pick up|remove|gobble up|chop|chop off)"
)
TO_KING = "(?:to|against|on|onto|in front of) (?:the |his |her |its |their |white 's |black 's |my |our )?(?:own )?"
TARGETS = "<B>(?: on <Q>)? and (?:also )?<C>"
