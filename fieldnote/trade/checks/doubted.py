"""What was perhaps said. In: a `Case` with findings that the reader did not trust. Out: points, so that nothing is lost.

Such a finding is filed nowhere, but a person is asked whether it was so; what would be dangerous if it was, is asked as that.
"""

from collections.abc import Iterator
from dataclasses import replace

from fieldnote.records import Point
from fieldnote.trade.checks import diagnosis
from fieldnote.trade.checks.case import Case, named


def doubted(case: Case) -> Iterator[Point]:
    """One point for each finding that was not trusted: a question where it could be dangerous, else something left unsaid.
    What is filed of the same part already is not asked again."""
    filed = {(finding.component, finding.condition) for finding in case.said.findings}
    told = tuple(one for one in case.said.doubted if (one.component, one.condition) not in filed)
    as_if = replace(case, said=replace(case.said, findings=told, readings=(), doubted=()))
    asked: set[int] = set()
    for point in diagnosis.questions(as_if, ()):
        asked.update(point.findings)
        yield replace(point, findings=(), id=f"doubted/{point.id}", text=f"perhaps said, not filed: {point.text}")
    for index, finding in enumerate(told):
        if index not in asked:
            name = "/".join(filter(None, (finding.position, finding.component, finding.condition)))
            text = f"perhaps said, not filed: {named(finding)}, {finding.status}; add it if it was so"
            yield Point("unsaid", f"doubted/{index}/{name}", text, evidence=finding.evidence)
