"""A photograph of a run: made small, nothing else of its file kept, kept with its run, carried to another machine."""

import io
import json
import sqlite3

import pytest
from PIL import Image

from thermo.notebook.exchange import read_entries, write_entries
from thermo.notebook.photo import KEPT_BYTES, LARGEST_BYTES, LONGEST_PX, photo_of_text, photo_text, small_photo
from thermo.notebook.store import SCHEMA, Notebook
from thermo.records.provenance import InputError

MELT = {"amounts": {"NaCl": 48.0, "CaCl2": 52.0}, "basis": "mol"}


def picture(size=(400, 300), kind="PNG", noise=False, **more):
    made = Image.effect_noise(size, 90) if noise else Image.linear_gradient("L").resize(size)
    out = io.BytesIO()
    made.convert("RGB").save(out, kind, **more)
    return out.getvalue()


def opened(jpeg):
    return Image.open(io.BytesIO(jpeg))


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_it_is_made_small_and_a_jpeg(kind):
    found = opened(small_photo(picture((4000, 3000), kind)))
    assert found.format == "JPEG"
    assert found.size == (LONGEST_PX, LONGEST_PX * 3 // 4)
    assert opened(small_photo(picture((40, 30), kind))).size == (40, 30)  # never made larger


def test_even_noise_is_kept_under_the_limit():
    assert len(small_photo(picture((1600, 1600), noise=True))) <= KEPT_BYTES


def test_place_and_camera_are_not_kept_but_the_right_way_up_is():
    exif = Image.Exif()
    exif[0x0110] = "camera of somebody"
    exif[0x0112] = 6  # lying on its side
    raw = picture((400, 300), "JPEG", exif=exif)
    assert b"camera of somebody" in raw
    kept = small_photo(raw)
    assert b"camera of somebody" not in kept
    assert opened(kept).size == (300, 400)


@pytest.mark.parametrize(
    "raw", [b"", b"no picture", b"<svg xmlns='http://www.w3.org/2000/svg'/>", picture()[:200], b"GIF89a" + b"\0" * 50]
)
def test_what_is_no_picture_is_refused_in_one_line(raw):
    with pytest.raises(InputError, match="allowed is a picture as JPEG, PNG, WEBP") as refusal:
        small_photo(raw)
    assert "\n" not in str(refusal.value)


def test_what_is_too_large_is_refused():
    with pytest.raises(InputError, match="allowed are up to 12"):
        small_photo(b"x" * (LARGEST_BYTES + 1))
    with pytest.raises(InputError, match="allowed are 60 million"):
        small_photo(picture((9000, 7000)))


@pytest.fixture
def book(tmp_path):
    book = Notebook(tmp_path / "notebook.sqlite3")
    book.add("run 1", MELT, "run")
    return book


def test_it_is_kept_with_its_run_one_for_each(book):
    (run,) = book.entries()
    assert (book.photo(run.id), run.photo_bytes) == (None, 0)
    first, second = small_photo(picture()), small_photo(picture((200, 100)))
    book.set_photo(run.id, first)
    book.set_photo(run.id, second)
    assert book.photo(run.id) == second
    (found,) = book.entries()
    assert (found.photo, found.photo_bytes) == (None, len(second))  # not read where it is not asked for
    book.set_photo(run.id, None)
    assert book.photo(run.id) is None
    with pytest.raises(InputError, match="no entry 99"):
        book.set_photo(99, first)


def test_taken_out_and_put_back_it_is_still_there(book):
    jpeg = small_photo(picture())
    book.set_photo(1, jpeg)
    gone = book.remove(1)
    book.import_entries([gone])
    assert book.photo(book.entries()[0].id) == jpeg


def test_it_goes_to_another_machine(book, tmp_path):
    jpeg = small_photo(picture())
    book.set_photo(1, jpeg)
    text = write_entries(book.entries(photos=True))
    other = Notebook(tmp_path / "other.sqlite3")
    other.import_entries(read_entries(text))
    assert other.photo(1) == jpeg
    assert "photo" not in json.loads(write_entries(book.entries()))["entries"][0]


@pytest.mark.parametrize(("text", "words"), [(7, "base64"), ("###", "no base64"), (photo_text(b"x"), "a picture as")])
def test_a_photograph_in_a_file_is_checked(book, text, words):
    found = json.loads(write_entries(book.entries()))
    found["entries"][0]["photo"] = text
    with pytest.raises(InputError, match=f"entry 1, photo.*{words}"):
        read_entries(json.dumps(found))


def test_a_foreign_picture_in_a_file_is_written_anew():
    exif = Image.Exif()
    exif[0x0110] = "camera of somebody"
    assert b"camera of somebody" not in photo_of_text(photo_text(picture(kind="JPEG", exif=exif)), "here")


def test_a_notebook_of_the_schema_before_opens_and_takes_photographs(book):
    raw = sqlite3.connect(book.path)
    raw.execute("DROP TABLE photo")
    raw.execute("PRAGMA user_version=1")
    raw.commit()
    raw.close()
    assert [entry.name for entry in book.entries()] == ["run 1"]
    book.set_photo(1, small_photo(picture()))
    raw = sqlite3.connect(book.path)
    assert raw.execute("PRAGMA user_version").fetchone() == (SCHEMA,)
    raw.close()
