"""The invented studio, laid into the database to look around in."""

from datetime import UTC, datetime, time, timedelta
from importlib.resources import files

from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.client.consent import Purpose
from tenter.consultation.client.demo_clients import demo_clients
from tenter.consultation.client.visits import Visit
from tenter.consultation.readings.reading_files import demo_readings
from tenter.consultation.record.ledger import demo_ledger, judgements_of_client
from tenter.light.light_values import values_of_spectrum
from tenter.light.spectrum_files import demo_light
from tenter.web.models import Appointment, Client, KitRecord
from tenter.web.rules import consents
from tenter.web.store import kept_lights, kept_readings, store

_FIRST_DAY = datetime(2026, 3, 12, 10, tzinfo=UTC)  # of the invented sittings, one a day
_SEED = 7
_KEY = "demo"  # of what was measured, as a page makes one
_DAY = (  # who comes when, and what for; invented as they are
    ("Maren Tolliver", (10, 0), Visit.AGAIN),
    ("Georgi Amsel", (13, 0), Visit.PALETTE),
    ("Ilse Varnholt", (15, 30), Visit.GARMENTS),
)
_GUARDIAN = gettext_lazy("Orla Venn (invented)")  # who agrees for the minor among them
_AGREED = [purpose for purpose in Purpose if purpose not in (Purpose.PUBLISHED, Purpose.TRAINING)]


def load_demo_studio(owner: User) -> None:
    """Give a user the invented studio's kit, measured, its light, and five clients with a sitting that has ended."""
    csv = (files("tenter.demo_studio") / "drapes.csv").read_text(encoding="utf-8")
    record = store.add_kit(owner, _("Demo kit"), csv)
    ledger = demo_ledger(store.kit_of(record))
    for day, told in enumerate(demo_clients()):
        note = _("Invented; came with the demo studio.")
        client = Client.objects.create(
            owner=owner, name=told.name, note=note, minor=told.minor, words_only=told.words_only
        )
        consents.give_consent(client, _AGREED, consents.usual_end(), owner, str(_GUARDIAN) if told.minor else "")
        row = store.start_sitting(client, owner, record, seed=_SEED)
        row.started = _FIRST_DAY + timedelta(days=day)
        row.ended = row.revealed_at = row.started + timedelta(minutes=75)
        row.save()
        store.bring_in(row, judgements_of_client(ledger, told.id))
    measure_workshop(owner, record)


def book_demo_day(owner: User) -> None:
    """Let three of an owner's invented clients come today, by the clock of the studio, unless somebody is expected."""
    today = timezone.localdate()
    if Appointment.objects.filter(client__owner=owner, begins__date=today).exists():
        return
    for name, (hour, minute), visit in _DAY:
        begins = timezone.make_aware(datetime.combine(today, time(hour, minute)))
        for client in Client.objects.filter(owner=owner, name=name):
            Appointment.objects.create(client=client, begins=begins, visit=visit, by=owner)


def measure_workshop(owner: User, record: KitRecord) -> None:
    """Keep the invented studio's readings of its kit, and the check of its light before the first sitting."""
    kept_readings.keep_readings(record, owner, demo_readings(), _KEY)
    spectrum = demo_light()
    light = kept_lights.keep_light(owner, owner, values_of_spectrum(spectrum), spectrum.power, _KEY)
    light.at = _FIRST_DAY - timedelta(hours=1)
    light.save()
