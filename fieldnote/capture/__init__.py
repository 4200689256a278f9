"""The outside world becomes recordings, photos and notes. It knows nothing of the notebook, of words or of the trade."""

from fieldnote.capture.looking import Looker, look
from fieldnote.capture.watching import Watch

__all__ = ["Looker", "Watch", "look"]
