"""The Dash app: its shell, its safety and its pages."""

from collections.abc import Mapping
from typing import Any, Final

from dash import ALL, ClientsideFunction, Dash, Input, Output, State, dcc, html
from dash.development.base_component import Component
from flask import Flask, Response
from flask_compress import Compress

from dashboard import ids
from dashboard.controls import form
from dashboard.controls.request_guard import guard
from dashboard.pages import PAGES, page_of
from dashboard.state import question_of, search_of

__all__ = ["create_app", "create_server"]

LARGEST_REQUEST_BYTES: Final = 1_000_000
_YEAR_S = 31_536_000

_POLICY = (
    "default-src 'self'; script-src 'self' {hashes}; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data: blob:; connect-src 'self'; font-src 'self'; object-src 'none'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_NAMED: dict[str, Any] = {"aria-label": "Pages"}
_HEADERS: Mapping[str, str] = {
    "X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}

def create_app() -> Dash:
    """App with all its pages, ready to be served.

    Returns
    -------
    Dash
        Its Flask server is `app.server`; it keeps nothing between two requests.
    """
    app = Dash(
        "dashboard", title="bandcheck", update_title="",
        suppress_callback_exceptions=True, add_log_handler=False, use_pages=False,
        include_assets_files=True, serve_locally=True, health_endpoint="healthz",
        meta_tags=[{"name": "viewport", "content": "width=device-width, initial-scale=1"}],
    )
    app.index_string = app.index_string.replace("<html>", '<html lang="en">')
    server: Flask = app.server
    server.config["MAX_CONTENT_LENGTH"] = LARGEST_REQUEST_BYTES
    server.config["SEND_FILE_MAX_AGE_DEFAULT"] = _YEAR_S  # an asset that changes gets a new address
    app.layout = _shell()
    form.register(app)
    _register_shell(app)
    for page in PAGES:
        page.register(app)
    _secure(app, server)
    guard(server, app.callback_map)
    Compress(server)
    server.test_client().get("/")  # a first request that meets others half-way can fail
    return app


def create_server() -> Flask:
    """Server for whoever runs several processes of it, each with an app of its own.

    A request may go to any of them: whatever an answer needs comes with its question. The address
    of a screen holds a whole question, with a profile of the user's own perhaps, so the line of
    a request may be long::

        gunicorn --workers 4 --limit-request-line 0 'dashboard.app:create_server()'

    Returns
    -------
    Flask
        As `bandcheck dashboard` serves it.
    """
    server: Flask = create_app().server
    return server


def _shell() -> Component:
    """What stands around every page."""
    return html.Div(
        [
            dcc.Location(id=ids.ADDRESS, refresh="callback-nav"),
            dcc.Store(id=ids.THEME, storage_type="local", data="dark"),
            html.A("Skip to the page", href="#page", className="skip"),
            html.Header(
                [
                    html.Span("bandcheck", className="brand"),
                    html.Nav(id=ids.NAVIGATION, **_NAMED),
                    html.Button("Light", id=ids.THEME_SWITCH, className="theme-switch"),
                ],
                className="masthead",
            ),
            html.Main(id="page", children=html.Div(id=ids.CONTENT), tabIndex="-1"),
        ],
        id=ids.SHEET, className="sheet",
    )


def _page(pathname: str | None, search: str | None) -> tuple[list[Any], list[Any]]:
    """Page of an address, and the links to all of them."""
    question = question_of(search)
    page = page_of(pathname)
    links = [
        dcc.Link(
            each.title, href=f"{each.path}{search_of(question)}", id=ids.link(each.path),
            className="current" if each is page else "",
        )
        for each in PAGES
    ]
    stores = [
        dcc.Store(id=ids.QUESTION, data=question),
        dcc.Store(id=ids.SEARCH, data=search_of(question)),
    ]
    return [*stores, html.Div(page.layout(question), className=f"page page-{page.name}")], links


def _register_shell(app: Dash) -> None:
    app.callback(
        [Output(ids.CONTENT, "children"), Output(ids.NAVIGATION, "children")],
        [Input(ids.ADDRESS, "pathname"), Input(ids.ADDRESS, "search")],
    )(_page)
    app.clientside_callback(  # the functions stand in assets/screen.js
        ClientsideFunction("screen", "keepAddress"),
        Output({"page": ALL}, "href"), Input(ids.SEARCH, "data"), State({"page": ALL}, "id"),
    )
    app.clientside_callback(
        ClientsideFunction("screen", "changeTheme"),
        Output(ids.THEME, "data"), Input(ids.THEME_SWITCH, "n_clicks"), State(ids.THEME, "data"),
        prevent_initial_call=True,
    )
    app.clientside_callback(
        ClientsideFunction("screen", "showTheme"),
        Output(ids.THEME_SWITCH, "children"), Input(ids.THEME, "data"),
    )


def _secure(app: Dash, server: Flask) -> None:
    """Headers that let a page ask nobody but this server and run nothing but its own scripts."""
    policy = _POLICY.format(hashes=" ".join(app.csp_hashes()))

    def with_headers(response: Response) -> Response:
        response.headers["Content-Security-Policy"] = policy
        for name, value in _HEADERS.items():
            response.headers[name] = value
        return response

    server.after_request(with_headers)
