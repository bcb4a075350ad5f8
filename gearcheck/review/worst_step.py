"""At which step of a duty a requirement is tightest, in words, where one step alone decides it."""

from __future__ import annotations

from gearcheck.review.bins import step_words
from gearcheck.review.results import MeshChain, Review

_DECIDED_BY = {
    "stress.scuffing": "hottest_step",
    "stress.micropitting": "thinnest_step",
    "case.needed": "heaviest_step",
}


def worst_step(whole: Review, key: str) -> str:
    """Say at which step of the duty a requirement is tightest.

    Parameters
    ----------
    whole : Review
        Of a record without arrays.
    key : str
        Of the requirement.

    Returns
    -------
    str
        The step with its torque and speed; empty without a duty, and where all steps count.
    """
    kind, _, name = key.rpartition(".")
    mesh = next((one for one in whole.chain.meshes if one.name == name), None)
    if mesh is None or kind not in _DECIDED_BY:
        return ""
    return step_words(whole.record, getattr(mesh, _DECIDED_BY[kind]))


def steps_in_words(whole: Review, mesh: MeshChain) -> tuple[str, ...]:
    """Say at which steps of the duty the flanks of one mesh are worst off.

    Parameters
    ----------
    whole : Review
        Of a record without arrays.
    mesh : MeshChain
        One of its meshes.

    Returns
    -------
    tuple of str
        A part of a sentence for scuffing and for micropitting, as far as they are worked out.
    """
    told = (("scuffing", mesh.hottest_step), ("micropitting", mesh.thinnest_step))
    return tuple(f"{what} at {step_words(whole.record, step)}" for what, step in told if step is not None)
