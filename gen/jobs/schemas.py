"""The models of the files a shop writes, as JSON Schema 2020-12, for editors that complete and check them."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel

DocumentKind = Literal["machine", "recipe", "control"]
DOCUMENTS: tuple[DocumentKind, ...] = ("machine", "recipe", "control")

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema_of(kind: DocumentKind) -> dict[str, Any]:
    """The schema of a ``machine.toml``, a recipe file or a ``control.toml``."""
    return {"$schema": DIALECT, **_model(kind).model_json_schema(mode="validation")}


def _model(kind: DocumentKind) -> type[BaseModel]:
    match kind:
        case "machine":
            from gen.shop.machine import Machine

            return Machine
        case "recipe":
            from gen.shop.recipe import Recipe

            return Recipe
        case "control":
            from gen.control.model import Control

            return Control
