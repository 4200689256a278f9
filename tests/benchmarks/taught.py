"""Teaches the second reader (`fieldnote/extract/taught`) and writes its weights.

Run: pip install torch safetensors; python tests/benchmarks/taught.py BASE [--minutes 80] [--go-on]
BASE is a folder with tokenizer.json and model.safetensors of the sentence encoder all-MiniLM-L6-v2, as `fieldnote models fetch
reader` makes it. Writes taught.npz, and taught.pt where it is run, from which --go-on goes on. Afterwards fit what is joined:
tests/benchmarks/joining.py --write.

The encoder learns to see of which part each piece of a text speaks (a chance for each part), and to answer for a part and its
pieces: found at all, condition, status, place, burner, work. Texts lose their marks now and then, and single pieces always, so
that it learns to do without. One pass over all examples takes about six minutes on two cores.
"""

import argparse
import math
import random
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
import torch
from calibration import FITTED, LEARNT, UNREAD
from safetensors.torch import load_file
from taught_examples import (
    FIELDS,
    ROOT,
    Example,
    Names,
    Question,
    cutter,
    dictations,
    examples,
    golden,
    idle,
    names,
    sentences,
)
from torch import Tensor, nn
from torch.nn import functional

from fieldnote.extract import build
from fieldnote.extract.taught import stored

HERE = ROOT / "fieldnote/extract/taught"
WIDE, HEADS, LAYERS = 384, 12, 6
RANK = 48  # of what is learnt beside each matrix of the encoder
BUCKETS = 12  # of distances on either side of the words that speak of a part
AT_ONCE = 2600  # pieces in a step
RATE, TOP_RATE = 5e-4, 1.2e-3  # of learning: the encoder, what stands on top of it
HIDDEN = 0.1  # of the pieces
UNMARKED = 0.35  # of the texts
SHARES = 0.5, 0.33  # of the golden cases and of the sentences that a pass takes
JITTER = 0.3  # of the questions, whose pieces are moved by up to two
HIDE, PAD = 103, 0


class Adapted(nn.Module):
    """A matrix of the general encoder, which stays as it is, and a small one beside it that is taught: w + up @ down.

    The way is that of Hu and others, LoRA: Low-Rank Adaptation of Large Language Models, ICLR 2022.
    """

    def __init__(self, wide: int, to: int) -> None:
        super().__init__()
        self.weight = nn.Parameter(torch.empty(to, wide), requires_grad=False)
        self.bias = nn.Parameter(torch.empty(to))
        self.down = nn.Parameter(torch.randn(RANK, wide) / math.sqrt(wide))
        self.up = nn.Parameter(torch.zeros(to, RANK))

    def forward(self, x: Tensor) -> Tensor:
        """(..., wide) to (..., to)."""
        return functional.linear(x, self.weight, self.bias) + functional.linear(
            functional.linear(x, self.down), self.up
        )


class Layer(nn.Module):
    """One layer of the encoder."""

    def __init__(self) -> None:
        super().__init__()
        self.q, self.k, self.v, self.o = (Adapted(WIDE, WIDE) for _ in range(4))
        self.f1, self.f2 = Adapted(WIDE, 4 * WIDE), Adapted(4 * WIDE, WIDE)
        self.n1, self.n2 = nn.LayerNorm(WIDE, eps=1e-12), nn.LayerNorm(WIDE, eps=1e-12)

    def forward(self, x: Tensor, mask: Tensor) -> Tensor:
        """(B, T, D) to the same; `mask` (B, 1, 1, T) is true where there is a piece."""
        q, k, v = split(self.q(x)), split(self.k(x)), split(self.v(x))
        mixed = functional.scaled_dot_product_attention(q, k, v, attn_mask=mask)
        x = self.n1(x + self.o(mixed.transpose(1, 2).reshape(x.shape)))
        made: Tensor = self.n2(x + self.f2(functional.gelu(self.f1(x))))
        return made


class Encoder(nn.Module):
    """Pieces to what they mean beside the others."""

    def __init__(self, base: dict[str, Tensor]) -> None:
        super().__init__()
        self.we = nn.Embedding.from_pretrained(base["embeddings.word_embeddings.weight"])
        self.pe = nn.Embedding.from_pretrained(base["embeddings.position_embeddings.weight"])
        self.te = nn.Parameter(base["embeddings.token_type_embeddings.weight"][0].clone())
        self.en = nn.LayerNorm(WIDE, eps=1e-12)
        self.layers = nn.ModuleList(Layer() for _ in range(LAYERS))
        self.drop = nn.Dropout(0.1)
        take(self.en, base, "embeddings.LayerNorm")
        for n, layer in enumerate(self.layers):
            of = {"q": "attention.self.query", "k": "attention.self.key", "v": "attention.self.value"}
            of |= {"o": "attention.output.dense", "n1": "attention.output.LayerNorm", "n2": "output.LayerNorm"}
            for name, old in (of | {"f1": "intermediate.dense", "f2": "output.dense"}).items():
                take(getattr(layer, name), base, f"encoder.layer.{n}.{old}")

    def forward(self, ids: Tensor, there: Tensor) -> Tensor:
        """(B, T) to (B, T, D); `there` (B, T): where there is a piece."""
        x = self.drop(self.en(self.we(ids) + self.pe(torch.arange(ids.shape[1])) + self.te))
        for layer in self.layers:
            x = layer(x, there[:, None, None, :])
        return x


class Top(nn.Module):
    """What stands on top of the encoder; `fieldnote.extract.taught.network` does the same without torch."""

    def __init__(self, numbers: Names) -> None:
        super().__init__()
        parts = len(numbers.of["component"])
        self.tag = nn.Linear(WIDE, parts)
        nn.init.constant_(self.tag.bias, -5.0)
        self.ce = nn.Embedding(parts, WIDE)
        self.ce.weight.data *= 0.1
        self.sp = nn.Linear(3 * WIDE, WIDE)
        self.xq, self.xk, self.xv, self.xo = (nn.Linear(WIDE, WIDE) for _ in range(4))
        self.near = nn.Parameter(torch.zeros(HEADS, 2 * BUCKETS))
        self.xn, self.gn = nn.LayerNorm(WIDE), nn.LayerNorm(WIDE)
        self.g1, self.g2 = nn.Linear(WIDE, 2 * WIDE), nn.Linear(2 * WIDE, WIDE)
        self.heads = nn.ModuleDict({name: nn.Linear(WIDE, len(numbers.of[name])) for name in (*FIELDS, "acts")})
        self.valid = nn.Linear(WIDE, 1)
        self.drop = nn.Dropout(0.1)

    def forward(self, x: Tensor, there: Tensor, asked: Tensor) -> dict[str, Tensor]:
        """`asked` (B, Q, 3): part, first piece, last piece + 1. Logits of each field (B, Q, names) and `valid` (B, Q)."""
        part, first, last = (one[..., None] for one in asked.unbind(-1))
        at = torch.arange(x.shape[1])
        inside = ((at >= first) & (at < last)).float()  # (B, Q, T)
        mean = inside @ x / inside.sum(-1, keepdim=True)
        ends = [x.gather(1, where.expand(-1, -1, WIDE)) for where in (first, last - 1)]
        q = self.ce(part[..., 0]) + self.sp(torch.cat([mean, *ends], -1))
        bias = self.near.T[buckets(at, first, last)].permute(0, 3, 1, 2)  # (B, HEADS, Q, T)
        bias = bias.masked_fill(~there[:, None, None], -1e9)
        mixed = functional.scaled_dot_product_attention(
            split(self.xq(q)), split(self.xk(x)), split(self.xv(x)), attn_mask=bias
        )
        q = self.xn(q + self.drop(self.xo(mixed.transpose(1, 2).reshape(q.shape))))
        q = self.gn(q + self.drop(self.g2(functional.gelu(self.g1(q)))))
        return {name: head(q) for name, head in self.heads.items()} | {"valid": self.valid(q)[..., 0]}


def take(module: nn.Module, base: dict[str, Tensor], name: str) -> None:
    """Start from the weights of the general encoder."""
    module.load_state_dict({kind: base[f"{name}.{kind}"].clone() for kind in ("weight", "bias")}, strict=False)


def split(x: Tensor) -> Tensor:
    """(B, T, D) by heads: (B, HEADS, T, D / HEADS)."""
    return x.view(x.shape[0], x.shape[1], HEADS, -1).transpose(1, 2)


def buckets(at: Tensor, first: Tensor, last: Tensor) -> Tensor:
    """How far each piece stands from those of a span, in steps that widen; those before it apart from those behind."""
    away = torch.where(at < first, at - first, torch.where(at >= last, at - last + 1, 0))
    step = (torch.log2(away.abs().float() + 1) * 1.5).long().clamp(max=BUCKETS - 2) + 1
    return torch.where(away == 0, 0, torch.where(away < 0, step + BUCKETS, step))


def steps(some: list[Example]) -> Iterator[list[Example]]:
    """Texts of nearly one length together, in any order."""
    now: list[Example] = []
    every = []
    for one in sorted(some, key=lambda one: len(one.ids) + random.random() * 20):
        if now and (len(now) + 1) * len(one.ids) > AT_ONCE:
            every.append(now)
            now = []
        now.append(one)
    every.append(now)
    random.shuffle(every)
    yield from every


def unmarked(one: Example, marks: set[int]) -> Example:
    """A text without its marks."""
    keep = [id_ not in marks for id_ in one.ids]
    at = [0, *np.cumsum(keep).tolist()]
    last = sum(keep) - 1

    def moved(span: tuple[int, int]) -> tuple[int, int]:
        first = min(at[span[0]], last)
        return first, max(at[span[1]], first + 1)

    questions = [Question(q.part, moved(q.span), q.valid, q.answers) for q in one.questions]
    spans = [[(part, moved(span)) for part, span in held] for held in (one.spoken, one.unsure)]
    return Example([id_ for id_, kept in zip(one.ids, keep, strict=True) if kept], *spans, questions)


def jittered(span: tuple[int, int], length: int) -> tuple[int, int]:
    """A span that was moved a little, now and then: at work it is never quite the same."""
    if random.random() >= JITTER:
        return span
    first = max(1, span[0] + random.randint(-2, 2))
    last = min(length - 1, max(first + 1, span[1] + random.randint(-2, 2)))
    return min(first, last - 1), last


def loss(encoder: Encoder, top: Top, some: Sequence[Example]) -> Tensor:
    """How wrong the reader is on some texts."""
    long = max(len(one.ids) for one in some)
    hidden = [
        [HIDE if 0 < n < len(one.ids) - 1 and random.random() < HIDDEN else id_ for n, id_ in enumerate(one.ids)]
        for one in some
    ]
    ids = torch.tensor([[*one, *[PAD] * (long - len(one))] for one in hidden])
    there = torch.tensor([[n < len(one) for n in range(long)] for one in hidden])
    x = encoder(ids, there)
    spoken = top.tag(x)
    right, counts = torch.zeros_like(spoken), there[..., None].float().expand_as(spoken).clone()
    for n, one in enumerate(some):
        for held, value, weight in ((one.unsure, 0, 0), (one.spoken, 1, 1)):
            for part, (first, last) in held:
                right[n, first:last, part], counts[n, first:last, part] = value, weight
    total = (functional.binary_cross_entropy_with_logits(spoken, right, reduction="none") * counts).sum() / there.sum()
    most = max(len(one.questions) for one in some)
    if not most:
        return total
    asked = [[(q.part, *jittered(q.span, len(one.ids))) for q in one.questions] for one in some]
    told = top(x, there, torch.tensor([[*each, *[(0, 1, 2)] * (most - len(each))] for each in asked]))
    real = torch.tensor([[n < len(each) for n in range(most)] for each in asked])
    return total + answers_loss(
        {name: one[real] for name, one in told.items()}, [q for one in some for q in one.questions]
    )


def answers_loss(told: dict[str, Tensor], questions: Sequence[Question]) -> Tensor:
    """How wrong the answers are; any of several right ones is right."""
    known = [n for n, q in enumerate(questions) if q.valid is not None]
    found = [n for n, q in enumerate(questions) if q.answers]
    valid = torch.tensor([float(bool(questions[n].valid)) for n in known])
    total = 0.5 * functional.binary_cross_entropy_with_logits(told["valid"][known], valid) if known else torch.zeros(())
    if not found:
        return total
    for name in FIELDS:
        chances = functional.log_softmax(told[name][found], -1)
        others = torch.full_like(chances, -1e9)
        for row, n in enumerate(found):
            others[row, (questions[n].answers or {})[name]] = 0
        total = total - 0.5 * (chances + others).logsumexp(-1).mean()
    work = torch.zeros_like(told["acts"][found])
    for row, n in enumerate(found):
        work[row, (questions[n].answers or {})["acts"]] = 1
    return (
        total
        + 0.2 * functional.binary_cross_entropy_with_logits(told["acts"][found], work, reduction="none").sum(-1).mean()
    )


def teach(encoder: Encoder, top: Top, parts: Sequence[list[Example]], marks: set[int], minutes: float) -> None:
    """Learn from all examples for so many minutes; the rate falls to nothing by then."""
    body = [one for one in encoder.parameters() if one.requires_grad]
    learner = torch.optim.AdamW(
        [{"params": body, "lr": RATE}, {"params": top.parameters(), "lr": TOP_RATE}], weight_decay=0.01
    )
    rates = [group["lr"] for group in learner.param_groups]
    start, done = time.monotonic(), 0
    while True:
        more = [random.sample(some, int(len(some) * share)) for some, share in zip(parts[1:], SHARES, strict=True)]
        taken = [*parts[0], *(one for some in more for one in some)]
        for some in steps(taken):
            gone = (time.monotonic() - start) / 60 / minutes
            if gone >= 1:
                return
            for group, rate in zip(learner.param_groups, rates, strict=True):
                group["lr"] = rate * min(1, (done + 1) / 100) * max(0.02, 1 - gone)
            wrong = loss(encoder, top, [unmarked(one, marks) if random.random() < UNMARKED else one for one in some])
            learner.zero_grad()
            wrong.backward()  # type: ignore[no-untyped-call]
            nn.utils.clip_grad_norm_([*body, *top.parameters()], 1.0)
            learner.step()
            done += 1
            if done % 50 == 0:
                print(f"{gone:.0%}: {done} steps, {wrong.item():.3f} wrong", flush=True)


def write(encoder: Encoder, top: Top, numbers: Names) -> None:
    """The file that ships."""
    held = {f"encoder.{name}": one for name, one in encoder.named_parameters() if one.requires_grad}
    held |= {f"top.{name}": one for name, one in top.named_parameters()}
    arrays = {name: one.detach().numpy() for name, one in held.items()}
    arrays |= {f"names.{name}": np.array([value or "" for value in values]) for name, values in numbers.of.items()}
    with (HERE / "taught.npz").open("wb") as file:
        stored.write(file, arrays)


def main() -> None:
    """Teach and write."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("base", type=Path)
    asked.add_argument("--minutes", type=float, default=80)
    asked.add_argument("--go-on", action="store_true", help="from what was taught before")
    given = asked.parse_args()
    random.seed(0)
    torch.manual_seed(0)
    reader, cut, kept = build(), cutter(given.base), Path("taught.pt")
    told = [[*dictations(reader), *idle()], list(golden(reader)), list(sentences())]
    before = torch.load(kept) if given.go_on else None
    if before and set(before["sets"]) & (UNREAD | FITTED):
        raise SystemExit("what was taught before has seen a set that must not be seen: start anew")
    numbers = Names(before["names"]) if before else names([one for some in told for one in some])
    parts = [examples(some, numbers, cut) for some in told]
    print(", ".join(str(len(some)) for some in parts), "texts", flush=True)
    encoder, top = Encoder(load_file(given.base / "model.safetensors")), Top(numbers)
    if before:
        encoder.load_state_dict(before["encoder"], strict=False)
        top.load_state_dict(before["top"])
    teach(encoder, top, parts, {cut.token_to_id(mark) for mark in ".,;:!?-"}, given.minutes)
    taught = {name: value for name, value in encoder.named_parameters() if value.requires_grad}
    torch.save({"encoder": taught, "top": top.state_dict(), "names": numbers.of, "sets": LEARNT}, kept)
    write(encoder, top, numbers)


if __name__ == "__main__":
    main()
