"""Files that a shop may put into its own folder, for the tests of hazards."""

from __future__ import annotations

GAS_LINE = """
gates:
  gas_line:
    fact: gate.gas_line
    title: A gas line lies behind the damage
    closed_when: {fact: gate.gas_line, is: yes}
    refer: Refer to a licensed gas fitter to make it safe first.
    source: practice
    status: common_practice
"""
GAS_QUESTION = """
gate.gas_line:
  kind: yes_no
  stage: hazards
  gate: true
  title: Gas line
  ask: Is there a gas pipe behind this section?
  how: Look for a copper pipe, a regulator or a bottle locker.
"""
SWITCHED_OFF = """
switched_off:
  heater:
    reason: None of the harbour shuttles has seat heating.
    name: Ida Moe
    date: 2026-11-30
"""
