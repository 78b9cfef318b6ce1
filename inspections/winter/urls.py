"""Addresses of the pages of a pour, below its stage."""

from django.urls import URLPattern, URLResolver, path

from inspections.winter import views

urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.window, name="weather"),
    path("typed", views.typed, name="weather_typed"),
    path("file", views.file, name="weather_file"),
    path("place", views.place, name="weather_place"),
    path("fetch", views.fetch, name="weather_fetch"),
    path("decide/", views.decide, name="weather_decide"),
    path("forms/", views.forms, name="weather_forms"),
    path("strength/", views.strength, name="weather_strength"),
    path("order/", views.order, name="weather_order"),
    path("order.pdf", views.order_pdf, name="weather_order_pdf"),
]
