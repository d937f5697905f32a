"""The queen called "she": "he gains time on her, and she goes to a5"; a lady at the board is called so, too."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import chess

from timeline.follow.lexer import Tok
from timeline.follow.mentions import Mention
from timeline.follow.vocabulary import PIECE_WORDS

_SHE = frozenset("she she's she'd she'll".split())
_BETWEEN = frozenset("now then just simply also quickly has had is even again calmly proudly happily can will must first".split())
"""Between "she" and what she does."""
_WAY = _BETWEEN | frozenset("goes comes runs flies sails swings slides went came ran flew all the way long right straight down up over across in out back round around and".split())
"""The same of a way that ends with a move ("she goes all the way down and takes on f7")."""
_GIVES = frozenset("gives gave giving with".split())
_PLAYERS = frozenset(
    """castles castled plays played resigns resigned chooses chose wants wanted decides decided thinks thought knows knew
    won lost says said answers answered replies replied supports supported defends defended pins pinned pushes pushed
    develops developed opens opened offers offered sees saw prefers preferred likes liked finds found missed misses""".split()
)
"""What a lady at the board does and a queen does not."""
REACH_TOKENS = 30
FROM_PLAYER_TOKENS = 10
"""Where a lady plays, "she" is the queen only so soon after the queen was named."""
COST, PLAYER_COST = 0.1, 0.4
"""Of taking "she" for the queen, where no lady seems to play and where one does."""
OTHER_COST = 0.5
"""Of taking "she" for a player where none seems to be a lady."""


class Ladies:
    """Lookups over one token sequence."""

    def __init__(self, toks: Sequence[Tok]) -> None:
        self.toks = toks
        self._queens = [k for k, tok in enumerate(toks) if PIECE_WORDS.get(tok.text, (0, 1.0))[0] == chess.QUEEN]
        plays = any(tok.text in _SHE and self._does(k + 1) in _PLAYERS for k, tok in enumerate(toks))
        self._plays = plays
        self._reach = FROM_PLAYER_TOKENS if plays else REACH_TOKENS

    def read(self, m: Mention) -> list[Mention]:
        """The mention, and as the queen's move as well where "she" makes it and a queen was spoken of lately."""
        if not self._hers(m):
            return [m]
        kind = "full" if m.kind in ("to", "pawn", "check") else m.kind
        cost, other = (PLAYER_COST, 0.0) if self._plays else (COST, OTHER_COST)
        hers = replace(m, desc=m.desc._replace(piece=chess.QUEEN, man=False), kind=kind, hear=m.hear + cost)
        return [hers, replace(m, hear=m.hear + other)]

    def _hers(self, m: Mention) -> bool:
        d = m.desc
        if d.piece or d.ff or d.fsq >= 0 or d.castle or d.promo or not (m.motion or d.cap or d.chk):
            return False
        if d.to < 0 and not d.victim and (self._plays or not d.cap):  # "she takes it" may be a lady's move
            return False
        k = m.start - 1
        while k >= 0 and (self.toks[k].text in _WAY or (d.chk and self.toks[k].text in _GIVES)) and not self.toks[k].ends:
            k -= 1
        if k < 0 or self.toks[k].text not in _SHE or self.toks[k].ends:
            return False
        return any(k - self._reach <= at < k for at in self._queens)

    def _does(self, k: int) -> str:
        """The word that says what "she" before token ``k`` does."""
        while k < len(self.toks) and self.toks[k].text in _BETWEEN:
            k += 1
        return self.toks[k].text if k < len(self.toks) else ""
