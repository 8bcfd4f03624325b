"""A mail to the client as a draft: the user's own mail program opens it and sends it. Tenter sends nothing.

The mail of a minor is written to the parent or guardian.

`X-Unsent: 1` is how mail programs know a draft in an .eml file.
"""

import hashlib
from collections.abc import Sequence
from email.message import EmailMessage
from email.policy import SMTP

from tenter.language import N_, _, long_date
from tenter.report.handing_over.handed_file import HandedFile, file_name
from tenter.report.reading.content import ClientCard

_ABOUT = {
    "application/pdf": N_("Your papers (PDF): what your colours are, how sure the result is, and how to wear them."),
    "text/html": N_("Your phone page: save it on your phone, and open it when you shop. It works without a network."),
    "image/png": N_("Your lock screen: a picture of your colours for your phone."),
}
_ABOUT_A_MINOR = {
    "application/pdf": N_("The papers (PDF): what the colours are, how sure the result is, and how to wear them."),
    "text/html": N_("The phone page: save it on a phone, and open it in a shop. It works without a network."),
    "image/png": N_("The lock screen: a picture of the colours for a phone."),
}
_UNFINISHED = N_("Your sitting is not finished, so some colours may change.")
_UNFINISHED_OF_A_MINOR = N_("The sitting is not finished, so some colours may change.")
_ASK = N_("If you are not sure about something in a shop or in your wardrobe, write to me.")


def mail_draft(client: ClientCard, attached: Sequence[HandedFile], unfinished: bool = False) -> bytes:
    """Return a draft to a client with files attached, as .eml. The same files give the same bytes.

    `unfinished`: whether to say that the sitting is not finished. The draft has no sender and no recipient: the mail
    program knows the one, and the consultant chooses the other.
    """
    draft = EmailMessage(policy=SMTP)
    draft["Subject"] = _one_line(_subject(client))
    draft["X-Unsent"] = "1"
    draft.set_content(mail_text(client, attached, unfinished))
    for file in attached:
        main, rest = file.kinds
        draft.add_attachment(file.content, maintype=main, subtype=rest, filename=file.name)
    if draft.is_multipart():
        draft.set_boundary(_boundary(attached))
    return draft.as_bytes()


def mail_draft_file(client: ClientCard, attached: Sequence[HandedFile], unfinished: bool = False) -> HandedFile:
    """Return the draft as a file that a mail program opens."""
    return HandedFile(file_name(client, "mail", "eml"), "message/rfc822", mail_draft(client, attached, unfinished))


def mail_text(client: ClientCard, attached: Sequence[HandedFile], unfinished: bool = False) -> str:
    """Return what the mail says, for the consultant to change as they like."""
    said = _ABOUT_A_MINOR if client.minor else _ABOUT
    about = [_(said[kind]) for kind in dict.fromkeys("/".join(f.kinds) for f in attached) if kind in said]
    signed = [part for part in (client.consultant, client.studio) if part]
    return "\n\n".join(
        [
            _one_line(_greeting(client)),
            _one_line(" ".join((_opening(client), *_so_far(client, unfinished)))),
            *about,
            _(_ASK),
            "\n".join(map(_one_line, signed)),
        ]
    )


def _subject(client: ClientCard) -> str:
    if client.minor:
        named = _("The colours of {name}", name=client.name)
        return _("The colours of {name}, {studio}", name=client.name, studio=client.studio) if client.studio else named
    return _("Your colours, {studio}", studio=client.studio) if client.studio else _("Your colours")


def _greeting(client: ClientCard) -> str:
    if client.minor and not client.guardian:
        return _("To the parent or guardian of {name},", name=client.name)
    return _("Dear {name},", name=client.guardian if client.minor else client.name)


def _opening(client: ClientCard) -> str:
    day = long_date(client.date)
    if client.minor:
        return _("Here are the colours of {name} from our sitting on {date}.", name=client.name, date=day)
    return _("Here are your colours from our sitting on {date}.", date=day)


def _so_far(client: ClientCard, unfinished: bool) -> tuple[str, ...]:
    return (_(_UNFINISHED_OF_A_MINOR if client.minor else _UNFINISHED),) if unfinished else ()


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _boundary(attached: Sequence[HandedFile]) -> str:
    """Return a line that stands in none of the files: they are carried in base64, which has no '='-and-'_' line."""
    digest = hashlib.sha256(b"".join(file.content for file in attached)).hexdigest()[:24]
    return f"=_{digest}_="
