"""The browser desk: one local Voila server, set up by the package alone and open to this machine only."""

from __future__ import annotations

import logging
import os
import secrets
import socket
import sys
import tempfile
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Any

import tornado.ioloop
from traitlets.config import Config
from voila.app import Voila

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.places import PACKAGE, checkout, workbooks
from gearcheck.desk.kernel import OwnSpecs
from gearcheck.record.place import VARIABLE, workspace_path

ADDRESS = "127.0.0.1"
SHEET = "review.ipynb"
UPLOAD_LIMIT = 64 * 2**20  # bytes in one message; tornado's own 10 MB drops a larger upload without a word

# Vega compiles its expressions and the widgets load their code from blobs; nothing may leave this machine.
POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self' 'unsafe-inline' 'unsafe-eval' blob:",
        "style-src 'self' 'unsafe-inline' blob:",
        "img-src 'self' data: blob:",
        "font-src 'self' data:",
        "connect-src 'self' ws: blob: data:",
        "worker-src 'self' blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)


class ThisPython(OwnSpecs):
    """Starts every kernel with the interpreter that runs the server, whatever else is installed."""

    def get_kernel_spec(self, kernel_name: str) -> Any:
        """Return the native kernel, which speaks up for errors only."""
        spec = super().get_kernel_spec(kernel_name)
        spec.argv = [*spec.argv, "--log-level=ERROR"]
        return spec


class Desk(Voila):
    """Voila without the user's configuration files, which says its address when it listens."""

    announce: Callable[[str], None]
    address: str
    browse: bool

    def load_config_file(self, *_: Any, **__: Any) -> None:
        """Read no configuration file: the page looks the same for everyone."""

    def launch_browser(self) -> None:
        """Say the address, with the port that is really used, and open it where that is wanted."""
        url = f"http://{ADDRESS}:{self.port}{self.address}"
        self.announce(url)
        if self.browse:
            webbrowser.open(url)
        # On Windows the waiting event loop sees Ctrl-C only when something wakes it.
        self._waker = tornado.ioloop.PeriodicCallback(lambda: None, 500)
        self._waker.start()


def configuration(folder: Path, *, port: int, token: str, first_words: str, retries: int = 0) -> Config:
    """Return the whole configuration of the server.

    Parameters
    ----------
    folder : Path
        The workbooks; nothing else lies in it.
    port : int
        Where to listen, on this machine only.
    token : str
        What the first address carries; then a cookie takes its place.
    first_words : str
        The sentence that the page shows before its kernel has answered.
    retries : int
        How many more ports to try.

    Returns
    -------
    Config
        For `Desk`.
    """
    settings = Config()
    server = settings.Voila
    server.ip, server.port, server.port_retries = ADDRESS, port, retries
    server.root_dir = str(folder)
    server.token = token
    settings.IdentityProvider.cookie_options = {"samesite": "Strict"}
    server.open_browser = True
    # Voila warns of every notebook that this user has not signed with Jupyter's own key.
    server.log_level = "ERROR"
    # Leaving a page posts its kernel's end without the form token; the origin check stays on.
    server.tornado_settings = {
        "disable_check_xsrf": True,
        "websocket_max_message_size": UPLOAD_LIMIT,
        "ws_ping_timeout": 30_000,
        "headers": {
            "Content-Security-Policy": POLICY,
            "X-Content-Type-Options": "nosniff",
            "Referrer-Policy": "same-origin",
            "Cross-Origin-Opener-Policy": "same-origin",
        },
    }
    _set_page(settings.VoilaConfiguration, first_words)
    _set_kernels(settings, folder)
    _set_words(settings)
    return settings


def _set_page(page: Config, first_words: str) -> None:
    page.template = "gearcheck"
    page.theme = "light"
    page.allow_template_override = page.allow_theme_override = "NO"
    page.resources = {"gearcheck": {"first_words": first_words}}
    page.file_allowlist = []
    page.extension_allowlist = [
        "@voila-dashboards/widgets-manager8",
        "@jupyter-widgets/jupyterlab-manager",
        "anywidget",
    ]
    page.show_tracebacks = bool(os.environ.get("GEARCHECK_DEBUG"))
    page.kernel_spec_manager_class = ThisPython


def _set_words(settings: Config) -> None:
    """What a workbook that fails says, in place of the options of another command."""
    hint = "To see the cause, start the desk with GEARCHECK_DEBUG=1 in the environment."
    settings.VoilaExecutor.cell_error_instruction = settings.VoilaExecutor.cell_timeout_instruction = hint


def _set_kernels(settings: Config, folder: Path) -> None:
    ready = (folder / SHEET).is_file()
    settings.VoilaConfiguration.preheat_kernel = ready
    settings.VoilaKernelManager.kernel_pools_config = {
        "default": {"pool_size": 0, "kernel_env_variables": {}},
        SHEET: {"pool_size": 1, "kernel_env_variables": {}},
    }
    kernels = settings.AsyncMappingKernelManager
    kernels.cull_idle_timeout, kernels.cull_interval, kernels.cull_connected = 900, 60, False
    # A kernel started again would know nothing of the page: the page has to say that it is gone.
    settings.KernelRestarter.time_to_dead = 1.0
    settings.KernelRestarter.restart_limit = 0
    settings.NotebookNotary.db_file = ":memory:"


def environment(file: Path, own: Path, workspace: Path) -> dict[str, str]:
    """Return what the server and its kernels find in their environment.

    Parameters
    ----------
    file : Path
        The gear file.
    own : Path
        An empty folder for what Jupyter and IPython like to write.
    workspace : Path
        The file that keeps the records.

    Returns
    -------
    dict
        Names and values to set.
    """
    values = {
        "GEARCHECK_FILE": str(file.resolve()),
        VARIABLE: str(workspace.absolute()),
        "JUPYTER_PATH": _joined(PACKAGE / "_jupyter", "JUPYTER_PATH"),
        "JUPYTER_NO_CONFIG": "1",
        "JUPYTER_PREFER_ENV_PATH": "1",
        "JUPYTER_DATA_DIR": str(own / "jupyter"),
        "IPYTHONDIR": str(own / "ipython"),
        # A waiting kernel asks its server for the address of the page: never by way of a proxy.
        "NO_PROXY": f"{ADDRESS},localhost",
        "no_proxy": f"{ADDRESS},localhost",
        "PYTHONUTF8": "1",
    }
    home = checkout()
    if home:
        values["PYTHONPATH"] = _joined(home, "PYTHONPATH")
    return values


def _joined(first: Path, name: str) -> str:
    rest = [str(Path(entry).absolute()) for entry in os.environ.get(name, "").split(os.pathsep) if entry]
    return os.pathsep.join([str(first), *(entry for entry in rest if entry != str(first))])


def free_port(port: int = 0) -> int:
    """Return a port of this machine that nobody listens on.

    Parameters
    ----------
    port : int
        The one that is wanted; 0 for any.

    Returns
    -------
    int
        `port`, or one that the system picked.

    Raises
    ------
    InputError
        If the wanted port is taken, not allowed, or no port.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if sys.platform != "win32":  # there it would let two servers share a port
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((ADDRESS, port))
        except (OSError, OverflowError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            raise InputError(
                [
                    Fault(
                        "--port",
                        str(port),
                        "a free port from 1024 to 65535, or none to have one picked",
                        reason,
                    )
                ]
            ) from None
        return int(probe.getsockname()[1])


def _say(url: str) -> None:
    sys.stdout.write(f"{url}\n")
    sys.stdout.flush()


def serve(
    file: Path,
    *,
    port: int = 0,
    open_browser: bool = True,
    first_words: str = "",
    folder: Path | None = None,
    workspace: Path | None = None,
    announce: Callable[[str], None] = _say,
) -> None:
    """Serve the workbooks for one gear file until Ctrl-C.

    Parameters
    ----------
    file : Path
        The gear file; the kernels find it as ``GEARCHECK_FILE``.
    port : int
        Where to listen; 0 picks a free port.
    open_browser : bool
        Whether to open the review sheet in the browser.
    first_words : str
        The outcome sentence, plain text; the page shows it before its kernel has answered.
    folder : Path, optional
        Another folder of workbooks.
    workspace : Path, optional
        Another workspace than `workspace_path` gives.
    announce : callable
        Called once with the address, token included, as soon as the server listens.

    Raises
    ------
    InputError
        If the port is taken.
    """
    folder = (folder or workbooks()).resolve()
    token = secrets.token_urlsafe(24)
    retries = 0 if port else 20  # a port that was picked may be gone a moment later
    port = free_port(port)
    with tempfile.TemporaryDirectory(prefix="gearcheck_", ignore_cleanup_errors=True) as own:
        os.environ.update(environment(file, Path(own), workspace_path(workspace)))
        for name in ("tornado.access", "tornado.general"):  # they would write the token into the terminal
            logging.getLogger(name).setLevel(logging.ERROR)
        desk = Desk()
        desk.announce, desk.browse = announce, open_browser
        desk.address = f"/voila/render/{SHEET}?token={token}"
        desk.update_config(
            configuration(folder, port=port, token=token, first_words=first_words, retries=retries)
        )
        desk.initialize([])
        desk.start()
