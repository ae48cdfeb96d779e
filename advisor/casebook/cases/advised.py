"""What was advised, as it is kept with a revision: enough to be found and calculated again."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Any

from advisor import __version__
from advisor.advice.result import Advice
from advisor.casebook.cases.chain import canonical
from advisor.report.json_forms.advice import advice_json

#: Parts of the JSON of an advice that are kept; the rest can be calculated again.
KEPT = ("verdict", "worlds", "plan", "methods", "gates", "loads", "needs")
_OF_PLAN = ("methods", "lead", "hold_probability", "hold_basis", "price", "minutes", "provisional")
_OF_METHOD = ("method", "variant", "status", "hold_probability", "usage", "price")
_OF_LOAD = ("demand", "site", "low", "typical", "high", "unit")
_OF_GATE = ("gate", "state")


@dataclass(frozen=True)
class Advised:
    """One advice as kept: plain data, figures of four digits."""

    pack: str
    """Digest of the rules."""
    version: str
    program: str
    seed: int
    result: dict[str, Any]
    digest: str
    """SHA-256 of ``result`` in the form of RFC 8785."""
    material: dict[str, float] | None = None
    """What the material was calculated to cost the shop; older revisions do not say."""

    @property
    def lead(self) -> str:
        """The method that leads; empty where there is no plan."""
        return str((self.result["plan"] or {}).get("lead", ""))

    @property
    def hold(self) -> float | None:
        """The calculated chance that the plan holds."""
        found = (self.result["plan"] or {}).get("hold_probability")
        return None if found is None else float(found)


def advised(advice: Advice) -> Advised:
    """What is kept of an advice."""
    form = advice_json(advice)
    result: dict[str, Any] = {name: form[name] for name in KEPT}
    result["plan"] = result["plan"] and _some(result["plan"], _OF_PLAN)
    for name, parts in (("methods", _OF_METHOD), ("gates", _OF_GATE), ("loads", _OF_LOAD)):
        result[name] = [_some(each, parts) for each in result[name]]
    digest = hashlib.sha256(canonical(result)).hexdigest()
    return Advised(
        advice.rules_digest, advice.rules_version, __version__, advice.seed, result, digest,
        material_of(advice),
    )


def material_of(advice: Advice) -> dict[str, float] | None:
    """The calculated cost of the material, to cents."""
    found = advice.plan.material if advice.plan is not None else None
    if found is None:
        return None
    return {end: round(getattr(found, end), 2) for end in ("low", "typical", "high")}


def _some(form: dict[str, Any], names: tuple[str, ...]) -> dict[str, Any]:
    return {name: form[name] for name in names}
