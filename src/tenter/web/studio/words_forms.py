"""What the pages of a studio's own words may send: which text, the text, a picture, a language, a version."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, pgettext_lazy

from tenter.consultation.words import terms
from tenter.errors import TenterError
from tenter.report.own_words.studio_picture import MOST_BYTES, studio_picture
from tenter.report.own_words.studio_words import (
    MOST_LETTERS,
    MOST_LINES,
    Logo,
    Topic,
    language_from,
    letterhead_lines,
    plain_text,
)
from tenter.report.words.wording import sentence
from tenter.web.papers import own_words
from tenter.web.papers.own_words import OF_A_SEASON, PICTURE_TOPICS, Version, WordsSlot
from tenter.web.sent.sent_text import said_lines
from tenter.web.sent.typed_fields import choice_field

LABELS = {
    Topic.LANGUAGE: gettext_lazy("Language of the papers"),
    Topic.LETTERHEAD: gettext_lazy("Letterhead"),
    Topic.LOGO: gettext_lazy("Logo"),
    Topic.SIGNATURE: gettext_lazy("Signature, typed"),
    Topic.SIGNED: gettext_lazy("Signature, a picture"),
    Topic.TEXT: gettext_lazy("Your text"),
    Topic.MAKE_UP: gettext_lazy("Your make-up advice"),
    Topic.LETTER: gettext_lazy("Letter"),
}
_PLAIN = gettext_lazy("Plain text in any script. An empty line begins a paragraph. %(most)s letters at most.")
_HELP = {
    Topic.LANGUAGE: gettext_lazy(
        "A language tag: en, de, pt-BR, zh-Hant. Screen readers need it to read the papers aloud correctly. "
        "%(most)s letters at most."
    ),
    Topic.LETTERHEAD: gettext_lazy("Up to %(lines)s short lines, the studio’s name first. %(most)s letters at most."),
    Topic.SIGNATURE: gettext_lazy(
        "Printed under your letter where there is no picture of your signature. %(most)s letters at most."
    ),
}
_ONE_LINE = (Topic.LANGUAGE, Topic.SIGNATURE)


def _faults(error: TenterError) -> list[str]:
    return [f"{sentence(line)}." for line in said_lines(error)]


def _tag(text: str) -> str:
    try:
        return str(language_from(text))
    except TenterError as error:
        raise forms.ValidationError(_faults(error)) from None


def tag_or_none(text: str) -> str | None:
    """Return a language tag in its usual spelling, or None where a text is none."""
    try:
        return str(language_from(text))
    except TenterError:
        return None


class SlotForm(forms.Form):
    """Which text of the studio's is meant."""

    topic = forms.ChoiceField(choices=[(str(topic), topic) for topic in Topic if topic is not Topic.LETTER])
    of = forms.CharField(required=False, max_length=120)
    language = forms.CharField(required=False, max_length=20)

    def __init__(self, owner: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner = owner

    def clean_language(self) -> str:
        """Return the tag in its usual spelling; raises `ValidationError` for what is none."""
        said: str = self.cleaned_data["language"]
        return _tag(said) if said else ""

    def clean(self) -> dict[str, Any]:
        """Return what was said, with its slot.

        Raises `ValidationError` for a season that no method of the studio has and nothing was written of, and for a
        text of no season.
        """
        said: dict[str, Any] = super().clean() or self.cleaned_data
        if self.errors:
            return said
        topic, of = Topic(said["topic"]), said["of"]
        known = {name for names in own_words.seasons_of(self.owner).values() for name, _is_season in names}
        written = set(self.owner.studio_texts.values_list("of", flat=True))
        if of and (topic not in OF_A_SEASON or of not in known | written):
            raise forms.ValidationError(_("There is no such season."))
        if not of and topic is Topic.TEXT:
            raise forms.ValidationError(_("A text belongs to a season or a sub-season."))
        language = "" if topic in own_words.WITHOUT_LANGUAGE else said["language"]
        said["slot"] = WordsSlot(topic, of, language or self._usual(topic))
        return said

    def _usual(self, topic: Topic) -> str:
        return "" if topic in own_words.WITHOUT_LANGUAGE else own_words.main_language(self.owner)


class TextForm(forms.Form):
    """A text, as long as its topic allows."""

    text = forms.CharField(required=False, strip=False)

    def __init__(self, topic: Topic, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.topic, most = topic, MOST_LETTERS[topic]
        field = self.fields["text"]
        field.label = LABELS[topic]
        field.help_text = _HELP.get(topic, _PLAIN) % {"most": most, "lines": MOST_LINES}
        rows = {Topic.LETTERHEAD: 6, Topic.LETTER: 18}.get(topic, 10)
        plain = {"dir": "auto"}
        field.widget = (
            forms.TextInput(attrs=plain) if topic in _ONE_LINE else forms.Textarea(attrs=plain | {"rows": rows})
        )

    def clean_text(self) -> str:
        """Return the text as it is kept; raises `ValidationError` where it cannot be printed, and says why."""
        said: str = self.cleaned_data["text"]
        if self.topic is Topic.LANGUAGE:
            return _tag(said)
        try:
            kept = plain_text(said, self.topic)
            return "\n".join(letterhead_lines(kept)) if self.topic is Topic.LETTERHEAD else kept
        except TenterError as error:
            raise forms.ValidationError(_faults(error)) from None


class LetterForm(TextForm):
    """A letter to a client, with the language it is in."""

    language = forms.CharField(
        max_length=20,
        label=gettext_lazy("Language"),
        help_text=gettext_lazy(
            "Its short name, such as en or de. Your texts in that language are printed with the letter."
        ),
    )
    field_order = ("text", "language")

    def clean_language(self) -> str:
        """Return the tag in its usual spelling; raises `ValidationError` for what is none."""
        return _tag(self.cleaned_data["language"])


class PictureForm(forms.Form):
    """A logo, or a picture of a signature."""

    picture = forms.FileField(
        help_text=gettext_lazy(
            "A PNG or JPEG, 64 pixels a side or more. Transparent parts show the paper. A drawing (SVG) "
            "is not accepted, because it may contain scripts: export it as a PNG."
        ),
        widget=forms.FileInput(attrs={"accept": "image/png,image/jpeg"}),
    )

    def __init__(self, topic: Topic, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["picture"].label = LABELS[topic] if topic in PICTURE_TOPICS else _("Picture")

    def clean_picture(self) -> Logo:
        """Return the picture as it is printed; raises `ValidationError` where it cannot be, and says why."""
        file = self.cleaned_data["picture"]
        try:
            return studio_picture(file.read(MOST_BYTES + 1), _("The file"))
        except TenterError as error:
            raise forms.ValidationError(_faults(error)) from None


class PreviewForm(forms.Form):
    """What a preview shows: of which sub-season, in which language, and with which version of the words."""

    of = forms.ChoiceField(required=False, label=gettext_lazy("For a client of"))
    language = forms.ChoiceField(required=False, label=pgettext_lazy("before a language", "In"))
    version = forms.CharField(
        required=False,
        max_length=30,
        label=gettext_lazy("Version"),
        help_text=gettext_lazy("As named on an old paper, such as 7. Leave it empty for the latest."),
    )

    def __init__(self, owner: User, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.pairs = {
            f"{season}/{name}": (name, season)
            for names in own_words.seasons_of(owner).values()
            for name, season in _with_season(names)
        }
        choice_field(self, "of").choices = [
            (key, str(terms.season_sentence(name))) for key, (name, _season) in self.pairs.items()
        ]
        choice_field(self, "language").choices = [(tag, tag) for tag in own_words.languages(owner)]

    def clean_of(self) -> tuple[str, str]:
        """Return the sub-season and its season."""
        return self.pairs.get(self.cleaned_data["of"]) or next(iter(self.pairs.values()))

    def clean_version(self) -> Version:
        """Return the version asked for; raises `ValidationError` where it is none."""
        try:
            return own_words.version_from(self.cleaned_data["version"])
        except TenterError as error:
            raise forms.ValidationError(_faults(error)) from None


def _with_season(names: list[tuple[str, bool]]) -> list[tuple[str, str]]:
    """Return each name with its season: the last season before it."""
    found, season = [], ""
    for name, is_season in names:
        season = name if is_season else season
        found.append((name, season))
    return found
