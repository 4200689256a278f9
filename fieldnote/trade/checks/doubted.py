"""What was perhaps said. In: a `Case` with findings that the reader did not trust. Out: points, so that nothing is lost.

Such a finding is filed nowhere, but a person is asked whether it was so; what would be dangerous if it was, is asked as that.
"""

from collections.abc import Iterator
from dataclasses import replace

from fieldnote.records import Finding, Point, digest
from fieldnote.trade.checks import diagnosis
from fieldnote.trade.checks.case import Case, named
from fieldnote.trade.vocabulary import vocabulary


def doubted(case: Case) -> Iterator[Point]:
    """A point for each finding that was not trusted: a question where it could be dangerous, else something unlikely. What is
    filed already in all its fields but the status, and not as absent, is not asked again."""
    filed = {_what(one) for one in case.said.findings if one.status != "absent"}
    told = tuple(one for one in case.said.doubted if _what(one) not in filed)
    as_if = replace(case, said=replace(case.said, findings=told, readings=(), doubted=()))
    asked: set[int] = set()
    for point in diagnosis.questions(as_if, ()):
        asked.update(point.findings)
        for index in point.findings:
            text = f"{_said(told[index])}: {point.text}"
            yield replace(point, findings=(), id=f"doubted/{point.id}/{_id(told[index])}", text=text)
    for index, finding in enumerate(told):
        if index not in asked:
            yield Point(
                "unlikely",
                f"doubted/{_id(finding)}",
                f"{_said(finding)}; add it if it was so",
                evidence=finding.evidence,
            )


def _what(one: Finding) -> tuple[str | None, ...]:
    return one.appliance, one.unit, one.component, one.position, one.burner, one.condition


def _id(one: Finding) -> str:
    """The same for the same finding said in the same words, and for no other."""
    return digest([*_what(one), one.status, one.evidence.text])[:12]


def _said(one: Finding) -> str:
    known = vocabulary()
    condition = known.label(one.condition).lower() if one.condition else "no condition"
    work = "".join(f", {known.label(action.kind).lower()} {action.state}" for action in one.actions)
    said = " ".join(one.evidence.text.split())
    return f"perhaps said, not filed: {named(one)} {condition}, {one.status}{work} (\u201c{said}\u201d)"
