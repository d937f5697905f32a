"""Everyday English words: a stretch made of these alone is taken for what it says, unless it spells a square outright.

Written from general knowledge of the language (the words that fill any talk);
no frequency list was copied. Letters, numbers and chess terms are left out.
"""

from __future__ import annotations

EVERYDAY = frozenset(
    """
    a about above across actually after again against ago ah air all almost alone along already alright also although always am
    an and another answer any anybody anyone anything anyway anywhere are aren't around as ask asked asks at away back bad be
    beautiful became because become becomes been begin begins behind being believe belongs below beside besides best better
    between beyond big bit body book both break bring brings brought but by bye call called came can can't cannot care careful
    case cause certainly chance change clear clearly close coffee cold come comes comfortable coming could couldn't count course
    cover cut day days dead deal decide decided decides deep did didn't die different difficult dinner do does doesn't doing
    don't done door down draw dream drive drop dropped drops during each earlier early easily easy either else empty end ends
    enjoy enough entire equal especially even evening ever every everybody everyone everything exactly example except face fact
    fair fall falls famous far fast favourite favorite feel feels few fight figure final finally find finds fine finish first
    follow followed follows food fool for forced forces forever forget forgot forward found free friend friends from front full
    fun funny game games gave get gets getting give gives go goes going gone gonna good got grab great greedy ground group guess
    guy guys had hadn't half hand hands hang hanging happen happened happens happy hard has hasn't hate have haven't having he
    he'd he'll he's head hear heard heart heavy hello help her here here's hers herself hey hi high him himself his hit hits hm
    hold holds hole home honest honestly hope hoping hot hour house how however huge i i'd i'll i'm i've idea if imagine important
    in inside instead interesting into is isn't it it'll it's its itself job join jump jumps just keep keeps kept kind knew know
    known knows lady large last late later laugh learn learned least leave leaves led left less lesson let let's lets level lie life
    like likes line lines list listen little live lives long look looked looking looks lose loses losing lost lot lots loud love
    loved lovely low lunch mad made main make makes making man many matter matters may maybe me mean means meant meet meets men
    middle might mind mine minute minutes miss missed mistake moment money month more morning most mostly mother mouth move moved
    moves moving much must my myself name natural near nearly need needs never new next nice night no nobody none nope normal
    normally not note nothing notice now nowhere number obvious obviously odd of off offer offered offers often oh ok okay old on
    once one's ones only open opened opens or order other others our ours out outside over own pair paper part party pass passed
    past pay people perfect perhaps person pick picture piece pieces place places plan play played player players playing plays
    please plenty point points poor possible power prefer present pretty probably problem promise proper pull punish push pushed
    pushes put puts question questions quick quickly quiet quietly quite rather reach read reader ready real really reason remember
    repeat rest return rich right rises road room round rule run running runs sad safe said same sat save saw say saying says scene
    second seconds see seem seems seen sees send sense sent set several shall she she'd she'll she's shift short should shouldn't
    show showed shown shows side sides simple simply since sit sits sitting situation sleep slow slowly small smart smile so solid
    some somebody somehow someone something sometimes somewhere soon sorry sort sound space speak spend spot stand standing stands
    star start started starts stay stays step steps still stood stop stopped stops story straight strange street strong student
    stuck stuff stupid such sudden suddenly sure surprise table take takes taking talk teach teacher tell tells ten than thank
    thanks that that'll that's the their theirs them themselves then there there'd there's therefore these they they'd they'll
    they're they've thing things think thinking third this those though thought threw through throw till time times tiny tired to
    today together told tomorrow tonight too took top toward towards trade trades train trick tricky tried tries trouble true
    try trying turn turned turns twice ugly um uh under understand unless until up upon us use used useful usual usually very view
    wait waited waiting waits walk walked walks wall want wanted wants war warm was wasn't watch watched watching water way ways we
    we'd we'll we're we've weak week welcome well went were weren't what what's whatever when where where's whether which while who
    who's whoever whole whose why wife will win window wins wise wish with within without won won't wonder wonderful word words work
    worked works world worry worse worst would wouldn't wow write wrong yeah year years yep yes yesterday yet you you'd you'll
    you're you've young your yours yourself
    """.split()
)

NUMBERS = frozenset(
    """
    zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen
    nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand first second third fourth fifth sixth seventh
    eighth half quarter
    """.split()
)
CHESS = frozenset(
    """
    attack attacks bishop bishops black board capture captures castle castled castles check checkmate checks defence defend defends discovered
    diagonal diagonals endgame exchange file files fork forks gambit king kings knight knights line lines mate mates move moves opening opponent pawn
    pawns pin pinned pins promotes promotion queen queens queenside kingside rank ranks rook rooks sacrifice sideline square squares
    stalemate takes tempo threat threatens threats variation white
    """.split()
)


def is_plain(word: str) -> bool:
    """Whether a word (lower case) says something by itself: everyday, a number, or of the game."""
    return word in EVERYDAY or word in CHESS or word in NUMBERS or ("-" in word and all(map(is_plain, word.split("-"))))
