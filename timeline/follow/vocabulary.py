"""The words of spoken chess, and the words that steer a talk.

Exact words and trade synonyms cost nothing. Hearings that dictionaries show
to be homophones, or that recognisers are known to produce, carry a cost in
natural-log units; everything else that merely sounds alike is found by
``phonetics``. Word classes for context are closed sets of English function
and teaching words, none of them taken from one speaker.
"""

from __future__ import annotations

import chess

from timeline.follow.motion import TRAVEL

PIECES: dict[str, int] = {
    "king": chess.KING, "queen": chess.QUEEN, "rook": chess.ROOK, "bishop": chess.BISHOP, "knight": chess.KNIGHT,
    "pawn": chess.PAWN,
}  # fmt: skip
PIECE_NAMES = {v: k for k, v in PIECES.items()}

PIECE_WORDS: dict[str, tuple[int, float]] = {
    **{w: (p, 0.0) for w, p in PIECES.items()},
    **{w + "s": (p, 0.3) for w, p in PIECES.items()},
    **{w + "'s": (p, 0.5) for w, p in PIECES.items()},
    "horse": (chess.KNIGHT, 0.1), "horsey": (chess.KNIGHT, 0.1), "horsie": (chess.KNIGHT, 0.1), "steed": (chess.KNIGHT, 0.4),
    "lady": (chess.QUEEN, 0.5), "tower": (chess.ROOK, 0.4), "castle": (chess.ROOK, 1.6), "monarch": (chess.KING, 0.3),
    "night": (chess.KNIGHT, 0.3), "nite": (chess.KNIGHT, 0.3), "nights": (chess.KNIGHT, 0.6), "night's": (chess.KNIGHT, 0.8),
    "rock": (chess.ROOK, 0.5), "rocks": (chess.ROOK, 0.8), "root": (chess.ROOK, 0.8), "brook": (chess.ROOK, 0.8),
    "pond": (chess.PAWN, 0.7), "ponds": (chess.PAWN, 0.9), "porn": (chess.PAWN, 0.6), "paun": (chess.PAWN, 0.3),
    "born": (chess.PAWN, 1.6), "prawn": (chess.PAWN, 0.6), "fishop": (chess.BISHOP, 0.3), "bishup": (chess.BISHOP, 0.3),
    "bisho": (chess.BISHOP, 0.5), "quinn": (chess.QUEEN, 0.7), "qween": (chess.QUEEN, 0.2), "kin": (chess.KING, 0.9),
    "knife": (chess.KNIGHT, 1.2), "soldier": (chess.PAWN, 0.4), "soldiers": (chess.PAWN, 0.7), "prelate": (chess.BISHOP, 0.3),
    "springer": (chess.KNIGHT, 0.2), "läufer": (chess.BISHOP, 0.2), "laufer": (chess.BISHOP, 0.2), "turm": (chess.ROOK, 0.2),
    "dame": (chess.QUEEN, 0.4), "könig": (chess.KING, 0.2), "bauer": (chess.PAWN, 0.3), "caballo": (chess.KNIGHT, 0.2),
    "alfil": (chess.BISHOP, 0.2), "torre": (chess.ROOK, 0.2), "dama": (chess.QUEEN, 0.2), "rey": (chess.KING, 0.5),
    "peón": (chess.PAWN, 0.2), "peon": (chess.PAWN, 0.3),
}  # fmt: skip

RANK_WORDS: dict[str, tuple[str, float]] = {
    **{d: (d, 0.0) for d in "12345678"},
    "one": ("1", 0.0), "two": ("2", 0.0), "three": ("3", 0.0), "four": ("4", 0.0), "five": ("5", 0.0), "six": ("6", 0.0),
    "seven": ("7", 0.0), "eight": ("8", 0.0), "won": ("1", 0.4), "to": ("2", 0.8), "too": ("2", 0.4), "for": ("4", 0.6),
    "fore": ("4", 0.4), "ate": ("8", 0.4), "free": ("3", 0.7), "tree": ("3", 0.5), "sex": ("6", 0.6), "sicks": ("6", 0.4),
    "sticks": ("6", 0.9), "fife": ("5", 0.4), "hive": ("5", 0.9), "heaven": ("7", 0.9), "aid": ("8", 0.9), "fix": ("6", 0.9),
    "sick": ("6", 0.7), "fort": ("4", 0.8), "floor": ("4", 0.9), "tu": ("2", 0.4),
}  # fmt: skip

FILE_WORDS: dict[str, tuple[str, float]] = {
    **{f: (f, 0.0) for f in "abcdefgh"},
    "ay": ("a", 0.3), "hey": ("a", 0.9), "be": ("b", 0.6), "bee": ("b", 0.3), "bea": ("b", 0.3), "see": ("c", 0.6),
    "sea": ("c", 0.3), "si": ("c", 0.3), "cee": ("c", 0.2), "de": ("d", 0.3), "dee": ("d", 0.2), "he": ("e", 0.9),
    "ee": ("e", 0.2), "eve": ("e", 0.8), "if": ("f", 0.9), "ef": ("f", 0.2), "eff": ("f", 0.2), "gee": ("g", 0.3),
    "ji": ("g", 0.3), "jee": ("g", 0.3), "age": ("h", 0.5), "aitch": ("h", 0.1), "each": ("h", 0.8), "age's": ("h", 0.8),
    "anna": ("a", 0.2), "bella": ("b", 0.2), "cesar": ("c", 0.2), "david": ("d", 0.6), "eva": ("e", 0.2), "felix": ("f", 0.2),
    "gustav": ("g", 0.2), "hector": ("h", 0.2), "alpha": ("a", 0.3), "bravo": ("b", 0.6), "charlie": ("c", 0.6),
    "delta": ("d", 0.3), "echo": ("e", 0.3), "foxtrot": ("f", 0.1), "golf": ("g", 0.4), "hotel": ("h", 0.4),
}  # fmt: skip
"""Letters, their homophones, the names for blind players (FIDE Laws 2023, D.2.1), radio spelling (common practice)."""

SORRY_WORDS = frozenset("sorry oops whoops wait pardon correction".split())
"""Words that take back what was just said."""

TAKE_WORDS: dict[str, float] = {
    "takes": 0.0, "take": 0.15, "taking": 0.4, "took": 0.1, "taken": 0.9, "captures": 0.0, "capture": 0.3, "captured": 0.2,
    "capturing": 0.4, "recaptures": 0.0, "recapture": 0.2, "recaptured": 0.2, "retakes": 0.1, "retake": 0.3, "retaking": 0.3, "retaken": 0.5, "retook": 0.2, "recapturing": 0.3, "grabs": 0.1,
    "grab": 0.2, "grabbed": 0.2, "snaps": 0.3, "snatches": 0.3, "snatch": 0.4, "eats": 0.2, "eat": 0.4, "gobbles": 0.2,
    "chops": 0.3, "chop": 0.4, "x": 0.1, "exchanges": 0.5, "exchange": 0.9, "exchanged": 0.6, "trades": 0.5, "trade": 0.9,
    "removes": 0.4, "remove": 0.6, "collects": 0.4, "collect": 0.6, "wins": 0.9, "win": 1.4, "won": 1.5, "picks": 0.8,
    "pick": 1.0, "swaps": 0.6, "swap": 0.9, "munches": 0.2, "accepts": 0.7, "accepted": 0.7, "grabbing": 0.5,
    "cakes": 0.8, "tax": 1.0, "taxes": 0.9, "steaks": 1.0, "aches": 1.0, "tags": 1.1, "tapes": 0.9, "tape": 0.9, "tanks": 0.9, "tasks": 0.9,
    "text": 1.2, "beats": 0.3, "beat": 0.6, "beaten": 1.2, "swipes": 0.4, "nabs": 0.4, "hoovers": 0.3, "scoops": 0.5, "claims": 0.6, "pinches": 0.5, "sacrifices": 0.9, "sacs": 0.8, "sacks": 0.9, "destroys": 0.6, "kills": 0.5, "liquidates": 0.7,
    "bites": 0.5, "bite": 0.8, "munch": 0.4, "swallows": 0.4, "swallow": 0.6, "devours": 0.3, "pockets": 0.5, "pocket": 0.8, "gobble": 0.4, "gobbled": 0.4,
    "schlägt": 0.1, "nimmt": 0.2, "toma": 0.2, "captura": 0.2,
}  # fmt: skip

CASTLE_WORDS: dict[str, float] = {
    "castles": 0.0, "castle": 0.2, "castled": 0.1, "castling": 0.5, "cancels": 0.7, "cancel": 0.9, "cattle": 0.9,
    "hassle": 1.2, "castells": 0.3, "cassels": 0.3, "o-o": 0.0, "0-0": 0.0, "o-o-o": 0.0, "0-0-0": 0.0, "cancelled": 0.9,
    "castle's": 0.3, "kassel": 0.6, "cassells": 0.4, "tassels": 0.9, "rochade": 0.2, "enroque": 0.2,
}  # fmt: skip

CHECK_WORDS: dict[str, float] = {
    "check": 0.0,
    "checks": 0.2,
    "czech": 0.3,
    "cheque": 0.3,
    "tech": 0.9,
    "chuck": 0.8,
    "checked": 0.5,
    "chick": 0.5,
    "jack": 0.9,
}
MATE_WORDS: dict[str, float] = {
    "mate": 0.0,
    "checkmate": 0.0,
    "mates": 0.2,
    "mated": 0.3,
    "checkmates": 0.1,
    "chromate": 0.5,
}
PROMOTE_WORDS = {
    "promotes",
    "promote",
    "promoting",
    "promoted",
    "queens",
    "underpromotes",
    "becomes",
    "makes",
    "equals",
}

# Words a move phrase may hold between its parts, without changing it.
FILLERS = frozenset(
    """
    to on in into onto the a an his her my our your their its white's black's with comes come came goes go went going
    gone jumps jump jumped moves move moved drops drop dropped hops hop hopped back out all way down up over just
    simply now then again home steps step stepped retreats retreat retreated lands land landed runs run ran plays play
    played playing puts put bring brings brought from that this at away aside around slides slide slid swings swing
    swung lifts lift lifted develops develop developed pushes push pushed advances advance advanced centralises
    centralizes returns return returned slips slip slipped leaps leap leaped leapt invades invade penetrates settles
    settle settled heads head headed travels walks walk walked marches march marched crawls crawl shuffles shifts
    shift switches transfers pops pop popped sneaks tucks hides dives flies flew enters entered arrives occupies
    blocks interposes makes gives giving straight right safely immediately quickly also even still actually calmly
    quietly finally well forward forwards further backwards sideways across here there him it them one little poor
    black white enemy somewhere over through off
    """.split()
) | TRAVEL
MOTION = frozenset(
    """
    comes come came goes go went jumps jump jumped moves move moved drops drop dropped hops hop hopped steps step
    stepped retreats retreat retreated lands land landed runs run ran plays play played puts put brings bring brought
    slides slide swings swing swung lifts develops develop developed pushes push pushed advances advance advanced
    returns return returned leaps leap slips invades settles heads walks walk walked marches crawls shifts switches
    pops sneaks tucks hides dives enters shoves shove shoved throws throw threw tosses tossed thrusts thrust plants plant planted
    plonks plonk plonked parks parked sticks stuck posts posted nudges nudge nudged hurls whacks bangs banged
    arrives occupies blocks interposes centralises centralizes centralize back
    away home out aside shuffles
    """.split()
) | TRAVEL
MOTION_TAILS = frozenset(
    """
    back away home out aside up down in forward here there somewhere over across around through off again
    """.split()
)
VAGUE = frozenset(
    """hides hide hid waits wait waited waiting passes pass passed develops develop developed blocks block blocked defends defend
    defended guards guard guarded pushes push pushed pokes poke kicks kick kicked hits hit approaches approach approached follows
    follow followed shuts closes close closed opens open opened offers offer offered supports support steps step stepped runs run
    ran walks walk walked retreats retreat retreated moves moved goes went plays played brings brought puts put gives gave checks
    escapes escape escaped ducks interposes connects doubles lifts centralises centralizes activates improves strengthens
    answers answered replies replied responds responded declines declined resists castles attacks attacked threatens pins pinned
    unpins unpinned protects protected covers covered supported centralised centralized fianchettoes fianchettoed regroups regrouped
    chases chased expands expanded prepares prepared consolidates consolidated continues continued threatened doubled""".split()
)
PREPOSITIONS = frozenset(
    """
    to on in into onto at from
    """.split()
)
ARTICLES = frozenset(
    """
    the a an his her my our your their this that white's black's its one
    """.split()
)

# Context classes: what the words around a mention say about it. A phrase of two words is written with a space.
CLASSES: dict[str, str] = {}


def _class(name: str, words: str, *phrases: str) -> None:
    """Single words, divided by spaces; then phrases of two words."""
    for entry in (*words.split(), *phrases):
        CLASSES[entry] = name


_class("IF", "if suppose supposing assume assuming imagine unless were provided")
_class(
    "IF",
    "",
    "what if",
    "let's say",
    "lets say",
    "say he",
    "say she",
    "say white",
    "say black",
    "say we",
    "say i",
    "say they",
)
_class("IF", "say", "what happens", "in case", "what about")
_class("MODAL", "would could might may should would've could've should've i'd he'd she'd we'd they'd you'd")
_class("CAN", "can able possible possibility available allowed")
_class("WANT", "want wants wanted wanting hope hopes hoping hoped plan plans planned planning idea ideas")
_class("WANT", "intend intends intention aim aims aiming")
_class("WANT", "dream dreams dreamed prefer love eager ready prepares preparing prepare preparation")
_class("WANT", "", "would like", "like to", "love to", "thinking of", "dreams of")
_class("THREAT", "threat threats threaten threatens threatening threatened menace menacing")
_class("NEG", "not don't didn't doesn't isn't wasn't won't wouldn't never nor no nothing cannot can't")
_class("NEG", "couldn't haven't hasn't without shouldn't aren't dont didnt doesnt isnt cant wont")
_class("NEG", "impossible")
_class(
    "INSTEAD",
    "instead rather otherwise alternatively alternative alternatives improvement improve stronger better best",
)
_class("INSTEAD", "correct preferable")
_class("INSTEAD", "", "the other", "other one")
_class("OR", "or either")
_class("ALSO", "also another likewise equally")
_class("ALSO", "", "another idea", "why not", "how about", "another way")
_class(
    "GAME",
    "game actually actual real reality text fact continued continuation chose chosen happened indeed decided choice",
)
_class("GAME", "", "the game", "in fact", "in reality", "as played", "was played")
_class("PAST", "played went took moved came did replied answered responded continued pushed retreated")
_class("PAST", "jumped dropped brought put castled gave made captured sacrificed traded exchanged resigned")
_class("PAST", "opened grabbed decided defended attacked blundered")
_class("PRES", "plays goes takes moves comes brings puts replies answers responds continues pushes retreats")
_class("PRES", "jumps drops gives makes opens starts begins follows reply answer response captures develops")
_class("PRES", "chooses")
_class("BACK", "back return returns returning undo rewind undoing reset restore", "go back", "going back")
_class("BACK", "", "went back", "take back", "put back", "takes back")
_class("SO", "so then therefore thus hence afterwards next finally")
_class("AND", "and")
_class("BUT", "but however yet although though unfortunately luckily")
_class("NOW", "now here okay ok right well anyway alright first immediately already")
_class("BECAUSE", "because since cause as")
_class("LOOK", "look looks looking see sees seeing eyeing eyes eying staring stare stares attack attacks")
_class("LOOK", "attacking attacked hit hits hitting pressure pressures pressing control controls")
_class("LOOK", "controlling controlled defend defends defending defended protect protects protected")
_class("LOOK", "protecting guard guards guarding guarded cover covers covering covered pin pins pinned")
_class("LOOK", "pinning fork forks watch watching aims aiming targets target targeting points pointing weak")
_class("LOOK", "weakness")
_class("ON", "on at of around near behind beside against towards")
_class("FROM", "from")
_class("TO", "to into onto")
_class("REMEMBER", "remember remembered earlier ago recall", "used to")
_class("PERF", "had been previously once last")
_class("QUEST", "what which how why who where whose")
_class("NATURAL", "natural naturally normal normally obvious usually usual often probably maybe perhaps")
_class("NATURAL", "possibly people many most some everybody everyone beginners students book theory typical")
_class("NATURAL", "typically sometimes always whenever generally general")
_class(
    "HABIT", "",
    *(f"{who} {habit}" for who in ("beginners", "people", "players", "pupils", "students", "everybody", "everyone", "many", "some")
      for habit in ("often", "always", "usually", "sometimes", "play", "plays", "take", "takes", "grab", "go", "try", "like")),
)  # fmt: skip
_class("WAYS", "", "two ways", "three ways", "both ways", "two captures", "several ways", "many ways")
_class("LINE", "line lines variation variations sideline example instance", "for example", "for instance")
_class("AFTER", "after when once")
_class("TRY", "try tries tried trying consider considered considering thought thinking analysed analyzed calculated")
_class("WHO", "that who whose which")
_class("MUST", "must has have need needs forced forcing only", "has to", "have to", "had to", "only move")
_class("WE", "i we me us my our i'm we're i'll we'll")
_class("HE", "he she they his her their him them opponent he's she's they're he'll she'll")
_class("YOU", "you your you're you'll")
_class("SIDE", "white black")
_class("PIECEWORD", "piece pieces square squares file rank diagonal pawn structure centre center side queenside")
_class("PIECEWORD", "kingside")
_class("LET", "let let's lets")
_class("SHOW", "show shows showing showed set position diagram board")
_class("SORRY", " ".join((*sorted(SORRY_WORDS), "mean")), "i saying", "no no", "scratch that")
_class("WITHOUT", "without before after")
_class("BE", "is was are were be it's that's there's")
_class("JUST", "just simply")
_class("COUNT", "first second third two three four five one")

SENTENCE_OPENERS = frozenset(
    """
    and but so then if or because now when after while although however okay ok well instead here
    """.split()
)
LEADERS = frozenset(
    """
    and so then if but now or when after the a he she i we they you white black my his her our their this that plays
    goes played went just simply also here suppose say well okay ok first finally instead let's with by white's
    black's there comes came has had to him it next again even perhaps maybe would could might can will must i'll
    he'll we'll he'd i'd have of course in an gets got putting brings bring put puts moves push pushes what opens
    starts begins both sides retreats replies answers reply answer answered replied immediately immediately, continues
    next, then, one your who which is was be for me us them as do does did not take up out into game
    """.split()
)
"""Words that may lead a phrase which announces a move: the cue stands before them."""
