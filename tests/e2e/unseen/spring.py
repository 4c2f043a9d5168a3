"""A spring to two tanks in line with three outlets. Invented."""

from tests.e2e.unseen.written import Line, Part, Unseen, pipe

SPRING_TANKS = Unseen(
    "spring_two_tanks",
    "Sorrel Scar village",
    "metric",
    "empty",
    {
        "latitude": "-8.9 deg", "longitude": "33.4 deg", "altitude": "1720 m", "record_low": "2 degC",
        "design_high": "33 degC", "ground_temperature": "16 degC", "code_family": "IEC", "daily_demand": "9 m3",
        "autonomy": "1",
    },
    (
        Part("spring_or_roof", "SR1", "spring box", plate={
            "source": "spring", "elevation": "41.0 m", "dry_season_yield": "16 L/min"}),
        Part("valve", "V1", "at the spring", plate={
            "function": "isolation", "body": "gate", "normal_position": "open", "elevation": "40.6 m"}),
        Part("storage_tank", "T1", "upper tank", plate={
            "shape": "rectangular", "length": "2.0 m", "width": "1.5 m", "floor_elevation": "28.0 m",
            "outlet_elevation": "28.1 m", "inlet_elevation": "29.8 m", "overflow_elevation": "29.6 m"}),
        Part("valve", "V2", "between the tanks", plate={
            "function": "isolation", "body": "gate", "normal_position": "open", "elevation": "28.1 m"}),
        Part("storage_tank", "T2", "lower tank", plate={
            "shape": "vertical_cylinder", "diameter": "2.6 m", "floor_elevation": "14.0 m",
            "outlet_elevation": "14.1 m", "inlet_elevation": "16.2 m", "overflow_elevation": "16.0 m"}),
        Part("valve", "V3", "at the lower tank", plate={
            "function": "isolation", "body": "gate", "normal_position": "open", "elevation": "14.1 m"}),
        Part("junction", "J1", "at the school", plate={"elevation": "1.5 m"}),
        Part("junction", "J2", "at the square", plate={"elevation": "0.8 m"}),
        Part("outlet", "O1", "school", plate={
            "elevation": "2.4 m", "required_flow": "10 L/min", "required_pressure": "40 kPa",
            "flow_coefficient": "0.8 Kv", "drinking": "drinking", "open_together": "O2, O3"}),
        Part("outlet", "O2", "standpipe", plate={
            "elevation": "1.6 m", "required_flow": "10 L/min", "required_pressure": "40 kPa",
            "flow_coefficient": "0.8 Kv", "drinking": "drinking", "open_together": "O1, O3"}),
        Part("outlet", "O3", "wash place", plate={
            "elevation": "1.2 m", "required_flow": "15 L/min", "required_pressure": "30 kPa",
            "flow_coefficient": "1.2 Kv", "drinking": "other", "open_together": "O1, O2"}),
    ),
    (
        Line("pipe", "P1", "SR1.outlet", "V1", "spring outlet",
             pipe("40 mm SDR 11 PE 100", "1.5 m", "threaded", entrance=1)),
        Line("pipe", "P2", "V1", "T1.inlet", "spring main",
             pipe("40 mm SDR 11 PE 100", "310 m", "threaded", "0.6 m", elbow_90=4, exit=1), like="P1"),
        Line("pipe", "P3", "T1.outlet", "V2", "upper outlet",
             pipe("32 mm SDR 11 PE 100", "1.2 m", "threaded", entrance=1)),
        Line("pipe", "P4", "V2", "T2.inlet", "between the tanks",
             pipe("32 mm SDR 11 PE 100", "95 m", "threaded", "0.6 m", elbow_90=3, exit=1), like="P3"),
        Line("pipe", "P5", "T2.outlet", "V3", "lower outlet",
             pipe("50 mm SDR 17 PE 100", "1.2 m", "threaded", entrance=1)),
        Line("pipe", "P6", "V3", "J1", "village main",
             pipe("50 mm SDR 17 PE 100", "140 m", "threaded", "0.6 m", elbow_90=3), like="P5"),
        Line("pipe", "P7", "J1", "J2", "to the square",
             pipe("40 mm SDR 11 PE 100", "60 m", "threaded", "0.6 m", tee_run=1), like="P1"),
        Line("pipe", "P8", "J1", "O1.inlet", "to the school",
             pipe("25 mm SDR 11 PE 100", "22 m", "threaded", "0.6 m", tee_branch=1, elbow_90=3)),
        Line("pipe", "P9", "J2", "O2.inlet", "to the standpipe",
             pipe("25 mm SDR 11 PE 100", "6 m", "threaded", "0.6 m", tee_branch=1, elbow_90=2), like="P8"),
        Line("pipe", "P10", "J2", "O3.inlet", "to the wash place",
             pipe("25 mm SDR 11 PE 100", "18 m", "threaded", "0.6 m", tee_run=1, elbow_90=3), like="P8"),
    ),
)  # fmt: skip
