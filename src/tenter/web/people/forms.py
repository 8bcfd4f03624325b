"""What a page may send."""

from typing import Any, cast

from django import forms
from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.web.models import Client
from tenter.web.rules import access
from tenter.web.rules.client_language import studio_language
from tenter.web.sent.typed_fields import offer_rows
from tenter.web.server.in_language import own_name


class AccessForm(forms.Form):
    """Which associates see a client."""

    users = forms.ModelMultipleChoiceField(
        get_user_model().objects.none(), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, owner: User, client: Client, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = get_user_model().objects.filter(associate_of__in=access.associates(owner)).order_by("username")
        self.before = people.filter(accesses__client=client)
        offer_rows(self, "users", people)
        self.fields["users"].initial = list(self.before)

    @property
    def added(self) -> set[User]:
        """Return those who are let in anew."""
        return set(self.cleaned_data["users"]) - set(self.before)


class ClientForm(forms.ModelForm):  # type: ignore[type-arg]  # it is generic in its stub alone
    """A client's card."""

    language = forms.ChoiceField(
        required=False,
        label=gettext_lazy("Papers in"),
        help_text=gettext_lazy(
            "Also for the client’s screen, the verdict turned to them, and the words of consents. "
            "What you write by hand stays as it is."
        ),
    )

    class Meta:
        model = Client
        fields = ("name", "note", "minor", "words_only", "language")
        labels = {
            "name": gettext_lazy("Name"),
            "note": gettext_lazy("Note"),
            "minor": gettext_lazy("Under 18"),
            "words_only": gettext_lazy("Words only, no swatches"),
        }
        help_texts = {
            "note": gettext_lazy("Read in the studio. If you export everything for the client, it is in the file."),
            "minor": gettext_lazy(
                "The result is provisional, a parent or guardian agrees and is present, and nothing is published."
            ),
            "words_only": gettext_lazy("For a client who cannot tell hues apart."),
        }
        widgets = {
            "name": forms.TextInput(attrs={"autofocus": True}),
            "note": forms.Textarea(attrs={"rows": 4}),
        }

    def __init__(self, owner: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        tags = dict.fromkeys((*dict(settings.LANGUAGES), *filter(None, [self.instance.language])))
        usual = _("The studio’s language (%(language)s)") % {"language": own_name(studio_language(owner))}
        said = [("", usual), *((tag, own_name(tag)) for tag in tags)]
        cast("forms.ChoiceField", self.fields["language"]).choices = said
