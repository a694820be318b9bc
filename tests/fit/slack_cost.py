"""What slacks cost, step by step, as `Slacks` describes it."""

import numpy as np


def slack_cost(slacks, slack, sigmas):
    """Cost of slacks [mm], shape (m,), each 0 or more, in squares of a give."""
    starts = np.cumsum(np.vstack([np.zeros(len(slack)), slacks.lengths[:-1]]), axis=0)
    taken = np.clip(slack - starts, 0.0, slacks.lengths)
    return float((slacks.weights * taken / sigmas).sum())
