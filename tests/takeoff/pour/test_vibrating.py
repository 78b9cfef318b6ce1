"""What the one with the vibrator is told."""

from takeoff.pour.vibrating import vibrating_words


def test_air_entrained_concrete_is_vibrated_shorter() -> None:
    assert "Every 6 in, 5 to 10 s each" in vibrating_words(4.0)
    assert "10 to 15 s" in vibrating_words(4.0, air_entrained=False)
