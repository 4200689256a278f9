"""Every error that `fieldnote` shows a person: a stable code, one sentence, a hint, an exit status.

Comes in: nothing. Goes out: exception classes. This module may not import anything of the project.

    FieldnoteError
    ├── UsageProblem      2   the words of the command do not fit
    ├── InputProblem      3   this input cannot be used; the rest goes on
    ├── MachineLacks      4   weights, an extra, a device, disk space: names the command that mends it
    ├── NotebookProblem   5   the notebook is in use, damaged or not writable
    └── Defect           70   a fault of the program itself

Each concrete error is one row of `CATALOGUE`: `raise InputProblem("FN-301", path=..., reason=...)`.
"""

from dataclasses import dataclass

DONE, NO, USAGE, INPUT, LACKS, BUSY, DEFECT = 0, 1, 2, 3, 4, 5, 70


@dataclass(frozen=True, slots=True)
class Row:
    """One error of the catalogue: its sentence (a format string) and the hint that follows it."""

    sentence: str
    hint: str = ""


CATALOGUE: dict[str, Row] = {
    # 2: usage
    "FN-201": Row("{what} is not possible: {reason}"),
    "FN-202": Row("there is no calculation called {name}", "fieldnote calc --list names them"),
    "FN-203": Row("{name} needs {missing}", "fieldnote calc --list shows the inputs of each"),
    "FN-204": Row("no visit is open and none was named", "fieldnote visit new REF"),
    "FN-205": Row("there is no visit {ref}", "fieldnote visit list"),
    "FN-206": Row("there is nothing kept under {id}", "fieldnote list, fieldnote visit list"),
    # 3: input
    "FN-301": Row("{path}: {reason}"),
    "FN-302": Row("{path}, line {line}: {reason}"),
    "FN-303": Row("{path}: not a kind of file that is taken in ({reason})"),
    "FN-304": Row("{path}: the data is not valid: {reason}"),
    # 4: machine
    "FN-401": Row("the weights '{model}' are not on this machine", "fieldnote models fetch {model}"),
    "FN-402": Row("the part '{extra}' is not installed", "pip install 'fieldnote[{extra}]'"),
    "FN-403": Row("no space is left for {path}", "make room, then run the same command again"),
    "FN-404": Row("no sound device answers ({reason})", "fieldnote listen --device lists the devices"),
    "FN-405": Row("the weights in {path} are damaged: {reason}", "fieldnote models fetch {model}"),
    "FN-406": Row("{path} could not be written: {reason}"),
    "FN-407": Row("the weights '{model}' could not be fetched: {reason}", "fieldnote models add-folder {model} DIR"),
    "FN-408": Row("{path}: {reason}"),
    # 5: notebook
    "FN-501": Row("the notebook {path} is in use by another process", "try again in a moment"),
    "FN-502": Row("the notebook {path} cannot be written: {reason}"),
    "FN-503": Row("{path} is not a notebook: {reason}", "fieldnote --notebook DIR visit new REF makes one"),
    "FN-504": Row("the notebook {path} was made by a newer fieldnote (schema {schema})", "update fieldnote"),
    "FN-505": Row("the notebook {path} is damaged: {reason}", "fieldnote verify names what disagrees"),
    "FN-506": Row(
        "the notebook {path} was made by an older fieldnote", "whatever writes to it brings it up to date: visit, add"
    ),
    "FN-507": Row("the notebook {path} cannot be read: {reason}"),
}


class FieldnoteError(Exception):
    """Base of all errors that are meant for a person. `code` keys `CATALOGUE`; fields fill its sentence."""

    exit_status = DEFECT

    def __init__(self, code: str, **fields: object) -> None:
        self.code = code
        self.fields = fields
        row = CATALOGUE[code]
        self.sentence = row.sentence.format(**fields)
        self.hint = row.hint.format(**fields)
        super().__init__(self.line())

    def line(self) -> str:
        """The error as one line: code, sentence, hint."""
        text = f"{self.code}: {self.sentence}" + (f" ({self.hint})" if self.hint else "")
        return " ".join(text.split())


class UsageProblem(FieldnoteError):
    """The words of the command do not fit."""

    exit_status = USAGE


class InputProblem(FieldnoteError):
    """One input cannot be used; the others are still done."""

    exit_status = INPUT


class MachineLacks(FieldnoteError):
    """Something is missing on this machine; the hint is the command that mends it."""

    exit_status = LACKS


class NotebookProblem(FieldnoteError):
    """The notebook is in use, damaged or not writable."""

    exit_status = BUSY
