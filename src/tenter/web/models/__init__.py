"""The rows. What they mean is known by `store.py`; who may see them by `access.py`.

Django finds a model here only if it is named here. A module imports those whose rows its own refer to, so that Django
knows those first, which is the order in which a backup is read.
"""

from tenter.web.models.appointments import Appointment
from tenter.web.models.consents import Consent
from tenter.web.models.erased import ErasedMark
from tenter.web.models.handed import HandedPaper, PrintedPair
from tenter.web.models.kept import LONGEST_KEPT_DAYS, KeepingTimes, KeptUntil
from tenter.web.models.light import KeptLight, KeptThresholds
from tenter.web.models.measured import (
    KEPT_DAYS,
    ClothPhotograph,
    LearnedPhone,
    Measured,
    MeasuredFace,
    PhonePhotograph,
    Photograph,
    PhotoSeries,
    Picture,
    SeriesFrame,
    ThingPhotograph,
    new_photograph_name,
    usual_deletion,
)
from tenter.web.models.readings import KeptReading, KeptWash, SetAsideReading
from tenter.web.models.rooms import KeptRoom
from tenter.web.models.sittings import (
    AnswerLearning,
    Arrival,
    PaletteEdit,
    Sitting,
    SittingCloths,
    SittingEvent,
    SittingStyle,
    new_token,
)
from tenter.web.models.stock import SnippetRecord, StockMovement
from tenter.web.models.studio import (
    Access,
    Associate,
    AuditEntry,
    Client,
    DeviceRight,
    IncomingFolder,
    KitRecord,
    LoginAttempt,
    MethodRecord,
    PairedDevice,
    PairingCode,
    StartedKit,
    StudioName,
)
from tenter.web.models.wanted import ClientWish, ToldBefore, WardrobePiece
from tenter.web.models.words import StudioText

__all__ = [
    "KEPT_DAYS",
    "LONGEST_KEPT_DAYS",
    "Access",
    "AnswerLearning",
    "Appointment",
    "Arrival",
    "Associate",
    "AuditEntry",
    "Client",
    "ClientWish",
    "ClothPhotograph",
    "Consent",
    "DeviceRight",
    "ErasedMark",
    "HandedPaper",
    "IncomingFolder",
    "KeepingTimes",
    "KeptLight",
    "KeptReading",
    "KeptRoom",
    "KeptThresholds",
    "KeptUntil",
    "KeptWash",
    "KitRecord",
    "LearnedPhone",
    "LoginAttempt",
    "Measured",
    "MeasuredFace",
    "MethodRecord",
    "PairedDevice",
    "PairingCode",
    "PaletteEdit",
    "PhonePhotograph",
    "PhotoSeries",
    "Photograph",
    "Picture",
    "PrintedPair",
    "SeriesFrame",
    "SetAsideReading",
    "Sitting",
    "SittingCloths",
    "SittingEvent",
    "SittingStyle",
    "SnippetRecord",
    "StartedKit",
    "StockMovement",
    "StudioName",
    "StudioText",
    "ThingPhotograph",
    "ToldBefore",
    "WardrobePiece",
    "new_photograph_name",
    "new_token",
    "usual_deletion",
]
