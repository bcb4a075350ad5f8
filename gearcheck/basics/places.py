"""Where the workbooks and the demo gears lie, in a checkout and in an installed package."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]


def checkout(package: Path = PACKAGE) -> Path | None:
    """Return the folder of the checkout that the package runs from; None where it is installed.

    Parameters
    ----------
    package : Path
        The folder of the package; another one in tests only.

    Returns
    -------
    Path or None
        The folder that holds ``pyproject.toml``, ``workbooks`` and ``scenarios``.
    """
    home = package.parent
    return home if (home / "pyproject.toml").is_file() and (home / "workbooks").is_dir() else None


def _shared(name: str, package: Path) -> Path:
    home = checkout(package)
    folder = home / name if home else package / "_share" / name
    if not folder.is_dir():
        raise FileNotFoundError(f"{folder} is missing: the package is not installed completely")
    return folder


def workbooks(package: Path = PACKAGE) -> Path:
    """Return the folder of the workbooks.

    Parameters
    ----------
    package : Path
        The folder of the package; another one in tests only.

    Returns
    -------
    Path
        Beside the package in a checkout, inside it where it is installed.

    Raises
    ------
    FileNotFoundError
        If the package was installed without them.
    """
    return _shared("workbooks", package)


def scenarios(package: Path = PACKAGE) -> Path:
    """Return the folder of the demo gears.

    Parameters
    ----------
    package : Path
        The folder of the package; another one in tests only.

    Returns
    -------
    Path
        Beside the package in a checkout, inside it where it is installed.

    Raises
    ------
    FileNotFoundError
        If the package was installed without them.
    """
    return _shared("scenarios", package)
