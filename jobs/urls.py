"""Addresses of houses, people, firms and form systems; the plan's are in ``urls_plan``."""

from django.urls import URLPattern, URLResolver, path

from jobs import urls_plan, views, views_firm, views_form_systems, views_invitations, views_people

app_name = "jobs"

urlpatterns: list[URLPattern | URLResolver] = [
    path("start", views_firm.firm_new, name="firm_new"),
    path("firm/", views_firm.firm, name="firm"),
    path("firm/invitations/<slug:token>", views_invitations.firm_invitation, name="firm_invitation"),
    path("houses/new", views.house_new, name="house_new"),
    path("houses/<int:pk>/edit", views.house_edit, name="house_edit"),
    path("houses/<int:pk>/site", views.site_edit, name="site_edit"),
    path("houses/<int:pk>/people", views_people.people, name="people"),
    path("houses/<int:pk>/stages/edit", views.stages_edit, name="stages_edit"),
    path("invitations/<slug:token>", views_invitations.invitation, name="invitation"),
    path("form-systems/", views_form_systems.form_systems, name="form_systems"),
    path("form-systems/new", views_form_systems.form_system_new, name="form_system_new"),
    path("form-systems/<slug:key>", views_form_systems.form_system_edit, name="form_system_edit"),
    *urls_plan.urlpatterns,
]
