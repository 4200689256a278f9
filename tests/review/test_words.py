"""What stands on a card: whose line it is, what is told once, doubts that mean something, and a clip that nobody can hear."""

from dataclasses import replace

import pytest

from fieldnote.cli import present
from fieldnote.export import wording
from fieldnote.records import Point, Result, Why
from fieldnote.review.player import play
from fieldnote.review.queue import SURE
from fieldnote.review.words import doubts, pointed
from tests.sample_visit import sample_book, sample_view


@pytest.fixture
def view(tmp_path):
    """The sample visit."""
    return sample_view(sample_book(tmp_path / "book"))


def test_a_card_names_its_appliance(view):
    """A finding, a reading and a declared class are shown with the appliance they would be kept for."""
    titles = {line.kind: wording.titled(line.current) for line in view.lines if getattr(line.current, "appliance", "")}
    assert titles and all(title.startswith("Hob, ") for title in titles.values())
    assert {"finding", "declared"} <= titles.keys()


def test_what_is_to_be_told_is_told_once():
    """The words "tell the responsible person" stand once: as the kind of the point, and under their own heading not at all."""
    point = Point("tell", "tell", "tell the responsible person: Hob, Fan: Noisy", "")
    assert pointed(point) == ("tell the responsible person", "Hob, Fan: Noisy")
    assert pointed(Point("unsaid", "u", "the flue", "")) == ("unsaid", "the flue")
    assert [*present._point(point)] == ["  Hob, Fan: Noisy"]


@pytest.mark.parametrize(("condition", "status"), [("ok", "present"), ("passed", "present"), ("leaking", "absent")])
def test_nothing_done_is_no_doubt_about_what_is_in_order(view, condition, status):
    """Of a part in order, or a fault that is not there, it is not said that nothing was done about it; other doubts stay."""
    line = next(one for one in view.lines if one.kind == "finding")
    why = (Why("confidence", None, "no-action status-present place-carried", None),)
    fault = replace(
        line, proposed=replace(line.proposed, condition="cracked", status="present", why=why, confidence=0.8)
    )
    in_order = replace(
        line, proposed=replace(line.proposed, condition=condition, status=status, why=why, confidence=0.8)
    )
    assert len(doubts(fault)) == 3
    assert (
        doubts(replace(fault, proposed=replace(fault.proposed, confidence=SURE))) == []
    )  # no card says "sure" and "less sure"
    assert doubts(in_order) == ["the place was said earlier, not with it"]


def test_missing_inputs_are_named_for_people():
    """What would settle a result names the inputs in words, and the command that takes them; other advice stays as it is."""
    open_ = Result("tightness", {}, {}, "", None, "no-verdict", settle="needed: smell, appliances")
    assert wording.settle(open_) == "needed too: smell of gas; appliances connected (by hand: fieldnote calc tightness)"
    assert wording.settle(replace(open_, settle="measure again")) == "measure again"


@pytest.mark.parametrize(("said", "heard"), [("", True), ("No more combinations to try, audio open failed", False)])
def test_a_player_without_a_device_is_no_success(tmp_path, monkeypatch, said, heard):
    """A player that says that no device opened, and ends as if all were well, has played nothing."""
    player = tmp_path / "ffplay"
    player.write_text(f'#!/bin/sh\necho "{said}" >&2\n')
    player.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert play(b"", 0.0) is heard
