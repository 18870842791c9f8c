"""A photograph of a run: read, made small, and written anew as JPEG, so that nothing else of the file is kept.

Writing it anew leaves out place, time and camera that a telephone puts into a picture. Limits: JPEG, PNG and WebP of up
to LARGEST_BYTES and MOST_PIXELS; what comes out has LONGEST_PX on its longer side and at most KEPT_BYTES. Worked value:
a picture of 4000 x 3000 is kept as 1280 x 960.
"""

import base64
import binascii
import io

from PIL import Image, ImageOps, UnidentifiedImageError

from thermo.records.provenance import InputError

FORMATS = ("JPEG", "PNG", "WEBP")
LARGEST_BYTES = 12_000_000  # a telephone's own pictures are 2 to 8 MB
MOST_PIXELS = 60_000_000
LONGEST_PX = 1280
KEPT_BYTES = 600_000
QUALITIES = (82, 65, 45, 25)


def small_photo(raw: bytes) -> bytes:
    """A JPEG of at most KEPT_BYTES made of a picture's file; InputError for what is no picture or too large."""
    if len(raw) > LARGEST_BYTES:
        raise InputError(f"photograph: {len(raw) / 1e6:.1f} MB; allowed are up to {LARGEST_BYTES / 1e6:.0f}")
    upright = _upright(raw)
    upright.thumbnail((LONGEST_PX, LONGEST_PX))
    return next(jpeg for jpeg in (_jpeg(upright, quality) for quality in QUALITIES) if len(jpeg) <= KEPT_BYTES)


def _upright(raw: bytes) -> Image.Image:
    """The picture as it was meant to be seen; its size is looked at before it is unpacked."""
    try:
        with Image.open(io.BytesIO(raw), formats=FORMATS) as found:
            if found.width * found.height <= MOST_PIXELS:
                return ImageOps.exif_transpose(found).convert("RGB")
            size = f"{found.width} x {found.height}"
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        raise InputError(f"photograph: allowed is a picture as {', '.join(FORMATS)}") from None
    raise InputError(f"photograph: {size} pixels; allowed are {MOST_PIXELS // 1_000_000} million")


def _jpeg(picture: Image.Image, quality: int) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality)
    return out.getvalue()


def photo_text(jpeg: bytes) -> str:
    """A kept photograph as base64, for a JSON file."""
    return base64.b64encode(jpeg).decode("ascii")


def photo_of_text(text: object, where: str) -> bytes:
    """The photograph in a JSON file, checked and written anew; InputError where it is none."""
    if not isinstance(text, str):
        raise InputError(f"{where}: allowed is base64")
    try:
        raw = base64.b64decode(text, validate=True)
    except binascii.Error:
        raise InputError(f"{where}: no base64") from None
    try:
        return raw if _kept(raw) else small_photo(raw)
    except InputError as error:
        raise InputError(f"{where}: {error}") from None


def _kept(raw: bytes) -> bool:
    """Whether this is a picture as `small_photo` makes them: then it is left as it is, bit for bit."""
    if len(raw) > KEPT_BYTES:
        return False
    try:
        with Image.open(io.BytesIO(raw), formats=("JPEG",)) as found:
            found.load()
            return max(found.size) <= LONGEST_PX and not found.getexif()
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return False
