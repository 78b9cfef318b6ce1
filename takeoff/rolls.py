"""Sheets that come on rolls: which pieces are cut from which roll, and how many rolls that takes.

Wide pieces are cut first. What is left at a roll's end serves the narrower ones, several side by side where the roll
is wide enough. A joined run may be made up of what is at hand, with a lap at every join; a strip is cut in one piece.
The order is first fit, longest first. Lengths and widths in inches.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from takeoff.cutting import first_fit
from takeoff.units import Length

#: A joined run is not pieced together out of anything shorter [in]. Common practice, no source.
LEAST_PIECE_IN = 36.0
#: Play of lengths that come from geometry [in].
DUST_IN = 1e-6


@dataclass(frozen=True, slots=True)
class Pieces:
    """Pieces of one width wanted from rolls. ``joined``: each may be made of several with a lap at every join."""

    width: float
    lengths: tuple[float, ...]
    joined: bool = False


@dataclass(frozen=True, slots=True)
class Laid:
    """What a list of pieces takes: whole rolls, the joins made in runs, and what is left of the roll ends [in]."""

    rolls: int
    joins: int
    ends: tuple[float, ...]


@dataclass(slots=True)
class _Source:
    """A roll or a roll's end cut into lanes side by side; ``room`` is what each lane still has."""

    length: float
    room: list[float]

    @property
    def left(self) -> float:
        """What stays at full width when the longest lane is cut off."""
        return min(self.room)


@dataclass(slots=True)
class _Shop:
    """Roll ends at hand and rolls opened so far."""

    roll_length: float
    ends: list[float] = field(default_factory=list)
    rolls: int = 0
    joins: int = 0

    def open(self, least: float, lanes: int) -> _Source:
        """The longest roll end that is at least this long, or a fresh roll."""
        best = max(self.ends, default=0.0)
        if best + DUST_IN >= least:
            self.ends.remove(best)
        else:
            best = self.roll_length
            self.rolls += 1
        return _Source(best, [best] * lanes)


def side_by_side(width_in: float, roll_width_in: float) -> int:
    """Pieces of a width that a roll gives next to each other, at least one."""
    return max(int(roll_width_in / width_in + DUST_IN), 1)


def rows(high_in: float, roll_width_in: float, lap_in: float) -> tuple[float, ...]:
    """Widths of the level rows that reach a height, each lapping the one below: whole ones, the last as wide as is
    needed. ``lap_in`` less than the roll's width."""
    if high_in <= 0:
        return ()
    out = []
    while high_in > roll_width_in + DUST_IN:
        out.append(roll_width_in)
        high_in -= roll_width_in - lap_in
    return (*out, high_in)


def in_pieces(length_in: float, roll_length_in: float, lap_in: float) -> list[float]:
    """A length in pieces no longer than the roll, lapped: whole rolls and the rest."""
    out = []
    while length_in > roll_length_in + DUST_IN:
        out.append(roll_length_in)
        length_in -= roll_length_in - lap_in
    return [*out, length_in]


def pack(wanted: Iterable[Pieces], roll_width: float, roll_length: float, lap: float) -> Laid:
    """Cut all pieces from as few rolls as first fit finds.

    ``roll_width`` wide and ``roll_length`` long, ``lap`` at a join (less than the roll's length); [in]. Widths are not
    more than the roll's.
    """
    shop = _Shop(roll_length)
    for pieces in sorted(_alike(wanted), key=lambda p: (-p.width, p.joined)):
        lanes = side_by_side(pieces.width, roll_width)
        if pieces.joined:
            _join(shop, pieces.lengths, lanes, lap)
        else:
            _cut(shop, pieces.lengths, lanes, lap)
    return Laid(shop.rolls, shop.joins, tuple(sorted((end for end in shop.ends if end > DUST_IN), reverse=True)))


def _alike(wanted: Iterable[Pieces]) -> list[Pieces]:
    """Pieces of one width and kind put together."""
    lengths: dict[tuple[float, bool], list[float]] = {}
    for pieces in wanted:
        lengths.setdefault((round(pieces.width, 6), pieces.joined), []).extend(x for x in pieces.lengths if x > 0)
    return [Pieces(width, tuple(found), joined) for (width, joined), found in lengths.items()]


def _cut(shop: _Shop, lengths: Sequence[float], lanes: int, lap: float) -> None:
    """Strips in one piece; one longer than the roll is lapped together."""
    pieces = [part for length in lengths for part in in_pieces(length, shop.roll_length, lap)]
    if lanes == 1 and not shop.ends:
        counted = Counter(Length.from_inches(piece) for piece in pieces)
        for pattern in first_fit(counted, Length.from_inches(shop.roll_length)).patterns:
            shop.rolls += pattern.count
            shop.ends += [pattern.left.inch] * pattern.count
        return
    opened: list[_Source] = []
    for piece in sorted(pieces, reverse=True):
        source, lane = _lane(opened, piece) or (None, 0)
        if source is None:
            source = shop.open(piece, lanes)
            opened.append(source)
        source.room[lane] -= piece
    shop.ends += [source.left for source in opened]


def _lane(opened: list[_Source], piece: float) -> tuple[_Source, int] | None:
    """The first lane with room."""
    for source in opened:
        for lane, room in enumerate(source.room):
            if room + DUST_IN >= piece:
                return source, lane
    return None


def _join(shop: _Shop, lengths: Sequence[float], lanes: int, lap: float) -> None:
    """Runs made up of what the lanes give, longest run first."""
    opened: list[_Source] = []
    least = min(max(LEAST_PIECE_IN, 2 * lap), shop.roll_length)
    for length in sorted(lengths, reverse=True):
        left = length
        while left > DUST_IN:
            source, lane = _lane(opened, min(left, least)) or (None, 0)
            if source is None:
                source = shop.open(min(left, least), lanes)
                opened.append(source)
            taken = min(source.room[lane], left)
            source.room[lane] -= taken
            left -= taken
            if left > DUST_IN:
                left += lap
                shop.joins += 1
    shop.ends += [source.left for source in opened]
