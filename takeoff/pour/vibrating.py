"""Working the vibrator: how far apart, how long, how deep.

The IRC asks internal vibration of concrete in stay-in-place forms. Numbers from the US Army Engineer School, subcourse
EN5466, and from a county's specification that restates ACI 309.
"""

from __future__ import annotations

from takeoff.sources import Source

ARMY = Source("US Army Engineer School EN5466", "A", "consolidation")
ACI_309 = Source("ACI 309", "", "Table 5.1.4 practice, as restated by San Joaquin County")
FARTHEST_IN = 18.0
SECONDS_WITH_AIR, SECONDS_WITHOUT_AIR = (5, 10), (10, 15)
INTO_LIFT_BELOW_IN = 6.0
WITHDRAW_IN_S = 3.0
RADII_APART = 1.5


def spacing_in(radius_of_action_in: float) -> float:
    """Distance between insertions [in]: 1.5 times the radius that the head reaches, 18 in at most."""
    return min(RADII_APART * radius_of_action_in, FARTHEST_IN)


def vibrating_words(radius_of_action_in: float, air_entrained: bool = True) -> str:
    """What to tell whoever holds it."""
    low, high = SECONDS_WITH_AIR if air_entrained else SECONDS_WITHOUT_AIR
    return (
        f"Every {spacing_in(radius_of_action_in):g} in, {low} to {high} s each, {INTO_LIFT_BELOW_IN:g} in into the "
        f"lift below, out at {WITHDRAW_IN_S:g} in a second. Never move concrete along with it."
    )
