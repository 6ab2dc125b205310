"""The facts of a visit as people state them; invented."""

from benchmeter.session.visit import PartOrigin, Visit

STATED = Visit(
    measured_by="T. Echnician", company="Cold & Co., 1 Main Street, Springfield",
    customer="Ann Sample, +1 555 0100", place="12 Market Street, roof, unit 4",
    unit_maker="Maker A", unit_model="M-36", unit_serial="0815-4711",
    complaint="blows warm since Monday, hums in the morning", rule_agreed_with="Mrs Sample",
    ambient_c=35.0, parts=(PartOrigin(1, "Maker B", "C-77", "2619"),),
)  # fmt: skip
PARTS = {1: "old part", 2: "replacement 1", 3: "replacement 2"}
