"""How teachers speak of: how many moves a side, a king or a piece has."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import Book

RULES = Book()

_KEYS = "move|square|nowhere|flight|escape|repl|answer|response"
_LEFT = "(?: left| remaining| available| now| here| at all| anymore| whatsoever| to go to| to run to)*"
# Not "no moves with the knight", "no squares on the kingside", "no moves that help".
_ALL = r"(?! (?:with|for|of|on|by|that|which|to|but|except|other|like|worth|better|in|the|his|her|a|an|from|forward|back|without|as))"
_NONE = "(?:absolutely |literally |simply |just )?(?:no|not a single|not 1|not any|0)(?: more)?"
_LACKS = "(?:does|do|did|has|have|had|would)? ?not (?:have |have got |got |find )?<~> (?:any|a single|even 1|even a single|1|a)"
_ROOM = "(?:flight |escape |legal |available )?(?:squares?|moves?)"
_COUNT = "(?:only |just |exactly |still )*<N>"
_SEVERAL = "(?:only |just |exactly |still )*(?!1 )<N>"  # one legal move is "the only move"
_STOP = r"(?= (?:$|,|and|anywhere|at all|any more|anymore|now|here|any longer|because|so))"
_ENDED = "(?= (?:$|,|and|but|so|or|well|okay|because|if|now|here|then|you know|i mean|that is|only|only 1))"
_REPLY = "(?:moves?|replies|reply|answers?|responses?)"

RULES.say(
    "king_squares", _KEYS,
    f"<P> king <~> <HAS> <~> {_NONE} {_ROOM}{_LEFT}{_ALL}", f"<P> king <~> {_LACKS} {_ROOM}{_LEFT}{_ALL}",
    f"there <IS> <~> {_NONE} {_ROOM}{_LEFT} for <P> king", f"<P> king <~> can not (?:legally )?move{_STOP}", n="0",
)  # fmt: skip
RULES.say(
    "king_squares", _KEYS, f"<P> king <~> (?:<HAS>|<HAS> got) <~> nowhere (?:left )?(?:to (?:go|run|hide|move|turn)){_LEFT}",
    f"<P> king <~> <HAS> <~> nowhere{_STOP}", n="0", loose="yes",
)  # fmt: skip
RULES.say(
    "king_squares", _KEYS,
    f"<P> king <~> <HAS> <~> {_COUNT} {_ROOM}{_LEFT}{_ALL}", f"there <IS> <~> {_COUNT} {_ROOM}{_LEFT} for <P> king{_ALL}",
)  # fmt: skip
RULES.say(
    "king_squares", _KEYS,
    f"<P> king <~> can (?:only|just) (?:go|run|move|flee|escape|step) to <N> squares?{_LEFT}{_ALL}",
)
RULES.say(
    "king_squares", _KEYS,  # of a side or of "he": its king's where it is in check
    f"<S> (?:<HAS>|is <~> got) <~> {_COUNT} (?:flight |escape )?squares?{_LEFT}{_ENDED}",
    f"it (?:<HAS>|is <~> got) <~> {_COUNT} (?:flight |escape )?squares?{_LEFT}{_ENDED}",
    f"(?:<S>|it) can (?:only|just) (?:go|run|move|flee|escape|step) to <N> squares?{_LEFT}{_ENDED}",
    f"there <IS> <~> {_COUNT} (?:flight |escape )?squares?{_LEFT} for (?:him|her|it){_LEFT}{_ENDED}",
    checked="yes",
)
RULES.say(
    "piece_moves", _KEYS,
    f"<A> <HAS> <~> {_NONE} legal (?:squares?|moves?){_LEFT}{_ALL}", f"<A> {_LACKS} legal moves?{_LEFT}{_ALL}", n="0",
)  # fmt: skip
RULES.say(
    "piece_moves", _KEYS,
    f"<A> <HAS> <~> {_NONE} (?:squares?|moves?){_LEFT}{_ALL}", f"<A> {_LACKS} (?:squares?|moves?){_LEFT}{_ALL}",
    f"<A> can not (?:legally )?move{_STOP}", f"<A> <HAS> <~> nowhere (?:left )?to (?:go|run|move){_LEFT}", n="0", loose="yes",
)  # fmt: skip
RULES.say("piece_moves", _KEYS, f"<A> <HAS> <~> {_COUNT} (?:legal )?(?:squares?|moves?){_LEFT}{_ALL}")
RULES.say(
    "side_moves", _KEYS,
    f"<S> <HAS> <~> {_NONE} legal {_REPLY}{_LEFT}{_ALL}", f"<S> <~> {_LACKS} legal {_REPLY}{_LEFT}{_ALL}",
    f"<S> <IS> <~> out of legal moves{_ALL}", f"<S> <HAS> <~> run out of legal moves{_ALL}",
    f"there <IS> <~> {_NONE} legal {_REPLY}{_LEFT}(?: (?:for|available to) <S>(?! king))?(?! for){_ALL}",
    n="0",
)  # fmt: skip
RULES.say(
    "side_moves", _KEYS,
    f"<S> <HAS> <~> {_NONE} moves?{_LEFT}{_ALL}", f"<S> <~> {_LACKS} moves?{_LEFT}{_ALL}", f"<S> can not (?:legally )?move{_STOP}",
    f"<S> <IS> <~> out of moves{_ALL}", f"<S> <HAS> <~> run out of moves{_ALL}", n="0", loose="yes",
)  # fmt: skip
RULES.say(
    "side_moves", _KEYS,
    f"<S> <HAS> <~> {_SEVERAL} legal {_REPLY}{_LEFT}{_ALL}",
    f"there <IS> <~> {_SEVERAL} legal {_REPLY}{_LEFT}(?: (?:for|available to) <S>(?! king))?(?! for){_ALL}",
)  # fmt: skip
