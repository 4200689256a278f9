""" "On the stiff side" is a bit stiff. In: tokens. Out: the same in plain words. Not allowed to know: what is stiff."""

from dataclasses import replace

from fieldnote.extract.words.lexicon import lexicon
from fieldnote.extract.words.tokens import Token

_SAID = ("a", "bit", None, "really")  # for "on", "the", the word itself, "side"


def plainly(tokens: list[Token]) -> None:
    """Put "a bit stiff" for "on the stiff side", where the word says what state something is in."""
    for at in range(len(tokens) - 3):
        row = tokens[at : at + 4]
        if (row[0].norm, row[1].norm, row[3].norm) != ("on", "the", "side") or any(token.pause for token in row[:3]):
            continue
        hit = lexicon().at(tokens, at + 2)
        if hit is not None and hit.end == at + 3 and all(sense.kind == "condition" for sense in hit.values):
            tokens[at : at + 4] = [
                replace(token, norm=word or token.norm) for token, word in zip(row, _SAID, strict=True)
            ]
