"""Addresses of the plan and its revisions."""

from django.urls import URLPattern, path

from jobs import views_plan, views_revisions

urlpatterns: list[URLPattern] = [
    path("houses/<int:pk>/plan", views_plan.plan_edit, name="plan_edit"),
    path("houses/<int:pk>/plan/preview", views_plan.plan_preview, name="plan_preview"),
    path("houses/<int:pk>/plan/specification", views_plan.plan_spec, name="plan_spec"),
    path("houses/<int:pk>/plan/lock", views_plan.plan_lock, name="plan_lock"),
    path("houses/<int:pk>/plan/import", views_revisions.plan_import, name="plan_import"),
    path("houses/<int:pk>/plan/plan.json", views_plan.plan_export, name="plan_export"),
    path("houses/<int:pk>/revisions/", views_revisions.revisions, name="revisions"),
    path("houses/<int:pk>/revisions/<int:number>/", views_revisions.revision, name="revision"),
    path("houses/<int:pk>/revisions/<int:number>/start", views_revisions.revision_start, name="revision_start"),
    path("houses/<int:pk>/revisions/<int:number>/plan.json", views_revisions.revision_json, name="revision_json"),
    path(
        "houses/<int:pk>/revisions/<int:number>/slots.pdf",
        views_revisions.revision_template,
        name="revision_template",
    ),
    path(
        "houses/<int:pk>/revisions/<int:number>/legs/<path:leg>/",
        views_revisions.revision_elevation,
        name="revision_elevation",
    ),
    path(
        "houses/<int:pk>/revisions/<int:number>/since/<int:other>/",
        views_revisions.revision_compare,
        name="revision_compare",
    ),
]
