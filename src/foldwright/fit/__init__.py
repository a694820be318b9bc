"""What meets what: clearances, the chance that they hold, and the refit."""

from foldwright.fit.assembly import Assembly
from foldwright.fit.beliefs import Belief, belief, is_made, scatter
from foldwright.fit.cannot_fit import Cure
from foldwright.fit.causes import causes_of
from foldwright.fit.clearances import (
    Clearance,
    Scene,
    clearances_in,
    clearances_of,
    key_of,
)
from foldwright.fit.cures import cure_in_words, cures_of
from foldwright.fit.effects import Causes
from foldwright.fit.following import Followed, as_kept, followed, is_of_shell
from foldwright.fit.habits import Habit
from foldwright.fit.learning import TakeOff, by_habit, habits_of, looks_of, to_take_off
from foldwright.fit.meet_words import does, others, says, tightest
from foldwright.fit.names import dim_in_words, dim_of_part, part_in_words
from foldwright.fit.same_stock import beliefs_of
from foldwright.fit.shifts import MeetForecast, Shift, is_in_danger
from foldwright.fit.simulate import Simulated
from foldwright.fit.stages import Freedom, can_change, freedoms
from foldwright.fit.standing_in import rib_meets
from foldwright.fit.telling import Telling, handiest, telling
from foldwright.fit.words import came_out, how_far_off, reasons
from foldwright.fit.works import Stress

__all__ = [
    "Assembly",
    "Belief",
    "Causes",
    "Clearance",
    "Cure",
    "Followed",
    "Freedom",
    "Habit",
    "MeetForecast",
    "Scene",
    "Shift",
    "Simulated",
    "Stress",
    "TakeOff",
    "Telling",
    "as_kept",
    "belief",
    "beliefs_of",
    "by_habit",
    "came_out",
    "can_change",
    "causes_of",
    "clearances_in",
    "clearances_of",
    "cure_in_words",
    "cures_of",
    "dim_in_words",
    "dim_of_part",
    "does",
    "followed",
    "freedoms",
    "habits_of",
    "handiest",
    "how_far_off",
    "is_in_danger",
    "is_made",
    "is_of_shell",
    "key_of",
    "looks_of",
    "others",
    "part_in_words",
    "reasons",
    "rib_meets",
    "says",
    "scatter",
    "telling",
    "tightest",
    "to_take_off",
]
