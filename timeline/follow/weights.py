"""The model: reasoned starting weights, and the learned ones that ship with the package.

Log-odds in natural units: a weight of +1 makes an action e times as likely.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from timeline.follow.network import Network, shipped_network
from timeline.follow.tenor import Tenor, shipped_tenor

Weights = dict[str, float]

REASONED: Weights = {
    # how likely each action is by itself
    "bias>main": 1.5, "bias>open": -3.2, "bias>cont": -0.2, "bias>alt": -3.8, "bias>ret": -1.5, "bias>retG": -2.5,
    "bias>skip": -2.0, "bias>rskip": -3.8, "bias>jump": -4.5, "bias>ign": -1.0,
    "bias>bk": -4.0, "bias>bkG": -5.0, "bias>un": -6.0, "bias>um": -7.0, "bias>fw": -6.0, "bias>fl": -3.5, "bias>jfrom": -4.0, "bias>jopen": -3.5, "bias>tele": -6.0, "tele:far": -0.4, "k:full>tele": 0.8, "k:capsq>tele": 0.8, "k:pawn>tele": -1.0, "bias>vg": -3.5, "bias>sil": -4.0, "sil:unsaid": -1.0, "next>sil": 0.8, "bias>goto": -4.0, "next>goto": 0.3, "b:BACK>goto": 1.0, "next>bk": 0.5, "next main>bk": 0.5,
    # how the mention is made
    "k:full>main": 1.0, "k:capsq>main": 1.0, "k:san>main": 1.5, "k:pawn>main": 0.3, "k:to>main": 0.2, "k:cap>main": 0.5,
    "k:take>main": 0.2, "k:castle>main": 0.8, "k:check>main": -1.2, "k:piece>main": -1.0, "k:pcheck>main": 0.0,
    "k:other>main": 0.0, "k:promo>main": -0.5,
    "k:full>open": 0.8, "k:capsq>open": 0.8, "k:san>open": 1.0, "k:pawn>open": -0.6, "k:to>open": -1.2, "k:cap>open": -0.8,
    "k:take>open": -2.0, "k:castle>open": 0.0, "k:check>open": -3.0, "k:piece>open": -3.0, "k:pcheck>open": -1.5,
    "k:other>open": -3.0, "k:promo>open": -1.0,
    "k:full>cont": 1.0, "k:capsq>cont": 1.2, "k:san>cont": 1.5, "k:pawn>cont": 0.0, "k:to>cont": 0.0, "k:cap>cont": 0.6,
    "k:take>cont": 0.3, "k:castle>cont": 0.5, "k:check>cont": -1.0, "k:piece>cont": -1.5, "k:pcheck>cont": -0.3,
    "k:full>alt": 0.6, "k:capsq>alt": 0.5, "k:pawn>alt": -0.8, "k:to>alt": -1.2, "k:cap>alt": -1.2, "k:take>alt": -2.5,
    "k:check>alt": -2.5, "k:piece>alt": -3.0, "k:other>alt": -3.0,
    "k:effect>main": -1.0, "k:effect>cont": -1.0, "k:effect>open": -3.0, "k:effect>alt": -3.0, "k:effect>ret": -1.5, "k:effect>skip": -3.0, "k:effect>ign": 1.8,
    "k:full>ret": 0.8, "k:capsq>ret": 0.8, "k:pawn>ret": 0.0, "k:to>ret": 0.0, "k:cap>ret": 0.2, "k:take>ret": -0.6,
    "k:check>ret": -2.0, "k:piece>ret": -1.2,
    "k:full>skip": 0.5, "k:capsq>skip": 0.5, "k:pawn>skip": -1.0, "k:to>skip": -1.0, "k:cap>skip": -1.5, "k:take>skip": -3.0,
    "k:check>skip": -3.0, "k:piece>skip": -3.0,
    "k:pawn>ign": 0.6, "k:to>ign": 1.0, "k:take>ign": 0.8, "k:check>ign": 2.2, "k:piece>ign": 1.8, "k:cap>ign": 0.3,
    "k:full>ign": -1.0, "k:capsq>ign": -1.0, "k:san>ign": -1.5, "k:castle>ign": 0.3, "k:pcheck>ign": 0.8, "k:promo>ign": 1.5,
    "k:other>ign": 1.5,
    "ign:main:full": -2.0, "ign:main:capsq": -2.0, "ign:main:pawn": -1.5, "ign:main:cap": -1.2, "ign:main:castle": -1.0,
    "ign:near:full": -1.5, "ign:near:capsq": -1.5, "ign:none:full": -0.8, "ign:none:capsq": -1.2, "ign:none:pawn": 0.5, "ign:none:to": 0.6, "ign:none:cap": -0.6, "ign:none:take": -0.3,
    # hearing, fitting, ambiguity
    "hear": -0.8, "hear_main": -0.45, "hear_ign": 0.3, "fit": -1.2, "fit_main": -0.5, "fillers": -0.12, "words": 0.25,
    "amb>open": -1.0, "amb>side": -0.8, "skip": -2.0, "skip:n": -0.25, "step": -0.4, "kept": 1.5, "nr:s": -2.0, "nx:s": -1.0, "rc:s": 0.3, "nr:m": -0.5, "nx:m": -0.2, "rc:m": 0.3, "ign:said:full": 0.5, "ign:said:to": 1.0, "both": 1.0, "num:ok": 0.5, "num:ok:move": 1.5, "num:bad": -0.3, "num:bad:move": -1.5,
    "person:ok": 0.3, "person:bad": -1.0, "over>bk": 1.0, "over>ret": 0.8, "agent:ok": 0.5, "agent:bad": -5.0, "there:on>play": -1.5, "there:->play": -0.5, "was:on>play": -1.0, "again": 0.6, "same piece": 0.3, "loses": -0.4, "gains": 0.2, "check:told:0": -1.0, "check:told:1": 0.5, "next": 0.5, "next stopped at once": -0.5, "ret:depth": 0.1, "jump:far": -0.1,
    "jfrom:far": -0.2, "k:full>jfrom": 1.0, "k:full>jopen": 1.0, "k:capsq>jopen": 1.0, "k:pawn>jopen": 0.0, "alt:1": 1.0, "alt:2": 0.6, "alt:main2": -1.0, "alt:before": -0.5, "alt:whole": 0.8,
    # what the words around say
    "IF>open": 1.6, "IF>alt": 1.0, "IF>cont": 0.5, "IF>main": -1.0, "MODAL>open": 0.8, "MODAL>alt": 0.5, "MODAL>main": -0.6,
    "INSTEAD>alt": 1.5, "INSTEAD>open": 0.8, "INSTEAD>main": -0.3, "OR>alt": 1.0, "NATURAL>open": 0.6, "HABIT>open": 1.5, "HABIT>alt": 0.5, "TRY>open": 0.4,
    "LINE>open": 0.6, "WANT>ign": 1.0, "THREAT>ign": 2.0, "NEG>ign": 0.6, "LOOK>ign": 1.0, "ON>ign": 0.6, "1:ON>ign": 1.4,
    "1:FROM>ign": 1.0, "REMEMBER>ign": 0.8, "QUEST>ign": 0.4, "BECAUSE>ign": 0.6, "WHO>ign": 0.5,
    "GAME>main": 0.6, "GAME>ret": 2.0, "PAST>ret": 0.7, "PAST>main": 0.4, "PRES>main": 0.4, "PRES>cont": 0.2, "PAST>open": -0.8,
    "BUT>ret": 0.6, "SO>ret": 0.3, "SO>cont": 0.1, "BACK>jump": 2.0, "BACK>ign": 0.3, "p:IF>cont": 0.3, "p:IF>open": 0.6,
    "sentence>ret": 0.5, "sentence>main": 0.3,
    "q:PLAYED>main": 1.0, "q:PLAYED>ret": 2.0, "q:PLAYED>cont": -3.0, "q:PLAYED>open": -3.0, "q:PLAYED>alt": -3.0,
    # rhythm of lists
    "h:m0>main": 0.8, "h:m1>main": 0.5, "h:s0>cont": 0.8, "h:s1>cont": 0.6, "h:s2>cont": 0.2, "h:s3>cont": -0.8, "h:s3>ret": 0.6,
    "h:b0>main": 0.8, "h:b1>main": 0.5, "h:b2>main": 0.3,
    # returning without a move
    "b0:BACK>bk": 2.5, "b:BACK>bk": 1.8, "b:GAME>bk": 2.0, "b0:BUT>bk": 1.2, "b0:SO>bk": 0.3, "b:starts>bk": 1.2,
    "b:NEG>bk": 0.4, "b:gap>bk": 0.4, "b:move>bk": -0.4, "b:BACK>un": 1.0, "b:BACK>um": 1.5, "b:LET>um": 0.5, "b:GAME>fw": 1.0,
    "b:BACK>bkG": 1.5, "b:GAME>bkG": 1.5, "b0:NOW>bk": 0.5, "h:s0>bk": -1.0, "h:s1>bk": -0.3,
}  # fmt: skip


class Model(NamedTuple):
    """Weights of single grounds, the network that weighs them together and the classifier of the talk (None: without)."""

    weights: Weights
    network: Network | None = None
    tenor: Tenor | None = None


@lru_cache(maxsize=1)
def shipped() -> Model:
    """The learned model that ships."""
    raw = json.loads(Path(__file__).with_name("weights.json").read_text(encoding="utf-8"))
    return Model({str(k): float(v) for k, v in raw["weights"].items()}, shipped_network(), shipped_tenor())
