"""Chess words that recognisers turn into common words, and the neighbours that give them away.

A table of our own: homophones and near-homophones from the CMU Pronouncing
Dictionary, and mis-hearings seen in automatic transcripts of chess talks.
Each line says under which neighbours the common word cannot be meant; a word
that makes sense on its own ("look", "made", "light") is never touched without
them. No move is decided here: that is the follower's and the board's part.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

_CLASSES = {
    "SQ": "[a-h][1-8](?:'s)?",
    "LETTER": "[a-h]",
    "PIECE": "(?:king|queen|rook|bishop|knight|pawn)s?",
    "PIECES": "(?:king|queen|rook|bishop|knight|pawn)(?:s|'s)?",
    "TAKES": "takes?|took|taking|captures?|captured|taken",
    "ORD": "first|second|third|fourth|fifth|sixth|seventh|eighth|last|back|[1-8](?:st|nd|rd|th)",
    "NUM": "one|two|three|four|five|six|seven|eight|nine|ten|[1-9]",
    "ART": "the|a|an|his|her|my|your|our|their|its|this|that|these|those|white's|black's|another|which|each|every|both|no",
    "PASSED": "passed|past|isolated|backward|doubled|connected|extra|weak|centre|center|central|hanging|last|little|free",
    "COLOUR": "white|black|white's|black's|light|dark|light-squared|dark-squared|light-square|dark-square",
    "OWNER": "the|his|her|my|your|our|their|its|white's|black's|this|that",
    "MANY": "two|three|four|five|six|seven|eight|both|several|many|all",
    "BE": "is|it's|that's|be|was|isn't|are|being|becomes",
    "SIDE": "white|black|he|she|i|we|they|you|both",
    "GO": "to|goes|comes|moves|hops|jumps|lands|takes?|on|steps|retreats|drops|slides|swings|lifts|runs|sacrifice|sacrifices|and|is|has",
    "PREP": "on|to|from|of|at|in|with|and|or|for|by|behind|against|over",
    "QUEENING": "square|squares",
    "END": "END",
    "START": "START",
}  # fmt: skip

# heard => written | L: words before | R: words after | L!: not before | R!: not after
_TABLE = """
# knight
night => knight | L!: last good late of-the one all the-other every that friday saturday sunday monday tuesday wednesday thursday club long day tonight opening first whole second wedding chess previous any overnight at game | R!: before school shift sky club owl out time and-day vision mode train long sleep of
nite => knight
nights => knight | L!: both two three these those many several no all four of | R: SQ
nights => knights | L!: many two three long late all white-hot these sleepless those other few some nine | R!: of out sleep
night's => knight's | L!: last good a that | R!: sleep rest work game
nightly => knight | R: SQ GO
knife => knight | R: SQ TAKES to
nights' => knights'
nine => knight | R: hops jumps SQ TAKES goes lands retreats | L: ART END START then and
nice => knight | R: TAKES SQ
right => knight | R: TAKES hops jumps SQ on-SQ | L: ART then
might => knight | L: ART | R: goes hops jumps SQ TAKES retreats lands that's
light => knight | L: ART | R: goes hops jumps SQ TAKES retreats lands
line => knight | L: START not then and | R: captures SQ takes
# bishop
fish-up => bishop
fish-shop => bishop
fishup => bishop
big-shop => bishop
bisho => bishop
bish => bishop
bishup => bishop
bishopp => bishop
pitch-up => bishop | L: ART COLOUR
this-shop => bishop
this-shop's => bishop's
ship => bishop | L: ART COLOUR my | R: on to SQ TAKES goes is pair moves comes pins and from END
shop => bishop | L: ART COLOUR | R: on to SQ TAKES goes pair pins
bishops => bishop | L: a my-other his-other | R: SQ on goes takes pair
bishops => bishop | L: ART START and then story | L!: of-the two both | R: goes takes is has moves comes
# rook
rock => rook | R!: solid bottom and-roll music hard star band | L!: hard like solid
rocks => rooks
rock's => rook's
brook => rook
brooks => rook's | L: a another each every
brooks => rooks
brook's => rook's
rogue => rook | L: ART COLOUR | R: goes on to SQ TAKES is moves comes and END
rick => rook | L: ART COLOUR | R: to on SQ TAKES goes
crook => rook | L: ART COLOUR | R: to on SQ TAKES goes
root => rook | L: ART COLOUR and | R: on SQ TAKES goes lift ending endings to
roots => rooks | L: ART COLOUR both two | R: on are SQ connect
ruck => rook
look's => rook's
looks => rooks | L: both two double doubled connected the his my her
look => rook | L: ART COLOUR | R: or on TAKES SQ goes endings ending lift
nook => rook
hook => rook | L: ART COLOUR and | R: SQ TAKES on to
rookie => rook | R: SQ TAKES
rook's => rook | R: SQ takes captures
bishop's => bishop | R: SQ takes captures
knight's => knight | R: SQ takes captures
queen's => queen | R: SQ takes captures
king's => king | R: SQ takes captures
# queen
quinn => queen
qween => queen
clean => queen | R: TAKES SQ takes steaks cakes
clean => queen | L: ART COLOUR and new | R: PREP SIDE TAKES SQ and goes comes is sacrifice sac END
green => queen | L: my his her the new | R: PREP SIDE SQ TAKES goes is END
queens => queen | L: a his my her the | R: SQ takes goes
# king
kin => king
kin's => king's
kings => king | L: a his my her | R: SQ takes goes
kingpin => king-pawn
# pawn
pond => pawn
ponds => pawns
pond's => pawn's
porn => pawn
poem => pawn | L: COLOUR PASSED PIECES LETTER king's queen's
poem => pawn | R: structure structures chain chains ending endings endgame storm
porns => pawns
prawn => pawn
prawns => pawns
paun => pawn
pawned => pawn | L: ART COLOUR PASSED LETTER
spawn => pawn | L: ART COLOUR PASSED LETTER
spawns => pawns
pornography => pawn
born => pawn | L: ART COLOUR PASSED PIECES LETTER king's queen's | L!: was is were been be not
paws => pawns
pause => pawns | L: two three four five six connected doubled passed isolated hanging COLOUR
poem => pawn | L: PASSED COLOUR LETTER
paul => pawn | L: ART PASSED COLOUR LETTER | R: on SQ TAKES moves goes to and END
pornstorm => pawn-storm
# a file's letter before what belongs to it
age => h | L: OWNER | L!: at-my at-his at-her at-your at-our at-their at-that | R: file files pawn pawns
aitch => h | R: file files pawn pawns
bee => b | L: OWNER | R: file files pawn pawns
sea => c | L: OWNER | R: file files pawn pawns
see => c | L: OWNER | R: file files pawn pawns
dee => d | R: file files pawn pawns
gee => g | R: file files pawn pawns
jeep => g | L: OWNER | R: file pawn pawns
eff => f | R: file files pawn pawns
if => f | L: OWNER | R: file files pawn pawns
he => e | L: OWNER | R: file files pawn pawns
# one owner, several pieces
kings => king's | L: a another each every | R: pawn file side
queens => queen's | L: a another each every | R: pawn file side
rooks => rook's | L: a another each every | R: pawn file
bishops => bishop's | L: a another each every | R: pawn file
knights => knight's | L: a another each every | R: pawn file
pawn's => pawns | L: MANY
rook's => rooks | L: MANY | R!: pawn file
bishop's => bishops | L: MANY | R!: pawn file
knight's => knights | L: MANY | R!: pawn file
# captures
two => to | L: king queen bishop knight pawn | R: SQ
too => to | L: king queen bishop knight pawn rook | R: SQ
cakes => takes
steaks => takes
stakes => takes | L: PIECES LETTER | R: SQ PIECES on and END with
aches => takes | L: PIECES night clean LETTER END
night-aches => knight-takes
tax => takes | L: PIECES LETTER | R: SQ PIECES on END
tags => takes | L: PIECES LETTER | R: SQ PIECES on END
takes-is => takes
cat-tures => captures
# castling
cancels => castles
cancel => castle | R: long short kingside queenside here now and END
cancelled => castled
cattle => castle | L: i to can't can could should would will must we you they not | R!: market
cattle => castles
cattles => castles
tassels => castles
hassles => castles | L: SIDE and
castle's => castles | L: SIDE and | R: long short kingside queenside END
castle's => castles | R: END
vassals => castles | L: SIDE and
# check and mate
czech => check | R!: republic player grandmaster champion team master
czechs => checks
cheque => check
cheques => checks
chuck => check
chuck's => checks
chick => check
chek => check
jack => check | L: SQ END PIECES with a TAKES | R: END SQ king and on
tech => check | L: SQ a with | R: END
shack => check | L: SQ a with | R: END
check-made => checkmate
check-mate => checkmate
checkmade => checkmate
chromate => checkmate
chameides => checkmates
jackmate => checkmate
chuckmate => checkmate
chick-mate => checkmate
stale-mate => stalemate
stale-made => stalemate
steal-mate => stalemate
meat => mate
made-in => mate-in | R: NUM
make-in => mate-in | R: one two three four five six seven
maid-in => mate-in
made-in-to => mate-in-two | R: END START
make-it-into => mate-in-two
make-him-one => mate-in-one
made => mate | L: BE TAKES and forced with SQ back-rank smothered a the-is | R: END
made => mate | L: it's is | R: because on in END
into => in-two | L: mate checkmate | R!: the a an
make => mate | L: and it's is's SQ with a threatens threatening | R: END on
may => mate | L: SQ and it's is PIECES not a move | R: END
maid => mate | L: BE SQ and | R: END on in
mates => mates
too-nights => two-knights | L: OWNER these those
to-nights => two-knights | L: OWNER these those
too => two | L: OWNER these those | R: knights rooks bishops pawns queens pieces
to => two | L: OWNER these those | R: knights rooks bishops pawns queens pieces
too => two | L: mate-in mates-in checkmate-in
to => two | L: mate-in mates-in checkmate-in | R!: ART me you him her us them
for => four | L: mate-in mates-in checkmate-in | R!: ART me you him her us them
fore => four | L: mate-in mates-in checkmate-in
free => three | L: mate-in mates-in checkmate-in
tree => three | L: mate-in mates-in checkmate-in
won => one | L: mate-in mates-in checkmate-in
smother-mate => smothered-mate
back-from-mated => back-rank-mated
back-from-mate => back-rank-mate
# lines and squares
bank => rank | L: ORD
bank => rank | L: back | R: END mate is
drank => rank | L: ORD
frank => rank | L: ORD
rang => rank | L: ORD
ranch => rank | L: ORD
ring => rank | L: ORD | R: END is and
seven => seventh | R: rank | L: the his her my black's white's a
eight => eighth | R: rank | L: the his her my black's white's a
four => fourth | R: rank | L: the his her my black's white's a
five => fifth | R: rank | L: the his her my black's white's a
six => sixth | R: rank | L: the his her my black's white's a
force-bank => fourth-rank
force-rank => fourth-rank
fire => file | L: LETTER open half-open semi-open closed
fires => files | L: open half-open semi-open both two
vile => file | L: LETTER open half-open semi-open closed king's queen's
while => file | L: half-open semi-open
foul => file | L: LETTER open half-open semi-open
fire => file | L: ART | R: opens
evil => e-file | L: the | R: and is END
flight => light | R: squares square squared
fright => light | R: squares square squared
duck => dark | R: squares square squared
dock => dark | R: squares square squared
swear => square | L: LETTER light dark weak key this that queening escape the | R: END is in for SQ
swears => squares | L: light dark weak key two these
diagnose => diagonals | L: long two both the
diagnol => diagonal
dye-agonal => diagonal
die-agonal => diagonal
diagonally-line => diagonal
# tactics
sewer => skewer
sewers => skewers
skewers => skewers
skua => skewer
skew-her => skewer
skewed => skewered | L: is are gets | R: END
pork => fork
porks => forks
fort => fork | L: a the royal knight family nasty
forked => forked
folk => fork | L: a royal knight family
spin => pin | L: a the | R: on along END and
spins => pins | L: PIECES and it SIDE
spinning => pinning | R: ART PIECES SQ
pills => pins | L: PIECES SQ and it | R: ART PIECES SQ
pens => pins | L: PIECES SQ it | R: ART PIECES SQ
bins => pins | L: PIECES
pinner => pin | L: a the
pinna => pinner
penned => pinned | L: is isn't was are
a-tax => attacks
a-tacks => attacks
attax => attacks
attack's => attacks | R: SQ ART
threads => threats | L: no the any his her my two with both more | R!: together
threads => threatens | L: PIECES SIDE which it and SQ | R: to SQ ART PIECE mate
threaten's => threatens
cards => guards | L: PIECES SQ which it | R: SQ ART that
gods => guards | L: PIECES which it | R: SQ ART that
box => blocks | L: PIECES SQ SIDE and it with | R: END ART with SQ
blog => block | L: PIECES a the
blogging => blocking | R: ART SQ PIECES LETTER
blogs => blocks | R: ART SQ PIECES LETTER
folks => pokes | L: he she it | R: it
the-flexion => deflection
the-flection => deflection
reflection => deflection | L: a the classic
decoy's => decoys
sack => sac
sacked => sacked
satisfied => sacrificed | L: SIDE has had | R: ART PIECE END now SQ here there
sacrifies => sacrifice
extreme => x-ray | R: defence attack
discover-check => discovered-check
discovered-czech => discovered-check
doublecheck => double-check
double-czech => double-check
perpetual-czech => perpetual-check
depend => defend | L: to can can't could must cannot should still | R: ART SQ PIECES still it against but and END
depends => defends | L: PIECES SIDE | R: ART SQ PIECES it
depending => defending | R: ART SQ PIECES
temple => tempo | L: a with of spare extra wins win gains gain lose loses loss vital one important whole precious
temples => tempos | L: two three with of spare extra wins gains loses
templar => tempo | L: a with of spare extra
zug-swang => zugzwang
zug-zwang => zugzwang
sugs-wang => zugzwang
zoo-gzwang => zugzwang
soup-swang => zugzwang
fee-and-ketto => fianchetto
fiancé-ketto => fianchetto
fianketto => fianchetto
finchetto => fianchetto
fiancee-to => fianchetto | R: ART bishop END
on-passant => en-passant
on-pass-on => en-passant
and-passant => en-passant
in-passing-capture => en-passant-capture
on-prize => en-prise
on-preis => en-prise
unprise => en-prise
j'adoube => j'adoube
gam-bit => gambit
gambits => gambits
gambet => gambit
gamble => gambit | L: king's queen's evans benko
gamut => gambit | L: king's queen's evans benko the
# parts of the game
in-game => endgame | L: an the pawn rook bishop knight queen opposite-coloured king | R!: chat
end-game => endgame
in-games => endgames
end-games => endgames
middle-guy => middlegame
middle-gain => middlegame
possession => position | L: this winning losing lost good better worse same bad equal drawn that new his my our | R!: of
possessions => positions | L: these such the
commuter => computer | L: the my a | R: says likes wants prefers finds thinks gives
sillian => sicilian
opponent's => opponent's
oppositon => opposition
promotes-queen => promotes-to-queen
"""

_FIELD = re.compile(r"(L!|R!|L|R):")


@dataclass(frozen=True, slots=True)
class Hearing:
    """One line of the table: ``heard`` words stand for ``written`` ones where the neighbours fit."""

    heard: tuple[str, ...]
    written: str
    left: re.Pattern[str] | None
    right: re.Pattern[str] | None
    not_left: re.Pattern[str] | None
    not_right: re.Pattern[str] | None


def _pattern(words: str) -> re.Pattern[str] | None:
    if not words.strip():
        return None
    parts = [
        _CLASSES.get(word) or " ".join(_CLASSES.get(p, re.escape(p)) for p in word.split("-")) for word in words.split()
    ]
    return re.compile("|".join(f"(?:{part})" for part in parts))


@lru_cache(maxsize=1)
def hearings() -> dict[str, tuple[Hearing, ...]]:
    """The table by the first word heard, the longest phrases first."""
    table: dict[str, list[Hearing]] = {}
    for line in _TABLE.splitlines():
        text = line.strip()
        if not text or text.startswith("#"):
            continue
        head, *fields = [part.strip() for part in text.split("|")]
        heard, written = (part.strip() for part in head.split("=>"))
        given = {_FIELD.match(field)[1]: field.split(":", 1)[1] for field in fields}  # type: ignore[index]
        words = tuple(heard.split("-"))
        if heard == written:
            continue
        entry = Hearing(
            words,
            written.replace("-", " ") if written not in _HYPHENED else written,
            _pattern(given.get("L", "")),
            _pattern(given.get("R", "")),
            _pattern(given.get("L!", "")),
            _pattern(given.get("R!", "")),
        )
        table.setdefault(words[0], []).append(entry)
    return {word: tuple(sorted(rows, key=lambda row: -len(row.heard))) for word, rows in table.items()}


_HYPHENED = frozenset(["x-ray"])


def hearing_at(cores: Sequence[str], ends: Sequence[bool], k: int) -> Hearing | None:
    """The line that fits the words from ``k`` on, or None.

    ``cores``: the words in lower case without punctuation, as mended so far.
    ``ends[k]``: a sentence, clause or breath ends after word ``k``.
    """
    for row in hearings().get(cores[k], ()):
        last = k + len(row.heard) - 1
        if last >= len(cores) or tuple(cores[k : last + 1]) != row.heard or any(ends[k:last]):
            continue
        before = "START" if k == 0 else cores[k - 1]
        after = "END" if last + 1 >= len(cores) or ends[last] else cores[last + 1]
        starts = k == 0 or ends[k - 1]
        two_before = f"{cores[k - 2]} {before}" if k > 1 else before
        two_after = f"{after} {cores[last + 2]}" if last + 2 < len(cores) and not ends[last] else after
        if row.left and not (
            row.left.fullmatch(before) or row.left.fullmatch(two_before) or (starts and row.left.fullmatch("START"))
        ):
            continue
        if row.right and not (row.right.fullmatch(after) or row.right.fullmatch(two_after)):
            continue
        if row.not_left and (row.not_left.fullmatch(before) or row.not_left.fullmatch(two_before)):
            continue
        if row.not_right and (row.not_right.fullmatch(after) or row.not_right.fullmatch(two_after)):
            continue
        return row
    return None
