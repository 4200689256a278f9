"""Ridge logistic regression on named signs, for the tables of weights that the reader ships."""

from collections import Counter
from collections.abc import Hashable, Sequence
from typing import Any, TypeVar

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

Name = TypeVar("Name", bound=Hashable)


def ridge(
    rows: Sequence[Sequence[Name]],
    yes: Sequence[bool],
    weights: np.ndarray[Any, Any],
    free: Name,
    *,
    seen: int,
    strength: float,
    steps: int = 200,
) -> dict[Name, float]:
    """The weight of each sign, in logits: of those that were seen often enough (`seen`), the one that every row has (`free`)
    not held down. `yes` and `weights` belong to the rows."""
    counts = Counter(name for row in rows for name in row)
    names = [name for name, count in counts.items() if count >= seen]
    at = {name: n for n, name in enumerate(names)}
    cells = [[at[name] for name in row if name in at] for row in rows]
    ends = np.cumsum([0, *map(len, cells)])
    x = csr_matrix((np.ones(ends[-1]), np.concatenate(cells), ends), shape=(len(rows), len(names)))
    sides = np.array([1.0 if one else -1.0 for one in yes])
    held = np.full(len(names), strength)
    held[at[free]] = 0

    def loss(w: np.ndarray[Any, Any]) -> tuple[float, np.ndarray[Any, Any]]:
        margin = sides * (x @ w)
        gap = -weights * sides / (1 + np.exp(np.clip(margin, -30, 30)))
        return float(weights @ np.logaddexp(0, -margin) + held @ w**2 / 2), x.T @ gap + held * w

    found = minimize(loss, np.zeros(len(names)), jac=True, method="L-BFGS-B", options={"maxiter": steps})
    return dict(zip(names, map(float, found.x), strict=True))
