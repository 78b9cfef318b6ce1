"""Addresses of a pour, under its stage."""

from django.urls import URLPattern, path

from inspections.pours import views

urlpatterns: list[URLPattern] = [
    path("", views.pour, name="pour"),
    path("<slug:kind>/", views.write, name="pour_write"),
]
