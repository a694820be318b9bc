"""What came out: readings and kept changes, in and out of an append-only file."""

from foldwright.ledger.records import Change, Reading, Revision, Withdrawal
from foldwright.ledger.store import Ledger
from foldwright.ledger.tools import (
    KINDS,
    TOOLS,
    Tool,
    corrected,
    doubt,
    is_far,
    question,
    tool_named,
    usual_tool,
)

__all__ = [
    "KINDS",
    "TOOLS",
    "Change",
    "Ledger",
    "Reading",
    "Revision",
    "Tool",
    "Withdrawal",
    "corrected",
    "doubt",
    "is_far",
    "question",
    "tool_named",
    "usual_tool",
]
