"""Plans, by Python's rules for objects (Language Reference, chapter 3: Data model)."""

from __future__ import annotations

import copy
import json
import pickle
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from html import unescape
from html.parser import HTMLParser
from typing import Any

import pytest
import underlet as ul


class Tags(HTMLParser):
    """Collects the tags of a page, and fails on a tag that is closed but was not opened."""

    void = frozenset({"br", "col", "hr", "img", "input", "link", "meta", "path", "line", "rect", "circle"})

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.seen.append(tag)
        if tag not in self.void:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: object) -> None:
        self.seen.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def tags(html: str) -> list[str]:
    parser = Tags()
    parser.feed(html)
    parser.close()
    assert parser.open == []
    return parser.seen


def test_a_plan_shows_itself(plan: ul.Plan) -> None:
    assert repr(plan) == f"<underlet.Plan {plan.name!r}: {plan.summary}>"
    assert str(plan) == plan.to_text()
    for addition in plan.additions:
        assert addition["display"] in plan.to_text()
        assert addition["display"] in plan.to_html()
        assert addition["display"] in plan._repr_html_()


def test_a_notebook_gets_a_fragment_and_the_printer_a_page(plan: ul.Plan) -> None:
    fragment, page = tags(plan._repr_html_()), tags(plan.to_html())
    assert "table" in fragment
    assert not {"html", "head", "body", "script"} & set(fragment)
    assert "html" in page
    assert "script" not in page
    assert plan.to_html().lower().startswith("<!doctype html>")


def test_html_escapes_names(day: dict[str, Any]) -> None:
    day["name"] = "<script>alert('Q&A')</script>"
    plan = ul.plan(day)
    assert plan.name == day["name"]
    for html in (plan._repr_html_(), plan.to_html()):
        assert "script" not in tags(html)
        assert day["name"] in unescape(html)


def test_the_dictionary_is_the_document(plan: ul.Plan) -> None:
    document: dict[str, object] = dict(plan.to_dict())
    assert document == json.loads(plan.to_json())
    parts = {name for name, value in vars(ul.Plan).items() if isinstance(value, property)}
    assert parts == set(document) - {"underlet", "engine", "document", "id", "note"}
    for part in parts:
        assert getattr(plan, part) == document[part]


def test_a_plan_is_immutable(plan: ul.Plan) -> None:
    before = plan.to_json()
    plan.to_dict()["additions"].clear()
    plan.targets.clear()
    with pytest.raises(AttributeError, match="is immutable"):
        plan.name = "other"  # type: ignore[misc]
    with pytest.raises(AttributeError, match="is immutable"):
        plan.note = "new"  # type: ignore[attr-defined]
    with pytest.raises(AttributeError, match="is immutable"):
        del plan._rendered
    assert plan.to_json() == before


def test_equal_plans_are_equal_and_hash_alike(day: dict[str, Any]) -> None:
    plan, again = ul.plan(day), ul.plan(json.dumps(day))
    assert plan == again
    assert hash(plan) == hash(again)
    assert plan is not again
    day["name"] = "Another"
    assert plan != ul.plan(day)
    assert plan != plan.to_json()
    assert len({plan, again, ul.plan(day)}) == 2


@pytest.mark.parametrize("protocol", range(2, pickle.HIGHEST_PROTOCOL + 1))
def test_pickles_and_copies_are_whole(plan: ul.Plan, protocol: int) -> None:
    loaded = pickle.loads(pickle.dumps(plan, protocol))  # noqa: S301
    for other in (loaded, copy.copy(plan), copy.deepcopy(plan)):
        assert other == plan
        assert hash(other) == hash(plan)
        assert other.to_html() == plan.to_html()
        assert other.to_text() == plan.to_text()
        assert other._repr_html_() == plan._repr_html_()


def test_threads_plan_alike() -> None:
    days = list(ul.examples().values())
    alone = [ul.plan(day).to_json() for day in days]
    with ThreadPoolExecutor(8) as threads:
        together = threads.map(lambda i: ul.plan(days[i % len(days)]).to_json(), range(96))
    assert list(together) == alone * 32


def test_the_lock_is_free_while_planning() -> None:
    """With this switch interval, another thread runs only if planning itself releases the lock."""
    day = json.dumps(ul.examples()["pale-ale-10hl"])
    planner = threading.Thread(target=lambda: [ul.plan(day) for _ in range(200)])
    interval = sys.getswitchinterval()
    sys.setswitchinterval(60)
    try:
        planner.start()
        ticks = 0
        while planner.is_alive():
            ticks += 1
            time.sleep(0)
    finally:
        sys.setswitchinterval(interval)
    assert ticks > 10


@pytest.mark.parametrize("key", sorted(ul.examples()))
def test_a_saved_plan_prints_like_a_new_one(key: str) -> None:
    made = ul.plan(ul.examples()[key])
    assert ul.render_sheet(made.to_json()) == ul.render_sheet(made.to_dict()) == made.to_html()


def test_what_is_no_plan_is_not_printed() -> None:
    day = ul.examples()["pale-ale-10hl"]
    document: dict[str, Any] = dict(ul.plan(day).to_dict())
    document["targets"][1]["state"] = "fine"
    for given, code, path in (
        (day, "missing_key", "document"),
        (document, "unknown_name", "targets[1].state"),
        ("{", "json_syntax", ""),
    ):
        with pytest.raises(ul.InputError) as caught:
            ul.render_sheet(given)
        assert [(problem.code, problem.path) for problem in caught.value.problems] == [(code, path)]
