"""A sitting and its verdict as plain values for JSON."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tenter import Sitting, Verdict
    from tenter.consultation.findings.changed_face import FaceChange
    from tenter.consultation.findings.diagnostics import Tendency
    from tenter.consultation.findings.reasons import EvidenceReason


def verdict_document(client: str, sitting: "Sitting", verdict: "Verdict") -> dict[str, object]:
    """Return the object that `tenter sit --replay --json` prints."""
    return {
        "client": client,
        **_result(verdict),
        **_doubted(verdict),
        **_placed(verdict),
        **_counted(sitting),
        **_argued(verdict),
        "exchanges_owed": [list(pair) for pair in sitting.exchanges_owed],
        "settling_pair": list(verdict.settling_pair) if verdict.settling_pair else None,
        "method": sitting.method.name,
        "photographs_alone": verdict.photographs_alone,
        "consultant": _named(sitting, verdict),
    }


def _result(verdict: "Verdict") -> dict[str, object]:
    """Return what the sitting came to, and how it stands."""
    owed, stop = verdict.not_finished, verdict.stop
    return {
        "category": verdict.category,
        "season": verdict.season,
        "odds_word": str(verdict.odds_word),
        "probability": verdict.probability,
        "season_probability": verdict.season_probability,
        "runner_up": verdict.runner_up,
        "trait_neighbour": verdict.trait_neighbour,
        "leading_trait": verdict.leading_trait,
        "edge": verdict.edge,
        "between": list(verdict.between),
        "not_finished": owed and {"owed": [str(one) for one in owed.owed], "minutes": owed.minutes},
        "stop": {"advised": stop.advised, "why": stop.why, "expected_change": stop.expected_change},
    }


def _doubted(verdict: "Verdict") -> dict[str, object]:
    """Return what the answers say about how they were given."""
    return {
        "misfit": {"p": verdict.misfit, "high": verdict.is_misfit},
        "position_bias": _tendency(verdict.diagnostics.position_bias),
        "fatigue": _tendency(verdict.diagnostics.fatigue),
        "change": _change(verdict.diagnostics.change),
        "tendencies": [
            {"code": str(one.code), "text": one.text, "odds_word_lowered": one.odds_word_lowered}
            for one in verdict.tendencies
        ],
        "hue_dependent": [{"family": o.family, "offset": o.mean} for o in verdict.hue_dependent],
        "without_phase": {
            phase: {"category": category, "probability": p} for phase, (category, p) in verdict.without_phase.items()
        },
    }


def _placed(verdict: "Verdict") -> dict[str, object]:
    """Return where the client lies, and the odds of each category."""
    return {
        "traits": {
            str(axis): {
                "side": str(t.side),
                "degree": str(t.degree),
                "mean": t.mean,
                "interval_90": list(t.interval),
            }
            for axis, t in verdict.traits.items()
        },
        "probabilities": dict(verdict.probabilities),
    }


def _counted(sitting: "Sitting") -> dict[str, object]:
    """Return how many entries count, and how many do not and why."""
    from tenter.consultation.reading.tally import tally

    made = tally(sitting.entries)
    return {"comparisons": made.counted, "weightless": made.weightless, "void": made.void, "undone": made.undone}


def _argued(verdict: "Verdict") -> dict[str, object]:
    """Return the reasons, the objections, and the entries that the rest speaks against."""
    return {
        "contradictions": [
            {
                "entry": c.number,
                "kind": str(c.kind),
                "p": c.p,
                "causes": [str(cause) for cause in c.causes],
                "repeat": list(c.repeat),
            }
            for c in verdict.contradictions
        ],
        "reasons": [_reason(r) for r in verdict.reasons],
        "against": [_reason(r) for r in verdict.against],
        "evidence_by_axis": {str(axis): worth for axis, worth in verdict.evidence_by_axis.items()},
    }


def _named(sitting: "Sitting", verdict: "Verdict") -> dict[str, object] | None:
    """Return the result as the consultant names it; no season where their category is another method's."""
    named = sitting.named
    if named is None:
        return None
    return {
        "category": named.category,
        "season": sitting.method.season_of.get(named.category),
        "reason": named.reason,
        "method": named.method or sitting.method.name,
        "same": named.category == verdict.category,
    }


def _tendency(found: "Tendency | None") -> dict[str, float] | None:
    return None if found is None else {"size": found.size, "z": found.z}


def _change(found: "FaceChange | None") -> dict[str, object] | None:
    if found is None:
        return None
    return {"log_factor": found.log_factor, "axis": str(found.axis), "sign": found.sign}


def _reason(reason: "EvidenceReason") -> dict[str, object]:
    return {
        "entries": list(reason.entries),
        "text": reason.text,
        "log_odds": reason.log_odds,
        "speaks_for": reason.speaks_for,
        "axis": str(reason.axis),
        "direction": str(reason.direction) if reason.direction else None,
        "named": [str(end) for end in reason.named],
        "flagged": reason.flagged,
    }
