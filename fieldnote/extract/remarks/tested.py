"""How a tightness test was done. In: the draft with its readings. Out: `Draft.no_smell`, `Draft.appliances`.

Both count only beside the drop of a test: "no smell of gas" at another appliance says nothing of the installation. Not allowed
to know: what drop is allowed, and what these facts change of it.
"""

from bisect import bisect_left, bisect_right

from fieldnote.extract.draft import Draft
from fieldnote.extract.remarks.announcements import Announcement, standing

NEAR = 30  # words between a drop and what is said of its test
_APPLIANCES = {"appliances-yes": "yes", "appliances-no": "no"}


def run(draft: Draft) -> None:
    """Find what was said beside a drop; where both of a pair were said, neither is known."""
    said = [one for one in standing(draft, "tested") if _beside_a_drop(draft, one)]
    draft.no_smell = next((draft.evidence(s.start, s.end) for s in said if s.kind == "no-smell"), None)
    kinds = {_APPLIANCES[one.kind] for one in said if one.kind in _APPLIANCES}
    draft.appliances = kinds.pop() if len(kinds) == 1 else None


def _beside_a_drop(draft: Draft, said: Announcement) -> bool:
    starts = [token.start for token in draft.tokens]
    for drop in draft.readings:
        if drop.quantity == "tightness-drop":
            first = bisect_right(starts, drop.evidence.start) - 1
            last = bisect_left(starts, drop.evidence.end)
            if first - NEAR <= said.start and said.end <= last + NEAR:
                return True
    return False
