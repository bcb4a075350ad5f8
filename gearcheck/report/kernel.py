"""Runs a notebook with the interpreter of this program, whatever kernels are installed, without a clock."""

from __future__ import annotations

import os
import tempfile
import warnings
from pathlib import Path

from jupyter_client.kernelspec import KernelSpecManager
from jupyter_client.manager import AsyncKernelManager
from nbclient import NotebookClient
from nbformat import NotebookNode

from gearcheck.basics.places import checkout

LONGEST_CELL_S = 600


class OwnSpecs(KernelSpecManager):  # type: ignore[misc, unused-ignore]
    """Knows the kernel of this interpreter only."""

    def _kernel_dirs_default(self) -> list[str]:
        return []


class OwnKernel(AsyncKernelManager):  # type: ignore[misc, unused-ignore]
    """A kernel of this interpreter."""

    def _kernel_spec_manager_default(self) -> OwnSpecs:
        return OwnSpecs()


def run(notebook: NotebookNode) -> None:
    """Run a notebook from top to bottom in a fresh kernel and an empty folder; its outputs are filled in.

    Parameters
    ----------
    notebook : NotebookNode
        Changed in place.

    Raises
    ------
    nbclient.exceptions.CellExecutionError
        If a cell fails.
    """
    with tempfile.TemporaryDirectory(prefix="gearcheck_", ignore_cleanup_errors=True) as folder:
        client = NotebookClient(
            notebook,
            kernel_manager_class=OwnKernel,
            kernel_name="python3",
            record_timing=False,
            store_widget_state=False,
            timeout=LONGEST_CELL_S,
            # its sockets are open to this machine only; that they are not encrypted need not be said
            extra_arguments=["--log-level=ERROR"],
            resources={"metadata": {"path": folder}},
        )
        with warnings.catch_warnings():
            # on Windows zmq says that it brings a thread of its own; nobody can do anything about it
            warnings.filterwarnings("ignore", "Proactor event loop", RuntimeWarning)
            client.execute(env=_environment(Path(folder)))


def _environment(folder: Path) -> dict[str, str]:
    own = {"IPYTHONDIR": str(folder / "ipython"), "JUPYTER_NO_CONFIG": "1", "PYTHONUTF8": "1"}
    home = checkout()
    if home is not None:
        given = os.environ.get("PYTHONPATH", "")
        own["PYTHONPATH"] = os.pathsep.join([str(home), *([given] if given else [])])
    return {**os.environ, **own}
