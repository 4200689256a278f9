"""Why a file is not taken in. Raised in the child process, told by the parent."""


class Refusal(Exception):
    """One reason in plain words."""
