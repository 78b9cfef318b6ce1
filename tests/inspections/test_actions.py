"""Records: who, from where, with what; and that each is written once or not at all."""

from inspections.models import Presentation
from takeoff.plan import Stage

F = Stage.FOOTING


def test_a_footing_goes_from_permit_to_pour(site):
    site.through(F, "A", "B", "G", "P")
    assert Presentation.objects.filter(house=site.house).count() == 8


def test_a_whole_house_is_buried(site):
    site.through(F, "A", "B", "G", "P")
    site.through(Stage.FROST_WALL, "A", "B", "G", "P")
    site.through(Stage.FROST_BACKFILL, "A", "B", "G", "P")
    for kind in (Stage.FULL_WALL, Stage.WATERPROOFING, Stage.FINAL_BACKFILL):
        site.through(kind, "A", "B")
