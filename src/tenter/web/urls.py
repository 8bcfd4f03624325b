"""Every address. A page is open to somebody who is logged in, unless its view says otherwise."""

from django.urls import path
from django.views.generic import RedirectView

from tenter.web.backups import backup_views, restoring_views
from tenter.web.bench import arrival_views, bench_views, show_views
from tenter.web.cloths import (
    cloth_photograph_views,
    cloth_photographs_views,
    cloths_into_kit_views,
    kits_views,
    methods_views,
)
from tenter.web.erasing import client_archive_views, erasing_views, keeping_views
from tenter.web.garments import garment_photograph_views, garment_views, wardrobe_views
from tenter.web.keys import photo_key_views
from tenter.web.light import light_views, threshold_views
from tenter.web.people import (
    access_views,
    compare_views,
    consents_views,
    day_views,
    people_views,
    sittings_views,
    wishes_views,
)
from tenter.web.phones import phones_views
from tenter.web.photographs import one_face_views, photograph_views, photographs_views
from tenter.web.readings import entry_views, kit_papers_views, readings_views
from tenter.web.reflected import effect_views
from tenter.web.screen import screen_views
from tenter.web.series import series_views
from tenter.web.stock import picking_views, stock_views
from tenter.web.studio import account_views, agreement_views, door_views, letter_views, own_words_views, studio_views
from tenter.web.verdict import (
    brought_views,
    handing_over_views,
    naming_views,
    palette_views,
    printed_pair_views,
    verdict_views,
)

urlpatterns = [
    # the door
    path("welcome", door_views.welcome, name="welcome"),
    path("login", door_views.LogIn.as_view(), name="login"),
    path("logout", door_views.LogOut.as_view(), name="logout"),
    # the day
    path("", RedirectView.as_view(pattern_name="day"), name="home"),
    path("day", day_views.day, name="day"),
    # the light
    path("light", light_views.lights, name="lights"),
    path("light/thresholds", threshold_views.thresholds, name="light-thresholds"),
    path("light/<int:pk>", light_views.light, name="light"),
    path("light/<int:pk>/report.pdf", light_views.report, name="light-report"),
    # people
    path("people", people_views.people, name="people"),
    path("people/add", people_views.add, name="person-add"),
    path("people/from-file", client_archive_views.take_in, name="person-take-in"),
    path("people/<int:pk>", people_views.person, name="person"),
    path("people/<int:pk>/edit", people_views.edit, name="person-edit"),
    path("people/<int:pk>/archive", client_archive_views.archive, name="person-archive"),
    path("people/<int:pk>/kept", keeping_views.kept, name="person-kept"),
    path("people/<int:pk>/kept/change", keeping_views.change, name="kept-change"),
    path("people/<int:pk>/kept/erase", keeping_views.erase, name="kept-erase"),
    path("people/<int:pk>/erase", erasing_views.erase, name="person-erase"),
    path("people/<int:pk>/letter", letter_views.letter, name="letter"),
    path("people/<int:pk>/letter/erase", letter_views.erase, name="letter-erase"),
    path("people/<int:pk>/wishes", wishes_views.wishes, name="wishes"),
    path("people/<int:pk>/wishes/take-back", wishes_views.take_back, name="wish-take-back"),
    path("people/<int:pk>/sittings/compare", compare_views.compare, name="compare-sittings"),
    path("people/<int:pk>/wardrobe", wardrobe_views.wardrobe, name="wardrobe"),
    path("people/<int:pk>/wardrobe.csv", wardrobe_views.table, name="wardrobe-table"),
    path("pieces/<int:pk>", wardrobe_views.change, name="wardrobe-change"),
    path("people/<int:pk>/access", access_views.person_access, name="person-access"),
    path("people/<int:pk>/consents", consents_views.card, name="consents"),
    path("people/<int:pk>/consents/take-back", consents_views.take_back, name="consents-take-back"),
    path("people/<int:pk>/consents/erase", consents_views.erase_due, name="consents-erase"),
    path("people/<int:pk>/consents/proof", consents_views.proof, name="consents-proof"),
    # photographs
    path("people/<int:pk>/photographs", photographs_views.photographs, name="photographs"),
    path("people/<int:pk>/photographs/erase", photographs_views.erase_all, name="photographs-erase"),
    path("people/<int:pk>/photographs/together", one_face_views.together, name="one-face"),
    path("people/<int:pk>/photographs/together/use", one_face_views.use, name="one-face-use"),
    path("people/<int:pk>/series/photographs", series_views.start, name="series-start"),
    path("series/<int:pk>", series_views.series, name="series"),
    path("series/<int:pk>/state", series_views.state, name="series-state"),
    path("series/<int:pk>/again", series_views.again, name="series-again"),
    path("series/<int:pk>/erase", series_views.erase, name="series-erase"),
    path("photographs/<int:pk>", photograph_views.photograph, name="photograph"),
    path("photographs/<int:pk>/picture", photograph_views.picture, name="photograph-picture"),
    path("photographs/<int:pk>/part", photograph_views.part, name="photograph-part"),
    path("photographs/<int:pk>/small", photograph_views.small, name="photograph-small"),
    path("photographs/<int:pk>/state", photograph_views.state, name="photograph-state"),
    path("photographs/<int:pk>/again", photograph_views.again, name="photograph-again"),
    path("photographs/<int:pk>/phone", phones_views.of_photograph, name="photograph-phone"),
    path("photographs/<int:pk>/date", photograph_views.date, name="photograph-date"),
    path("photographs/<int:pk>/erase", photograph_views.erase, name="photograph-erase"),
    path("photographs/<int:pk>/use", photograph_views.use, name="photograph-use"),
    path("sittings/<int:pk>/face/leave", photograph_views.leave_out, name="face-leave"),
    # phones learned once
    path("phones", phones_views.phones, name="phones"),
    path("phones/<int:pk>", phones_views.phone, name="phone"),
    path("phones/<int:pk>/state", phones_views.state, name="phone-state"),
    path("phones/<int:pk>/forget", phones_views.forget, name="phone-forget"),
    # kits
    path("kit", kits_views.kits, name="kits"),
    path("kit/add", kits_views.add, name="kit-add"),
    path("kit/methods/add", methods_views.add, name="method-add"),
    path("kit/methods/<int:pk>", methods_views.method, name="method"),
    path("kit/<int:pk>", kits_views.kit, name="kit"),
    # readings of a kit's cloths over time
    path("kit/<int:pk>/readings", readings_views.readings, name="kit-readings"),
    path("kit/<int:pk>/readings/enter", entry_views.enter, name="reading-enter"),
    path("kit/<int:pk>/readings/file", entry_views.add_file, name="reading-file"),
    path("kit/<int:pk>/cloth", readings_views.cloth, name="kit-cloth"),
    path("kit/<int:pk>/health.pdf", kit_papers_views.health, name="kit-health"),
    path("kit/<int:pk>/labels.pdf", kit_papers_views.labels, name="kit-labels"),
    path("kit/<int:pk>/pair", kit_papers_views.pair, name="kit-pair"),
    path("kit/<int:pk>/wash", readings_views.wash, name="kit-wash"),
    path("kit/<int:pk>/effect", effect_views.effect, name="effect"),
    path("kit/<int:pk>/effect/room", effect_views.room, name="effect-room"),
    path("readings/<int:pk>/set-aside", readings_views.set_aside, name="reading-set-aside"),
    # cloths measured by photograph
    path("kit/cloths", cloth_photographs_views.photographs, name="cloth-photographs"),
    path("kit/cloths/<int:pk>", cloth_photograph_views.photograph, name="cloth-photograph"),
    path("kit/cloths/<int:pk>/picture", cloth_photograph_views.picture, name="cloth-photograph-picture"),
    path("kit/cloths/<int:pk>/small", cloth_photograph_views.small, name="cloth-photograph-small"),
    path("kit/cloths/<int:pk>/state", cloth_photograph_views.state, name="cloth-photograph-state"),
    path("kit/cloths/<int:pk>/again", cloth_photograph_views.again, name="cloth-photograph-again"),
    path("kit/cloths/<int:pk>/date", cloth_photograph_views.date, name="cloth-photograph-date"),
    path("kit/cloths/<int:pk>/erase", cloth_photograph_views.erase, name="cloth-photograph-erase"),
    path("kit/cloths/<int:pk>/numbers", cloth_photograph_views.numbers, name="cloth-photograph-numbers"),
    path("kit/cloths/<int:pk>/count", cloth_photograph_views.count, name="cloth-photograph-count"),
    path("kit/cloths/<int:pk>/kit", cloths_into_kit_views.into_kit, name="cloths-into-kit"),
    # the stock of snippets
    path("stock", stock_views.stock, name="stock"),
    path("stock/add", stock_views.add, name="stock-add"),
    path("stock/stock.csv", stock_views.table, name="stock-table"),
    path("stock/<int:pk>", stock_views.snippet, name="snippet"),
    path("stock/<int:pk>/label", stock_views.label, name="snippet-label"),
    path("stock/<int:pk>/clear", stock_views.clear, name="snippet-clear"),
    # sittings
    path("sittings", sittings_views.sittings, name="sittings"),
    path("sittings/start", sittings_views.start, name="sitting-start"),
    path("sittings/<int:pk>", sittings_views.sitting, name="sitting"),
    path("sittings/<int:pk>/end", sittings_views.end, name="sitting-end"),
    path("sittings/<int:pk>/open", sittings_views.open_again, name="sitting-open"),
    # the bench
    path("sittings/<int:pk>/screen", sittings_views.new_link, name="screen-link"),
    path("sittings/<int:pk>/bench", bench_views.bench, name="bench"),
    path("sittings/<int:pk>/bench/entry", bench_views.entry, name="bench-entry"),
    path("sittings/<int:pk>/bench/state", bench_views.state, name="bench-state"),
    path("sittings/<int:pk>/bench/events", bench_views.events, name="bench-events"),
    # the show round after the verdict
    path("sittings/<int:pk>/show", show_views.show, name="show"),
    path("sittings/<int:pk>/show/entry", show_views.entry, name="show-entry"),
    path("sittings/<int:pk>/brought", brought_views.brought, name="brought"),
    path("sittings/<int:pk>/show/state", show_views.state, name="show-state"),
    # the arrival, and the verdict
    path("sittings/<int:pk>/arrival", arrival_views.arrival, name="arrival"),
    path("sittings/<int:pk>/verdict", verdict_views.verdict, name="verdict"),
    path("sittings/<int:pk>/reveal", verdict_views.reveal, name="reveal"),
    path("sittings/<int:pk>/name", naming_views.name_result, name="name-result"),
    path("sittings/<int:pk>/leave-to-odds", naming_views.leave_to_odds, name="leave-to-odds"),
    path("sittings/<int:pk>/sheet.pdf", verdict_views.sheet, name="sheet"),
    # what the client takes home
    path("sittings/<int:pk>/palette", palette_views.palette, name="palette"),
    path("sittings/<int:pk>/palette/edit", palette_views.edit, name="palette-edit"),
    path("sittings/<int:pk>/papers.pdf", handing_over_views.papers, name="papers"),
    path("sittings/<int:pk>/papers", handing_over_views.given, name="handed-papers"),
    path("sittings/<int:pk>/papers/photographs", printed_pair_views.choose, name="printed-pair"),
    path("sittings/<int:pk>/papers/photographs/leave", printed_pair_views.leave, name="printed-pair-leave"),
    path("handed/<int:pk>/papers.pdf", handing_over_views.papers_again, name="papers-again"),
    path("sittings/<int:pk>/papers/print", handing_over_views.print_papers, name="print-papers"),
    path("sittings/<int:pk>/swatches.pdf", handing_over_views.swatches, name="swatches"),
    path("sittings/<int:pk>/phone.html", handing_over_views.phone, name="phone-page"),
    path("sittings/<int:pk>/lock-screen.png", handing_over_views.lock, name="lock-screen"),
    path("sittings/<int:pk>/changes.json", handing_over_views.changes, name="palette-changes"),
    path("sittings/<int:pk>/colours.zip", handing_over_views.programs, name="for-programs"),
    path("sittings/<int:pk>/mail.eml", handing_over_views.mail, name="mail-draft"),
    path("sittings/<int:pk>/garment", garment_views.garment, name="garment"),
    path("garments/<int:pk>", garment_photograph_views.photograph, name="garment-photograph"),
    path("garments/<int:pk>/picture", garment_photograph_views.picture, name="garment-photograph-picture"),
    path("garments/<int:pk>/small", garment_photograph_views.small, name="garment-photograph-small"),
    path("garments/<int:pk>/state", garment_photograph_views.state, name="garment-photograph-state"),
    path("garments/<int:pk>/again", garment_photograph_views.again, name="garment-photograph-again"),
    path("garments/<int:pk>/erase", garment_photograph_views.erase, name="garment-photograph-erase"),
    path("sittings/<int:pk>/pick", picking_views.pick, name="pick"),
    path("sittings/<int:pk>/pick/back", picking_views.put_back, name="pick-back"),
    # the client's own screen
    path("screen/<str:token>", screen_views.screen, name="client-screen"),
    path("screen/<str:token>/events", screen_views.events, name="client-events"),
    # the studio, one's account, and second readings
    path("studio", studio_views.studio, name="studio"),
    path("studio/name", studio_views.name, name="studio-name"),
    path("studio/log", studio_views.log, name="studio-log"),
    path("studio/associates/add", studio_views.add_associate, name="associate-add"),
    path("studio/associates/remove", studio_views.remove_associate, name="associate-remove"),
    path("studio/associates/password", studio_views.set_password, name="associate-password"),
    path("studio/agreement", agreement_views.studio_wide, name="studio-agreement"),
    path("studio/photographs/key", studio_views.make_key_file, name="photographs-key"),
    path("studio/zone", studio_views.zone, name="studio-zone"),
    path("studio/date", studio_views.confirm_date, name="date-confirm"),
    path("studio/photographs", photo_key_views.key, name="photograph-key"),
    path("studio/photographs/passphrase", photo_key_views.change, name="photograph-key-change"),
    path("studio/photographs/copy", photo_key_views.copy, name="photograph-key-copy"),
    path("studio/photographs/take", photo_key_views.take, name="photograph-key-take"),
    path("studio/words", own_words_views.words, name="words"),
    path("studio/words/write", own_words_views.write, name="words-write"),
    path("studio/words/picture", own_words_views.picture, name="words-picture"),
    path("studio/words/picture/<int:pk>", own_words_views.shown_picture, name="words-picture-shown"),
    path("studio/words/erase", own_words_views.erase, name="words-erase"),
    path("studio/words/preview", own_words_views.preview, name="words-preview"),
    path("studio/deletion", keeping_views.coming, name="studio-due"),
    path("studio/deletion/erase", keeping_views.erase_due, name="studio-due-erase"),
    path("studio/deletion/times", keeping_views.times, name="studio-times"),
    path("studio/backup", backup_views.backup, name="backup"),
    path("studio/restore", restoring_views.choose, name="restore"),
    path("studio/restore/confirm", restoring_views.confirm, name="restore-confirm"),
    path("studio/restore/leave", restoring_views.leave, name="restore-leave"),
    path("account/answers", account_views.answers, name="answers"),
    path("account/password", account_views.ChangePassword.as_view(), name="password"),
    path("sittings/<int:pk>/second", agreement_views.second, name="second"),
    path("sittings/<int:pk>/agreement", agreement_views.agreement, name="agreement"),
]
handler500 = "tenter.web.server.broken_views.answer"
