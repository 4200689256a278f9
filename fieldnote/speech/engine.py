"""What a speech engine must do, and the one that is used: Whisper on CTranslate2 through faster-whisper.

Comes in: mono float32 samples at 16 kHz, at most 30 s. Goes out: `Guess` (a text with its scores) and words with times. The only
module that knows faster-whisper's model class. It never reaches for a network: weights come as a checked folder.
"""

import contextlib
import ctypes
import importlib.metadata
import os
import threading
import zlib
from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from fieldnote.errors import MachineLacks
from fieldnote.records import Word
from fieldnote.speech.decoding import RATE
from fieldnote.speech.sound import Samples

FULL_WINDOW = 30.0
LEAST = 1e-9  # probability below which one token is as unlikely as another
HINT_TOKENS = 223  # half of Whisper's text context, less the token that opens it


@dataclass(frozen=True, slots=True)
class Guess:
    """One decode: its text, mean log-probability of a token, probability that nobody spoke, and how well it compresses."""

    text: str
    likelihood: float
    no_speech: float

    @property
    def compression(self) -> float:
        """Length over compressed length: loops are far above 2."""
        raw = self.text.encode()
        return len(raw) / len(zlib.compress(raw)) if raw else 0.0


class Engine(ABC):
    """A speech engine. `encode` is the costly part; several decodes may share it."""

    model: str

    @abstractmethod
    def provenance(self) -> dict[str, str]:
        """Engine, weights' hash, options and versions, for the record."""

    @abstractmethod
    def encode(self, samples: Samples, window: float) -> Any:
        """Look at samples through a window of that many seconds (silence behind them); the result is opaque."""

    @abstractmethod
    def decode(self, encoded: Any, hint: str = "", *, spelled: bool = False, careful: bool = False) -> Guess:
        """One decode, without sampling: the same sound gives the same text.

        `hint` is prose in the words of the trade. `spelled` writes numbers in words, as they were said. `careful` searches
        wider and forbids repeated phrases, for sound on which a plain decode runs in circles.
        """

    @abstractmethod
    def words(self, encoded: Any, text: str) -> list[Word]:
        """The words of a text with their times (seconds from the start of the samples) and probability, by alignment."""

    @abstractmethod
    def likelihoods(self, encoded: Any, texts: Sequence[str]) -> list[float]:
        """How likely each text is by the sound: the log-likelihood of all its tokens."""


class WhisperEngine(Engine):
    """Whisper on CTranslate2, int8 on the processor.

    Raises MachineLacks FN-405 when the folder cannot be loaded.
    """

    def __init__(self, folder: Path, sha256: str, model: str, threads: int) -> None:
        os.environ["HF_HUB_OFFLINE"] = "1"
        from faster_whisper import WhisperModel
        from faster_whisper.tokenizer import Tokenizer

        self.model, self._sha256, self._threads = model, sha256, threads
        self._encoding = threading.Lock()
        workers = min(2, threads)
        _keep_little()
        try:
            self._whisper = WhisperModel(
                str(folder),
                device="cpu",
                compute_type="int8",
                cpu_threads=max(1, threads // workers),
                num_workers=workers,
                local_files_only=True,
            )
        except (RuntimeError, ValueError) as problem:
            raise MachineLacks("FN-405", path=folder, reason=problem, model=model) from None
        multilingual = self._whisper.model.is_multilingual
        self._tokenizer = Tokenizer(self._whisper.hf_tokenizer, multilingual, task="transcribe", language="en")
        pieces = self._whisper.hf_tokenizer.get_vocab().items()
        self._unspelled = sorted(id_ for piece, id_ in pieces if _hides_words(piece) and id_ < self._tokenizer.eot)

    def provenance(self) -> dict[str, str]:
        version = importlib.metadata.version
        return {
            "engine": "faster-whisper",
            "versions": f"faster-whisper {version('faster-whisper')}, ctranslate2 {version('ctranslate2')}",
            "weights": self.model,
            "weights-sha256": self._sha256,
            "compute": "int8",
            "threads": str(self._threads),
        }

    def encode(self, samples: Samples, window: float) -> tuple[Any, int, float]:
        padded = np.zeros(int(window * RATE), np.float32)
        padded[: len(samples)] = samples[: len(padded)]
        with self._encoding:  # one at a time: this is what needs memory
            trim()
            features = self._whisper.feature_extractor(padded, padding=0)[:, : int(window * 100)]
            return self._whisper.encode(features), int(features.shape[1]), len(samples) / RATE

    def decode(
        self, encoded: tuple[Any, int, float], hint: str = "", *, spelled: bool = False, careful: bool = False
    ) -> Guess:
        output, _, seconds = encoded
        tokens = self._tokenizer
        start = [tokens.sot_prev, *tokens.encode(" " + hint)[:HINT_TOKENS]] if hint else []
        prompt = [*start, *tokens.sot_sequence, tokens.no_timestamps]
        result = self._whisper.model.generate(
            output,
            [prompt],
            beam_size=5 if careful else 1,
            max_length=min(448, len(prompt) + int(9 * seconds) + 24),
            no_repeat_ngram_size=4 if careful else 0,
            return_scores=True,
            return_no_speech_prob=True,
            suppress_tokens=[-1, *self._unspelled] if spelled else [-1],
        )[0]
        text = tokens.decode(result.sequences_ids[0]).strip()
        return Guess(text, float(result.scores[0]), float(result.no_speech_prob))

    def words(self, encoded: tuple[Any, int, float], text: str) -> list[Word]:
        output, frames, seconds = encoded
        tokens = self._tokenizer.encode(" " + text)
        found = self._whisper.find_alignment(self._tokenizer, [tokens], output, frames)[0]
        pieces = [
            Piece(w["word"], min(float(w["start"]), seconds), min(float(w["end"]), seconds), float(w["probability"]))
            for w in found
            if w["word"].strip() and w["tokens"][0] < self._tokenizer.eot
        ]
        return joined(pieces)

    def likelihoods(self, encoded: tuple[Any, int, float], texts: Sequence[str]) -> list[float]:
        output, frames, _ = encoded
        found = []
        for text in texts:  # one at a time: side by side they would need as many times the memory
            tokens = [self._tokenizer.encode(" " + text)]
            aligned = self._whisper.model.align(output, self._tokenizer.sot_sequence, tokens, frames)[0]
            found.append(float(np.log(np.maximum(aligned.text_token_probs, LEAST)).sum()))
        return found


def _keep_little() -> None:
    """Let glibc return large blocks as soon as they are free: worker threads would otherwise hoard some 200 MB.

    The numbers are those of mallopt(3): M_ARENA_MAX, M_MMAP_THRESHOLD, M_TRIM_THRESHOLD. Elsewhere nothing happens.
    """
    with contextlib.suppress(OSError, AttributeError, TypeError):
        mallopt = ctypes.CDLL("libc.so.6").mallopt
        for option, value in ((-8, 2), (-3, 1 << 20), (-1, 1 << 20)):
            mallopt(option, value)


def trim() -> None:
    """Give memory that is free back to the system, small blocks too (malloc_trim(3)): a long recording leaves 60 MB of them."""
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL("libc.so.6").malloc_trim(0)


def _hides_words(piece: str) -> bool:
    """Whether a piece of the vocabulary stands for a spoken word without spelling it: figures, "." for point, "O" for oh.

    Signs of money too: where no figure may be written, "fifty" begins with one.
    """
    return any(letter in "0123456789.-$£€" for letter in piece) or piece.lstrip("Ġ") in ("O", "o")


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a word as the alignment gives it; a leading space begins a new word."""

    text: str
    start: float
    end: float
    probability: float


def joined(pieces: list[Piece]) -> list[Word]:
    """Words out of pieces. Punctuation adds its mark but no time: it stands for the pause behind the word."""
    words: list[Word] = []
    for piece in pieces:
        text, sounded = piece.text.strip(), any(letter.isalnum() for letter in piece.text)
        if not words or piece.text.startswith(" "):
            words.append(Word(piece.start, piece.end, text, piece.probability))
            continue
        last = words[-1]
        end, probability = (
            (piece.end, min(last.confidence, piece.probability)) if sounded else (last.end, last.confidence)
        )
        words[-1] = Word(last.start, end, last.text + text, probability)
    return words
