"""How fast the loaded contact settles with slices and positions: by hand, the rates stand in results.md."""

import numpy as np
import pytest

from gearcheck.meshing.form import Misalignment
from gearcheck.meshing.loaded import loaded_contact
from tests.meshing.pairs import bed_of, forms_of
from tests.record.results import write_row

KINDS = {"spur": {}, "helical, 15°": {"helix_deg": 15.0}, "helical, 30°": {"helix_deg": 30.0}}
COMMAND = "python -m pytest -n 0 -m slow tests/meshing/test_convergence.py"
LOOKED_AT = {"mean_um": "mean error", "peak_to_peak_um": "peak to peak", "largest_pressure_MPa": "pressure"}


def contact(kind, positions, slices):
    bed = bed_of(positions=positions, slices=slices, **KINDS[kind])
    forms = forms_of(bed, tip_relief_um=18.0, helix_crowning_um=4.0)
    lean = Misalignment(out_of_plane_um=8.0)
    return loaded_contact(bed=bed, torque_Nm=300.0, misalignment=lean, **forms)


def rate(sizes, errors):
    """The power of the number of parts with which an error falls."""
    return -np.polyfit(np.log(sizes), np.log(np.maximum(errors, 1e-6)), 1)[0]


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    ("cut", "sizes", "finest"), [("slices", (11, 21, 41, 81), 161), ("positions", (16, 32, 64, 128), 512)]
)
def test_the_error_of_the_cut_falls(kind, cut, sizes, finest):
    other = {"slices": {"positions": 32}, "positions": {"slices": 21}}[cut]
    found = {size: contact(kind, **other, **{cut: size}) for size in (*sizes, finest)}
    bed_of.cache_clear()
    said = []
    for name, words in LOOKED_AT.items():
        errors = [abs(getattr(found[size], name) / getattr(found[finest], name) - 1) for size in sizes]
        assert errors[1] < 0.02
        assert errors[-1] <= max(errors[0], 1e-3)
        shown = ", ".join(f"{100 * error:.2g} %" for error in errors)
        said.append(f"{words} {shown} (rate {rate(sizes, errors):.1f})")
    write_row(
        f"loaded contact, {kind}: {', '.join(map(str, sizes))} {cut} beside {finest}",
        len(sizes),
        "; ".join(said),
        COMMAND,
    )
