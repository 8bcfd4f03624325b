"""How an analyst answers, read from their own sittings: what an ended one says of it, and the prior for the next."""

from dataclasses import replace

import numpy as np

from tenter.consultation.reading.evidence_set import EvidenceSet
from tenter.consultation.reading.reading import Reading
from tenter.inference.posterior import Posterior
from tenter.inference.style_learning import FINE_STYLES, StyleEvidence

_NODES = 11  # a sum over the place of the client is all that is asked: half the nodes of a stated number do
_LEAST = 8  # entries from which a sitting says anything of a style worth the keeping; ours


def style_evidence(reading: Reading) -> StyleEvidence | None:
    """Return what a sitting's answers say of how they are given, whoever the client is; None of fewer than eight.

    As the natural log weight of each style. It says nothing of the client, and what was believed of the analyst before
    the sitting is no part of it.
    """
    standing = reading.evidence
    if len(standing) < _LEAST:
        return None
    frame = reading.bench.focused(FINE_STYLES, replace(reading.focus.frame.lattice.box, nodes=_NODES))
    evidence = EvidenceSet(reading.bench, frame, np.zeros(len(frame.lattice.ideals)))
    evidence.read(standing)
    posterior: Posterior = evidence.posterior(standing)
    of_style = np.log(np.maximum(posterior.of_style, 1e-300))
    return StyleEvidence(tuple(float(v) for v in of_style))
