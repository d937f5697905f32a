"""Ways in which moves are spoken, one by one, each on a position where it can be judged.

The ways are common practice of teachers; each example was written for this test. They hold for the model that
ships; another fit may miss one or two.
"""

from __future__ import annotations

import pytest
from followtalk import LEGAL, setup, words

from timeline.follow import follow_words
from timeline.score import read_score

PETROV = "1. e4 e5 2. Nf3 Nf6 3. Nxe5 d6 4. Nf3 Nxe4 5. d4 d5 *"
DECLINED = "1. d4 d5 2. c4 e6 3. Nc3 Nf6 4. Bg5 Be7 5. e3 O-O 6. Nf3 Nbd7 7. Rc1 c6 *"
ITALIAN = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d3 d6 6. O-O O-O 7. Re1 a6 *"
SICILIAN = "1. e4 c5 2. c3 Nf6 3. e5 Nd5 4. d4 cxd4 5. Nf3 Nc6 6. Bc4 Nb6 7. Bb3 d5 8. exd6 Qxd6 *"
SCANDINAVIAN = "1. e4 d5 2. exd5 Qxd5 3. Nc3 Qa5 4. d4 Nf6 *"

SLAV = "1. d4 d5 2. c4 c6 3. Nf3 Nf6 4. Nc3 dxc4 5. a4 Bf5 6. e3 e6 7. Bxc4 Bb4 8. O-O O-O 9. Qe2 Nbd7 10. e4 Bg6 11. Bd3 Bh5 *"
QUIET = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d4 exd4 6. cxd4 Bb4+ 7. Nc3 Nxe4 8. O-O Bxc3 9. d5 Bf6 10. Re1 Ne7 *"

PATTERNS = [
    (
        "pawns named by the piece behind them",
        "1. e4 e5 2. f4 exf4 3. Nf3 g5 4. h4 g4 *",
        "King's pawn, two squares, e5. The king's bishop's pawn, two squares. The king's pawn takes. King's knight to bishop's third, "
        "king's knight's pawn, two squares. Then the rook's pawn goes two squares, and g4.",
        "1w | 1b | 2w | 2b | 3w | 3b | 4w | 4b",
    ),
    (
        "steps in front of the pawn, faces us",
        setup("8/8/4k3/8/4K3/8/4P3/8 w - - 0 1", "1. e3 Kd6"),
        "First the mistake. King f four, king f six, e four. Black steps in front, e five, king e seven, king f five, he faces us, "
        "e six check. Instead e three, king d six.",
        "start Kf4 Kf6 e4 | start Kf4 Kf6 e4 Ke6 | start Kf4 Kf6 e4 Ke6 e5 | start Kf4 Kf6 e4 Ke6 e5 Ke7 | "
        "start Kf4 Kf6 e4 Ke6 e5 Ke7 Kf5 | start Kf4 Kf6 e4 Ke6 e5 Ke7 Kf5 Kf7 | start Kf4 Kf6 e4 Ke6 e5 Ke7 Kf5 Kf7 e6+ | 1w | 1b",
    ),
    (
        "a queen, and a queen",
        setup("8/8/3K4/1k6/8/2P5/7p/8 w - - 0 1", "1. c4+ Kb6 2. c5+ Kb7 3. c6+ Kb8 4. c7+ Kb7 5. c8=Q+ Kxc8"),
        "C4 check, king b6, c5, king b7, c6 check, king b8, c7 check, king b7, a queen.",
        "3b | 4w | 4b | 5w",
    ),
    (
        "there goes my b pawn",
        "1. d4 e5 2. dxe5 Nc6 3. Nf3 Qe7 4. Bf4 Qb4+ 5. Bd2 Qxb2 6. Nc3 Bb4 *",
        "D four, e five, takes, knight c six, knight f three, queen e seven, bishop f four, queen b four check, bishop d two, and "
        "there goes my b pawn. Knight c three, bishop b four.",
        "5w | 5b | 6w | 6b",
    ),
    (
        "squares named in the old way, with ordinals",
        "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 *",
        "Pawn to king's fourth, pawn to king's fourth. King's knight to bishop's third, queen's knight to bishop's third. "
        "Bishop to queen's knight's fifth, pawn to queen's rook's third.",
        "1w | 1b | 2w | 2b | 3w | 3b",
    ),
    (
        "moves told from square to square",
        PETROV,
        "Pawn e two to e four. Pawn e seven to e five. Knight g one to f three. Knight g eight to f six. Knight f three takes e five. "
        "Pawn d seven to d six.",
        "1w | 1b | 2w | 2b | 3w | 3b",
    ),
    (
        "both kings run to the short side",
        ITALIAN,
        "E4, e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6, d3, d6. Both kings run off to the short side. Rook e1.",
        "1w | 1b | 2w | 2b | 3w | 3b | 4w | 4b | 5w | 5b | 6b | 7w",
    ),
    (
        "puts his own knight in front",
        setup("4k3/5ppp/2n5/8/8/8/5PPP/R5K1 w - - 0 1", "1. Ra8+ Kd7"),
        "Rook a8 check. If he puts his own knight in front, h3, h6. He played king d7.",
        "1w | 1w Nd8 | 1w Nd8 h3 | 1w Nd8 h3 h6 | 1b",
    ),
    (
        "opens the way for the bishop",
        "1. d4 d5 2. c4 dxc4 3. e3 Nf6 4. Bxc4 e6 *",
        "D4, d5, c4, takes. White opens the way for the bishop. If black holds on with b5, a4, c6. In the game knight f6, bishop takes c4.",
        "1w | 1b | 2w | 2b | 3w | 3w b5 | 3w b5 a4 | 3w b5 a4 c6 | 3b | 4w",
    ),
    (
        "on to the position after Black's sixth",
        ITALIAN,
        "E4, e5, knight f3, knight c6. Good, on to the position after black's sixth, and White continues rook e1, a6.",
        "1w | 1b | 2w | 2b | 6b | 7w | 7b",
    ),
    (
        "undoing the last pair",
        SICILIAN,
        "E4, c5, c3, knight f6, e5, knight d5, d4, takes, knight f3, knight c6, bishop c4, knight b6, bishop b3, d5. "
        "Sorry, somebody asks about the bishop move, so we undo the last pair and see the bishop on c4 again. "
        "If white takes the pawn, on d4, then knight takes c4.",
        "6w | 6b | 7w | 7b | 6b | 6b cxd4 | 6b cxd4 Nxc4",
    ),
    (
        "a talk that begins in the middle",
        DECLINED,
        "Good evening, one idea today and no more. We look at rook c1, and Black answers c6.",
        "6b | 7w | 7b",
    ),
    (
        "he put the rook back on a six: a move",
        setup("4k3/8/8/8/8/8/R7/4K3 w - - 0 1", "1. Ra7 Kd8"),
        "Rook a7. Or rook a6, king e7, rook h6, king f7. He put the rook back on a6, king e7.",
        "start Ra6 Ke7 Rh6 Kf7 | start Ra6 Ke7 Rh6 Kf7 Ra6 | start Ra6 Ke7 Rh6 Kf7 Ra6 Ke7",
    ),
    (
        "he blocks with the knight",
        setup("4k3/5ppp/2n5/8/8/8/5PPP/R5K1 w - - 0 1", "1. Ra8+ Kd7"),
        "Rook a8 check. If he blocks with the knight, h3, h6. He played king d7.",
        "1w Nd8 | 1w Nd8 h3 | 1w Nd8 h3 h6 | 1b",
    ),
    (
        "a check with the g pawn, not with the bishop",
        setup("8/8/7k/8/1B4P1/8/6B1/6K1 w - - 0 1", "1. Kf2 Kg6"),
        "King f2. Instead of that he can give check with the g pawn, king h5, and king h2.",
        "1w | start g5+ | start g5+ Kh5 | start g5+ Kh5 Kh2",
    ),
    (
        "gives up the bishop for the knight",
        "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 *",
        "E4, e5, knight f3, knight c6, bishop b5, a6. White could give up the bishop for the knight, d takes c6, castles. "
        "Here bishop a4.",
        "3b | 3b Bxc6 | 3b Bxc6 dxc6 | 3b Bxc6 dxc6 O-O | 4w",
    ),
    (
        "takes on e five with the g knight",
        "1. d4 Nf6 2. c4 e5 3. dxe5 Ng4 4. Nf3 Nc6 5. Bf4 Bb4+ *",
        "D4, knight f6, c4, e5, d takes e5, knight g4, knight f3, knight c6. If e3, black takes on e5 with the g knight. "
        "In the game bishop f4.",
        "4b | 4b e3 | 4b e3 Ngxe5 | 5w",
    ),
    (
        "the queen's knight, and the g knight",
        setup("4k3/8/8/8/8/8/8/1N2K1N1 w - - 0 1", "1. Nc3 Kd7"),
        "Knight c3, king d7. Instead of that the queen's knight comes to d2, king e7, and then the g knight goes to e2.",
        "1b | start Nd2 | start Nd2 Ke7 | start Nd2 Ke7 Ne2",
    ),
    (
        "put the rook back on a six",
        setup("4k3/8/8/8/8/8/R7/4K3 w - - 0 1", "1. Ra7 Kd8"),
        "Rook a7. Or rook a6, king e7, rook h6, king f7. Put the rook back on a6. Now king e2, king d7.",
        "start Ra6 Ke7 Rh6 Kf7 | start Ra6 Ke7 | start Ra6 Ke7 Ke2 | start Ra6 Ke7 Ke2 Kd7",
    ),
    (
        "put the knight back, in the game",
        "1. e4 e5 2. Nf3 Nc6 3. Bc4 Nf6 *",
        "E4, e5, knight f3, knight c6. But let me put the knight back and show you another way. D6, d4. In the game knight c6, bishop c4.",
        "2w | 2b | 2w | 2w d6 | 2w d6 d4 | 2b | 3w",
    ),
    (
        "put the rook back, no square named",
        setup("4k3/8/8/8/8/8/R7/4K3 w - - 0 1", "1. Ra7 Kd8"),
        "Rook a7. Or rook a6, king e7, rook h6, king f7. So put the rook back. Now king e2, king d7.",
        "start Ra6 Ke7 Rh6 Kf7 | start Ra6 Ke7 | start Ra6 Ke7 Ke2 | start Ra6 Ke7 Ke2 Kd7",
    ),
    (
        "he put the rook back: a move",
        setup("4k3/8/8/8/8/8/R7/4K3 w - - 0 1", "1. Ra7 Kd8 2. Ra2 Ke7"),
        "Rook a7, king d8. He put the rook back, king e7.",
        "1w | 1b | 2w | 2b",
    ),
    (
        "both sides castle, in a sideline",
        "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 *",
        "E4, e5, knight f3, knight c6, bishop c4, bishop c5, c3. If instead of that d3, knight f6, both sides castle, h3. "
        "In the game c3, knight f6.",
        "3b d3 Nf6 | 3b d3 Nf6 O-O O-O | 3b d3 Nf6 O-O O-O h3 | 4w | 4b",
    ),
    (
        "he exchanges, and the knight helps itself",
        "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 *",
        "E4, e5, knight f3, knight c6, bishop b5, a6. If he exchanges, d takes c6, and the knight helps itself. "
        "Queen d4 hits it. In the game bishop a4.",
        "3b Bxc6 dxc6 | 3b Bxc6 dxc6 Nxe5 | 3b Bxc6 dxc6 Nxe5 Qd4 | 4w",
    ),
    (
        "the knight that can go back",
        setup("4k3/8/8/3p4/8/2N5/8/1N2K3 w - - 0 1", "1. Nxd5 Kd7"),
        "Knight takes d5, king d7. If knight back to c3, king c6.",
        "1b | 1b Ndc3 | 1b Ndc3 Kc6",
    ),
    (
        "black pops his f pawn two squares, not one",
        setup("6k1/5ppp/8/7Q/8/8/8/6K1 w - - 0 1", "1. Qe5 h6"),
        "Queen e5. If black pops his f pawn two squares, king f2. In the game, h6.",
        "1w f5 | 1w f5 Kf2 | 1w | 1b",
    ),
    (
        "takes the opposition",
        setup("8/8/4k3/8/4P3/3K4/8/8 w - - 0 1", "1. Kd4 Kd6"),
        "King d4. Black takes the opposition. Then e5 check, and the king goes back to e6.",
        "1w | 1b | 1b e5+ | 1b e5+ Ke6",
    ),
    (
        "a piece that goes back is no pawn (it goes back to h four)",
        "1. d4 d5 2. c4 e6 3. Nf3 Nf6 4. Bg5 Be7 *",
        "D4, d5, c4, e6, knight f3, knight f6, bishop g5. If now h6, it goes back to h4, and black castles.",
        "4w h6 | 4w h6 Bh4",
    ),
    (
        "in two ways, with the b pawn",
        "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6 dxc6 5. O-O *",
        "E4, e5, knight f3, knight c6, bishop b5, a6, bishop takes c6. Now Black may take back in two ways. With the b pawn "
        "he keeps the centre, d4, takes. In the game he took with the d pawn.",
        "4w bxc6 | 4w bxc6 d4 | 4w bxc6 d4 exd4 | 4b",
    ),
    (
        "the rook goes behind the pawn",
        setup("8/1P6/8/8/8/6k1/8/K3r3 w - - 0 1", "1. Ka2 Re8"),
        "King a2. If he goes behind the pawn, king a3, and king f3.",
        "1w Rb1 | 1w Rb1 Ka3 | 1w Rb1 Ka3 Kf3",
    ),
    (
        "go back two moves",
        "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 *",
        "E4, e5, knight f3, knight c6. If bishop b5, d6, bishop takes c6, b takes c6, d4. Go back two moves. "
        "Better is knight d4, and white castles.",
        "2b Bb5 d6 Bxc6+ bxc6 d4 | 2b Bb5 | 2b Bb5 Nd4 | 2b Bb5 Nd4 O-O",
    ),
    (
        "take the other pawn, on e four",
        setup("4k3/8/3p4/8/4p2p/6N1/8/4K3 w - - 0 1", "1. Nf5 Kd7"),
        "Here knight f5. Or we take the other pawn, on e4, and the king comes, king e7.",
        "1w | start Nxe4 | start Nxe4 Ke7",
    ),
    (
        "pawn to e four / plays e five / bare c three",
        "1. e4 e5 2. c3 d5 *",
        "White starts with pawn to e four. Black plays e five. And now c three, d five.",
        "1w | 1b | 2w | 2b",
    ),
    (
        "c three pawn check (piece after square, mark last)",
        setup("8/8/8/8/1k6/8/2P5/4K3 w - - 0 1", "1. c3+ Kb5"),
        "Here we have c three pawn check, and king b five.",
        "1w | 1b",
    ),
    (
        "rook a to e one check",
        setup("4k3/8/8/8/8/8/6K1/R6R w - - 0 1", "1. Rae1+ Kf7"),
        "Rook a to e one check. King f seven.",
        "1w | 1b",
    ),
    (
        "knight from b to d two",
        "1. d4 d5 2. Nf3 Nf6 3. Nbd2 e6 *",
        "D four, d five, knight f three, knight f six. Knight from b to d two. E six.",
        "3w | 3b",
    ),
    (
        "rook one to e three",
        setup("4k3/8/8/4R3/8/8/6K1/4R3 w - - 0 1", "1. R1e3 Kf7"),
        "Rook one to e three, and king f seven.",
        "1w | 1b",
    ),
    (
        "knight b d two",
        "1. d4 d5 2. Nf3 Nf6 3. Nbd2 e6 *",
        "D four, d five, knight f three, knight f six, knight b d two, e six.",
        "3w | 3b",
    ),
    (
        "knight b d two misheard (night be the two)",
        "1. d4 d5 2. Nf3 Nf6 3. Nbd2 e6 *",
        "D four, d five, knight f three, knight f six. Night be d two. E six.",
        "3w | 3b",
    ),
    (
        "the other knight jumps in, check",
        setup("4k3/8/8/8/8/2N2N2/8/4K3 w - - 0 1", "1. Ne5 Kd8 2. Nd5 Ke8 3. Nc7+ Kd8"),
        "Knight e five, king d eight. The other knight comes to d five. King e eight. And now the same knight jumps in, check. King d eight.",
        "2w | 2b | 3w | 3b",
    ),
    (
        "the other knight jumps in, check (by exclusion)",
        setup("6k1/8/8/3N4/8/5N2/8/4K3 w - - 0 1", "1. Ne5 Kh8 2. Nf6 Kg7 3. Ne8+ Kg8"),
        "Knight e five, king h eight. The other knight comes to f six. King g seven. And the knight jumps to e eight with check.",
        "2w | 2b | 3w",
    ),
    (
        "the g five bishop",
        "1. d4 d5 2. c4 e6 3. Nc3 Nf6 4. Bg5 Be7 5. e3 O-O 6. Bxf6 Bxf6 *",
        "D four, d five, c four, e six, knight c three, knight f six, bishop g five, bishop e seven, e three, castles. The g five bishop takes on f six. Bishop takes back.",
        "6w | 6b",
    ),
    (
        "the g five bishop is a bad piece (no destination)",
        DECLINED,
        "D four, d five, c four, e six, knight c three, knight f six, bishop g five. The g five bishop is an annoying piece. Bishop e seven.",
        "4w | 4b",
    ),
    ("this pawn is weak", LEGAL, "E four, e five. This pawn is a bit weak now. Knight f three.", "1b | 2w"),
    (
        "takes the knight (victim only)",
        setup("4k3/8/8/3n4/4P3/8/8/4K2R w - - 0 1", "1. exd5 Ke7"),
        "White takes the knight. King e seven.",
        "1w | 1b",
    ),
    (
        "takes the more valuable knight",
        setup("4k3/8/8/3n4/4P3/8/8/4K2R w - - 0 1", "1. exd5 Ke7"),
        "And White takes the more valuable knight. King e seven.",
        "1w | 1b",
    ),
    (
        "knight takes e four",
        PETROV,
        "E four, e five, knight f three, knight f six, knight takes e five, d six, knight f three, knight takes e four, d four.",
        "4w | 4b | 5w",
    ),
    (
        "the rook can't be taken by the pawn (negation)",
        setup("4k3/8/3p4/4R3/8/8/8/4K3 b - - 0 1", "1... Kd7 2. Re3"),
        "The rook can't be taken by the pawn, it is pinned. King d seven. Rook e three.",
        "1b | 2w",
    ),
    (
        "takes, takes, takes, takes back",
        "1. e4 e5 2. d4 exd4 3. Qxd4 Nc6 *",
        "E four, e five, d four, takes, takes, knight c six.",
        "2b | 3w | 3b",
    ),
    (
        "takes takes knight takes",
        "1. e4 d5 2. exd5 Nf6 3. d4 Nxd5 4. c4 Nb6 *",
        "E four, d five, e takes d5, knight f six, d four, knight takes, c four, knight b six.",
        "3b | 4w | 4b",
    ),
    ("recaptures", SCANDINAVIAN, "E four, d five, e takes, and the queen recaptures. Knight c three.", "2w | 2b | 3w"),
    ("d takes", "1. d4 d5 2. c4 dxc4 3. e3 b5 *", "D four, d five, c four, d takes, e three, b five.", "2b | 3w | 3b"),
    (
        "c takes (the c pawn captures)",
        "1. d4 d5 2. c4 Nf6 3. cxd5 Nxd5 *",
        "D four, d five, c four, knight f six, c takes, knight takes.",
        "3w | 3b",
    ),
    ("takes back", SCANDINAVIAN, "E four, d five, takes, takes back, knight c three.", "2w | 2b | 3w"),
    (
        "only one move, d five (subject from before: king)",
        setup("8/8/2k5/8/8/1Q6/8/4K2R b - - 0 1", "1... Kd6 2. Rh6+ Ke5"),
        "The king has only one move, d six. Rook h six check, king e five.",
        "1b | 2w | 2b",
    ),
    (
        "king has only one move (subject carried; two can go)",
        setup("8/8/2k1n3/8/8/1Q6/8/4K2R b - - 0 1", "1... Kd6 2. Rh6 Ke5"),
        "The black king is in trouble, it has only one sensible move, d six. Rook h six, king e five.",
        "1b | 2w | 2b",
    ),
    (
        "black has to go king h seven here (played)",
        setup("6k1/8/8/8/8/8/6K1/Q7 w - - 0 1", "1. Qa8+ Kh7 2. Qe4+ Kg7"),
        "Queen a eight check. Black has to go king h seven here. Queen e four check.",
        "1w | 1b | 2w",
    ),
    (
        "a list of ideas: you can go queen d2, bishop h3, knight g5",
        ITALIAN,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five. Here you can go d three, castle, or c three, there is knight c three as well. In the game White played c three. Knight f six.",
        "4w | 4b",
    ),
    (
        "a move like this, queen c seven",
        DECLINED,
        "D four, d five, c four, e six, knight c three, knight f six, bishop g five. A move like this, h six, for instance. But in the game bishop e seven.",
        "4w h6 | 4w | 4b",
    ),
    (
        "something like e six",
        "1. d4 d5 2. c4 c6 3. Nf3 Nf6 *",
        "D four, d five, c four. You could play something like e six. But Black played c six. Knight f three.",
        "2w e6 | 2b | 3w",
    ),
    (
        "negation: if you don't go h three it is bad",
        ITALIAN,
        "E four, e five, knight f three, knight c six. If you don't go bishop c four here it is a bit slow. Bishop c four, bishop c five.",
        "3w | 3b",
    ),
    (
        "after rook a eight and bishop g eight (two plies)",
        setup("2b3k1/8/8/8/8/8/6K1/R7 w - - 0 1", "1. Ra8 Kf7 2. Ra7+ Ke6"),
        "After rook a eight and king f seven White checks on a seven. King e six.",
        "1w | 1b | 2w | 2b",
    ),
    (
        "set-up: white's rook is on a seven, black's king on h eight",
        setup("7k/R7/8/8/8/8/6K1/8 w - - 0 1", "1. Kg3 Kg8"),
        "White's rook is on a seven, black's king on h eight. King g three, king g eight.",
        "1w | 1b",
    ),
    (
        "idea: can trade the bishop for the knight on c five",
        setup("4k3/8/8/2n5/8/4B3/8/4K3 w - - 0 1", "1. Kd2 Kd7"),
        "White can trade the bishop for the knight on c five. King d two, king d seven.",
        "1w | 1b",
    ),
    (
        "most forcing move is to play check (wait for the square)",
        setup("6k1/8/8/8/8/8/6K1/Q7 w - - 0 1", "1. Qa8+ Kh7 2. Qe4+ Kg7"),
        "The most forcing move is to play check. Queen a eight. King h seven.",
        "1w | 1b",
    ),
    (
        "beginners often take on e four, here they play knight f six",
        "1. e4 e5 2. Nf3 Nf6 3. Nc3 Bb4 4. Nxe5 O-O *",
        "E four, e five, knight f three, knight f six, knight c three. Beginners often take on e four. Here they play bishop b four.",
        "3w Nxe4 | 3b",
    ),
    (
        "return: sorry, let me go back here, so in this position",
        ITALIAN,
        "E four, e five, knight f three. If knight f six, knight takes e five, d six. Sorry, let me go back here, so in this position. Knight c six, bishop c four.",
        "2b | 3w",
    ),
    (
        "in the actual game this was c3",
        ITALIAN,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five. If White plays b four, bishop takes b four, c three. In the actual game this was c three.",
        "3b b4 | 3b b4 Bxb4 | 3b b4 Bxb4 c3 | 3b | 4w",
    ),
    (
        "but in the game",
        LEGAL,
        "E four, e five, knight f three. If knight c six, bishop b five. But in the game Black played d six.",
        "2w Nc6 | 2w Nc6 Bb5 | 2b",
    ),
    (
        "suppose",
        LEGAL,
        "E four, e five, knight f three. Suppose f six, knight takes e five. D six was played.",
        "2w f6 | 2w f6 Nxe5 | 2b",
    ),
    (
        "had he played",
        LEGAL,
        "E four, e five, knight f three, d six. Had he played knight c six, bishop b five would follow. Bishop c four.",
        "2w Nc6 | 2w Nc6 Bb5 | 3w",
    ),
    (
        "instead (branch before last move)",
        LEGAL,
        "E four, e five, knight f three, d six. Instead, knight c six is the normal move. In the game bishop c four.",
        "2b | 2w Nc6 | 2b | 3w",
    ),
    (
        "what if",
        LEGAL,
        "E four, e five, knight f three, d six, bishop c four. What if Black goes knight f six? Knight g five. But bishop g four was played.",
        "3w Nf6 | 3w Nf6 Ng5 | 3b",
    ),
    (
        "four-move checkmate only mentioned (no jump)",
        ITALIAN,
        "E four, e five. Some just play for the four-move checkmate. Knight f three.",
        "1b | 2w",
    ),
    (
        "castles long",
        setup("4k2r/pppppppp/8/8/8/8/PPPPPPPP/R3K2R w KQk - 0 1", "1. O-O-O O-O"),
        "White castles long and Black castles short.",
        "1w | 1b",
    ),
    (
        "castles queenside",
        setup("4k2r/pppppppp/8/8/8/8/PPPPPPPP/R3K2R w KQk - 0 1", "1. O-O-O O-O"),
        "White castles queenside and Black castles kingside.",
        "1w | 1b",
    ),
    (
        "both castle",
        ITALIAN,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five, c three, knight f six, d three, d six, they both castle. Rook e one.",
        "6b | 7w",
    ),
    (
        "doubles the rooks",
        setup("4k3/8/8/8/8/3R4/6K1/R7 w - - 0 1", "1. Rad1 Ke7 2. Kg3 Kf7"),
        "White doubles the rooks. King e seven, king g three.",
        "1w | 1b | 2w",
    ),
    (
        "the king steps aside",
        setup("6k1/8/8/8/8/8/6K1/Q7 w - - 0 1", "1. Qa8+ Kh7 2. Qe4+ Kg7"),
        "Queen a eight check. The king steps aside. Queen e four check.",
        "1w | 1b | 2w",
    ),
    (
        "gives a check",
        setup("6k1/8/8/8/8/8/6K1/Q7 w - - 0 1", "1. Qa8+ Kh7 2. Qe4+ Kg7"),
        "The queen gives a check on a eight. King h seven.",
        "1w | 1b",
    ),
    (
        "retreats",
        "1. e4 d5 2. exd5 Qxd5 3. Nc3 Qa5 *",
        "E four, d five, e takes d five, queen takes d five, knight c three, the queen retreats to a five.",
        "3w | 3b",
    ),
    (
        "the queen retreats (no square)",
        "1. e4 d5 2. exd5 Qxd5 3. Nc3 Qd8 4. d4 Nf6 *",
        "E four, d five, e takes d five, queen takes d five, knight c three, and the queen retreats. D four, knight f six.",
        "3w | 3b | 4w | 4b",
    ),
    (
        "queen's knight (which knight)",
        "1. d4 d5 2. c4 e6 3. Nc3 Nf6 *",
        "D four, d five, c four, e six. White brings out the queen's knight. Knight f six.",
        "3w | 3b",
    ),
    (
        "bishop to queen knight five (descriptive target)",
        "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 *",
        "E four, e five, knight f three, knight c six, bishop to queen knight five, a six.",
        "3w | 3b",
    ),
    (
        "black: knight to king bishop three = f6 (mirrored)",
        PETROV,
        "E four, e five, knight f three, knight to king bishop three. Knight takes e five.",
        "2b | 3w",
    ),
    ("night", PETROV, "E four, e five, night f three, night f six, night takes e five.", "2w | 2b | 3w"),
    (
        "rock / root",
        ITALIAN,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five, c three, knight f six, d three, d six, castles, castles, root e one, a six.",
        "7w | 7b",
    ),
    (
        "age seven (h7)",
        setup("6k1/8/8/8/8/8/6K1/Q7 w - - 0 1", "1. Qa8+ Kh7 2. Qe4+ Kg7"),
        "Queen a eight check. King age seven. Queen e four check.",
        "1w | 1b | 2w",
    ),
    (
        "queen try (queen d three / e three)",
        setup("4k3/8/8/8/8/8/6K1/3Q4 w - - 0 1", "1. Qd3 Ke7"),
        "Queen d tree. King e seven.",
        "1w | 1b",
    ),
    (
        "bishop the eight (letter lost: b8)",
        setup("4k3/8/8/8/8/6B1/6K1/8 w - - 0 1", "1. Bb8 Ke7"),
        "Bishop the eight. King e seven.",
        "1w | 1b",
    ),
    (
        "on these seven (d/e seven)",
        setup("6k1/8/8/8/8/4R3/6K1/8 w - - 0 1", "1. Re7 Kf8"),
        "The rook lands on these seven. King f eight.",
        "1w | 1b",
    ),
    (
        "bishop before = bishop b4",
        "1. d4 Nf6 2. c4 e6 3. Nc3 Bb4 4. e3 O-O *",
        "D four, knight f six, c four, e six, knight c three, bishop before, e three.",
        "3b | 4w",
    ),
    (
        "he cancels = castles",
        ITALIAN,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five, c three, knight f six, d three, d six. White cancels, and Black castles.",
        "6w | 6b",
    ),
    (
        "chromate",
        LEGAL,
        "E four, e five, knight f three, d six, bishop c four, bishop g four, knight c three, g six, knight takes e five, bishop takes d one, bishop takes f seven check, king e seven, knight d five chromate.",
        "6b | 7w",
    ),
    (
        "or f eight = rook f eight",
        setup("r5k1/8/8/8/8/8/6K1/8 b - - 0 1", "1... Rf8 2. Kg3"),
        "Black plays or f eight. King g three.",
        "1b | 2w",
    ),
    (
        "c takes of issue",
        "1. d4 d5 2. c4 e6 3. Nc3 Nf6 4. Bg5 Be7 5. e3 O-O 6. cxd5 exd5 7. Nf3 c6 *",
        "D four, d five, c four, e six, knight c three, knight f six, bishop g five, bishop e seven, e three, castles, c takes, e takes, knight f three.",
        "6w | 6b | 7w",
    ),
    (
        "rook c1 eyeing the file runs into knight b4",
        "1. d4 d5 2. Nf3 Nc6 3. e3 e6 4. Bd3 Nb4 *",
        "D four, d five, knight f three, knight c six, e three, e six. Bishop d three eyeing the kingside runs into knight b four.",
        "4w | 4b",
    ),
    (
        "suppose he grabs it",
        SCANDINAVIAN,
        "E four, d five, takes, queen takes, knight c three, queen a five, d four. Suppose he grabs it with nothing. In the game knight f six.",
        "4w | 4b",
    ),
    (
        "threat told as a move: only a mark",
        LEGAL,
        "E four, e five, knight f three, d six, bishop c four. The threat is knight g five. Black answers bishop g four.",
        "3w | 3b",
    ),
    (
        "self-correction sorry, rook d1",
        setup("4k3/8/8/8/8/8/6K1/R6R w - - 0 1", "1. Rad1 Ke7"),
        "Rook e one, sorry, rook d one. King e seven.",
        "1w | 1b",
    ),
    ("self-correction I mean", LEGAL, "E four, e five, knight c three, I mean knight f three, d six.", "2w | 2b"),
    (
        "pawns: h seven advances (pawn named by square)",
        setup("4k3/7p/8/8/8/8/6K1/8 b - - 0 1", "1... h5 2. Kf3"),
        "The h seven pawn advances two squares. King f three.",
        "1b | 2w",
    ),
    (
        "a8 makes a knight",
        setup("8/P5k1/8/8/8/8/6K1/8 w - - 0 1", "1. a8=N Kf7"),
        "A eight knight. King f seven.",
        "1w | 1b",
    ),
    (
        "a eight equals queen",
        setup("8/P5k1/8/8/8/8/6K1/8 w - - 0 1", "1. a8=Q Kf7"),
        "A eight equals queen. King f seven.",
        "1w | 1b",
    ),
    (
        "en passant",
        setup("4k3/3p4/8/4P3/8/8/8/4K3 b - - 0 1", "1... d5 2. exd6 Kd7"),
        "D five. White takes en passant. King d seven.",
        "1b | 2w | 2b",
    ),
    (
        "takes on d six en passant",
        setup("4k3/3p4/8/4P3/8/8/8/4K3 b - - 0 1", "1... d5 2. exd6 Kd7"),
        "D five, and e takes d six en passant. King d seven.",
        "1b | 2w | 2b",
    ),
    (
        "blind players: knight foxtrot three",
        LEGAL,
        "Echo four, echo five, knight foxtrot three, delta six.",
        "1w | 1b | 2w | 2b",
    ),
    (
        "blind players: Springer Gustav",
        LEGAL,
        "Eva four, Eva five, knight Felix three, David six.",
        "1w | 1b | 2w | 2b",
    ),
    (
        "plans are no moves, whatever the game holds",
        DECLINED,
        "D four, d five, c four, e six, knight c three, knight f six. Sensible moves now are bishop g five, knight f three, and c takes "
        "d five. White threatens bishop g five and e four. Bishop g five it is, bishop e seven.",
        "3b | 4w | 4b",
    ),
    (
        "a threat of the side that has moved",
        SICILIAN,
        "E four, c five, c three, knight f six, e five, knight d five. White threatens c four. D four.",
        "3b | 4w",
    ),
    (
        "no pawn on e three",
        DECLINED,
        "D four, d five, c four, e six, knight c three, knight f six. With no pawn on e three the bishop is free, so bishop g five.",
        "3b | 4w",
    ),
    (
        "in place of a move of the sideline",
        ITALIAN,
        "E four, e five, knight f three, knight c six, bishop c four. Suppose knight f six, knight g five, d five, takes, knight a five. "
        "Knight d four instead of knight a five is wilder. In the game bishop c five.",
        "3w Nf6 Ng5 d5 exd5 Na5 | 3w Nf6 Ng5 d5 exd5 Nd4 | 3b",
    ),
    (
        "a talk that begins where a bishop stands by now",
        SLAV,
        "Good evening. The queen sits on e two and black's knight has already come to d seven. Now e four, bishop g six, bishop d three.",
        "9b | 10w | 10b | 11w",
    ),
    (
        "a talk that begins after so many moves",
        SLAV,
        "I will spare you the first nine moves, they are in every book. White breaks, e four, bishop g six, bishop d three, bishop h five.",
        "9b | 10w | 10b | 11w | 11b",
    ),
    (
        "a number of moves that is no place to begin",
        ITALIAN,
        "A loss in seven moves happens to all of us. E four, e five, knight f three, knight c six.",
        "1w | 1b | 2w | 2b",
    ),
    (
        "had he taken back: in place of what was played",
        QUIET,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five, c three, knight f six, d four, takes, takes, bishop "
        "b four check, knight c three, knight takes e four, castles, bishop takes c three, d five, bishop f six. Had white simply taken "
        "back on c three, d five would have been fine. In the game rook e one.",
        "9b | 8b bxc3 | 8b bxc3 d5 | 9b | 10w",
    ),
    (
        "what follows a condition belongs to it",
        QUIET,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five, c three, knight f six, d four, takes, takes, bishop "
        "b four check, knight c three, knight takes e four, castles, bishop takes c three. Should white recapture, then d five is strong. "
        "He played d five himself, bishop f six.",
        "8b | 8b bxc3 | 8b bxc3 d5 | 9w | 9b",
    ),
    (
        "only then: the line goes on",
        "1. e4 e5 2. f4 exf4 3. Nf3 g5 4. Bc4 g4 5. O-O gxf3 6. Qxf3 Qf6 7. e5 Qxe5 *",
        "E four, e five, f four, takes, knight f three, g five, bishop c four, g four, castles, takes, takes, queen f six. Suppose d three, "
        "knight c six, knight c three, bishop g seven, and only then e five. In the game e five at once, queen takes.",
        "6b d3 Nc6 Nc3 Bg7 | 6b d3 Nc6 Nc3 Bg7 e5 | 7w | 7b",
    ),
    (
        "takes with the other pawn instead, or another move in place of the last",
        SLAV,
        "D four, d five, c four, c six, knight f three, knight f six, knight c three. Suppose e six, bishop g five, h six, bishop takes, "
        "queen takes. If black takes with the pawn instead, e three. In the game takes, a four, bishop f five.",
        "4w e6 Bg5 h6 Bxf6 Qxf6 | 4w e6 Bg5 h6 Bxf6 gxf6 | 4w e6 Bg5 h6 Bxf6 gxf6 e3 | 4b | 5w | 5b",
    ),
    (
        "or another: in place of the last move of a line",
        SCANDINAVIAN,
        "E four, d five, takes, takes, knight c three. Queen d six is possible, d four, knight f six, knight f three, a six. Or g six, as "
        "some like it. But black went queen a five.",
        "3w Qd6 d4 Nf6 Nf3 a6 | 3w Qd6 d4 Nf6 Nf3 g6 | 3b",
    ),
    (
        "stalemate, where it is one",
        setup("4k3/8/5K2/4P3/8/8/8/8 w - - 0 1", "1. Ke6 Kd8 2. Kf7 Kd7 3. e6+ Kd6"),
        "If you push, e six, king f eight, e seven check, king e eight. Then king e six is stalemate. Correct is king e six, king d eight.",
        "start e6 Kf8 e7+ Ke8 | start e6 Kf8 e7+ Ke8 Ke6 | 1w | 1b",
    ),
    (
        "instead of a move long past",
        QUIET,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five, c three, knight f six, d four, takes, takes, bishop "
        "b four check, knight c three, knight takes e four, castles, bishop takes c three, d five, bishop f six. And if, instead of taking "
        "with the bishop, black takes with the knight, b takes. Back to the game, rook e one.",
        "9b | 8w Nxc3 | 8w Nxc3 bxc3 | 10w",
    ),
    (
        "he won't, he'll play another",
        ITALIAN,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five, c three, knight f six, d three, d six. What if I go "
        "knight g five, h six, and I take on f seven? But he won't do that, he'll play queen e seven. So castles, castles.",
        "5b Ng5 h6 | 5b Ng5 h6 Nxf7 | 5b Ng5 | 5b Ng5 Qe7 | 6w | 6b",
    ),
    (
        "must go back; the same; doubled rooks",
        "1. c4 c5 2. Nc3 Nc6 3. Nd5 e6 4. Nc3 Nf6 *",
        "C four, and black follows suit. Knight c three, black does the same. Knight d five, e six, and the knight must retreat. Knight f six.",
        "1w | 1b | 2w | 2b | 3w | 3b | 4w | 4b",
    ),
    (
        "takes the opposition, king e4: announced by the first words",
        setup("8/8/4k3/8/8/4K3/4P3/8 w - - 0 1", "1. Ke4 Kd6 2. Kf5"),
        "White seizes the opposition, king e four. King d six, king f five.",
        "1w | 1b | 2w",
    ),
    (
        "centralises, knight e4: one move",
        "1. e4 c6 2. d4 d5 3. Nc3 Nf6 4. e5 Nfd7 5. e6 fxe6 6. Ne4 dxe4 *",
        "E four, c six, d four, d five, knight c three, knight f six, e five, knight f d seven, e six, takes. White centralises, knight "
        "e four. Black takes it.",
        "5b | 6w | 6b",
    ),
    (
        "defends with the knight, on the square from which it does",
        setup("1n4k1/3p1ppp/8/4p3/8/5N2/5PPP/4R1K1 b - - 0 1", "1... f6 2. h3 h6"),
        "The pawn is attacked. If black defends with the knight, rook d one. In the game f six, h three.",
        "start Nc6 | start Nc6 Rd1 | 1b | 2w",
    ),
    (
        "in place of the knight: of its last move",
        ITALIAN,
        "E four, e five, knight f three, knight c six, bishop c four, bishop c five. If castles, knight f six, d three, d six, c three, "
        "a six. Or, in place of the knight, d six, h three. In the game c three, knight f six.",
        "3b O-O Nf6 d3 d6 c3 a6 | 3b O-O | 3b O-O d6 | 3b O-O d6 h3 | 4w | 4b",
    ),
    (
        "takes in passing, and not otherwise",
        setup("6k1/5p2/8/4P2p/8/6N1/6P1/6K1 b - - 0 1", "1... Kh7 2. Kh1"),
        "If f five, white takes in passing, king f seven. In the game king h seven.",
        "start f5 | start f5 exf6 | start f5 exf6 Kf7 | 1b",
    ),
    (
        "the other one to e one",
        "1. Nf3 Nf6 2. Nc3 Nc6 3. g3 g6 4. Bg2 Bg7 5. O-O O-O 6. d3 d6 7. Rb1 Rb8 *",
        "Knight f three, knight f six, knight c three, knight c six, g three, g six, bishop g two, bishop g seven, castles, castles, "
        "d three, d six, rook b one. Or the other one to e one, a five. In the game rook b eight.",
        "6b Re1 | 6b Re1 a5 | 7w | 7b",
    ),
    (
        "and mate, without its move",
        setup("6k1/5ppp/8/3N4/8/8/5PPP/1R4K1 w - - 0 1", "1. h3 h6 2. Kh2"),
        "White to play can win at once if black sleeps. In the game h three. Now if king f eight, it is mate. But h six, king h two.",
        "1w | 1w Kf8 | 1w Kf8 Rb8# | 1b | 2w",
    ),
    (
        "mate on a square",
        setup("5rk1/5ppp/8/8/4N3/7q/5P1P/2Q3K1 w - - 0 1", "1. Nf6+ gxf6 2. Qe3"),
        "Knight f six check. If king h eight, mate on h seven? No, the queen is there. In the game g takes f six. Queen e three.",
        "1w | 1w Kh8 | 1b | 2w",
    ),
    (
        "taking, retaking",
        "1. d4 d5 2. c4 e6 3. Nc3 Nf6 4. Nf3 Be7 5. cxd5 exd5 *",
        "D four, d five, c four, e six, knight c three. He could try c five. Taking, retaking, knight f three. In the game knight f six, "
        "knight f three, bishop e seven.",
        "3w c5 | 3w c5 dxc5 | 3w c5 dxc5 Bxc5 | 3w c5 dxc5 Bxc5 Nf3 | 3b | 4w | 4b",
    ),
    (
        "notation as text",
        LEGAL,
        "1. e4 e5 2. Nf3 d6 3. Bc4 Bg4 4. Nc3 g6 5. Nxe5 Bxd1 6. Bxf7+ Ke7 7. Nd5#",
        "6w | 6b | 7w",
    ),
]


@pytest.mark.parametrize(("game", "talk", "shown"), [case[1:] for case in PATTERNS], ids=[case[0] for case in PATTERNS])
def test_pattern(game: str, talk: str, shown: str) -> None:
    """``shown``: the addresses of the last boards of the talk; what comes before is plain."""
    addresses = [cue.address for cue in follow_words(words(talk), read_score(game)).cues]
    wanted = shown.split(" | ")
    assert addresses[-len(wanted) :] == wanted
