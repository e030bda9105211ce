"""What parts cost by the user's own rates: sheet, cutting, bending, work, for 1 to 10 off.

No price is known here. A rate that is not given leaves its line out, and a sentence says so.
Amounts are added up exactly, and each is rounded to hundredths only where it is shown.
"""

from parts.trade.cost.lines import cost_of
from parts.trade.cost.model import (
    COUNTS,
    CostLine,
    CostPiece,
    CostTable,
    Rates,
    SheetUse,
    cents,
)  # fmt: skip

__all__ = ["COUNTS", "CostLine", "CostPiece", "CostTable", "Rates", "SheetUse", "cents", "cost_of"]
