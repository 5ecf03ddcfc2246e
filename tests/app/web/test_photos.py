"""Photos beside the job: pictures only, without what a telephone writes into them, by their own names alone."""

import io
import json
from pathlib import Path

import pytest
from PIL import Image
from PIL.ExifTags import GPS, IFD, Base
from tests.app.web.desk import Page, job_in, page_on

from pitchline.app.web import photos as module
from pitchline.app.web.guard import MOST_PHOTO
from pitchline.app.web.picture_bytes import cleaned, kind_of

FORMATS = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP"}


def picture(kind: str) -> bytes:
    """A small picture with a place, a time and a comment written into it."""
    image = Image.effect_noise((48, 36), 40).convert("RGB")
    exif = Image.Exif()
    exif[Base.Make] = "An invented telephone"
    exif[Base.DateTime] = "2025:03:14 10:00:00"
    exif.get_ifd(IFD.GPSInfo)[GPS.GPSLatitude] = (51.0, 28.0, 38.0)
    out = io.BytesIO()
    image.save(out, FORMATS[kind], exif=exif, quality=85)
    return out.getvalue()


@pytest.fixture
def page(tmp_path: Path) -> Page:
    return page_on(job_in(tmp_path), tmp_path)


@pytest.mark.parametrize("kind", FORMATS)
def test_place_and_telephone_are_taken_out_and_the_picture_stays(kind: str) -> None:
    data = picture(kind)
    assert kind_of(data) == kind
    clean = cleaned(data, kind)
    assert dict(Image.open(io.BytesIO(data)).getexif())
    after = Image.open(io.BytesIO(clean))
    assert not dict(after.getexif())
    assert b"An invented telephone" in data
    assert b"An invented telephone" not in clean
    assert after.convert("RGB").tobytes() == Image.open(io.BytesIO(data)).convert("RGB").tobytes()


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize("part", [3, 12, 20, 100, 400])
def test_a_picture_cut_short_does_no_harm(kind: str, part: int) -> None:
    assert isinstance(cleaned(picture(kind)[:part], kind), bytes)


@pytest.mark.parametrize("kind", FORMATS)
def test_a_photo_is_kept_shown_and_taken_away(page: Page, kind: str) -> None:
    answer = page.send("/photos?of=main&note=the+top+newel", picture(kind))
    assert answer.status_code == 200
    name = answer.json()["file"]
    assert name.endswith(f".{kind}")
    got = page.client.get(f"/photos/{name}")
    assert got.headers["content-type"].startswith("image/")
    assert Image.open(io.BytesIO(got.content)).size == (48, 36)
    assert "the top newel" in page.client.get("/state?view=stair").json()["pieces"]["photos"]
    assert page.post(f"/photos/{name}/remove").status_code == 200
    assert page.client.get(f"/photos/{name}").status_code == 404
    assert [path.name for path in page.desk.photo_folder.iterdir()] == ["photos.json"]


@pytest.mark.parametrize(
    "data", [b"", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a", b"%PDF-1.7", b"MZ"]
)
def test_what_is_no_picture_is_refused(page: Page, data: bytes) -> None:
    answer = page.send("/photos?of=main", data)
    assert answer.status_code == 415
    assert "no JPEG" in answer.json()["sentences"][0]
    assert not page.desk.photo_folder.exists()


def test_a_photo_larger_than_the_limit_is_refused(page: Page) -> None:
    assert page.send("/photos?of=main", b"\xff\xd8\xff" + bytes(MOST_PHOTO)).status_code == 413


def test_there_is_a_most_of_photos(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_PHOTOS", 1)
    assert page.send("/photos?of=main", picture("png")).status_code == 200
    assert page.send("/photos?of=main", picture("png")).status_code == 422


@pytest.mark.parametrize("name", ["photos.json", "../stair.toml", "aaaaaaaaaaaa.png"])
def test_only_photos_are_shown_and_taken_away(page: Page, tmp_path: Path, name: str) -> None:
    page.send("/photos?of=main", picture("png"))
    assert page.client.get(f"/photos/{name}").status_code == 404
    assert page.post(f"/photos/{name}/remove").status_code in (403, 404)
    assert (tmp_path / "stair.toml").exists()


def test_a_list_that_names_files_elsewhere_is_not_followed(page: Page, tmp_path: Path) -> None:
    folder = page.desk.photo_folder
    folder.mkdir()
    listed = [{"file": "../stair.toml", "of": "", "note": ""}, {"file": 3}, "x"]
    (folder / "photos.json").write_text(json.dumps(listed), encoding="utf-8")
    assert module.photos(page.desk) == ()
    assert page.client.get("/state?view=stair").status_code == 200
