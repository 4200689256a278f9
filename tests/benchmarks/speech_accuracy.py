"""How well and how fast speech becomes words, against faster-whisper's defaults on the same clips in the same run.

    speech_accuracy.py run CLIPS... --out RESULTS.jsonl [--model base] [--every N] [--only fan10] [--ours-only]
    speech_accuracy.py report RESULTS.jsonl...

CLIPS are folders made by render_speech.py. Prints word error rate, recall of trade words and of numbers (with 95 % Wilson
intervals), numbers that are wrong without a doubt beside them, passages that were dropped without a mark, time as a ratio to
the defaults, and peak memory. Word error rate and alignment: jiwer.
"""

import argparse
import json
import resource
import sys
import time
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

import jiwer

from fieldnote import settings, speech
from fieldnote.trade.vocabulary import vocabulary

sys.path.insert(0, str(Path(__file__).parent))
from speech_texts import normal

SAID_TOO = """
    cap caps ring crown jet tap taps knob knobs hob wok simmer rapid front rear back left right centre center regreased fsd
    fsds mv mbar ppm co mm kw cubic square letby tightness spillage standing working pressure drop dropout ratio ambient
    propane bottled narrowboat caravan campervan motorhome crack cracks chips leak leaks sticking tightened replaced
    refitted remade isolated disconnected labeled passed failed expired yellow tipping lifting millivolts multipoint coals
    rubble grease hinge spindle bypass lead leads shutoff supports adjusted declined order monitor report
""".split()


def trade_words() -> set[str]:
    """Words of the vocabulary's labels and their common inflections."""
    v = vocabulary()
    labels = [
        *v.components.values(),
        *v.conditions.values(),
        *v.appliances.values(),
        *v.actions.values(),
        *v.classes.values(),
    ]
    words = {word for label in labels for word in normal(label) if len(word) > 3 and not word.isdigit()}
    return words | {word + end for word in words for end in ("s", "d", "ed")} | set(SAID_TOO)


TRADE = trade_words()


def run(given: argparse.Namespace) -> None:
    """Transcribe every clip both ways, one after the other, and write a line a clip."""
    from faster_whisper import WhisperModel

    chosen = replace(settings.load(), model=given.model, threads=2)
    started = time.perf_counter()
    recogniser = speech.build(chosen)
    loaded = time.perf_counter() - started
    memory = []
    plain = (
        None
        if given.ours_only
        else WhisperModel(str(chosen.models / given.model), device="cpu", compute_type="int8", cpu_threads=2)
    )
    with Path(given.out).open("a") as out:
        for folder in map(Path, given.paths):
            for row in list(map(json.loads, (folder / "manifest.jsonl").open()))[:: given.every]:
                if given.only and row["cond"] not in given.only.split(","):
                    continue
                out.write(
                    json.dumps(_both(recogniser, plain, folder / row["file"], row) | {"loaded": round(loaded, 2)})
                    + "\n"
                )
                out.flush()
                memory.append(_peak())
    print(
        f"load {loaded:.2f} s; peak memory {max(memory):.0f} MB (own process{'' if plain is None else ', defaults loaded too'})"
    )


def _both(recogniser: Any, plain: Any, path: Path, row: dict[str, Any]) -> dict[str, Any]:
    wall, cpu = time.perf_counter(), _cpu()
    heard = recogniser.hear(path)
    result = row | {"ours": heard.text, "wall": time.perf_counter() - wall, "cpu": _cpu() - cpu, "flags": heard.flags}
    result["words"] = [
        (word.text, word.doubt, round(word.confidence, 3)) for segment in heard.segments for word in segment.words
    ]
    if plain:
        wall, cpu = time.perf_counter(), _cpu()
        segments, _ = plain.transcribe(str(path), language="en")
        result["default"] = " ".join(segment.text.strip() for segment in segments)
        result |= {"default_wall": time.perf_counter() - wall, "default_cpu": _cpu() - cpu}
    return result


def _cpu() -> float:
    own, children = resource.getrusage(resource.RUSAGE_SELF), resource.getrusage(resource.RUSAGE_CHILDREN)
    return own.ru_utime + own.ru_stime + children.ru_utime + children.ru_stime


def _peak() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


# ---------------------------------------------------------------- scoring


class Score:
    """One reference against one transcript, aligned word by word."""

    def __init__(self, reference: str, heard: str, words: list[list[Any]] | None = None) -> None:
        self.reference, self.heard = normal(reference), normal(heard)
        self.marks = self._marks(words or [])
        output = jiwer.process_words(" ".join(self.reference) or "-", " ".join(self.heard) or "-")
        self.chunks = output.alignments[0] if self.reference else []
        self.errors = output.substitutions + output.deletions + output.insertions if self.reference else len(self.heard)
        self.right = {i for c in self.chunks if c.type == "equal" for i in range(c.ref_start_idx, c.ref_end_idx)}
        self.inserted = {c.ref_start_idx for c in self.chunks if c.type == "insert" and self._figures(c)}

    def _figures(self, chunk: Any) -> bool:
        """Whether an inserted stretch holds a digit or a point: other words beside a number do not change it."""
        return any(word.isdigit() or word == "point" for word in self.heard[chunk.hyp_start_idx : chunk.hyp_end_idx])

    def _marks(self, words: list[list[Any]]) -> list[bool]:
        """For each word of the comparable form, whether the transcript's word behind it carries a doubt."""
        pieces = [(piece, bool(doubt)) for text, doubt, _ in words for piece in normal(text)]
        marks = [False] * len(self.heard)
        for kind, a, b, c, d in SequenceMatcher(None, [p for p, _ in pieces], self.heard, autojunk=False).get_opcodes():
            for k in range(c, d):
                marks[k] = pieces[a + k - c][1] if kind == "equal" else any(mark for _, mark in pieces[a:b])
        return marks

    def trade(self) -> tuple[int, int]:
        """Trade words heard right, and all."""
        wanted = [i for i, word in enumerate(self.reference) if word in TRADE]
        return sum(i in self.right for i in wanted), len(wanted)

    def numbers(self) -> Iterator[tuple[bool, bool]]:
        """For each spoken number: heard right, and marked as doubtful."""
        at = 0
        while at < len(self.reference):
            if not self.reference[at].isdigit():
                at += 1
                continue
            end = at + 1
            while end < len(self.reference) and (self.reference[end].isdigit() or self._point(end)):
                end += 1
            right = all(i in self.right for i in range(at, end)) and not any(
                i in self.inserted for i in range(at, end + 1)
            )
            yield right, self._marked(at, end)
            at = end

    def _point(self, at: int) -> bool:
        return self.reference[at] == "point" and at + 1 < len(self.reference) and self.reference[at + 1].isdigit()

    def dropped(self) -> int:
        """Runs of four words or more that are missing without a mark at either side."""
        runs = [c for c in self.chunks if c.type == "delete" and c.ref_end_idx - c.ref_start_idx >= 4]
        return sum(not self._marked(c.ref_start_idx, c.ref_end_idx) for c in runs)

    def _marked(self, start: int, end: int) -> bool:
        """Whether a doubt stands on or right beside what was heard for words start..end."""
        spots = [k for c in self.chunks for k in _heard_at(c, start, end)]
        if not spots:
            return False
        return any(self.marks[max(0, min(spots) - 1) : max(spots) + 2])


def _heard_at(chunk: Any, start: int, end: int) -> list[int]:
    """Indexes of heard words that stand for the reference words start..end within one chunk."""
    if (
        chunk.ref_end_idx < start
        or chunk.ref_start_idx > end
        or (chunk.ref_end_idx == start and chunk.type != "insert")
    ):
        return [chunk.hyp_end_idx - 1] if chunk.ref_end_idx == start and chunk.hyp_end_idx else []
    if chunk.type == "equal":
        shift = chunk.hyp_start_idx - chunk.ref_start_idx
        return [i + shift for i in range(max(start, chunk.ref_start_idx), min(end, chunk.ref_end_idx))]
    return list(range(chunk.hyp_start_idx, chunk.hyp_end_idx))


def wilson(good: int, n: int) -> str:
    """A share in percent with its 95 % interval (Wilson 1927)."""
    if not n:
        return "-"
    z, p = 1.96, good / n
    middle, half = (
        (p + z * z / (2 * n)) / (1 + z * z / n),
        z * ((p * (1 - p) / n + z * z / (4 * n * n)) ** 0.5) / (1 + z * z / n),
    )
    return f"{100 * p:.1f} ({100 * (middle - half):.1f}-{100 * (middle + half):.1f})"


def report(given: argparse.Namespace) -> None:
    """Print the tables."""
    rows = [json.loads(line) for path in given.paths for line in Path(path).read_text("utf-8").splitlines()]
    groups = defaultdict(list)
    for row in rows:
        groups[row["cond"]].append(row)
    for cond, members in sorted(groups.items()):
        if cond == "silent":
            wrong = [row["file"] for row in members if row["ours"]]
            theirs = sum(bool(row.get("default")) for row in members)
            print(f"silent: {len(members)} clips; text from ours {len(wrong)} {wrong}, from the defaults {theirs}")
            continue
        _table(cond, members, given.verbose)


def _table(cond: str, rows: list[dict[str, Any]], verbose: bool) -> None:
    print(f"{cond}: {len(rows)} clips, {sum(row['sec'] for row in rows):.0f} s")
    rates = {}
    for name in ("ours", "default"):
        if name not in rows[0]:
            continue
        scores = [Score(row["ref"], row[name], row["words"] if name == "ours" else None) for row in rows]
        said, trade = sum(len(s.reference) for s in scores), [s.trade() for s in scores]
        numbers = [pair for s in scores for pair in s.numbers()]
        rates[name] = sum(s.errors for s in scores) / said
        print(
            f"  {name:8} WER {100 * rates[name]:.1f}  trade words {wilson(sum(g for g, _ in trade), sum(n for _, n in trade))}"
            f"  numbers {wilson(sum(right for right, _ in numbers), len(numbers))} of {len(numbers)}"
        )
        if name == "ours":
            _doubts(rows, scores, numbers)
        if verbose:
            _differences(rows, scores, name)
    if "default" in rates:
        wall, cpu = (sum(row[k] for row in rows) / sum(row[f"default_{k}"] for row in rows) for k in ("wall", "cpu"))
        print(f"  ratio to the defaults: WER {rates['ours'] / rates['default']:.2f}  wall {wall:.2f}  CPU {cpu:.2f}")
    print(f"  wall {sum(row['wall'] for row in rows) / sum(row['sec'] for row in rows):.3f} of real time")


def _doubts(rows: list[dict[str, Any]], scores: list[Score], numbers: list[tuple[bool, bool]]) -> None:
    marked = sum(bool(doubt) for row in rows for _, doubt, _ in row["words"])
    words = sum(len(row["words"]) for row in rows)
    silent = sum(not right and not mark for right, mark in numbers)
    alarms = sum(right and mark for right, mark in numbers)
    dropped = sum(
        score.dropped() for row, score in zip(rows, scores, strict=True) if "passage-missing" not in row["flags"]
    )
    print(
        f"           wrong numbers unmarked {silent} of {len(numbers)}; right numbers marked {alarms}; "
        f"dropped passages unmarked {dropped}; words marked {100 * marked / max(1, words):.1f} %"
    )


def _differences(rows: list[dict[str, Any]], scores: list[Score], name: str) -> None:
    for row, score in zip(rows, scores, strict=True):
        parts = [
            f"{' '.join(score.reference[c.ref_start_idx : c.ref_end_idx]) or '-'}"
            f" > {' '.join(score.heard[c.hyp_start_idx : c.hyp_end_idx]) or '-'}"
            for c in score.chunks
            if c.type != "equal"
        ]
        print(f"    {name} {row['file']}: {'; '.join(parts)}")


def main() -> None:
    """Run or report."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("job", choices=["run", "report"])
    parser.add_argument("paths", nargs="+")
    parser.add_argument("--out")
    parser.add_argument("--model", default="base")
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--only")
    parser.add_argument("--ours-only", action="store_true")
    parser.add_argument("--verbose", action="store_true")
    given = parser.parse_args()
    {"run": run, "report": report}[given.job](given)


if __name__ == "__main__":
    main()
