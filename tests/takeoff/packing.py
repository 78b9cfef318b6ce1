"""First-fit decreasing written the long way: one piece and one stock piece at a time."""


def pack(lengths: list[int], stock: int, kerf: int, least: int) -> int:
    """Stock pieces used; a saw cut takes ``kerf``, an offcut shorter than ``least`` is not cut again."""
    rooms: list[int] = []
    for length in sorted(lengths, reverse=True):
        for i, room in enumerate(rooms):
            if room - kerf >= max(length, least):
                rooms[i] = room - kerf - length
                break
        else:
            rooms.append(stock - length)
    return len(rooms)
