"""One line of a bench's report."""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Row:
    """One line of the report; the smaller the value the better."""

    name: str
    value: float
    budget: float
    unit: str

    def __str__(self) -> str:
        if math.isinf(self.budget):
            return f"{self.name:<58} {self.value:>9.1f} {self.unit}"
        ratio = self.value / self.budget
        verdict = "ok" if ratio <= 1 else "OVER"
        return f"{self.name:<58} {self.value:>9.1f} {self.unit:<5} of {self.budget:>7.0f}   {ratio:5.2f}  {verdict}"
