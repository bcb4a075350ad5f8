import re
import shutil

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.report import release
from gearcheck.report.notebook import export
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review
from tests.report.disposed import disposed_record
from tests.report.told import Told

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


@pytest.fixture(scope="session")
def told(hostile_record, tmp_path_factory):
    """A record that people wrote in, put before the signers, and signed by two of three; only to be read."""
    made = Told(tmp_path_factory.mktemp("told"), hostile_record)
    made.talk()
    made.adopt()
    made.concede_all()
    made.do(release.prepare)
    made.sign("design")
    made.sign("quality")
    return made


@pytest.fixture(scope="session")
def disposed(tmp_path_factory):
    """The review and the book of a record after each verdict; only to be read."""
    return disposed_record(tmp_path_factory.mktemp("disposed"))


@pytest.fixture(scope="session")
def released(told, tmp_path_factory):
    """The files of its export, by how their names end."""
    written = release.export(told.workspace, told.book, tmp_path_factory.mktemp("released"))
    return {path.suffix.lstrip("."): path for path in written.paths}
