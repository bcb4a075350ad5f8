"""The kernel of this interpreter, whatever kernels are installed."""

from __future__ import annotations

from jupyter_client.kernelspec import KernelSpecManager


class OwnSpecs(KernelSpecManager):  # type: ignore[misc, unused-ignore]
    """Knows the kernel of this interpreter only."""

    def _kernel_dirs_default(self) -> list[str]:
        return []
