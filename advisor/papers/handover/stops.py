"""What of the advice stops a hand-over."""

from __future__ import annotations

from advisor.advice.result import Advice, GateState


def stops_of(advice: Advice) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Titles of the hazards that refer the job, and of those nobody has answered."""
    closed = tuple(gate.title for gate in advice.gates if gate.state is GateState.CLOSED)
    return closed, tuple(gate.title for gate in advice.open_hazards)
