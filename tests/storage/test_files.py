"""What is made of a file is kept, and may be deleted at any time (own rule)."""

import shutil
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest

from server.domain.errors import NotFound
from server.storage.files import Files

PHOTO = b"a photograph"


class Maker:
    """Makes a thing of a file, and counts how often."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self, content: bytes) -> bytes:
        self.times += 1
        return b"small: " + content


def test_what_was_made_once_is_kept_until_somebody_deletes_it(tmp_path: Path) -> None:
    files, make = Files(tmp_path), Maker()
    digest = files.put(PHOTO)
    assert [files.made(digest, "small", make) for _ in range(3)] == [b"small: a photograph"] * 3
    assert make.times == 1
    shutil.rmtree(tmp_path / "made")
    assert files.made(digest, "small", make) == b"small: a photograph"
    assert make.times == 2
    assert files.is_whole(digest)


def test_another_recipe_is_another_thing(tmp_path: Path) -> None:
    files = Files(tmp_path)
    digest = files.put(PHOTO)
    files.made(digest, "small", Maker())
    assert files.made(digest, "smaller", bytes.upper) == PHOTO.upper()


def test_nothing_made_is_given_out_without_the_file_itself(tmp_path: Path) -> None:
    files = Files(tmp_path)
    digest = files.put(PHOTO)
    files.made(digest, "small", Maker())
    files.path(digest).unlink()
    with pytest.raises(NotFound):
        files.made(digest, "small", Maker())
    with pytest.raises(NotFound):
        files.made("../" * 20 + "etcd", "small", Maker())


def test_where_it_cannot_be_kept_it_is_made_all_the_same(tmp_path: Path) -> None:
    files = Files(tmp_path)
    digest = files.put(PHOTO)
    (tmp_path / "made").write_text("a file where the folder should be")
    assert files.made(digest, "small", Maker()) == b"small: a photograph"


def test_made_by_many_at_once_it_is_whole_and_leaves_no_half_file(tmp_path: Path) -> None:
    files, together = Files(tmp_path), Barrier(8)
    digest = files.put(PHOTO)

    def slowly(content: bytes) -> bytes:
        together.wait(10)
        return content * 1000

    with ThreadPoolExecutor(8) as pool:
        every = set(pool.map(lambda _: files.made(digest, "large", slowly), range(8)))
    assert every == {PHOTO * 1000}
    assert [path.name for path in (tmp_path / "made").rglob("*") if path.is_file()] == [digest]
