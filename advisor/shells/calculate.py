"""The calculations on the command line: fit, torque, hydrogen, life, couple, quantity, convert, decode, specify."""

from __future__ import annotations

from advisor.calculations import registry
from advisor.shells.given import Call
from advisor.shells.opening import open_told
from advisor.shells.screen import encoded, width, write
from advisor.views.calculation_text import calculation_text
from advisor.views.data import calculation_json


def run(call: Call) -> int:
    """advisor fit, torque, hydrogen, life, couple, quantity, convert, decode or specify, each with its own options"""
    base = open_told(call.settings)
    inputs = {name: value for name, value in call.given.items() if name != "json"}
    found = registry.run(base, call.command, inputs)
    if call.has("json"):
        write(encoded(calculation_json(base, found)))
        return 0
    for line in calculation_text(base, found, width()):
        write(line)
    return 0
