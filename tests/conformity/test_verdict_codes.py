"""Many readings are judged as each is alone, at the borders of the zones above all."""

from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest

from benchmeter.conformity.accuracy import parse_accuracy
from benchmeter.conformity.judgement import judge_measurement
from benchmeter.conformity.verdict import WORDS, Measurement, Rule, Verdict
from benchmeter.conformity.verdict_codes import verdict_codes
from benchmeter.parts.nameplate.label import parse_label
from benchmeter.quantities.quantity import Quantity

FINEST = Decimal("1e-5")  # of the section's unit: steps in which a border is looked for
SECTIONS = {
    "dual": (*parse_label("45/5 µF ±6 % 440 V").sections,),
    "start": (*parse_label("88-108 µF").sections,),
    "coil": (
        Measurement("coil", Decimal(12), Decimal(9), Decimal(14), Quantity.RESISTANCE, "Ω", Decimal(1), Verdict.OPEN),
    ),
    "insulation": (
        Measurement("to case", None, Decimal(10), None, Quantity.RESISTANCE, "Ω", None, Verdict.PASS),
    ),
    "contact": (Measurement("closed", None, None, Decimal(1), Quantity.RESISTANCE, "Ω"),),
    "free": (Measurement("C-S", None, None, None, Quantity.RESISTANCE, "Ω"),),
}  # fmt: skip
LINES = {
    "capacitance": [None, "1.2 % + 2 x 0.01 uF", "1 % + 3 counts", "40 %", "capacitance up to 30 uF 1 % + 2 counts; capacitance up to 60 uF 3 % + 2 counts"],
    "resistance": [None, "0.5 % + 2 x 0.1 ohm", "resistance 2 % + 1 count", "resistance up to 11 ohm 1 % + 2 counts", "DC voltage 1 %"],
}  # fmt: skip


def alone(section: Measurement, count: int, step: Decimal, offset: Decimal, **terms) -> Verdict:
    return judge_measurement(
        section, [count * step], resolution_si=step, lead_offset_si=offset, **terms
    ).verdict


@pytest.mark.parametrize("offset", ["0", "0.07"])
@pytest.mark.parametrize("rule", list(Rule))
@pytest.mark.parametrize("name", SECTIONS)
def test_each_is_judged_as_it_is_alone(name: str, rule: Rule, offset: str):
    for section in SECTIONS[name]:
        si = Decimal("1e-6") if section.unit == "µF" else Decimal(1)
        step, lead = FINEST * si, Decimal(offset) * si
        top = int((section.high_si or section.low_si or si) / step * 3 // 2)
        for text in LINES[section.quantity.kind]:
            line = None if text is None else parse_accuracy(text, "")
            terms = {"accuracy": line, "rule": rule}
            counts = set(range(int(lead / step), top, top // 60))
            for below, above in pairwise(sorted(counts)):
                first = alone(section, below, step, lead, **terms)
                if first is alone(section, above, step, lead, **terms):
                    continue
                while above - below > 1:
                    middle = (below + above) // 2
                    same = alone(section, middle, step, lead, **terms) is first
                    below, above = (middle, above) if same else (below, middle)
                counts |= {below - 1, below, above, above + 1}
            every = sorted(counts)
            found = verdict_codes(
                section,
                np.array([float(n * step) for n in every]),
                np.array([float(n * step - lead) for n in every]),
                resolution_si=step,
                **terms,
            )
            words = [alone(section, n, step, lead, **terms) for n in every]
            assert [WORDS[code] for code in found] == words, (section, text)
