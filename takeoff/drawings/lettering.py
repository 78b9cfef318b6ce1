"""How wide lettering is, so that it can be placed without a browser.

Widths are of the grotesque faces named in the style (all drawn to the same widths), in thousandths of the height,
by class of character; a few per cent of air is added so that a slightly wider substitute still fits.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

_WIDTHS: Final[dict[str, int]] = {
    **dict.fromkeys("ijl'|", 222),
    **dict.fromkeys(" ,.:;!ft/\\I[]-", 278),
    **dict.fromkeys('r"()°·', 345),
    **dict.fromkeys("cksvxyzJ", 500),
    **dict.fromkeys("abdeghnopqu0123456789L#$?–", 556),
    **dict.fromkeys("FTZ+=<>×÷±½¼¾", 600),
    **dict.fromkeys("ABEKPSVXY&", 667),
    **dict.fromkeys("CDHNRUw", 722),
    **dict.fromkeys("GOQ", 778),
    **dict.fromkeys("mM", 833),
    **dict.fromkeys("W%@", 944),
}


def width_of(text: str, height: float, bold: bool = False) -> float:
    """Width of ``text`` at ``height``, in the unit of the height."""
    return _units(text) / 1000 * height * (1.09 if bold else 1.03)


@lru_cache(maxsize=8192)  # the same words are measured at every scale that is tried
def _units(text: str) -> int:
    return sum([_WIDTHS.get(ch, 600) for ch in text])


def wrap(text: str, height: float, room: float) -> tuple[str, ...]:
    """Break ``text`` between words into lines no wider than ``room``; a longer word stands alone. A newline breaks."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split():
            longer = f"{line} {word}".strip()
            if line and width_of(longer, height) > room:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return tuple(lines)
