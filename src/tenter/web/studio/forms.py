"""What the pages of the studio may send: associates, who sees whom, and second readings."""

from typing import Any, cast

from django import forms
from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.web.models import Associate, Sitting, StudioName
from tenter.web.rules import access
from tenter.web.rules.sandbox_user import SANDBOX_NAME
from tenter.web.sealing import photo_keys
from tenter.web.sealing.photo_keys import Keeper
from tenter.web.sealing.strength import RULE, strength_in_words
from tenter.web.sent.typed_fields import offer_rows
from tenter.web.server import time_zone
from tenter.web.server.in_language import own_name


class LogInForm(AuthenticationForm):
    """A name, in whichever capitals, and its password."""

    error_messages = {
        **AuthenticationForm.error_messages,
        "invalid_login": gettext_lazy(
            "This password does not go with this name. Check both; in a password capitals count."
        ),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Your name")

    def clean_username(self) -> str:
        """Return the name as it was chosen, where nobody else has it in other capitals."""
        said = str(self.cleaned_data["username"])
        names = get_user_model().objects.filter(username__iexact=said).values_list("username", flat=True)[:2]
        return str(names[0]) if len(names) == 1 else said


class WelcomeForm(forms.Form):
    """The first user of a studio."""

    name = forms.CharField(
        max_length=150,
        label=gettext_lazy("Your name"),
        help_text=gettext_lazy("Use it to log in."),
        widget=forms.TextInput(attrs={"autocomplete": "username"}),
    )
    password = forms.CharField(
        max_length=256,
        strip=False,
        label=gettext_lazy("Password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=gettext_lazy("Ten characters or more; a few words are good."),
    )
    studio = forms.CharField(
        max_length=80,
        required=False,
        label=gettext_lazy("The studio’s name"),
        help_text=gettext_lazy("Printed on the reading sheets. It is optional, and you can change it."),
        widget=forms.TextInput(attrs={"autocomplete": "organization"}),
    )
    passphrase = forms.CharField(
        max_length=1000,
        strip=False,
        required=False,
        label=gettext_lazy("Passphrase for photographs"),
        help_text=RULE,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    demo = forms.BooleanField(required=False)  # no page offers it: a study's studio has the invented clients as its own
    field_order = ("studio", "name", "password", "passphrase", "demo")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if "passphrase" in self.fields and photo_keys.keeper() is Keeper.PASSPHRASE:
            del self.fields["passphrase"]  # there is one already

    def clean_name(self) -> str:
        """Return the name with single spaces; raises `ValidationError` for the sandbox's."""
        name: str = get_user_model().normalize_username(" ".join(self.cleaned_data["name"].split()))
        if name.casefold() == SANDBOX_NAME.casefold():
            raise forms.ValidationError(_("That is the name of the demo studio. Choose another."))
        return name

    def clean_passphrase(self) -> str:
        """Return the passphrase, nothing where it is left for later; raises `ValidationError` for a short one."""
        said: str = self.cleaned_data["passphrase"]
        if said and len(said) < photo_keys.SHORTEST:
            raise forms.ValidationError(strength_in_words(said))
        return said

    def clean_password(self) -> str:
        """Hold the password against the rules."""
        password: str = self.cleaned_data["password"]
        validate_password(password, get_user_model()(username=self.cleaned_data.get("name", "")))
        return password


class ZoneForm(forms.Form):
    """By which zone the studio tells days and times."""

    zone = forms.ChoiceField(
        label=gettext_lazy("Time zone"),
        choices=[(name, name.replace("_", " ")) for name in time_zone.zones()],
        help_text=gettext_lazy("A city that has the same time as your studio."),
    )


class StudioNameForm(forms.ModelForm):  # type: ignore[type-arg]  # it is generic in its stub alone
    """What the studio is called."""

    class Meta:
        model = StudioName
        fields = ("name",)
        labels = {"name": gettext_lazy("The studio’s name")}
        help_texts = {"name": gettext_lazy("Shown at the top of every page and on the reading sheets.")}


class StudioLanguageForm(forms.ModelForm):  # type: ignore[type-arg]  # it is generic in its stub alone
    """In which language screens and papers are written."""

    language = forms.ChoiceField(
        label=gettext_lazy("Language"),
        help_text=gettext_lazy("For every page and every new paper. What was written by hand stays as it is."),
    )

    class Meta:
        model = StudioName
        fields = ("language",)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        said = [(code, own_name(code)) for code, _name in settings.LANGUAGES]
        cast("forms.ChoiceField", self.fields["language"]).choices = said


class AssociateForm(WelcomeForm):
    """Somebody who is to work in the studio."""

    demo = studio = passphrase = None  # type: ignore[assignment]  # how Django leaves fields of the parent out

    def __init__(self, owner: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner = owner
        self.fields["name"].label = _("Name")
        self.fields["name"].help_text = _("Used to log in.")
        self.fields["password"].help_text = _("Ten characters or more. Tell it to them; they can change it.")

    def clean_name(self) -> str:
        """Return the name; one who left the studio may come back by it.

        Raises `ValidationError` where somebody else has it.
        """
        name = super().clean_name()
        taken = get_user_model().objects.filter(username__iexact=name)
        if taken.exclude(is_active=False, associate_of__owner=self.owner).exists():
            raise forms.ValidationError(_("Somebody has that name already. Choose another."))
        return name

    def save(self) -> Associate:
        """Make the associate, or let one who left come back."""
        users, said = get_user_model().objects, self.cleaned_data
        user = users.filter(username__iexact=said["name"]).first() or users.create_user(said["name"])
        user.is_active = True
        user.set_password(said["password"])
        user.save()
        return Associate.objects.get_or_create(owner=self.owner, user=user)[0]


class PasswordForm(forms.Form):
    """A new password for an associate who has lost theirs."""

    password = forms.CharField(
        max_length=256,
        strip=False,
        label=gettext_lazy("Password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=gettext_lazy("Ten characters or more. They are logged out everywhere."),
    )

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user

    def clean_password(self) -> str:
        """Hold the password against the rules."""
        password: str = self.cleaned_data["password"]
        validate_password(password, self.user)
        return password


class SecondForm(forms.Form):
    """Who reads a client again, without knowing what was read."""

    analyst = forms.ModelChoiceField(
        get_user_model().objects.none(),
        empty_label=None,
        label=gettext_lazy("Second consultant"),
        help_text=gettext_lazy("A consultant who has not seen the first reading."),
    )

    def __init__(self, owner: User, first: Sitting, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        studio = get_user_model().objects.filter(associate_of__in=access.associates(owner))
        anybody = studio | get_user_model().objects.filter(pk=owner.pk)
        done = [first.analyst_id, *first.seconds.values_list("analyst", flat=True)]
        offer_rows(self, "analyst", anybody.exclude(pk__in=done).distinct().order_by("username"))
