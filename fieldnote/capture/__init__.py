"""The outside world becomes recordings, photos and notes. It knows nothing of the notebook, of words or of the trade."""

from fieldnote.capture.look import Looker, look

__all__ = ["Looker", "look"]
