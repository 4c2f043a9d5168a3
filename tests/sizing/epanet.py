"""The EPANET toolkit, through wntr, as a second opinion on networks: built part by part in SI units."""

import warnings
from pathlib import Path

import wntr

EPANET_VISCOSITY = 1.1e-5 * 0.3048**2
"""Kinematic viscosity of EPANET's water, 1.1e-5 ft²/s [m²/s]: EPANET 2.2 User Manual, hydraulic options."""
FORMULAS = {"hazen_williams": "H-W", "darcy_weisbach": "D-W"}


class Epanet:
    """A network for EPANET. Lengths in m, roughness as the formula wants it: C, or ε in m."""

    def __init__(self, formula: str, viscosity: float = EPANET_VISCOSITY) -> None:
        self.model = wntr.network.WaterNetworkModel()
        options = self.model.options
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it reminds us that roughness is now a length; wntr takes it in m
            options.hydraulic.headloss = FORMULAS[formula]
        options.hydraulic.viscosity = viscosity / EPANET_VISCOSITY
        options.hydraulic.accuracy = 1e-6
        options.hydraulic.trials = 500
        options.hydraulic.emitter_exponent = 0.5
        options.time.duration = 0

    def reservoir(self, name: str, head: float) -> None:
        """Add a point of known head [m]."""
        self.model.add_reservoir(name, base_head=head)

    def junction(self, name: str, elevation: float = 0.0, demand: float = 0.0, emitter: float = 0.0) -> None:
        """Add a point with a demand [m³/s]; an emitter gives its coefficient in m³/s at 1 m."""
        self.model.add_junction(name, base_demand=demand, elevation=elevation)
        if emitter:
            self.model.get_node(name).emitter_coefficient = emitter

    def pipe(
        self,
        name: str,
        a: str,
        b: str,
        length: float,
        bore: float,
        roughness: float,
        k: float = 0.0,
        one_way: bool = False,
    ) -> None:
        """Add a pipe with a loss coefficient of its fittings."""
        self.model.add_pipe(
            name, a, b, length=length, diameter=bore, roughness=roughness, minor_loss=k, check_valve=one_way
        )

    def pump(self, name: str, a: str, b: str, points: list[tuple[float, float]]) -> None:
        """Add a pump whose head over flow is drawn by straight lines."""
        self.model.add_curve(name, "HEAD", points)
        self.model.add_pump(name, a, b, pump_type="HEAD", pump_parameter=name)

    def solve(self, folder: Path) -> tuple[dict[str, float], dict[str, float]]:
        """Return flow of each link [m³/s] and head of each point [m]."""
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            found = wntr.sim.EpanetSimulator(self.model).run_sim(file_prefix=str(folder / "net"))
        flows, heads = found.link["flowrate"].iloc[0], found.node["head"].iloc[0]
        return {k: float(v) for k, v in flows.items()}, {k: float(v) for k, v in heads.items()}
