"""Every code that ``plyline check`` can give: what it means, an example, how to mend it.

``CODES.md`` beside this file is made from here: ``python -m timeline.checks.codes`` prints it.
"""
# ruff: noqa: E501  (a code stands on one line)

from __future__ import annotations

from dataclasses import dataclass

from timeline.problems import Severity

E, W, N = Severity.ERROR, Severity.WARNING, Severity.NOTE


@dataclass(frozen=True, slots=True)
class Code:
    """``group`` is the heading under which findings are shown."""

    code: str
    group: str
    severity: Severity
    meaning: str
    example: str
    mend: str


_RETAKE = "say it again for the recording, cut it, or correct it on screen"
_SAID = "What is said"
_ROWS: tuple[tuple[str, str, Severity, str, str, str], ...] = (
    # -- statements
    ("wrong-turn", _SAID, E, "the other side is to move", '"White to move" when Black is', _RETAKE),
    ("not-check", _SAID, E, "there is no check", '"knight takes e5, check" when no king is attacked', _RETAKE),
    ("not-double-check", _SAID, E, "two pieces do not give check at once",
     '"double check" when one rook checks: it is a discovered check', _RETAKE),
    ("not-discovered-check", _SAID, E, "the piece that moved gives the check itself, or there is none",
     '"a discovered check" after Qh5+', _RETAKE),
    ("not-discovered-attack", _SAID, W, "no line was opened on a piece", '"a discovered attack" when nothing new is hit', _RETAKE),
    ("not-checkmate", _SAID, E, "it is not mate", '"checkmate" when the king can take the queen', _RETAKE),
    ("not-stalemate", _SAID, E, "it is not stalemate", '"stalemate" when a pawn can move', _RETAKE),
    ("no-mate-in", _SAID, E, "there is no forced mate in so many moves, or a quicker one",
     '"mate in three" when a rook can go between', "say the right number, or leave the number out"),
    ("no-mate-threat", _SAID, E, "no mate is threatened", '"White threatens mate" when no move mates', _RETAKE),
    ("miscounted-moves", _SAID, E, "a side, a king or a piece has another number of legal moves", '"no legal moves" when the king can go to h7', _RETAKE),
    ("not-only-move", _SAID, E, "there are other legal moves", '"the only legal move" when the king has two squares', _RETAKE),
    ("not-pinned", _SAID, E, "the piece is not pinned, or not to that piece",
     '"the rook on e1 is pinned" with nothing behind it', _RETAKE),
    ("no-pin", _SAID, E, "the one piece does not pin the other", '"the bishop on g4 pins the knight on f3" with no queen on d1', _RETAKE),
    ("not-a-fork", _SAID, E, "the piece does not attack both", '"the knight on d2 forks queen and rook" when it hits one', _RETAKE),
    ("not-a-skewer", _SAID, E, "no such two pieces stand in a row on its line", '"that is a skewer" with nothing behind', _RETAKE),
    ("no-battery", _SAID, E, "the pieces do not stand on one line along which both move", '"queen and rook form a battery" on c1 and d3', _RETAKE),
    ("no-x-ray", _SAID, W, "it does not look through just one piece", '"an x-ray on the queen" with two men between', _RETAKE),
    ("not-attacked", _SAID, E, "the piece is not attacked (by that piece)", '"the bishop hits the rook on a1" when it does not', _RETAKE),
    ("not-defended", _SAID, E, "the piece is not defended (by that piece)", '"the knight protects e5" when it cannot reach it', _RETAKE),
    ("cannot-capture", _SAID, E, "that capture is not legal", '"the rook can take on e7" when it is pinned', _RETAKE),
    ("not-hanging", _SAID, E, "it cannot be taken at a profit", '"the knight is hanging" when a pawn protects it from a rook', _RETAKE),
    ("is-defended", _SAID, E, "something does protect it", '"nothing defends f7" when the king does', _RETAKE),
    ("miscounted-attackers", _SAID, E, "the number of attackers or defenders is another",
     '"attacked twice" when three pieces attack it', _RETAKE),
    ("not-isolated", _SAID, E, "a pawn stands on a next file", '"an isolated d pawn" with a pawn on e3', _RETAKE),
    ("not-backward", _SAID, E, "a neighbour can protect it, or it is passed", '"a backward pawn" with a pawn beside it', _RETAKE),
    ("not-passed", _SAID, E, "an enemy pawn stands ahead on its own or a next file", '"a passed pawn" with a pawn in its way', _RETAKE),
    ("not-doubled", _SAID, E, "there are not two of its pawns on the file", '"doubled c pawns" when there is one', _RETAKE),
    ("not-hanging-pawns", _SAID, E, "not two pawns side by side without neighbours", '"hanging pawns" with a pawn on the next file', _RETAKE),
    ("not-open-file", _SAID, E, "a pawn stands on the file", '"the d file is open" with a pawn on d6', _RETAKE),
    ("half-open-file", _SAID, N, "only one side has a pawn there: the file is half-open",
     '"the open h file" with a black pawn on h7', "say half-open, or let it stand: many call it open"),
    ("not-half-open", _SAID, E, "the side has a pawn there, or the file is fully open", '"the half-open c file" with a pawn on c2', _RETAKE),
    ("not-outpost", _SAID, E, "an enemy pawn can drive the piece away", '"an outpost on d5" with a pawn on c7', _RETAKE),
    ("not-weak-square", _SAID, E, "a pawn can still guard the square", '"a hole on d6" with a pawn on e7', _RETAKE),
    ("no-bishop-pair", _SAID, E, "the side has not both bishops", '"the bishop pair" with one bishop', _RETAKE),
    ("not-opposite-bishops", _SAID, E, "the bishops are not one each on different colours", '"opposite-coloured bishops" on c1 and e7', _RETAKE),
    ("not-fianchettoed", _SAID, E, "no bishop on b2, g2, b7 or g7 there", '"a fianchettoed bishop" on e2', _RETAKE),
    ("not-castled", _SAID, E, "the king has not castled (on that side)", '"White has castled" with the king on e1', _RETAKE),
    ("has-castled", _SAID, E, "the king has castled", '"Black has not castled yet" after O-O', _RETAKE),
    ("cannot-castle", _SAID, E, "the right to castle is gone", '"White can still castle" after Kf1', _RETAKE),
    ("may-castle", _SAID, E, "the right to castle is still there", '"Black can no longer castle" with king and rook unmoved', _RETAKE),
    ("miscounted-development", _SAID, E, "another number of pieces is developed", '"four pieces developed" when three are', _RETAKE),
    ("wrong-material", _SAID, E, "the material is otherwise", '"a pawn up" when the pawns are level', _RETAKE),
    ("miscounted-pieces", _SAID, E, "there is another number of those pieces", '"two rooks left" with one on the board', _RETAKE),
    ("wrong-square-colour", _SAID, E, "the square has the other colour", '"e4 is a dark square"', _RETAKE),
    ("misnamed-square", _SAID, W, "no such piece stands or stood there", '"the knight on f6" while it stands on f3', _RETAKE),
    ("wrong-move-number", _SAID, E, "the move has another number", '"move twenty" at move nineteen', _RETAKE),
    ("wrong-player", _SAID, E, "that player had the other side", '"Tartakower has White" in Reti - Tartakower', _RETAKE),
    ("wrong-opening", _SAID, E, "the game does not go through that opening", '"this is the Sicilian" after 1. e4 e5', _RETAKE),
    ("wrong-result", _SAID, E, "the game ended otherwise", '"the game was drawn" when White won', _RETAKE),
    ("illegal-said", _SAID, E, "that move cannot be played", '"White can play rook to e8" with a piece in between', _RETAKE),
    ("legal-said", _SAID, E, "that move can be played", '"knight to e5 is illegal" when it is not', _RETAKE),
    ("not-as-played", _SAID, E, "the score has another move", '"in the game he played rook d1" when it was rook e1', _RETAKE),
    ("move-not-possible", _SAID, W, "a move announced as played is legal in no position near", '"knight takes g5" when no knight reaches it', _RETAKE),
    ("move-ambiguous", _SAID, N, "two pieces could play the announced move and the score does not decide", '"rook to d1" with both rooks able', "say which one"),
    # -- judged by an engine
    ("engine-disagrees", "What an engine says", W, "an engine judges the position otherwise", '"Black is winning" at +0.20', "soften the words, or let it stand with a reason"),
    ("not-best", "What an engine says", W, "an engine prefers another move clearly", '"the best move was Qd2" when Rxe6 wins', "name the other move, or say that it was good"),
    ("not-checked", "What an engine says", N, "a judgement that only an engine can check; none was asked or it could not decide",
     '"Black is winning" with no engine named', "name an engine: checks: {engine: PATH}, or --engine PATH"),
    # -- time
    ("cue-after-end", "Time", E, "a cue lies outside the recording", "a cue at 12:00 in a recording of 11:30", "move or remove the cue"),
    ("bad-address", "Time", E, "a cue's address leads to no position of the score", '"show: 41w" in a game of 31 moves', "write an address of the score"),
    ("bad-fen", "Time", E, "a cue's own position is none", '"fen: 8/8/8 w" with five ranks missing', "copy the whole FEN"),
    ("cue-clash", "Time", W, "two cues at one time show different positions", "12b and 13w, both at 3:00", "move or remove one of them"),
    ("no-cues", "Time", W, "nothing says what the board shows when", "a new lesson before its first build", "run plyline follow, or write cues"),
    ("too-fast", "Time", W, "a position stays too short to be seen", "a board change 120 ms after the last", "move one of the cues, or leave the position out"),
    ("shown-early", "Time", W, "a position is shown long before it is spoken of", "Nf3 on the board 4 s before \"knight f3\"", "move the cue to the words"),
    ("open-sideline", "Time", W, "a sideline stays on the board to the end, without a return",
     "the lesson ends inside 15b d4", "add a cue that returns to the game, or let it stand"),
    ("short-think", "Time", W, "a think-pause is shorter than set", "a pause of 2 s where 6 s are set", "lengthen think:, or lower follow: {think_s: …}"),
    ("answer-early", "Time", E, "the answer is on the board before the think-pause ends", "Bd6 shown at the pause that asks for it", "put the pause before the cue that answers"),
    ("track-hole", "Time", E, "a track has a hole or an overlap", "no position from 3:00 to 3:04", "report it: plyline should never make one"),
    ("transcript-short", "Time", W, "the recording goes on long after the last word", "4 minutes of recording after the transcript's end", "check that the transcript is whole"),
    ("transcript-long", "Time", E, "the transcript goes on after the recording's end", "words at 12:10 in a recording of 11:58", "check that both belong together"),
    # -- score
    ("tag-missing", "Score", N, "a tag of the seven that a PGN should have is missing, or its value is unknown", "no Date", "add it to the PGN"),
    ("tag-odd", "Score", W, "a tag's value cannot be right", 'Date "31.12.1999" instead of "1999.12.31"', "mend the PGN"),
    ("result-mismatch", "Score", E, "the Result tag contradicts the final position or the movetext", 'Result "1-0" when Black gave mate', "mend the Result tag"),
    ("sideline-twice", "Score", W, "two sidelines begin with the same moves from the same place", "(9... d5) (9... d5 10. exd5)", "join them"),
    ("sideline-is-mainline", "Score", W, "a sideline repeats the mainline's own move", "9... d5 (9... d5)", "take it out"),
    ("moves-after-end", "Score", E, "moves follow after mate or stalemate", "24. Qh7# Kxh7", "mend the PGN"),
    ("illegal-move", "Score", E, "a move of the PGN is not legal there; what follows it in its line is not read", "8. Qh7 with a pawn in the way", "write the move that was played"),
    ("ambiguous-move", "Score", E, "two pieces can play a move of the PGN; what follows it in its line is not read", "3. Nd2 with knights on b1 and f3", "say which piece: 3. Nbd2"),
    ("not-a-move", "Score", E, "text among the moves that is no move; a reader drops it silently", "1. e4 foo e5", "mend or remove it"),
    ("open-comment", "Score", E, "a comment is opened and never closed; a reader takes the rest of the game for a comment", "1. e4 { best 1... e5", "add the missing }"),
    ("stray-brace", "Score", E, "a comment is closed that was not opened", "1. e4 best } e5", "take the } away"),
    ("stray-bracket", "Score", E, "a sideline is closed that was not opened", "1. e4 e5) 2. Nf3", "take the ) away"),
    ("unclosed-sideline", "Score", E, "a sideline is opened and never closed: what follows belongs to it for a reader", "1. e4 (1. d4 d5 2. Nf3", "add the missing )"),
    ("moves-lost", "Score", E, "moves of the score could not be read: what is said, shown and timed was not checked", "a game of 40 moves read up to move 12", "mend the PGN first"),
    # -- transcript and captions
    ("no-times", "Transcript", W, "no line has a time: words are spread over the recording", "a text file without stamps", "write a time before each paragraph"),
    ("no-signature", "Transcript", W, "a WebVTT file does not begin with WEBVTT", "a file that begins with its first cue", "write WEBVTT in the first line"),
    ("comma-times", "Transcript", W, "times of a WebVTT file are written with a comma", "00:01,500", "write 00:01.500"),
    ("srt-repaired", "Transcript", W, "an SRT file has lines that belong to no caption", "text after a blank line inside a caption", "take the blank line out"),
    ("text-before-stamps", "Transcript", W, "text before the first time is left out as a heading", "a title above [0:05]", "give it a time if it is spoken"),
    ("stamps-after-words", "Transcript", W, "times stand after the words they belong to", "a paragraph with its time at the end", "write each time before its words"),
    ("times-of-day", "Transcript", W, "times are those of a day; the first is taken for the recording's start", "9:05:10 AM", "write times that count from the recording's start where the talk begins later"),
    ("no-words", "Transcript", W, "the transcript marks sounds and holds no words: only those are captioned", "a file of [applause] alone", "give the transcript of the talk if something is said"),
    ("rolling-captions", "Transcript", W, "captions repeat the one before", "a live transcript that scrolls", "let it stand: each word is kept once"),
    ("marks-left-out", "Transcript", N, "marks that nothing is said are left out", "[BLANK_AUDIO] of a recogniser", "write the words into the transcript if something is said there"),
    ("block-without-words", "Transcript", N, "blocks hold no word and are left out", "a caption that is an emoji or two dashes", "write the words into the transcript if something is said there"),
    ("overlap", "Transcript", W, "blocks end after the next begins", "0:01 to 0:09, then 0:05 to 0:12", "let it stand if two people speak; else mend the times"),
    ("beyond-end", "Transcript", W, "blocks reach past the recording's end", "a last block to 12:10 of 11:58", "check that both belong together"),
    ("milliseconds", "Transcript", W, "times are read as thousandths of a second", '"start": 1500', "write seconds if they are not"),
    ("frames-left-out", "Transcript", W, "frames in times are left out: nothing says how many make a second", "0:01:05:12", "write seconds and thousandths"),
    ("words-not-heard", "Transcript", W, "words were not found in the sound", "a paragraph that was cut from the recording", "take out what is not said"),
    ("words-after-end", "Captions", W, "words are said after the recording's end", "a transcript longer than its recording", "check that both belong together"),
    ("label-after-end", "Captions", W, "a sound label stands after the recording's end; it is not shown", "a label at 12:10 in a recording of 11:58", "move or remove the label"),
    ("sound-label", "Captions", N, "a sound that the transcript marks is a label in the captions", "[applause] at 0:05, because line 7 says (applause)", "let it stand, or refuse it in captions: refuse:"),
    ("edit-without-words", "Captions", W, "a caption was edited where nothing is spoken", "an edit at 9:00 in a pause", "move or remove the edit"),
    ("refusal-unused", "Captions", N, "a refused correction is not made any more", "refuse: night at 0:12 after the transcript was mended", "remove the refusal"),
    ("caption-line-long", "Captions", W, "a line is longer than the profile allows", "46 characters where 42 are wanted", "break the caption in another place"),
    ("caption-lines", "Captions", W, "a caption has more lines than the profile allows", "three lines", "take a line break out"),
    ("caption-too-fast", "Captions", W, "a caption cannot be read in its time", "24 characters a second", "shorten it, or speak slower there"),
    ("caption-fast", "Captions", N, "a caption is quick to read", "18 characters a second where 17 are wanted", "let it stand, or shorten it"),
    ("caption-too-short", "Captions", W, "a caption is too short on screen", "0.4 s for two words", "join it with its neighbour"),
    ("caption-too-long", "Captions", W, "a caption stays too long", "9 s where 7 are the most", "split it"),
    ("caption-gap", "Captions", N, "a gap between captions flickers", "five frames between two captions", "let it stand, or move an edge"),
    ("caption-out-of-step", "Captions", W, "a caption begins far from its words", "twelve frames late", "check the times of those words"),
    ("caption-tail", "Captions", N, "a caption stays long after its words", "2.3 s after the last word", "let it stand: it is needed to read it"),
    ("caption-order", "Captions", E, "captions overlap or run backwards", "a caption that ends before it begins", "mend the times of those words"),
    # -- picture
    ("theme-contrast", "Picture", E, "a colour pair has too little contrast (WCAG 2.2, 1.4.3 and 1.4.11)", "coordinates at 2.9:1", "make one of the two lighter or darker"),
    ("theme-marks-alike", "Picture", E, "two marks look alike to some viewers", "attack and plan under deutan vision", "choose marks that differ more in lightness"),
    ("small-text", "Picture", W, "text is smaller than a phone shows legibly", "captions of 20 px in a film of 1080", "make the film larger or the text bigger"),
    ("outside-safe-area", "Picture", W, "text or board reaches outside the safe area (EBU R 95)", "captions 20 px from the edge at 1080", "use another layout or larger margins"),
    ("flashing", "Picture", E, "more than three flashes in a second over a large area (WCAG 2.2, 2.3.1)", "the board turns dark and light five times a second",
     "spread the changes, or let positions fade; photosensitive viewers can be harmed"),
    ("red-flashing", "Picture", E, "more than three saturated red flashes in a second over a large area", "a red field that blinks",
     "use another colour or spread the changes"),
    ("long-flashing", "Picture", W, "flashing goes on for more than five seconds, within the limits (ITU-R BT.1702)", "two flashes a second for 8 s", "calm it down"),
    # -- sound
    ("no-sound", "Sound", E, "the recording holds no sound, or only silence", "a film without a sound stream", "give the recording with sound"),
    ("too-loud", "Sound", W, "the integrated loudness lies well above the target", "-12 LUFS where -23 is asked", "let film bring it there: sound: {target_lufs: -23}"),
    ("too-quiet", "Sound", W, "the integrated loudness lies well below the target", "-34 LUFS where -23 is asked", "let film bring it there: sound: {target_lufs: -23}"),
    ("true-peak", "Sound", W, "the true peak is above -1 dBTP (EBU R 128)", "a true peak of +0.4 dBTP", "lower the sound; film never writes more than -1 dBTP"),
    ("clipping", "Sound", W, "the sound is cut off at full scale", "14 flat tops at 2:03", "record again at a lower level"),
    ("sudden-loudness", "Sound", W, "a passage is much louder than the lesson", "a shout 14 LU above the talk", "lower the passage: sudden loudness can hurt on headphones"),
    ("long-silence", "Sound", N, "a long silence that is no think-pause", "12 s without a sound at 4:10", "cut it, or make it a think-pause"),
    ("wide-range", "Sound", N, "the loudness range is large for speech", "a range of 22 LU", "stay at one distance from the microphone"),
    ("accepts-nothing", "Lesson file", N, "a line of accept is about no finding", "short-think accepted at 1:32 when nothing is found there", "take the line away, or correct its code or its time"),
)  # fmt: skip

CODES: dict[str, Code] = {row[0]: Code(*row) for row in _ROWS}

KINDS: dict[str, str] = {
    "turn": "wrong-turn", "check": "not-check", "double_check": "not-double-check", "discovered_check": "not-discovered-check",
    "discovered_attack": "not-discovered-attack", "checkmate": "not-checkmate", "stalemate": "not-stalemate",
    "mate_in": "no-mate-in", "threat_mate": "no-mate-threat", "only_legal": "not-only-move", "only_move": "not-only-move",
    "pinned": "not-pinned", "pinned_to": "not-pinned", "pins": "no-pin", "fork": "not-a-fork", "skewer": "not-a-skewer",
    "battery": "no-battery", "xray": "no-x-ray", "attacks": "not-attacked", "attacked_by": "not-attacked",
    "defends": "not-defended", "defended_by": "not-defended", "can_capture": "cannot-capture", "hanging": "not-hanging",
    "undefended": "is-defended", "attackers": "miscounted-attackers", "defenders": "miscounted-attackers",
    "attack_defend": "miscounted-attackers", "isolated": "not-isolated", "backward": "not-backward", "passed": "not-passed",
    "doubled": "not-doubled", "hanging_pawns": "not-hanging-pawns", "open_file": "not-open-file",
    "half_open": "not-half-open", "outpost": "not-outpost", "weak_square": "not-weak-square",
    "bishop_pair": "no-bishop-pair", "opposite_bishops": "not-opposite-bishops", "fianchetto": "not-fianchettoed",
    "castled": "not-castled", "uncastled": "has-castled", "castle_right": "cannot-castle", "castle_lost": "may-castle",
    "developed": "miscounted-development", "exchange_up": "wrong-material", "material": "wrong-material",
    "material_even": "wrong-material", "material_lead": "wrong-material", "piece_count": "miscounted-pieces",
    "shade": "wrong-square-colour", "standing": "misnamed-square", "move_number": "wrong-move-number",
    "move_number_played": "wrong-move-number", "players": "wrong-player", "opening": "wrong-opening",
    "result": "wrong-result", "legal": "illegal-said", "illegal": "legal-said", "in_the_game": "not-as-played",
    "side_moves": "miscounted-moves", "king_squares": "miscounted-moves", "piece_moves": "miscounted-moves",
}  # fmt: skip
"""The code of a statement's kind when it is wrong."""


def code_table() -> str:
    """The list of codes for the docs, as Markdown."""
    lines = [
        "# Codes of findings",
        "",
        "What `plyline check` can say. A finding that is right as it is can be accepted in lesson.yaml:",
        '`accept: [{code: short-think, at: "1:32.260", reason: a club joke}]`.',
    ]
    group = ""
    for code in CODES.values():
        if code.group != group:
            group = code.group
            lines += [
                "",
                f"## {group}",
                "",
                "| code | severity | means | example | mend |",
                "| --- | --- | --- | --- | --- |",
            ]
        cells = (f"`{code.code}`", str(code.severity), code.meaning, code.example, code.mend)
        lines.append("| " + " | ".join(c.replace("|", "\\|") for c in cells) + " |")
    return "\n".join(lines).strip() + "\n"


if __name__ == "__main__":
    print(code_table(), end="")  # noqa: T201
