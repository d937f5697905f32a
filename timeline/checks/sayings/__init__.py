"""How teachers say each kind of statement: the rules of the grammar, most specific first.

To teach it a new way of speaking, add a line to the module of its kind. A
rule's key words (any one of them must occur) only make reading fast.
"""

from __future__ import annotations

from timeline.checks.grammar import Grammar
from timeline.checks.sayings import attack, check, game, lines, material, mobility, pawns, places

_RULES = [
    *mobility.RULES, *check.RULES, *lines.RULES, *attack.RULES, *pawns.RULES, *material.RULES, *game.RULES,
    *places.RULES,  # last: everything above may hold a piece and its square
]  # fmt: skip

GRAMMAR = Grammar([rule for rule in _RULES if rule.kind != "players"])
PLAYERS = Grammar([rule for rule in _RULES if rule.kind == "players"])
"""Who has which side: read on the sentence with the players' names in it."""
