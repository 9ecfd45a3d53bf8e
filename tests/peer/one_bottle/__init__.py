"""One gas-washing bottle, written a second time from the model's description.

It shares the constants' values (as `noxwash constants --json` prints them) and the resolved case
with the C program, and no code. It works in mol/L and atm where the C works in mol/m3 and Pa, and
replaces its few exponential slices by many nodes of Radau collocation along the bubbles' way up.
"""
from .bottle import CLOCK, run  # noqa: F401
