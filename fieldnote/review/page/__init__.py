"""The review on a page of this machine: the same desk as the terminal's, with the visit as a line of time.

In: a desk, ways to sound, pictures and a report preview. Out: pages for one browser on this machine, and decisions.
Not allowed to know: how a report is made, how sound is decoded (both are handed in).
"""

from fieldnote.review.page.app import Parts, build
from fieldnote.review.page.guard import Guard
from fieldnote.review.page.server import Server

__all__ = ["Guard", "Parts", "Server", "build"]
