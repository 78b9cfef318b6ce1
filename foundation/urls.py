"""All addresses: the two apps at the root, logging in under /account/, and the health page."""

from django.contrib.auth import views as auth
from django.urls import include, path

from foundation.health import health

login = auth.LoginView.as_view(template_name="account/login.html", redirect_authenticated_user=True)
password_change = auth.PasswordChangeView.as_view(template_name="account/password_change.html")
password_change_done = auth.PasswordChangeDoneView.as_view(template_name="account/password_change_done.html")

urlpatterns = [
    path("health", health, name="health"),
    path("account/login/", login, name="login"),
    path("account/logout/", auth.LogoutView.as_view(template_name="account/logged_out.html"), name="logout"),
    path("account/password/", password_change, name="password_change"),
    path("account/password/done/", password_change_done, name="password_change_done"),
    path("", include("inspections.urls")),
    path("", include("jobs.urls")),
]
