"""Where the browser sends a file to be measured: its bytes alone, which are kept nowhere.

A frame is larger than anything else that a screen sends, so it does not go through a callback:
this address alone takes more, and all others stay as small as they were.
"""

import json
from threading import Lock
from typing import Any, Final

from flask import Flask, Response, request
from plotly.utils import PlotlyJSONEncoder
from werkzeug.exceptions import RequestEntityTooLarge

from bandcheck.errors import OutOfRangeError, ProfileError
from dashboard.figures.look import Theme
from dashboard.pages.measure.answer_view import answer_of, refused_view
from dashboard.pages.measure.asked_measure import OWN_FIELDS, asked_measure
from dashboard.pages.measure.measured_file import LARGEST_FILE_BYTES, measured_file
from dashboard.pages.measure.places import SEND_TO
from dashboard.state import in_words, question_of

__all__ = ["add_address"]

_TYPE: Final = "application/octet-stream"
"""No page of another host can send it unasked."""

_LONGEST_NAME: Final = 120
_WAIT_S: Final = 20.0
_one_at_a_time = Lock()
"""Decoding takes memory: a process measures one picture at a time."""


def add_address(server: Flask) -> None:
    """Have a server measure what is sent to `SEND_TO`.

    Parameters
    ----------
    server
        What answers.
    """
    server.add_url_rule(SEND_TO, "measure-file", _measured, methods=["POST"])


def _measured() -> Response:
    """Answer to a file: components and numbers for assets/measure.js."""
    if request.mimetype != _TYPE:
        return Response("a file's bytes are wanted\n", status=415, mimetype="text/plain")
    request.max_content_length = LARGEST_FILE_BYTES
    name = request.args.get("name", "")[:_LONGEST_NAME] or "the file"
    asked = asked_measure(question_of(request.args.get("question")))
    if asked.errors:
        return _told({}, "something typed is wrong")
    try:
        content = request.get_data(cache=False)
    except RequestEntityTooLarge:
        return _told({}, f"{name}: larger than {LARGEST_FILE_BYTES >> 20} MB, the most that is"
                         " taken here; bandcheck measure takes more")
    if not _one_at_a_time.acquire(timeout=_WAIT_S):
        return _told({}, "other pictures are being measured; try again in a moment")
    try:
        found = measured_file(content, name=name, asked=asked)
    except ProfileError as error:
        return _told({}, in_words(f"{error.file}: {'; '.join(error.faults)}"))
    except OutOfRangeError as error:
        line = in_words(str(error))
        own = error.argument.lstrip("-").replace("-", "_")
        wrong = {own: in_words(str(error).removeprefix(f"{error.argument}: "))}
        return _told(wrong if own in OWN_FIELDS else {}, line)
    finally:
        _one_at_a_time.release()
    theme: Theme = "light" if request.args.get("theme") == "light" else "dark"
    return _json(answer_of(found, theme))


def _told(wrong: dict[str, str], line: str) -> Response:
    return _json({**refused_view(), "told": line, "wrong": wrong})


def _json(answer: dict[str, Any]) -> Response:
    text = json.dumps(answer, cls=PlotlyJSONEncoder)
    return Response(text, mimetype="application/json")
