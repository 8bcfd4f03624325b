"""Every address. A page is open to somebody who is logged in, unless its view says otherwise."""

from django.urls import path
from django.views.generic import RedirectView

from tenter.web.views import (
    account,
    agreement,
    arrival,
    bench,
    cloth_photograph,
    cloth_photographs,
    cloths_into_kit,
    day,
    door,
    kits,
    methods,
    people,
    photograph,
    photographs,
    restoring,
    screen,
    sittings,
    studio,
    verdict,
)

urlpatterns = [
    # the door
    path("welcome", door.welcome, name="welcome"),
    path("login", door.LogIn.as_view(), name="login"),
    path("logout", door.LogOut.as_view(), name="logout"),
    # the day
    path("", RedirectView.as_view(pattern_name="day"), name="home"),
    path("day", day.day, name="day"),
    # people
    path("people", people.people, name="people"),
    path("people/add", people.add, name="person-add"),
    path("people/<int:pk>", people.person, name="person"),
    path("people/<int:pk>/edit", people.edit, name="person-edit"),
    path("people/<int:pk>/access", studio.person_access, name="person-access"),
    # photographs
    path("people/<int:pk>/photographs", photographs.photographs, name="photographs"),
    path("people/<int:pk>/photographs/erase", photographs.erase_all, name="photographs-erase"),
    path("photographs/<int:pk>", photograph.photograph, name="photograph"),
    path("photographs/<int:pk>/picture", photograph.picture, name="photograph-picture"),
    path("photographs/<int:pk>/part", photograph.part, name="photograph-part"),
    path("photographs/<int:pk>/small", photograph.small, name="photograph-small"),
    path("photographs/<int:pk>/state", photograph.state, name="photograph-state"),
    path("photographs/<int:pk>/again", photograph.again, name="photograph-again"),
    path("photographs/<int:pk>/date", photograph.date, name="photograph-date"),
    path("photographs/<int:pk>/erase", photograph.erase, name="photograph-erase"),
    path("photographs/<int:pk>/use", photograph.use, name="photograph-use"),
    path("sittings/<int:pk>/face/leave", photograph.leave_out, name="face-leave"),
    # kits
    path("kit", kits.kits, name="kits"),
    path("kit/add", kits.add, name="kit-add"),
    path("kit/methods/add", methods.add, name="method-add"),
    path("kit/methods/<int:pk>", methods.method, name="method"),
    path("kit/<int:pk>", kits.kit, name="kit"),
    # cloths measured by photograph
    path("kit/cloths", cloth_photographs.photographs, name="cloth-photographs"),
    path("kit/cloths/<int:pk>", cloth_photograph.photograph, name="cloth-photograph"),
    path("kit/cloths/<int:pk>/picture", cloth_photograph.picture, name="cloth-photograph-picture"),
    path("kit/cloths/<int:pk>/small", cloth_photograph.small, name="cloth-photograph-small"),
    path("kit/cloths/<int:pk>/state", cloth_photograph.state, name="cloth-photograph-state"),
    path("kit/cloths/<int:pk>/again", cloth_photograph.again, name="cloth-photograph-again"),
    path("kit/cloths/<int:pk>/date", cloth_photograph.date, name="cloth-photograph-date"),
    path("kit/cloths/<int:pk>/erase", cloth_photograph.erase, name="cloth-photograph-erase"),
    path("kit/cloths/<int:pk>/numbers", cloth_photograph.numbers, name="cloth-photograph-numbers"),
    path("kit/cloths/<int:pk>/count", cloth_photograph.count, name="cloth-photograph-count"),
    path("kit/cloths/<int:pk>/kit", cloths_into_kit.into_kit, name="cloths-into-kit"),
    # sittings
    path("sittings", sittings.sittings, name="sittings"),
    path("sittings/start", sittings.start, name="sitting-start"),
    path("sittings/<int:pk>", sittings.sitting, name="sitting"),
    path("sittings/<int:pk>/end", sittings.end, name="sitting-end"),
    path("sittings/<int:pk>/open", sittings.open_again, name="sitting-open"),
    # the bench
    path("sittings/<int:pk>/bench", bench.bench, name="bench"),
    path("sittings/<int:pk>/bench/entry", bench.entry, name="bench-entry"),
    path("sittings/<int:pk>/bench/state", bench.state, name="bench-state"),
    path("sittings/<int:pk>/bench/events", bench.events, name="bench-events"),
    # the arrival, and the verdict
    path("sittings/<int:pk>/arrival", arrival.arrival, name="arrival"),
    path("sittings/<int:pk>/verdict", verdict.verdict, name="verdict"),
    path("sittings/<int:pk>/reveal", verdict.reveal, name="reveal"),
    path("sittings/<int:pk>/sheet.pdf", verdict.sheet, name="sheet"),
    # the client's own screen
    path("screen/<str:token>", screen.screen, name="client-screen"),
    path("screen/<str:token>/events", screen.events, name="client-events"),
    # the studio, one's account, and second readings
    path("studio", studio.studio, name="studio"),
    path("studio/name", studio.name, name="studio-name"),
    path("studio/log", studio.log, name="studio-log"),
    path("studio/associates/add", studio.add_associate, name="associate-add"),
    path("studio/associates/remove", studio.remove_associate, name="associate-remove"),
    path("studio/associates/password", studio.set_password, name="associate-password"),
    path("studio/agreement", agreement.studio_wide, name="studio-agreement"),
    path("studio/photographs/key", studio.make_key_file, name="photographs-key"),
    path("studio/backup", studio.backup, name="backup"),
    path("studio/restore", restoring.choose, name="restore"),
    path("studio/restore/confirm", restoring.confirm, name="restore-confirm"),
    path("studio/restore/leave", restoring.leave, name="restore-leave"),
    path("account/password", account.ChangePassword.as_view(), name="password"),
    path("sittings/<int:pk>/second", agreement.second, name="second"),
    path("sittings/<int:pk>/agreement", agreement.agreement, name="agreement"),
]
