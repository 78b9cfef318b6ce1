"""Names of legs in a sentence: 'leg A', 'legs A, B and C', 'legs A to E and G to K'."""

from __future__ import annotations

from collections.abc import Iterable

#: So many names in a row are read as a run on a screen; fewer are spelled out.
LONG_RUN = 5


def leg_words(legs: tuple[str, ...]) -> str:
    """'leg A', 'legs A, B and C', 'legs A to J', or '' for the whole house."""
    names = [leg for leg in legs if leg]
    if not names:
        return ""
    if len(names) == 1:
        return f"leg {names[0]}"
    said = _runs(names, LONG_RUN)
    return f"legs {', '.join(said[:-1])} and {said[-1]}" if len(said) > 1 else f"legs {said[0]}"


def in_runs(names: Iterable[str]) -> str:
    """Names in the order given, three or more that are spelled one after the other as a run: 'A to E, K, G1 to G3'."""
    return ", ".join(_runs(names, 3))


def _runs(names: Iterable[str], least: int) -> list[str]:
    """Names in the order given; ``least`` or more that follow each other become one 'A to E'."""
    runs: list[list[str]] = []
    for name in names:
        if runs and _follows(runs[-1][-1], name):
            runs[-1].append(name)
        else:
            runs.append([name])
    return [said for run in runs for said in (run if len(run) < least else [f"{run[0]} to {run[-1]}"])]


def _follows(before: str, after: str) -> bool:
    """Whether a name is the next one: B after A, G3 after G2."""
    stem, stem_after = before.rstrip("0123456789"), after.rstrip("0123456789")
    number, number_after = before[len(stem) :], after[len(stem_after) :]
    if number and number_after:
        return stem == stem_after and int(number_after) == int(number) + 1
    return len(before) == len(after) == 1 and before.isalpha() and after.isalpha() and ord(after) == ord(before) + 1
