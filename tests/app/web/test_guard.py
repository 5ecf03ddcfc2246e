"""Nobody in: Host, Origin and token, limits, headers, and the code of the local network."""

from pathlib import Path

import pytest
from tests.app.web.desk import HOST, ORIGIN, Page, job_in, page_on

from pitchline.app.web.guard import MOST_SENT, TRIES_A_MINUTE, Keys

EDIT = {"op": "operation-1", "seen": 0, "changes": [{"path": ["job", "title"], "put": "x"}]}
TABLET = "192.0.2.7"  # RFC 5737: an address for documentation


@pytest.fixture
def page(tmp_path: Path) -> Page:
    return page_on(job_in(tmp_path), tmp_path)


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "localhost:8640.evil.example", "", "127.0.0.1:8641"]
)
def test_another_name_of_the_host_is_refused(page: Page, host: str) -> None:
    assert page.client.get("/stair", headers={"host": host}).status_code == 400


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": f"https://{HOST}"},
        {"x_pitchline_token": "guess"},
        {"x_pitchline_token": ""},
    ],
)
@pytest.mark.parametrize("path", ["/edit", "/undo", "/errand", "/start/new", "/photos", "/try"])
def test_a_write_from_elsewhere_or_without_the_token_is_refused(
    page: Page, tmp_path: Path, path: str, headers: dict[str, str]
) -> None:
    before = sorted(tmp_path.iterdir())
    assert page.post(path, EDIT, **headers).status_code == 403
    assert sorted(tmp_path.iterdir()) == before


def test_a_form_of_another_site_is_refused_without_an_origin(page: Page) -> None:
    token = page.desk.keys.token
    headers = {"sec-fetch-site": "cross-site", "x-pitchline-token": token}
    assert page.client.post("/edit", json=EDIT, headers=headers).status_code == 403


def test_the_token_of_an_earlier_start_is_refused_and_the_new_one_is_told(page: Page) -> None:
    assert page.post("/edit", EDIT, x_pitchline_token=Keys(frozenset()).token).status_code == 403
    assert page.client.get("/token").json() == {"token": page.desk.keys.token}


def test_too_much_is_refused_announced_or_not(page: Page) -> None:
    token = page.desk.keys.token
    headers = {"origin": ORIGIN, "x-pitchline-token": token}
    assert page.client.post("/edit", content=b"x" * (MOST_SENT + 1), headers=headers).status_code == 413

    def pieces() -> object:
        for _ in range(12):
            yield b"x" * 100_000

    assert page.client.post("/edit", content=pieces(), headers=headers).status_code == 413
    assert (
        page.client.post("/edit", content=b"x", headers={**headers, "content-length": "-1"}).status_code
        == 413
    )


@pytest.mark.parametrize("path", ["/stair", "/state?view=stair", "/static/queue.js", "/nowhere", "/start"])
def test_every_answer_keeps_to_itself(page: Page, path: str) -> None:
    headers = page.client.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "no-referrer"
    assert "access-control-allow-origin" not in headers


@pytest.mark.parametrize(
    "key", ["stair", "design", "compare", "check", "strength", "cutting", "making", "pack"]
)
def test_no_page_names_another_host_or_carries_a_script_of_its_own(page: Page, key: str) -> None:
    page.client.get("/state?view=stair")
    html = page.client.get(f"/{key}").text.replace("http://www.w3.org/2000/svg", "")
    assert "http://" not in html
    assert "https://" not in html
    assert " onclick" not in html
    assert "<style" not in html
    assert html.count("<script") == html.count('<script type="module" src="/static/')


@pytest.mark.parametrize(
    "path",
    [
        "/static/..%2fguard.py",
        "/static/../guard.py",
        "/pack/..%2fstair.toml",
        "/pack/%2fetc%2fpasswd",
        "/photos/..%2fstair.toml",
        "/font/..%2f..%2fREADME",
    ],
)
def test_no_path_leads_out(page: Page, path: str) -> None:
    assert page.client.get(path).status_code in (400, 404)


@pytest.fixture
def tablet(tmp_path: Path) -> Page:
    return page_on(job_in(tmp_path), tmp_path, code="123456", client=TABLET)


def test_a_tablet_is_asked_for_the_code(tablet: Page) -> None:
    answer = tablet.client.get("/stair")
    assert answer.status_code == 401
    assert 'name="code"' in answer.text
    assert tablet.desk.keys.token not in answer.text
    for path in ("/token", "/state?view=stair", "/drawing/main-stair.svg", "/pack.zip"):
        assert tablet.client.get(path).status_code == 401
    assert tablet.post("/edit", EDIT).status_code == 401


def test_the_code_lets_a_tablet_in(tablet: Page) -> None:
    wrong = tablet.client.post("/door", data={"code": "654321"}, headers={"origin": ORIGIN})
    assert wrong.status_code == 401
    right = tablet.client.post("/door", data={"code": "123 456"}, headers={"origin": ORIGIN})
    assert right.status_code == 303
    assert "HttpOnly" in right.headers["set-cookie"]
    assert tablet.client.get("/stair").status_code == 200
    assert tablet.edit({"path": ["job", "title"], "put": "x"}).status_code == 200


def test_the_code_is_not_asked_on_the_machine_itself(tmp_path: Path) -> None:
    page = page_on(job_in(tmp_path), tmp_path, code="123456")
    assert page.client.get("/stair").status_code == 200


def test_a_form_of_another_site_does_not_try_codes(tablet: Page) -> None:
    answer = tablet.client.post("/door", data={"code": "123456"}, headers={"origin": "http://evil.example"})
    assert answer.status_code == 403


def test_codes_cannot_be_tried_without_end(tablet: Page) -> None:
    codes = [
        tablet.client.post("/door", data={"code": f"{k:06d}"}, headers={"origin": ORIGIN}) for k in range(9)
    ]
    assert [answer.status_code for answer in codes] == [401] * TRIES_A_MINUTE + [429] * (9 - TRIES_A_MINUTE)


def test_tries_are_counted_by_the_minute() -> None:
    keys = Keys(frozenset(), "123456")
    assert all(keys.may_try(now=float(k)) for k in range(TRIES_A_MINUTE))
    assert not keys.may_try(now=10.0)
    assert keys.may_try(now=100.0)
