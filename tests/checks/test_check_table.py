from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import pytest
from checks.altered import INCH, moved, with_part, written
from sample_plan import KICK, bookcase

from planbook.checks.subject import Subject
from planbook.checks.table import CHECKS, run
from planbook.plan.model import Plan
from planbook.source.diagnostics import Diagnostic, Severity


def doubtful(*accepted: tuple[str, str]) -> Plan:
    """A plan with one finding to accept, `parts-outside`, and one that cannot be, `used-before-made`."""
    plan = moved(bookcase(), "bottom", y=-INCH)
    plan = with_part(plan, "kick board", made_in=KICK + 1)
    return replace(plan, accepted=accepted)


def by_slug(plan: Plan) -> dict[str, Diagnostic]:
    return {item.slug: item for item in run(Subject(plan))}


def test_slugs_are_names_of_faults_told_once():
    slugs = [slug for slug, _ in CHECKS]
    assert len(set(slugs)) == len(slugs)


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_sample_has_no_findings(edition: str):
    assert run(Subject(bookcase(edition))) == ()


@pytest.mark.parametrize("edition", ["imperial", "metric"])
def test_the_bookcase_as_written_has_no_findings(tmp_path: Path, edition: str):
    assert run(written(tmp_path, edition=edition)) == ()


def test_findings_are_sorted():
    found = run(Subject(doubtful()))
    assert list(found) == sorted(found, key=Diagnostic.key)
    assert [item.slug for item in found] == ["parts-outside", "used-before-made"]


def test_every_finding_says_where_its_rule_comes_from_and_what_mends_it():
    for item in run(Subject(doubtful())):
        assert item.rule
        assert item.help
        assert item.message == item.message.rstrip(".")
        assert not item.message[0].isupper()


def test_an_accepted_doubt_becomes_a_note_with_the_reason():
    item = by_slug(doubtful(("parts-outside", "the bottom is a step to stand on")))["parts-outside"]
    assert item.severity is Severity.NOTE
    assert item.message.endswith("(accepted: the bottom is a step to stand on)")


def test_a_stop_cannot_be_accepted():
    plain, accepted = by_slug(doubtful()), by_slug(doubtful(("used-before-made", "we are quick")))
    assert accepted["used-before-made"] == plain["used-before-made"]
    assert accepted["used-before-made"].severity is Severity.STOP


def test_an_unknown_word_to_accept_is_doubtful(tmp_path: Path):
    (item,) = run(written(tmp_path, ("bought: {wall", "accept: {parts-outsid: it may}\nbought: {wall")))
    assert (item.slug, item.severity) == ("unknown-accept", Severity.WARN)
    assert item.help is not None
    assert item.help.startswith("write `parts-outside`")
    assert item.span is not None
    assert item.span.line == 28


def test_a_finding_of_the_resolver_may_be_named_to_accept():
    assert "unknown-accept" not in by_slug(doubtful(("overall-differs", "it is measured over the strap")))


def test_the_checks_take_less_than_a_fiftieth_of_a_second():
    subject = Subject(bookcase())
    run(subject)
    took = []
    for _ in range(5):
        start = time.process_time()
        run(subject)
        took.append(time.process_time() - start)
    assert min(took) < 0.020
