"""How teachers speak of: pawns, files and squares."""
# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

from timeline.checks.sayings.book import Book

RULES = Book()

_PAWN = "(?:(?:<F>|queen 's|king 's|center|central|queen|king) )?pawn"
for _kind, _keys, _word, _noun in (
    ("isolated", "isola|iqp", "isolated", "isolani"),
    ("backward", "backward", "backward", "backward pawn"),
    ("passed", "passed|pass pawn|passed pawn", "passed", "passed pawn"),
):
    RULES.say(
        _kind, _keys,
        f"<S> <HAS> <~> (?:a |an |the )?(?:dangerous |strong |weak |protected |outside |nice |permanent |beautiful |very |far |distant )*{_word} "
        f"{_PAWN}(?: (?:on|at) (?:<Q>|the <F2> file))?".replace("<F2>", "<G>"),
        f"<A> (?:for <S> )?<IS> <~> (?:a |an |the )?(?:dangerous |strong |weak |protected |outside |nice |real )*{_word}(?: pawn)?",
        f"<A> <IS> <~> (?:a |an |the )?{_noun}", f"<A> (?:has become|becomes|became) (?:a |an )?{_word}(?: pawn)?",
        f"<S> <HAS> <~> (?:a |an |the )?{_noun}(?: (?:on|at) <Q>)?",
        f"(?:the|this|that|his|her|white 's|black 's|a|an) {_word} (?:<F> )?pawn (?:on|at) <Q>",
        f"(?:there is|we have) (?:a |an )?{_word} (?:<F> )?pawn (?:on|at) <Q>", f"<Q> ,? ?(?:an?|the|1) (?:[a-z]+ )?{_word} pawn",
    )  # fmt: skip
RULES.say(
    "isolated", "isola|queen 's pawn", "<S> <HAS> <~> (?:a |an |the )?isolated queen 's pawn", "<A> <IS> <~> all alone with no neighbors",
)  # fmt: skip
RULES.say(
    "passed",
    "pass",
    "<S> <HAS> <~> (?:a |the )?pawn on <Q> (?:that is|which is) passed",
    "<A> <IS> <~> (?:a )?pawn passed",
)
RULES.say(
    "passed",
    "no enemy pawn|no pawn|no black pawn|no white pawn",
    "no (?:enemy |black |white )?pawn can (?:ever )?stop <A>",
)
RULES.say(
    "doubled", "doubled|double pawn|2 pawns|doubling|doubles",
    "<S> <HAS> <~> (?:a |the )?(?:doubled|double) <F> pawns?",
    "<S> <HAS> <~> (?:the )?(?:ugly |terrible |weak |horrible )?(?:isolated )?doubled (?:<F> )?pawns?(?: on (?:the )?(?:<G>(?: file)?))?",
    "(?:<P> )?<F> pawns <IS> <~> doubled", "(?:<P> )?pawns on the <F> file <IS> <~> doubled(?: for <S>)?",
    "<P> pawns <IS> <~> doubled(?: on the <F> file)?", "doubled pawns on the <F> file(?: for <S>)?", "doubled pawns for <S> on the <F> file",
    "<S> <HAS> <~> 2 pawns on the <F> file", "there <IS> <~> 2 <S> pawns on the <F> file", "<P> doubled <F> pawns", "doubled <F> pawns(?: for <S>)?", "(?:double|doubling|doubles) <P> pawns on the <F> file",
    "<P> pawn structure (?:<IS> )?<~> (?:ruined|damaged|compromised) (?:by|with) doubled <F> pawns",
)  # fmt: skip
RULES.say(
    "half_open", "half-open",
    "<F> <IS> <~> a half-open file(?: for <S>)?",
    "(?:the )?<F> file <IS> <~> (?:a )?half-open(?: file)?(?: for <S>)?", "<S> <HAS> <~> (?:the |a )?half-open <F> file",
    "half-open <F> file(?: for <S>)?", "<F> file is half-open",
    "<F> file <IS> <~> half-open", "half-open file on (?:the )?<F>(?: file)?", "<S> (?:can use|uses|enjoys|controls) the half-open <F> file",
)  # fmt: skip
RULES.say(
    "open_file", "open|pawn",
    "<F> <IS> <~> an open file", "open files? on (?:the )?<F>(?: file)?",
    "(?:the )?<F> file <IS> <~> (?:completely |fully |wide |totally )*(?:an )?open(?: file)?(?! (?:up|the|for))",
    "there is an open <F> file", "an open file on (?:the )?<F>(?: file)?", "the open <F> file", "<F> file <~> is wide open",
    "no pawns (?:left |at all )?on the <F> file", "we have an open <F> file", "an open <F> file",
    "<F> and <G> files are <~> open", "<F> file (?:<IS>|<HAS>|got|gets|has been|was) <~> (?:been )?opened(?: up)?(?! for)", "there is <~> no pawn <~> on the <F> file", "(?:the )?<F> file <~> because it <IS> <~> open", "<F> file <HAS> <~> no pawns(?: on it| left| at all)*", "<F> file <IS> <~> (?:free of pawns|empty of pawns|without pawns|without any pawns)",
)  # fmt: skip
RULES.say(
    "outpost", "outpost",
    "<A> (?:<IS>|sits|stands|is sitting|is standing|has|lands|enjoys|occupies|has found|has reached|reaches) <~> (?:on |in |at )?(?:a |an |the )?"
    "(?:perfect |great |nice |strong |beautiful |wonderful |ideal |excellent |fantastic |dream |secure |powerful |permanent |lovely )*outpost"
    "(?: (?:on|at) <Q>)?", "<Q> <IS> <~> (?:a |an |the )?(?:perfect |great |nice |strong |beautiful |ideal |wonderful |excellent |dream |good |"
    "natural |classic )*outpost(?: square)?(?: for (?:the |a |his |her )?(?:<S> )?(?:'s )?(?:knight|bishop|piece|pieces)?)?",
    "(?:a|an|the) (?:perfect |great |nice |strong |beautiful |ideal |wonderful )*outpost (?:on|at) <Q>(?: for (?:the )?<S>)?",
    "outpost square <Q>", "<A> <~> (?:from|off|out of|in|on|at) (?:its|his|her|the|that|this) (?:[a-z]+ )?outpost (?:on|at) <Q>",
)  # fmt: skip
RULES.say(
    "weak_square", "weak|hole|guard|control|cover|protect|defend",
    "(?<!on )(?<!at )<Q>(?: square)? <IS> <~> (?:a |an )?(?:weak square|weakened square|hole|weakness|terrible weakness|permanent weakness|big hole|gaping hole|"
    "very weak square|weak)(?: (?:in|for|of|inside) (?:<P> (?:camp|position|structure|pawn structure|territory|side|half)|<S>))?",
    "<S> <HAS> <~> (?:a |an )(?:weak square|hole|big hole|terrible hole|weakness) on <Q>",
    "<Q> can <~> (?:never|no longer|not) <~> be (?:covered|guarded|controlled|protected|defended) <~> (?:again )?(?:by|with) (?:a |any )?(?:<S> )?pawns?", "<S> can (?:never|no longer|not) <~> (?:again )?(?:guard|control|cover|defend|protect) (?:the )?<Q>(?: square)? <~> "
    "(?:with a pawn|with pawns|by a pawn)", "no (?:<S> )?pawn can <~> (?:ever )?(?:guard|control|cover|protect) <Q>",
    "(?:a |the )?(?:hole|weakness|weak square) (?:on |at )?<Q>(?: (?:in|for|of) (?:<P> (?:camp|position|structure|pawn structure|territory)|<S>))?",
)  # fmt: skip
