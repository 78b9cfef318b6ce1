"""Addresses of the plan and its revisions."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
