"""The base of every section of a gear file."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Section(BaseModel):
    """A section of the file; a key that it does not know is an error."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)
