"""Draws the phone page: one HTML file that asks nobody for anything."""

import base64
import hashlib
import json
from collections.abc import Iterable
from html import escape
from importlib.resources import files
from string import Template

from tenter.language import _, language
from tenter.report.phone_page.asking import Asking
from tenter.report.phone_page.content import (
    ASK_BESIDE,
    ASK_HELP,
    ASK_LABEL,
    ASK_TITLE,
    PALER,
    Band,
    Block,
    PhonePage,
    PhoneStaple,
)
from tenter.report.phone_page.ink import ink_on
from tenter.report.words.palette_words import STAPLES_TITLE


def phone_page_html(page: PhonePage, asking: Asking | None = None) -> bytes:
    """Return the page as one UTF-8 HTML file; without `asking` it has no question and no script."""
    style = _file("phone_page.css") + _colour_rules(page)
    script = _file("phone_page.js") if asking else ""
    links = [*([("ask", _(ASK_TITLE))] if asking else [])]
    links += [
        *((b.key, b.title) for b in page.shown.blocks[:2]),
        *([("staples", _(STAPLES_TITLE))] if page.shown.staples else []),
    ]
    told = Template(_file("phone_page.html")).substitute(
        policy=_policy(style, script),
        language=language().code,
        direction=language().direction,
        contents=escape(_("On this page")),
        one_file=escape(_("This page is one file. It works without a network and sends nothing anywhere.")),
        title=escape(_("Colours of {name}", name=page.client)),
        style=style,
        client=escape(page.client),
        headline=escape(page.headline),
        sure=escape(page.sure),
        note=f'<p class="quiet">{escape(page.note)}</p>' if page.note else "",
        links="".join(_link(key, words) for key, words in links),
        strip=_block(page.shown.strip, "strip"),
        ask=_ask() if asking else "",
        blocks="\n".join(
            [
                *map(_block, page.shown.blocks[:2]),
                _staples(page.shown.staples),
                *map(_block, page.shown.blocks[2:]),
                _words(page),
            ]
        ),
        made=escape(page.made),
        data=_data(asking) if asking else "",
        script=f"<script>{script}</script>" if script else "",
    )
    return told.encode("utf-8")


def _file(name: str) -> str:
    return (files("tenter.report.phone_page") / "templates" / name).read_text(encoding="utf-8")


def _policy(style: str, script: str) -> str:
    """Return a policy that allows this style and this script, and no connection of any kind."""
    allowed = {"style-src": style, "script-src": script}
    rules = [f"{rule} {_digest(text)}" for rule, text in allowed.items() if text]
    nothing = ("default-src", "connect-src", "form-action", "base-uri")
    return "; ".join([*(f"{rule} 'none'" for rule in nothing), *rules])


def _digest(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _colour_rules(page: PhonePage) -> str:
    shown = {band.key: band.hex for block in page.shown.every_block for band in block.bands}
    shown |= {_staple_key(n): line.hex for n, line in enumerate(page.shown.staples)}
    return "".join(f"#{key}{{background:{value}}}\n" for key, value in shown.items())


def _link(key: str, words: str) -> str:
    scripted = ' class="scripted" hidden' if key == "ask" else ""
    return f'<li{scripted}><a href="#{key}">{escape(words)}</a></li>'


def _block(block: Block, kind: str = "pair") -> str:
    if not block.bands:
        return ""
    bands = "".join(_band(band, block.key) for band in block.bands)
    return (
        f'<section id="{block.key}" class="mat {kind}" aria-labelledby="{block.key}-title">'
        f'<div class="words"><h2 id="{block.key}-title">{escape(block.title)}</h2><p>{escape(block.text)}</p></div>'
        f'<ul class="bands {kind}">{bands}</ul></section>'
    )


def _band(band: Band, back: str) -> str:
    paler = "" if band.shown_truly else f'<span class="paler">{escape(_(PALER))}</span>'
    return (
        f'<li id="{band.key}" class="band {"seen" if band.seen else "told"} {ink_on(band.hex)}-ink">'
        f'<a class="open" href="#{band.key}"><span class="name">{escape(_named(band))}</span>'
        f'<span class="looks">{escape(band.words)}</span><span class="known">{escape(band.known)}</span>{paler}</a>'
        f'<a class="back" href="#{back}">{escape(_("Back to the colours"))}</a></li>'
    )


def _named(band: Band) -> str:
    use = band.use_beside_name
    return _("{name}: {use}", name=band.name, use=use) if use else band.name


def _staple_key(number: int) -> str:
    return f"s{number + 1}"


def _staples(lines: Iterable[PhoneStaple]) -> str:
    told = "".join(
        f'<li><span class="chip" id="{_staple_key(n)}"></span><p><strong>{escape(line.name)}</strong> '
        f"{escape(line.answer)}</p></li>"
        for n, line in enumerate(lines)
    )
    head = f'<div class="words"><h2 id="staples-title">{escape(_(STAPLES_TITLE))}</h2></div>'
    section = f'<section id="staples" class="mat" aria-labelledby="staples-title">{head}'
    section += f'<ul class="staples">{told}</ul></section>'
    return section if told else ""


def _words(page: PhonePage) -> str:
    parts = [_plain("metals", _("Metals"), f"<p>{escape(page.metals)}</p>")] if page.metals else []
    if page.missing:
        parts.append(_plain("missing", _("Hues without a version of yours"), _list(page.missing)))
    parts.append(_plain("screens", _("Hold your phone beside the cloth"), _list(page.screens)))
    key = (
        _("● seen on you: your consultant held a cloth of this colour under your face."),
        _("○ predicted: by a model, from what was seen on you."),
    )
    told = "".join(f"<p>{escape(line)}</p>" for line in key)
    return "".join([*parts, _plain("marks", _("How each colour is known"), told)])


def _plain(key: str, title: str, body: str) -> str:
    return (
        f'<section id="{key}" class="plain" aria-labelledby="{key}-title">'
        f'<div class="words"><h2 id="{key}-title">{escape(title)}</h2>{body}</div></section>'
    )


def _list(lines: Iterable[str]) -> str:
    return f'<ul class="screens">{"".join(f"<li>{escape(line)}</li>" for line in lines)}</ul>'


def _ask() -> str:
    body = (
        f'<form><label for="asked">{escape(_(ASK_LABEL))}</label>'
        '<input id="asked" type="text" autocomplete="off" autocapitalize="none" spellcheck="false" enterkeyhint="go" '
        f'aria-describedby="asked-help"><button type="submit">{escape(_("Ask"))}</button></form>'
        f'<p class="quiet" id="asked-help">{escape(_(ASK_HELP))}</p>'
        '<div class="answer" role="status" hidden><p data-part="unknown" hidden></p><div data-part="known" hidden>'
        '<div class="asked"><span data-part="asked"></span><span data-part="own"></span></div>'
        f'<p class="quiet">{escape(_(ASK_BESIDE))}</p>'
        '<p class="said"><span data-part="name"></span> <span data-part="answer"></span></p>'
        '<div data-part="lines"></div></div></div>'
    )
    section = _plain("ask", _(ASK_TITLE), body)
    return section.replace('class="plain"', 'class="plain ask scripted" hidden', 1)


def _data(asking: Asking) -> str:
    told = json.dumps(asking.data(), ensure_ascii=True, separators=(",", ":")).replace("<", "\\u003c")
    return f'<script type="application/json" id="told">{told}</script>'
