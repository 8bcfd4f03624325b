"""A method as a document, with the fields of a method file: so that what is written by one can be read anywhere."""

from dataclasses import asdict

from tenter.consultation.conventions.hue_versions import HueVersion
from tenter.consultation.conventions.method import Method
from tenter.consultation.conventions.method_parts import CategoryRegion
from tenter.consultation.words.traits import UndertoneSide


def method_document(method: Method) -> dict[str, object]:
    """Return the fields of a method as they stand in its file, as plain values; `Method.of_document` reads them."""
    return {
        "name": method.name,
        "title": method.title,
        "flags": sorted(str(flag) for flag in method.flags),
        "readings": {name: _plain(value) for name, value in asdict(method.readings).items()},
        "axes": {"depth": asdict(method.depth_scale), "clarity": asdict(method.clarity_scale)},
        "undertone": {
            "gain": method.undertone_table.gain,
            "within_family": method.versions.weight,
            "neutral_chroma": method.undertone_table.neutral_chroma,
            "full_chroma": method.undertone_table.full_chroma,
            "hue_table": [list(entry) for entry in method.undertone_table.hue_table],
        },
        "hues": [_version(version) for version in method.versions.of.values()],
        "palette": asdict(method.quotas),
        "palette_shifts": [{name: str(v) for name, v in asdict(shift).items()} for shift in method.shifts],
        "staples": [custom.document for custom in method.staples],
        "planning": asdict(method.planning),
        "phases": [{name: _plain(value) for name, value in asdict(phase).items()} for phase in method.phases],
        "seasons": [{"name": name, "undertone": str(side)} for name, side in method.side_of.items()],
        "categories": [_region(region) for region in method.regions],
    }


def _plain(value: object) -> object:
    return str(value) if isinstance(value, str) else value


def _version(version: HueVersion) -> dict[str, object]:
    ends = {"hue_ends": version.hue_ends, "chroma_ends": version.chroma_ends}
    told: dict[str, object] = {"family": str(version.family)}
    told |= {name: list(pair) for name, pair in ends.items() if pair is not None}
    for side in UndertoneSide:
        if version.named(side):
            told[str(side)] = version.named(side)
        if version.instead(side):
            told[f"{side}_instead"] = version.instead(side)
    return told


def _region(region: CategoryRegion) -> dict[str, object]:
    told: dict[str, object] = {"name": region.name, "season": region.season, "prototype": list(region.prototype)}
    if region.leading_trait is not None:
        told["leading_trait"] = str(region.leading_trait)
    if region.trait_neighbour is not None:
        told["trait_neighbour"] = region.trait_neighbour
    return told
