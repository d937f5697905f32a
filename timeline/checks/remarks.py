"""Remarks that say nothing of the board, left out of a sentence: "White, don't forget it like my uncle, is in check".

They stand between commas, name nothing of chess, and tell of the speaker, of the
listener or of nobody. Their "if", "would" and "not" bind nothing that is said of
the board, so the rest of the sentence is read by itself. What may tell of
another time or board, or takes back what was said, is no remark.
"""

from __future__ import annotations

from collections.abc import Sequence

from timeline.checks.guards import CONDITION, MODAL, NEGATION, UNREAL
from timeline.checks.sentence import Sentence, Token, sentence_of

_CHESS = tuple(
    "king queen rook bishop knight pawn piece man men white black check mate stalemate pin fork skewer batter "
    "attack defen guard protect cover support hang loose take took captur recaptur move moving mover play "
    "castl develop fil square outpost isolat pass backward doubl weak hole threat exchang material ahead "
    "behind win won los resign draw drew turn legal rule allow forc trad swap push retreat advanc sacrific "
    "gambit opening defence defense game position board tempo diagonal rank x-ray line behind front neighbour "
    "neighbor friend brother sister side pair colour color light dark half shade".split()
)
"""How words of chess begin, and words that facts are told with."""
_HE = frozenset("he she they him them his her their hers theirs me myself us".split())
_ELSEWHERE = frozenset(
    "in at last next later then soon before after until once yesterday tomorrow year years week winter summer "
    "ago earlier usually often always normally sometimes another other theory practice almost nearly perhaps "
    "maybe probably possibly instead".split()
)
"""Words of another time, another board or half a fact: a remark does not begin with them."""
_BACK = frozenset(
    "no not wait sorry rather actually well hang hold oops correction pardon apologies never nor neither".split()
)
_LINKS = frozenset("and but as because which just so that for since though although like while if when yes oh".split())
_PERSONS = frozenset(
    "i you we people everybody everyone anybody anyone who do my our let please trust believe somebody 1".split()
)
_DOUBTS = frozenset(
    "think thinks thought believe guess hope suppose wish want wants dream mean doubt fear imagine showed had".split()
)
"""Verbs that make what a speaker says of himself a doubt of what he says."""
_SEES = frozenset(
    "see saw seen look looked looking count counted counting know knew follow followed following listen listened "
    "remember recall notice noticed read learned learnt learn draw drew watch watched care like love".split()
)
"""What is done under a condition that binds nothing: "if you look closely" does, "if we leave it there" does not."""
_REPORTS = frozenset("ask asks asked wonder wonders say says claim claims argue argues".split())
_OWN_REPORTS = frozenset("as i and but".split())
"""A report ("you ask", "they say") is no remark, but "as we say" and "I said" are."""
_LEADS_ON = frozenset(
    "is are was were has have had can may must will does did do 's gives holds makes by on to in from with of "
    "at through against for that now still also pinned hanging".split()
)
_OPEN = frozenset(
    "is are was were has have had can may must will does did 's by on to in from with of at through against "
    "the a an pins attacks defends guards protects covers hits eyes forks skewers gives makes and now here".split()
)
MOST_WORDS = 16  # of a remark


def without_remarks(sentence: Sentence) -> Sentence | None:
    """The sentence without the remarks between its commas; None where it has none, or is nothing else."""
    clauses: list[list[Token]] = [[]]
    for token in sentence.tokens:
        if token.text == ",":
            clauses.append([])
        else:
            clauses[-1].append(token)
    if len(clauses) < 2:
        return None
    remarks = [_remark(clause) for clause in clauses]
    if all(remarks) or not any(remarks):
        return None
    kept: list[Token] = []
    gap = False
    for clause, remark in zip(clauses, remarks, strict=True):
        if remark:
            gap = True
            continue
        if kept and clause and not (gap and (clause[0].text in _LEADS_ON or kept[-1].text in _OPEN)):
            at = clause[0].first
            kept.append(Token(",", at, at))
        kept += clause
        gap = False
    return sentence_of(kept, sentence.end, trails=sentence.trails)


def _remark(clause: Sequence[Token]) -> bool:
    words = [token.text for token in clause]
    if not words:
        return True
    if len(words) > MOST_WORDS or any(token.name for token in clause):
        return False
    if any(word.startswith(_CHESS) or word in _HE or (word[-1].isdigit() and word != "1") for word in words):
        return False
    if words[0] in _ELSEWHERE or words[0] in _BACK or words[:2] == ["i", "mean"]:
        return False
    if _REPORTS & set(words) and (words[0] not in _OWN_REPORTS or "would" in words):
        return False
    if _bound(words):
        first = next((k for k, word in enumerate(words) if word not in _LINKS), len(words))
        who = words[first : first + 1]
        if CONDITION & set(words) and not _SEES & set(words):
            return False
        return bool(who) and who[0] in _PERSONS and not _DOUBTS & set(words[first : first + 3])
    return True


def _bound(words: Sequence[str]) -> bool:
    """Whether a clause holds a word that could make what stands beside it a wish, a denial or a condition."""
    return bool(set(words) & (CONDITION | UNREAL | MODAL | NEGATION | _ELSEWHERE))
