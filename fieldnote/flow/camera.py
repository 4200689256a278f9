"""The difference between a camera's clock and this machine's, measured once and kept. In: seconds, or a photo of a clock.

The measuring photo shows this machine's time with its seconds: that is set against what the photo says of itself.
"""

from datetime import datetime, time, timedelta

from fieldnote.errors import UsageProblem
from fieldnote.notebook import Notebook

KIND = "camera-offset"
HALF_A_DAY = timedelta(hours=12)


def keep(notebook: Notebook, visit: str, seconds: float) -> None:
    """Keep the offset of a visit: machine clock minus camera clock, in seconds. Raises UsageProblem FN-201 beyond ten years."""
    if not abs(seconds) <= 10 * 366 * 86400:
        raise UsageProblem(
            "FN-201", what=f"a clock difference of {seconds} s", reason="give seconds, machine minus camera"
        )
    notebook.append(KIND, {"seconds": seconds}, visit=visit)


def measured(shown: time, taken: datetime) -> float:
    """Seconds to add to the camera's time. `shown` is what can be read on the photo, `taken` what the photo says of itself.

    The photo shows no date: of all days the one that makes the difference smallest is meant.
    """
    real = datetime.combine(taken.date(), shown, taken.tzinfo)
    gap = real - taken
    if gap > HALF_A_DAY:
        gap -= 2 * HALF_A_DAY
    elif gap < -HALF_A_DAY:
        gap += 2 * HALF_A_DAY
    return gap.total_seconds()


def parsed(text: str, taken: datetime | None) -> float:
    """The offset out of what a person gives: seconds such as -37.5, or the time HH:MM:SS that is to be read on the photo.

    Raises UsageProblem FN-201 when it is neither, or when the photo does not know its time.
    """
    try:
        return float(text)
    except ValueError:
        pass
    try:
        shown = time.fromisoformat(text)
    except ValueError:
        raise UsageProblem(
            "FN-201", what=f"a clock difference of {text!r}", reason="give seconds or HH:MM:SS"
        ) from None
    if taken is None:
        raise UsageProblem(
            "FN-201", what="measuring the camera's clock", reason="that needs a photo with a time of its own"
        )
    return measured(shown, taken)
