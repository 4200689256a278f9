"""Names, telephone numbers, postcodes and alarm codes, hidden from third parties. In: the words of a visit. Out: a `Mask`.

The rule, printed on every masked report (`RULE`): what follows a title (Mr, Mrs, Ms, Miss, Dr), "name is" or "called"; a run of
nine or more digits or spoken digits without a decimal point, of six or more after a word such as "phone"; a postcode of the
United Kingdom's form, or what is spelled after "postcode"; digits after "alarm code", "key code", "door code" or "pin"; and the
names that are given with the command. What was found once is hidden wherever it stands in the visit. A rule of this kind is no
guarantee: a name said with none of these signs stays, and the report says so.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from fieldnote.records import VisitView

HIDDEN = "[masked]"
RULE = (
    "Names after a title or \u201cname is\u201d, telephone numbers, postcodes and entry codes are masked by rule; "
    "a name said without such a sign may remain."
)
_DIGIT = r"(?:oh|zero|nought|one|two|three|four|five|six|seven|eight|nine|double|treble|triple|hundred|thousand|\d+)"
_RUN = rf"{_DIGIT}(?:[\s,-]+(?:and\s+)?{_DIGIT})*"
_NAME = r"[A-Z][\w'\u2019-]*|[a-z][\w'\u2019-]+"
_PHONE = r"(?:phone|telephone|mobile|tel|ring|call(?:\s+(?:him|her|them|me))?)(?:\s+(?:number|no\.?))?"
_NO_TIME = r"(?!(?:19|20)\d{6}[-_T ]?\d{6}(?!\d))"  # the day and time that cameras and recorders name their files by
_PATTERNS = (
    re.compile(rf"(?i:\b(?:mr|mrs|ms|miss|dr|mister|missus|doctor)\b)\.?\s+(?P<hide>{_NAME})"),
    re.compile(
        rf"(?i:\b(?:name\s+is|name's|names\s+are|is\s+called)\s+)(?P<hide>(?:{_NAME})(?:\s+[A-Z][\w'\u2019-]*)*)"
    ),
    re.compile(rf"(?i)\b{_PHONE}\s*(?:is|on|:)?\s*(?P<hide>\+?{_RUN})(?!\s*(?:point|\.\d))"),
    re.compile(rf"(?i)\b(?:alarm|key|door|entry|gate|safe)\s*(?:box\s+)?code\s*(?:is|:)?\s*(?P<hide>{_RUN})"),
    re.compile(rf"(?i)\bpin\s*(?:is|number\s+is|:)?\s*(?P<hide>{_RUN})"),
    re.compile(r"\b(?P<hide>(?i:[a-z]{1,2}\d[a-z\d]?\s*\d[a-z]{2}))\b"),
    re.compile(rf"(?i)\bpost\s?code\s*(?:is|:)?\s*(?P<hide>(?:(?:[a-z]|{_DIGIT})\s*){{5,8}})"),
    re.compile(rf"(?<![\d.]){_NO_TIME}(?P<hide>\+?\d[\d\s()-]{{7,}}\d)(?![\d]|\.\d)"),
    re.compile(rf"(?i)(?<!point )\b(?P<hide>{_DIGIT}(?:\s+{_DIGIT}){{8,}})\b(?!\s*point)"),
    re.compile(r"(?P<hide>[\w.+-]+@[\w-]+\.[\w.-]+)"),
)
_TOO_SHORT = 3
_PHONE_DIGITS = 6


@dataclass(frozen=True, slots=True)
class Mask:
    """Hides what was found in one visit. `active` says whether it hides anything at all."""

    secrets: tuple[str, ...] = ()
    active: bool = True

    def __call__(self, text: str) -> str:
        """The text with every secret, and whatever the rule finds in it, replaced by `HIDDEN`."""
        if not self.active:
            return text
        for secret in self.secrets:
            text = re.sub(rf"(?i)(?<!\w){re.escape(secret)}(?!\w)", HIDDEN, text)
        for secret in sorted(_secrets(text), key=len, reverse=True):
            text = text.replace(secret, HIDDEN)
        return text


OPEN = Mask(active=False)


def mask_of(view: VisitView, names: Iterable[str] = (), notes: Iterable[str] = ()) -> Mask:
    """A mask for one visit: the rule over all its words (`notes` are the texts of written notes), and the `names` given."""
    found = {name for name in names if name.strip()}
    texts = [t.text for t in view.transcripts.values()] + [t.raw for t in view.transcripts.values()] + list(notes)
    texts += [r.evidence.text for line in view.lines for r in (line.proposed, line.current) if r]
    for text in texts:
        found |= set(_secrets(text))
    return Mask(tuple(sorted(found, key=len, reverse=True)))


def _secrets(text: str) -> Iterable[str]:
    for pattern in _PATTERNS:
        for match in pattern.finditer(text):
            hidden = match["hide"].strip(" ,.-")
            if len(hidden) >= _TOO_SHORT and HIDDEN not in hidden and not _too_few(pattern, hidden):
                yield hidden


def _too_few(pattern: re.Pattern[str], hidden: str) -> bool:
    """A telephone cue followed by a small number ("call in two days") hides nothing."""
    if pattern is not _PATTERNS[2]:
        return False
    return len(re.findall(r"\d", hidden)) + len(re.findall(r"[a-z]+", hidden.lower())) < _PHONE_DIGITS
