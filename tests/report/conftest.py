import re
import shutil

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.report.notebook import export
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review

HOSTILE = """<script>alert(1)</script><img src=x onerror=alert(2)>"""


@pytest.fixture(scope="session")
def hostile_record(tmp_path_factory):
    """The demo that has evidence, with markup wherever the gear file takes free text."""
    folder = tmp_path_factory.mktemp("hostile") / "gear"
    shutil.copytree(scenarios() / "ship_lift", folder)
    file = folder / "gear.toml"
    text = file.read_text(encoding="utf-8")
    text, count = re.subn(r'(?m)^(title|note|set_by|by) = ".*"$', rf'\1 = "{HOSTILE}"', text)
    assert count >= 4
    file.write_text(text + '# """ \\" \\u0041\n', encoding="utf-8")
    return read_gear_file(file)


@pytest.fixture(scope="session")
def hostile(hostile_record):
    return review(hostile_record)


@pytest.fixture(scope="session")
def exported(hostile_record, tmp_path_factory):
    """The paths of the report of the hostile record: notebook and page."""
    return export(hostile_record, tmp_path_factory.mktemp("out")).paths
