"""What was only moved, opened or taken off to get at the rest. In: work and the words in which it is told. Out: yes or no. Not
allowed to know: what was said before in the talk.
"""

from fieldnote.extract.clauses.said import Job, Statement
from fieldnote.extract.facts.talk import Talk

_MOVED = frozenset("pulled lifted slid pushed shoved moved dropped put".split())  # an appliance, to get at the rest
_ARTICLES = frozenset({"the", "her", "his", "whole"})
_COVERS = frozenset(
    "back front cover covers panel panels side sides top plinth kickboard drawer drawers shelf shelves pans kettle faceplate "
    "fascia trim ornaments box boxing cupboard worktop splashback hood telly fridge".split()
)
_WHOLES = frozenset("hob cooker oven fire boiler range grill stove appliance unit heater".split())
_OUT_OF_ITS_PLACE = {
    tuple(f"{out} {place}".split())
    for out in ("off the", "out of the", "out the", "out from the")
    for place in (
        "wall",
        "worktop",
        "opening",
        "fireplace",
        "hearth",
        "chimney breast",
        "unit",
        "housing",
        "cabinet",
        "gap",
    )
}


def only_moved(talk: Talk, job: Job) -> bool:
    """ "Pulled the hob up": an appliance that was only moved to get at the rest."""
    verb, *rest = [token.norm for token in talk.draft.tokens[job.start : job.start + 4]]
    whole = next((word for word in rest if word not in _ARTICLES), "")
    return verb in _MOVED and whole in _WHOLES and not any(target.names for target in job.targets)


def to_get_at_it(talk: Talk, job: Job) -> bool:
    """ "Took the back off and the live was loose": a piece that was only in the way."""
    if job.kind not in ("remove", "refit", "disconnect", "isolate") or any(target.names for target in job.targets):
        return False
    at = job.start + 1
    while talk.draft.tokens[at : at + 1] and talk.draft.tokens[at].norm in _ARTICLES | {"off", "up", "down"}:
        at += 1
    word = talk.draft.tokens[at].norm if at > job.start + 1 and at < len(talk.draft.tokens) else ""
    return word in _COVERS


def taken_down(talk: Talk, statement: Statement, component: str) -> bool:
    """ "Fire's off the wall for a look", "hob's out of the worktop": the engineer has it out, and nothing came loose."""
    words = tuple(token.norm for token in talk.draft.tokens[statement.head : statement.head + statement.words])
    return component == "appliance" and words in _OUT_OF_ITS_PLACE
