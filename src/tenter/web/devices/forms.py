"""What the studio's page asks about its devices: the address to listen at, and what a new device may do."""

from typing import Any

from django import forms
from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.utils.translation import gettext_lazy

from tenter.web.devices.own_addresses import own_addresses
from tenter.web.models import DeviceRight, PairedDevice
from tenter.web.rules import access
from tenter.web.sent.typed_fields import choice_field, longest, offer_rows


class AddressForm(forms.Form):
    """The one address of this machine that devices reach it by."""

    address = forms.ChoiceField(
        label=gettext_lazy("This computer’s address in the room’s network"),
        help_text=gettext_lazy("If there are several, choose the one in the network that the device is in."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice_field(self, "address").choices = [(address, address) for address in own_addresses()]


class CodeForm(forms.Form):
    """What the device that is connected next may do, and for whom."""

    right = forms.ChoiceField(choices=DeviceRight.choices, label=gettext_lazy("What the device may do"))
    user: "forms.ModelChoiceField[User]" = forms.ModelChoiceField(
        None,
        empty_label=None,
        label=gettext_lazy("For whom"),
        help_text=gettext_lazy("The device follows the sittings of this person."),
    )

    def __init__(self, owner: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        users = get_user_model().objects
        studio = users.filter(associate_of__in=access.associates(owner)) | users.filter(pk=owner.pk)
        offer_rows(self, "user", studio.distinct().order_by("username"))
        self.fields["user"].initial = owner.pk


class NameForm(forms.Form):
    """What a device is called in the studio's list."""

    name = forms.CharField(
        max_length=longest(PairedDevice, "name"),
        required=False,
        label=gettext_lazy("What this device is called"),
        help_text=gettext_lazy("So that you know it in the studio’s list, for example “blue phone”."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
