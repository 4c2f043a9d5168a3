"""What a pump holds without flow, as a gauge should show it."""

from sizing.checks.case import Case
from sizing.checks.water_way import density
from sizing.design.declare import Ask, Scene
from sizing.design.heads import curve_at_most
from sizing.formulas.shut_off import shut_off_head_of_parabola
from sizing.formulas.water import pressure_head
from sizing.system import Node


def head_without_flow(case: Case, pump: Node) -> float:
    """Return the head that a pump adds without flow, as a step: printed, or its curve carried on as a parabola."""
    printed: float | None = getattr(pump.part, "shut_off_pressure", None)
    if printed is not None:
        return case.w.call("H₀", pressure_head, pressure=printed, density=density(case))
    curve = curve_at_most(Ask(Scene(case.system), pump.tag, w=case.w), pump)
    (q1, h1), (q2, h2) = curve.points[0], curve.points[1]
    return case.w.call("H₀", shut_off_head_of_parabola, flow=q1, head=h1, next_flow=q2, next_head=h2)
