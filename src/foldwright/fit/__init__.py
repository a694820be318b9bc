"""What meets what: clearances, the chance that they hold, and the refit."""

from foldwright.fit.assembly import Assembly
from foldwright.fit.beliefs import Belief, belief, scatter
from foldwright.fit.causes import Causes, causes_of
from foldwright.fit.clearances import Clearance, clearances_of, key_of
from foldwright.fit.cures import cures_of
from foldwright.fit.meet_words import does, others, says, tightest
from foldwright.fit.shifts import MeetForecast, Shift, is_in_danger
from foldwright.fit.stages import Freedom, can_change, freedoms
from foldwright.fit.words import came_out, reasons

__all__ = [
    "Assembly",
    "Belief",
    "Causes",
    "Clearance",
    "Freedom",
    "MeetForecast",
    "Shift",
    "belief",
    "came_out",
    "can_change",
    "causes_of",
    "clearances_of",
    "cures_of",
    "does",
    "freedoms",
    "is_in_danger",
    "key_of",
    "others",
    "reasons",
    "says",
    "scatter",
    "tightest",
]
