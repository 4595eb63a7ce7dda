"""Photographs and papers coming in: judged by their bytes, never by their names.

A photograph is decoded and written anew as JPEG, upright, without any of the
data that phones hide in it (place, time, camera). A paper is kept as it is
and only ever served as a download.
"""

import io
import warnings
from dataclasses import dataclass

import pillow_heif
from PIL import Image, ImageOps, UnidentifiedImageError

from server.domain.errors import Refused
from server.settings import MAX_PAPER, MAX_PHOTO
from server.storage.files import Files

pillow_heif.register_heif_opener()

LONGEST_SIDE = 2400
SMALL_SIDE = 480
MOST_PIXELS = 80_000_000
FORMATS = ("JPEG", "PNG", "WEBP", "HEIF", "AVIF", "TIFF", "GIF", "BMP")

PAPER_TYPES = {
    b"%PDF-": "application/pdf",
    b"PK\x03\x04": "application/zip",
    b"\x89PNG": "image/png",
    b"\xff\xd8\xff": "image/jpeg",
    b"II*\x00": "image/tiff",
    b"MM\x00*": "image/tiff",
}


class NotAPicture(Refused):
    """The file is no photograph that can be read here."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A cleaned photograph: JPEG bytes and its size in pixels."""

    content: bytes
    width: int
    height: int


def clean_photo(content: bytes, name: str = "") -> Picture:
    """Decode, turn upright, shrink to 2400 px and write anew without hidden data.

    Raises NotAPicture with a sentence for the field.
    """
    said = f"“{name}”" if name else "This file"
    if not content:
        raise NotAPicture(f"{said} is empty.")
    if len(content) > MAX_PHOTO:
        raise NotAPicture(f"{said} has {len(content) // 1024 // 1024} MB; a photograph may have 25 MB.")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(content), formats=FORMATS) as opened:
                _check_pixels(opened, said)
                opened.load()
                picture = _on_white(ImageOps.exif_transpose(opened))
    except NotAPicture:
        raise
    except (UnidentifiedImageError, Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise NotAPicture(f"{said} is no photograph that can be read here (JPEG, PNG, WebP, HEIC).") from error
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError) as error:
        raise NotAPicture(f"{said} is damaged: it could not be read to its end.") from error
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    return Picture(_as_jpeg(picture, 88), picture.width, picture.height)


def _check_pixels(image: Image.Image, said: str) -> None:
    if image.width * image.height > MOST_PIXELS:
        raise NotAPicture(f"{said} has more than 80 million points; take it smaller.")


def _on_white(image: Image.Image) -> Image.Image:
    if image.mode in {"RGBA", "LA", "PA"} or "transparency" in image.info:
        layered = image.convert("RGBA")
        paper = Image.new("RGB", layered.size, "white")
        paper.paste(layered, mask=layered.getchannel("A"))
        return paper
    plain = image.convert("RGB")
    plain.info.clear()
    return plain


def _as_jpeg(image: Image.Image, quality: int) -> bytes:
    image.info.clear()
    written = io.BytesIO()
    image.save(written, "JPEG", quality=quality, optimize=True)
    return written.getvalue()


def small_picture(content: bytes, side: int = SMALL_SIDE) -> bytes:
    """A small JPEG of a cleaned photograph, for lists; `side` is its longest side in pixels."""
    with Image.open(io.BytesIO(content), formats=("JPEG",)) as opened:
        opened.draft("RGB", (side, side))
        small = opened.convert("RGB")
    small.thumbnail((side, side))
    return _as_jpeg(small, 80)


def kept_small(files: Files, digest: str) -> bytes:
    """The small JPEG of a kept photograph, made when it is first asked for. Raises NotFound."""
    return files.made(digest, f"small-{SMALL_SIDE}", small_picture)


def paper_type(content: bytes, name: str = "") -> str:
    """The media type of a paper, by its first bytes; plain text where it is text.

    Raises NotAPicture where it is empty, too large, or nothing known here.
    """
    said = f"“{name}”" if name else "This file"
    if not content:
        raise NotAPicture(f"{said} is empty.")
    if len(content) > MAX_PAPER:
        raise NotAPicture(f"{said} has {len(content) // 1024 // 1024} MB; a paper may have 25 MB.")
    for start, media_type in PAPER_TYPES.items():
        if content.startswith(start):
            return media_type
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise NotAPicture(f"{said} is no PDF, picture, zip or plain text.") from None
    if text.lstrip().startswith("<"):
        raise NotAPicture(f"{said} is a page or a drawing that could run in a browser; print it to a PDF first.")
    return "text/plain; charset=utf-8"
