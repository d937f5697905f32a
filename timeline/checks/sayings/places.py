"""How teachers speak of: where things stand."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import Book

RULES = Book()

_STANDS = (
    "(?:stands|sits|lives|stays|rests|resides|waits|lurks|hides|[a-z]+ing(?<!going)(?<!coming)(?<!moving)(?<!landing)|standing|sitting|placed|posted|parked|located|stationed|situated|lodged|"
    "[a-z]+ing|found|perched|planted|residing|waiting|lurking|housed|camped|settled|landed|arrived|anchored|ended up|wound up|installed|established|living|resting)"
)
_MAN = "(?P<man>king|queen|rook|bishop|knight|pawn)"
# "A pawn break", "a queen trade": no piece stands there.
_COMPOUND = (
    "(?! (?:on|at|break|breaks|storm|structure|majority|chain|race|push|advance|lever|move|trade|exchange|sacrifice|sac|"
    "ending|endgame|lift|fork|check|side))"
)
RULES.say(
    "standing", "on|at",
    f"on <Q> (?:there (?:is|was|stands|sits)|stands|sits) <~> (?:<P> )?{_MAN}{_COMPOUND}", f"<Q> <IS> <~> occupied by <~> <P> {_MAN}",
    "on <Q> there is <~> (?:a|an|the) (?:(?P<side>white|black) )?(?P<man>king|queen|rook|bishop|knight|pawn)" + _COMPOUND, "there <IS> <~> (?:a |an |the |that |this |still a )?<A>", "<S> <HAS> <~> <A>", f"<P> {_MAN} <IS> <~> (?:on|at) <Q>", f"<S> has <P> {_MAN} on <Q>",
    f"<P> {_MAN} (?:<IS> |has |have )?<~> {_STANDS} <~> (?:on|at) <Q>",
    "(?<!with )(?<!and )(?=(?:the|this|that|his|her|my|our|your|white 's|black 's) )<A>", "(?<= with )(?=(?:this|that) )<A>",
)  # fmt: skip
