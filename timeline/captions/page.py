"""The transcript as one HTML page: paragraphs with times, and a diagram wherever the board has changed.

The page stands alone: no script, no outside file, nothing in it is anything
but text from the lesson, escaped. Diagrams are SVG with the pieces that the
``chess`` library draws, each shape once in the page; the square colours are
ours and reach 3:1 against both kinds of pieces' outlines (WCAG 2.2 SC 1.4.11).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape

import chess
import chess.svg

from timeline.captions.plain import Paragraph, paragraphs
from timeline.captions.writers import About, caption_writer
from timeline.timecode import format_clock
from timeline.tracks import BoardSpan, BoardTrack, Caption

LIGHT, DARK, EDGE = "#f8d5cc", "#30888e", "#143238"
_CELL = 45  # the pieces' own size, in their units
_STYLE = f"""
:root {{ color-scheme: light; }}
body {{ margin: 0 auto; max-width: 46rem; padding: 1rem 1.25rem 4rem; font: 1.05rem/1.6 system-ui, sans-serif;
  color: #1c1b22; background: #fffdfa; }}
h1 {{ font-size: 1.6rem; line-height: 1.25; }}
h2 {{ font-size: 1.2rem; margin: 2.2em 0 0.4em; }}
.said {{ display: grid; grid-template-columns: 4.5rem 1fr; gap: 0 0.75rem; margin: 0.8em 0; }}
.said time {{ color: #55525e; font-variant-numeric: tabular-nums; }}
.said p {{ margin: 0; }}
.who {{ font-weight: 600; }}
figure {{ margin: 1em 0 1.4em 5.25rem; max-width: 17rem; }}
figure svg {{ width: 100%; height: auto; display: block; border: 3px solid {EDGE}; border-radius: 4px; }}
figcaption {{ font-size: 0.92rem; color: #55525e; margin-top: 0.35em; }}
@media (max-width: 34rem) {{ .said {{ display: block; }} figure {{ margin-left: 0; }} }}
@media print {{ body {{ max-width: none; }} figure, .said {{ break-inside: avoid; }} }}
"""


@caption_writer(".html")
def write_page(captions: Sequence[Caption], about: About) -> str:
    """Title, chapters as headings, paragraphs with times, a diagram after a paragraph in which the board changed."""
    title = escape(about.title or "Transcript")
    found = paragraphs(captions, [c.start_ms for c in about.chapters])
    body: list[str] = []
    shown: tuple[str, ...] | None = None
    heads = list(about.chapters)
    diagrams = 0
    for n, paragraph in enumerate(found):
        while heads and heads[0].start_ms <= paragraph.start_ms + 500:
            body.append(f"<h2>{escape(heads.pop(0).title)}</h2>")
        body.append(_paragraph(paragraph))
        span = about.board.at(max(0, paragraph.end_ms - 1)) if about.board and about.board.spans else None
        last = n + 1 == len(found)
        if span is not None and (span.fen,) != shown and (_changes(about.board, paragraph) or last or shown is None):
            diagrams += 1
            body.append(_figure(span, about, diagrams))
            shown = (span.fen,)
    by = f"<p>{escape(about.teacher)}</p>" if about.teacher else ""
    shapes = _shapes() if diagrams else ""
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(about.language)}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>{title}</title>\n'
        f"<style>{_STYLE}</style>\n</head>\n<body>\n{shapes}<main>\n<h1>{title}</h1>\n{by}\n" + "\n".join(body) + "\n"
        "</main>\n</body>\n</html>\n"
    )


def _paragraph(paragraph: Paragraph) -> str:
    seconds = paragraph.start_ms / 1000
    who = f'<span class="who">{escape(paragraph.speaker)}</span> ' if paragraph.speaker else ""
    if who and paragraph.text.upper().startswith(f"{(paragraph.speaker or '').upper()}:"):
        who = ""
    return (
        f'<div class="said"><time datetime="PT{seconds:g}S">{format_clock(paragraph.start_ms)}</time>'
        f'<p dir="auto">{who}{escape(paragraph.text)}</p></div>'
    )


def _changes(board: BoardTrack | None, paragraph: Paragraph) -> bool:
    """Whether the board comes to another position while the paragraph is said."""
    if board is None:
        return False
    return board.at(paragraph.start_ms).start_ms != board.at(max(0, paragraph.end_ms - 1)).start_ms or any(
        paragraph.start_ms <= s.start_ms < paragraph.end_ms for s in board.spans
    )


def _figure(span: BoardSpan, about: About, number: int) -> str:
    board = chess.Board(span.fen, chess960=bool(about.board and about.board.chess960))
    assert about.board is not None
    label = _where(span, about.board)
    return (
        f'<figure>{_diagram(board, about.orientation, number)}<figcaption id="d{number}">'
        f"{format_clock(span.start_ms)}: {escape(label)}</figcaption></figure>"
    )


def _where(span: BoardSpan, track: BoardTrack) -> str:
    """The position in words: after which move, and whether that was played."""
    if span.origin == "hand":
        return "a position set up"
    if not span.path:
        return "the start"
    board = chess.Board(track.start_fen, chess960=track.chess960)
    for uci in span.path[:-1]:
        board.push_uci(uci)
    dots = "." if board.turn == chess.WHITE else "..."
    move = f"{board.fullmove_number}{dots} {board.san(chess.Move.from_uci(span.path[-1]))}"
    return f"after {move}" + (" (a sideline)" if span.origin == "sideline" else "")


def _shapes() -> str:
    """The twelve pieces as symbols, once for the page."""
    symbols = []
    for symbol, drawing in chess.svg.PIECES.items():
        inner = re.sub(r'\s(?:id|class)="[^"]*"', "", drawing)
        symbols.append(f'<symbol id="{_piece_id(symbol)}" viewBox="0 0 {_CELL} {_CELL}">{inner}</symbol>')
    return f'<svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs>{"".join(symbols)}</defs></svg>\n'


def _piece_id(symbol: str) -> str:
    return ("w" if symbol.isupper() else "b") + symbol.lower()


def _diagram(board: chess.Board, orientation: str, number: int) -> str:
    """The position as SVG, with a description for those who do not see it."""
    side = 8 * _CELL
    parts = [
        f'<svg viewBox="0 0 {side} {side}" role="img" aria-label="{escape(describe_position(board))}">',
        f'<rect width="{side}" height="{side}" fill="{LIGHT}"/>',
        f'<path fill="{DARK}" d="'
        + "".join(
            f"M{x * _CELL} {y * _CELL}h{_CELL}v{_CELL}h-{_CELL}z" for y in range(8) for x in range(8) if (x + y) % 2
        )
        + '"/>',
    ]
    for square, piece in sorted(board.piece_map().items()):
        file, rank = chess.square_file(square), chess.square_rank(square)
        x, y = (file, 7 - rank) if orientation == "white" else (7 - file, rank)
        parts.append(
            f'<use href="#{_piece_id(piece.symbol())}" x="{x * _CELL}" y="{y * _CELL}" width="{_CELL}" height="{_CELL}"/>'
        )
    return "".join(parts) + "</svg>"


_ORDER = (chess.KING, chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN)


def describe_position(board: chess.Board) -> str:
    """A position in words: White's pieces, Black's pieces, whose move it is.

    >>> describe_position(chess.Board("4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"))
    'White: king e1, pawn e2. Black: king e8. White to move.'
    """
    if board.board_fen() == chess.STARTING_BOARD_FEN:
        return f"All pieces at home. {'White' if board.turn else 'Black'} to move."
    sides = []
    for colour, name in ((chess.WHITE, "White"), (chess.BLACK, "Black")):
        groups = []
        for kind in _ORDER:
            squares = [chess.square_name(s) for s in sorted(board.pieces(kind, colour), key=_by_file)]
            if squares:
                word = chess.piece_name(kind) + ("s" if len(squares) > 1 else "")
                groups.append(f"{word} {' '.join(squares)}")
        sides.append(f"{name}: {', '.join(groups)}." if groups else f"{name}: no pieces.")
    return f"{' '.join(sides)} {'White' if board.turn else 'Black'} to move."


def _by_file(square: int) -> tuple[int, int]:
    return chess.square_file(square), chess.square_rank(square)
