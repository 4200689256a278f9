"""Settings become parts, wired together. The only place that knows concrete classes of more than one room.

Each function imports its room when it is called, so that a command pays only for what it uses.
"""
