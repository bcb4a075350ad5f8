"""How long the loaded contact takes, which a review works out again at each change of the geometry."""

from gearcheck.meshing.compliance import gear_compliance
from gearcheck.meshing.inputs import Body
from tests.bench.test_times import within
from tests.meshing.section_gears import helical


def test_compliance_of_one_gear(benchmark):
    within(benchmark, 150)
    pair = helical()
    found = benchmark(gear_compliance, gear=pair.pinion, pair=pair, body=Body(), face_width_mm=40.0)
    assert found.compliance.shape == (3, 30, 8, 8)
