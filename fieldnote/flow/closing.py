"""Follow-ups and parts that a person closed, kept as records of their own. In: a notebook. Out: ids of closed lines."""

from fieldnote.errors import UsageProblem
from fieldnote.notebook import Notebook


def closed(notebook: Notebook) -> frozenset[str]:
    """The ids of lines that are closed and were not opened again."""
    state: dict[str, bool] = {}
    for entry in notebook.entries(kind="closing"):
        if entry.payload:
            state[entry.payload["line"]] = entry.payload["closed"]
    return frozenset(line for line, shut in state.items() if shut)


def close(notebook: Notebook, line: str, visit: str | None, by: str, known: frozenset[str]) -> None:
    """Close a line, named by its id; `visit` is the later visit that did it. Raises UsageProblem FN-206 for an unknown id."""
    if line not in known:
        raise UsageProblem("FN-206", id=line)
    notebook.append("closing", {"line": line, "closed": True, "by": by}, visit=visit)
