"""What came out: readings, stages and kept changes, in and out of an append-only file."""

from foldwright.ledger.exchange import (
    Imported,
    export_history,
    export_readings,
    import_file,
    import_history,
    import_readings,
    imported_in_words,
    is_table,
)
from foldwright.ledger.ledger import Ledger
from foldwright.ledger.records import (
    STAGES,
    Change,
    Entry,
    Forgetting,
    Making,
    Reading,
    Revision,
    Scrap,
    StageReached,
    Withdrawal,
    has_reached,
)
from foldwright.ledger.standing import Standing
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
from foldwright.ledger.words import described

__all__ = [
    "KINDS",
    "STAGES",
    "TOOLS",
    "Change",
    "Entry",
    "Forgetting",
    "Imported",
    "Ledger",
    "Making",
    "Reading",
    "Revision",
    "Scrap",
    "StageReached",
    "Standing",
    "Tool",
    "Withdrawal",
    "corrected",
    "described",
    "doubt",
    "export_history",
    "export_readings",
    "has_reached",
    "import_file",
    "import_history",
    "import_readings",
    "imported_in_words",
    "is_far",
    "is_table",
    "question",
    "tool_named",
    "usual_tool",
]
