"""Addresses of lists, houses, stages and points."""

from django.urls import URLPattern, URLResolver, include, path

from inspections.views import braces, differences, evidence, handouts, house, lists, point, stage

app_name = "inspections"

_point: list[URLPattern | URLResolver] = [
    path("", point.point, name="point"),
    path("present", point.present, name="present"),
    path("sign", point.sign, name="sign"),
    path("put-right", point.close_correction, name="close_correction"),
]
_stage: list[URLPattern | URLResolver] = [
    path("", stage.stage, name="stage"),
    path("handout.pdf", handouts.handout, name="handout"),
    path("work/<slug:operation>/", stage.work, name="work"),
    path("weather/", include("inspections.winter.urls")),
    path("points/<slug:key>/", include(_point)),
    path("pour/", include("inspections.pours.urls")),
]
_house: list[URLPattern | URLResolver] = [
    path("", house.house, name="house"),
    path("log/", house.log, name="log"),
    path("sections/", house.sections, name="sections"),
    path("revisions/<int:number>/differences/", differences.differences, name="differences"),
    path("stages/<int:stage_pk>/", include(_stage)),
]

urlpatterns: list[URLPattern | URLResolver] = [
    path("", lists.home, name="home"),
    path("board/", lists.board, name="board"),
    path("braces/", braces.braces, name="braces"),
    path("today/", lists.today, name="today"),
    path("asked/", lists.asked, name="asked"),
    path("houses/<int:pk>/", include(_house)),
    path("evidence/<int:pk>/", evidence.evidence, name="evidence"),
]
