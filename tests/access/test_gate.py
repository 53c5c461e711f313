"""The gate: other names and origins, tokens, a new session at each sign-in, headers, and faults in plain words."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from dash import Dash

from keelmark.contracts.errors import SettingError
from keelmark.service import Squad
from keelmark_dash import create_app
from keelmark_dash.serve import bind
from tests.access.conftest import PASSWORDS, sign_in, token_in
from tests.access.questions import ask, outputs_of, question
from tests.dashboards.made_up import MadeUpSquad

SignedIn = Callable[[str], Any]


# Where requests come from


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8765", "10.0.0.7", "localhost.evil.example"])
def test_without_accounts_only_this_machine_s_own_names_are_answered(host: str) -> None:
    client = create_app(MadeUpSquad()).server.test_client()
    assert client.get("/", headers={"Host": host}).status_code == 421
    for own in ("localhost:8765", "127.0.0.1:8765", "[::1]:8765"):
        assert client.get("/health", headers={"Host": own}).status_code == 200


@pytest.mark.parametrize("headers", [{"Origin": "http://evil.example"}, {"Origin": "null"},
                                     {"Origin": "http://localhost:1"}, {"Sec-Fetch-Site": "cross-site"},
                                     {"Sec-Fetch-Site": "same-site"}])  # fmt: skip
def test_another_site_changes_nothing(headers: dict[str, str]) -> None:
    client = create_app(MadeUpSquad()).server.test_client()
    assert client.post("/_dash-update-component", json={}, headers=headers).status_code == 403


@pytest.mark.parametrize("path", ["/_dash-update-component", "/sign-out", "/account"])
def test_a_change_without_the_session_s_token_is_refused(app: Dash, path: str) -> None:
    client = app.server.test_client()
    sign_in(client, "Carys", PASSWORDS["Carys"])
    asked = question(app, outputs_of(app)["pages.methods:_rows"])
    for headers in ({}, {"X-CSRFToken": "made-up"}):
        answer = client.post(path, json=asked, headers=headers)
        assert answer.status_code == 403
        assert "open for too long" in answer.get_data(as_text=True)
    assert ask(client, asked).status_code in (200, 204), "with the token it is answered"


def test_a_token_of_another_session_is_refused(app: Dash, signed_in: SignedIn) -> None:
    other = signed_in("Piran")
    other.get("/methods")
    client = app.server.test_client()
    sign_in(client, "Carys", PASSWORDS["Carys"])
    headers = {"X-CSRFToken": other.get_cookie("_csrf_token").value}
    asked = question(app, outputs_of(app)["pages.methods:_rows"])
    assert client.post("/_dash-update-component", json=asked, headers=headers).status_code == 403


def test_behind_a_proxy_every_cookie_has_the_prefix_of_its_host(crew: Squad) -> None:
    """With the prefix __Host- a browser takes a cookie from this host only, for the whole of it, and by TLS."""
    outside = "https:" + "//squad.example"
    behind = create_app(crew, address=outside)
    client = behind.server.test_client()
    said = {"name": "Piran", "password": PASSWORDS["Piran"],
            "csrf_token": token_in(client.get("/sign-in", base_url=outside))}  # fmt: skip
    assert client.post("/sign-in", data=said, base_url=outside, headers={"Referer": outside}).status_code == 303
    answer = client.get("/methods", base_url=outside)
    assert '"csrf_token_name":"__Host-keelmark-token"' in answer.get_data(as_text=True)
    again = client.get("/sign-in", base_url=outside)
    cookies = [one for got in (answer, again) for one in got.headers.getlist("Set-Cookie")]
    assert cookies
    for cookie in cookies:
        assert cookie.startswith("__Host-"), cookie
        assert "Secure" in cookie
        assert "Path=/" in cookie
        assert "Domain" not in cookie


# Signing in


def test_signing_in_without_a_token_is_refused(stranger: Any) -> None:
    said = {"name": "Carys", "password": PASSWORDS["Carys"]}
    assert stranger.post("/sign-in", data=said).status_code == 403


def test_what_is_wrong_is_not_told(stranger: Any) -> None:
    answers = [
        sign_in(stranger, "Carys", "wrong"),
        sign_in(stranger, "Nobody here", "wrong"),
        sign_in(stranger, "", ""),
    ]
    texts = [re.sub(r'value="[^"]*"', "", answer.get_data(as_text=True)) for answer in answers]
    assert {answer.status_code for answer in answers} == {401}
    assert len(set(texts)) == 1
    assert "The name or the password is not right" in texts[0]


def test_each_sign_in_begins_another_session_and_ends_the_one_before(app: Dash) -> None:
    client = app.server.test_client()
    client.get("/sign-in")
    planted = client.get_cookie("keelmark").value
    sign_in(client, "Carys", PASSWORDS["Carys"])
    first = client.get_cookie("keelmark").value
    assert first != planted
    client.set_cookie("keelmark", planted)
    assert client.get("/").status_code == 302, "the cookie that was planted opens nothing"
    client.set_cookie("keelmark", first)
    assert client.get("/").status_code == 200
    client.post("/sign-out", data={"csrf_token": token_in(client.get("/account"))})
    client.set_cookie("keelmark", first)
    assert client.get("/").status_code == 302, "a cookie kept from before signing out opens nothing"


@pytest.mark.parametrize(
    ("target", "leads"),
    [("/log?show=1", "/log?show=1"), ("//evil.example/", "/"), ("http:" + "//evil.example", "/"), ("/\\evil", "/"),
     ("/_dash-layout", "/"), ("log", "/")],
)  # fmt: skip
def test_signing_in_leads_to_these_pages_only(app: Dash, target: str, leads: str) -> None:
    answer = sign_in(app.server.test_client(), "Carys", PASSWORDS["Carys"], data={"next": target})
    assert answer.headers["Location"] == leads


def test_each_comes_in_by_their_own_page(app: Dash) -> None:
    for name, home in (("Piran", "/"), ("Tove", "/athlete")):
        assert sign_in(app.server.test_client(), name, PASSWORDS[name]).headers["Location"] == home


def test_cookies_are_out_of_reach_of_scripts_and_other_sites(app: Dash, crew: Squad) -> None:
    cookies = sign_in(app.server.test_client(), "Carys", PASSWORDS["Carys"]).headers.getlist("Set-Cookie")
    session = next(cookie for cookie in cookies if cookie.startswith("keelmark="))
    assert "HttpOnly" in session
    assert "SameSite=Lax" in session
    assert "Path=/" in session
    behind = create_app(crew, address="https:" + "//squad.example").server.test_client()
    answer = behind.get("/sign-in", base_url="https:" + "//squad.example")
    session = next(cookie for cookie in answer.headers.getlist("Set-Cookie") if "keelmark" in cookie)
    assert session.startswith("__Host-keelmark=")
    assert "Secure" in session
    assert answer.headers["Strict-Transport-Security"] == "max-age=31536000; includeSubDomains"
    assert behind.get("/sign-in", base_url="https:" + "//other.example").status_code == 421


def test_a_guest_s_link_opens_after_a_button_and_not_twice_by_looking(app: Dash, crew: Squad) -> None:
    path = f"/with/{crew.accounts.invite('Dr Penrose', 'tove', ['load'], 3)}"
    client = app.server.test_client()
    looked = client.get(path)
    assert "For Dr Penrose" in looked.get_data(as_text=True)
    assert client.get("/athlete").status_code == 302, "looking at the link opens nothing"
    assert client.post(path, data={"csrf_token": token_in(looked)}).headers["Location"] == "/athlete"
    assert client.get("/athlete").status_code == 200
    assert app.server.test_client().get("/with/made-up").status_code == 404


def test_changing_the_password_on_the_account_page(app: Dash, crew: Squad) -> None:
    crew.accounts.add("Wenna", "coach", "lantern under the table")
    client = app.server.test_client()
    sign_in(client, "Wenna", "lantern under the table")

    def change(old: str, new: str, again: str) -> Any:
        token = token_in(client.get("/account"))
        return client.post("/account", data={"csrf_token": token, "old": old, "new": new, "again": again})

    assert "not typed the same way" in change("x", "one thing here", "another thing").get_data(as_text=True)
    assert change("wrong", "harbour of odd socks", "harbour of odd socks").status_code == 400
    assert change("lantern under the table", "short", "short").status_code == 400
    assert change("lantern under the table", "harbour of odd socks", "harbour of odd socks").status_code == 200
    assert sign_in(app.server.test_client(), "Wenna", "harbour of odd socks").status_code == 303
    crew.accounts.close("Wenna")
    assert client.get("/").status_code == 302, "a closed account is out at once"


# What answers carry


def test_every_answer_is_guarded(app: Dash, signed_in: SignedIn) -> None:
    for path in ("/", "/_dash-layout", "/assets/page.css", "/health", "/nowhere", "/account"):
        headers = signed_in("Carys").get(path).headers
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "same-origin"
        assert headers["X-Frame-Options"] == "DENY"
        policy = headers["Content-Security-Policy"]
        assert "frame-ancestors 'none'" in policy
        scripts = next(part for part in policy.split("; ") if part.startswith("script-src"))
        assert "unsafe" not in scripts
        assert "http" not in policy
    assert signed_in("Carys").get("/_dash-layout").headers["Cache-Control"] == "no-store"


def test_a_fault_is_told_by_a_number_and_not_by_how_the_program_is_built(
    app: Dash, signed_in: SignedIn, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fail(*_given: object) -> None:
        raise RuntimeError("secret inside")

    client = signed_in("Carys")
    monkeypatch.setitem(app.server.view_functions, "/_reload-hash", fail)
    answer = client.get("/_reload-hash")
    text = answer.get_data(as_text=True)
    number = answer.get_json(silent=True)
    assert answer.status_code == 500
    assert not any(word in text for word in ("secret inside", "Traceback", "RuntimeError", ".py"))
    found = re.search(r"number <strong>([0-9a-f]{8})</strong>", text)
    assert found is not None, number
    assert found.group(1) in caplog.text


def test_a_form_that_is_too_large_is_not_read(stranger: Any) -> None:
    token = token_in(stranger.get("/sign-in"))
    said = {"csrf_token": token, "name": "x" * 40_000, "password": "y"}
    assert stranger.post("/sign-in", data=said).status_code in (403, 413)


def test_health_says_nothing_about_anybody(stranger: Any) -> None:
    told = stranger.get("/health").get_json()
    assert set(told) == {"status", "version"}
    assert told["status"] == "ok"


# Who can reach it at all


def test_other_machines_are_answered_only_once_there_are_accounts(crew: Squad, tmp_path: Any) -> None:
    with Squad.open(f"sqlite:///{tmp_path / 'empty.db'}") as empty:
        for given in ({"host": "0.0.0.0"}, {"host": "::"}, {"behind": "https:" + "//squad.example"}):
            with pytest.raises(SettingError, match=r"no accounts.*make an owner first"):
                bind(empty, **given)
        server, address = bind(empty)
        assert address.startswith("http:" + "//127.0.0.1:")
        server.close()
    server, _ = bind(crew, host="0.0.0.0")
    server.close()
    with pytest.raises(SettingError, match="not the address of a proxy with TLS"):
        bind(crew, behind="http:" + "//squad.example")
