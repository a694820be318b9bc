"""What meets what: clearances, the chance that they hold, and the refit."""

from foldwright.fit.beliefs import Belief, belief, scatter
from foldwright.fit.clearances import Clearance, clearances_of, key_of
from foldwright.fit.meet_words import does, others, says, tightest
from foldwright.fit.predict import MeetForecast, forecast, within
from foldwright.fit.refit import Shift, is_in_danger, is_missed, leaned_window, least_drift, refit
from foldwright.fit.words import came_out, reasons

__all__ = [
    "Belief",
    "Clearance",
    "MeetForecast",
    "Shift",
    "belief",
    "came_out",
    "clearances_of",
    "does",
    "forecast",
    "is_in_danger",
    "is_missed",
    "key_of",
    "leaned_window",
    "least_drift",
    "others",
    "reasons",
    "refit",
    "says",
    "scatter",
    "tightest",
    "within",
]
