"""Drawn stand-ins for the photos a crew would take."""

from __future__ import annotations

import io

from PIL import Image, ImageDraw, ImageFont

_SIZE = (960, 720)
_CONCRETE, _DARK, _TAPE, _INK = (186, 182, 172), (92, 88, 80), (232, 205, 92), (28, 26, 22)


def picture(title: str, *, shade: int = 0) -> bytes:
    """A plain picture with a tape across it and a direction card naming what it shows, as JPEG."""
    image = Image.new("RGB", _SIZE, tuple(max(0, c - 6 * shade) for c in _CONCRETE))
    draw = ImageDraw.Draw(image)
    for x in range(60 + 7 * shade, _SIZE[0], 150):
        draw.rectangle((x, 0, x + 16, 470), fill=_DARK)
    for y in (150, 330):
        draw.rectangle((0, y + 5 * shade, _SIZE[0], y + 14 + 5 * shade), fill=_DARK)
    draw.rectangle((0, 500, _SIZE[0], 540), fill=_TAPE)
    for index, x in enumerate(range(0, _SIZE[0], 20)):
        draw.line((x, 500, x, 520 if index % 6 else 536), fill=_INK, width=2)
    draw.rectangle((40, 570, _SIZE[0] - 40, 690), fill=(246, 243, 235), outline=_INK, width=3)
    draw.text((60, 588), title, fill=_INK, font=ImageFont.load_default(size=34))
    draw.text((60, 640), "drawn for the demo, not a photo", fill=_DARK, font=ImageFont.load_default(size=24))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=80)
    return out.getvalue()
