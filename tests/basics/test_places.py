"""The finder of workbooks and demo gears, on made-up folders of a checkout and of an installation."""

import pytest

from gearcheck.basics import places


def package(tmp_path, *folders, project=False):
    for folder in ("gearcheck", *folders):
        (tmp_path / folder).mkdir(parents=True, exist_ok=True)
    if project:
        (tmp_path / "pyproject.toml").write_text("", encoding="utf-8")
    return tmp_path / "gearcheck"


def test_a_checkout_has_them_beside_the_package(tmp_path):
    home = package(tmp_path, "workbooks", "scenarios", project=True)
    assert places.checkout(home) == tmp_path
    assert places.workbooks(home) == tmp_path / "workbooks"
    assert places.scenarios(home) == tmp_path / "scenarios"


def test_an_installation_has_them_inside_even_if_others_lie_beside_it(tmp_path):
    home = package(tmp_path, "workbooks", "gearcheck/_share/workbooks", "gearcheck/_share/scenarios")
    assert places.checkout(home) is None
    assert places.workbooks(home) == home / "_share" / "workbooks"
    assert places.scenarios(home) == home / "_share" / "scenarios"


def test_what_is_missing_is_said(tmp_path):
    with pytest.raises(FileNotFoundError, match="not installed completely"):
        places.workbooks(package(tmp_path))


def test_the_package_under_test_finds_its_own():
    assert places.workbooks().is_dir()
    assert places.scenarios().is_dir()
