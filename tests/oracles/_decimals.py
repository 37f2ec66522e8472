"""Ten thousand random fits worked out by Python's decimal, one a line.

shaft shaft bore bore | new least, new greatest, service greatest (thousandths
of a thousandth, signed) | tightest loosest state | the derived greatest
clearance inward in millimetres, three decimals.
"""
import random
from decimal import Decimal, ROUND_CEILING, ROUND_FLOOR

random.seed(20240229)
STEP = Decimal("0.0001")
for _ in range(10_000):
    base = random.randint(1_000, 60_000)
    shaft = [(base + random.randint(-4, 4)) * STEP for _ in range(2)]
    gap = random.choice([-20, 0, 10, 30])
    bore = [(base + gap + random.randint(-8, 24)) * STEP for _ in range(2)]
    low = (gap - random.randint(0, 12)) * STEP
    high = low + random.randint(0, 40) * STEP
    worn = high + random.randint(0, 15) * STEP
    tightest, loosest = min(bore) - max(shaft), max(bore) - min(shaft)
    if loosest > worn or tightest < low:
        state = "out"
    elif loosest > high:
        state = "service"
    else:
        state = "new"
    mm = Decimal("25.4")
    floor = (tightest * mm).quantize(Decimal("0.001"), ROUND_CEILING)
    ceiling = (loosest * mm).quantize(Decimal("0.001"), ROUND_FLOOR)
    figures = [*shaft, *bore, low, high, worn, tightest, loosest]
    print(*[f"{f:.4f}" for f in figures], state, f"{floor:.3f}", f"{ceiling:.3f}")
