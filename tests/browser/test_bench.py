"""The phone's own Python works the sums out as printed, and goes on doing so when the server is gone."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from tests.published.asking import ROWS, check, key_of, told_of
from tests.support.hands import sign_in
from tests.support.phone_bench import need_built

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.support.server import DemoServer

pytestmark = [pytest.mark.browser, pytest.mark.long]

# Starts the worker as the app does, puts the questions to it, and gives back how its start went and the answers.
ASK = """async (questions) => {
  const worker = new Worker("/phone/worker.js", { type: "module" });
  const heard = new Map();
  try {
    return await new Promise((resolve, reject) => {
      worker.onerror = ({ message }) => reject(new Error(message || "worker.js"));
      worker.onmessage = ({ data }) => {
        heard.set("state" in data ? "start" : data.id, data);
        if (heard.size > questions.length)
          resolve({ start: heard.get("start"), answers: questions.map((_, id) => heard.get(id)) });
      };
      questions.forEach((text, id) => worker.postMessage({ id, text }));
    });
  } finally {
    worker.terminate();
  }
}"""
HOLD = """async () => {
  await navigator.serviceWorker.register("/phone/sw.js", { scope: "/phone/" });
  await navigator.serviceWorker.ready;
  await new Promise((resolve) => {
    if (navigator.serviceWorker.controller) resolve();
    else navigator.serviceWorker.addEventListener("controllerchange", resolve);
  });
}"""


def ask(page: Page, *questions: dict[str, Any]) -> list[dict[str, Any]]:
    told = page.evaluate(ASK, [json.dumps(question) for question in questions])
    assert told["start"]["state"] == "ready", told["start"]
    return [json.loads(answer["text"]) for answer in told["answers"]]


def test_a_phone_works_out_what_is_printed_with_the_server_and_without(phone: Page, demo_server: DemoServer) -> None:
    need_built()
    sign_in(phone, demo_server.name, demo_server.password)
    phone.goto("/phone/")
    published = [{"do": "sum", "key": key_of(row), "told": told_of(row)} for row in ROWS]
    answers = ask(phone, *published)
    for row, answer in zip(ROWS, answers, strict=True):
        check(row, answer["ok"]["fields"][row.asked.split(".")[1]]["value"])

    phone.evaluate(HOLD)
    demo_server.server.kill()
    phone.reload()
    assert ask(phone, published[0]) == answers[:1]
