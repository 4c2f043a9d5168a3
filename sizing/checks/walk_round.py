"""Looking before touching: the walk round the site, and the proof that what is worked on is dead."""

from sizing.checks.declare import COMMON, Caution, Check, Kind, Limit
from sizing.parts import BatteryBank, PumpController, SolarArray, StorageTank, Well

OVERHEAD = Caution(
    "Look up: keep 3 m (10 ft) from overhead lines, more above 50 kV, with every pipe, rod and ladder.",
    "29 CFR 1926.1408",
)
HEIGHTS = Caution(
    "On roof, rack or ladder: edge protection or fall arrest. A module in the wind is a sail.",
    "29 CFR 1926 subpart M (from memory)",
)
BAD_AIR = Caution(
    "Do not enter a tank, pit or well. If it cannot be avoided: permit, air tested first, attendant outside.",
    "29 CFR 1910.146 (permit-required confined spaces)",
)
LIVE_IN_LIGHT = Caution(
    "The array side stays live behind an open isolator as long as there is light. Only covering or night kills it.",
    "IEC 62446-1; NEC (NFPA 70) 690.13 (from memory)",
)
STORED_CHARGE = Caution(
    "Capacitors in a controller hold their charge: wait the time marked on it, five minutes if none is, then measure.",
    "NFPA 70E 120.5 (from memory); the five minutes are " + COMMON,
)
STARTS_BY_ITSELF = Caution(
    "Sun, a float or a probe can start the pump at any moment: lock off before hands go in.",
    "29 CFR 1910.147 (lockout and tagout)",
)
BATTERY_SHORT = Caution(
    "A spanner across the posts burns like a welder: insulated tools, no rings or watch, posts covered.",
    "29 CFR 1926.441(a); NFPA 70E article 320 (from memory)",
)
BATTERY_GAS = Caution(
    "Cells on charge give off a gas that explodes at a spark: air the place first, no flame, join nothing under load.",
    "29 CFR 1926.441; IEC 62485-2",
)
METER = Caution(
    "Meter of category III for the array's highest voltage, leads whole, never in the current jack for a voltage.",
    "IEC 61010-1, IEC 61010-2-033 (from memory)",
)

WALK_ROUND_WELL = Check(
    key="walk_round_well",
    title="Walk round the well",
    kind=Kind.OBSERVED,
    subject=Well,
    group="Walk-round",
    purpose="The well head keeps dirt out and holds what hangs in it.",
    method=(
        "Cap and seal whole and tight, vent screened, casing well above the ground.",
        "Slab without cracks, falling away on all sides, no puddle, no animals, no latrine uphill.",
        "Drop pipe clamped, safety rope tied, cable not pinched under the cap.",
        "The mark for the dip meter can be seen.",
    ),
    cautions=(OVERHEAD, BAD_AIR),
    limits=(Limit("as it should be: every point holds", COMMON),),
    at_service=True,
)

WALK_ROUND_ARRAY = Check(
    key="walk_round_array",
    title="Walk round the array",
    kind=Kind.OBSERVED,
    subject=SolarArray,
    group="Walk-round",
    purpose="Nothing on the array is broken, loose, shaded or bare before it is measured.",
    method=(
        "Glass whole and clean, no shade at noon, no brown cells, no loose boxes at the back.",
        "Clamps tight, frame fast in the ground, tilt and direction as on the record.",
        "Cables tied up, no bare copper, connectors pushed home and of one make.",
        "Isolator labelled, in reach, and it can be locked open.",
    ),
    cautions=(LIVE_IN_LIGHT, HEIGHTS),
    limits=(Limit("as it should be: every point holds", "following the method of IEC 62446-1, inspection"),),
    at_service=True,
)

WALK_ROUND_BATTERY = Check(
    key="walk_round_battery",
    title="Walk round the battery",
    kind=Kind.OBSERVED,
    subject=BatteryBank,
    group="Walk-round",
    purpose="Nothing at the battery can fall, spark, gas or freeze before anybody works on it.",
    method=(
        "Cases whole, no bulge, no wet, no white or green on the posts; caps on; level, on a stand, tied.",
        "Posts covered, links tight; a fuse within reach of the plus post; nothing metal can fall on it.",
        "Vents open low and high, nothing that sparks above it, no flame, no sleeping place.",
        "Water for the eyes and soda for the acid at hand; warnings up; shade, and no frost.",
    ),
    cautions=(BATTERY_SHORT, BATTERY_GAS),
    limits=(
        Limit("as it should be: every point holds", "29 CFR 1926.441; NEC (NFPA 70) 480 (from memory); " + COMMON),
    ),
    at_service=True,
)

WALK_ROUND_TANK = Check(
    key="walk_round_tank",
    title="Walk round the tank",
    kind=Kind.OBSERVED,
    subject=StorageTank,
    group="Walk-round",
    purpose="The tank stands firm and nothing falls, crawls or seeps into the water.",
    method=(
        "Base level and dry, no crack, no lean; stand back and look along it.",
        "Lid closes and locks; vent and overflow screened; overflow led away from the base.",
        "Inlet falls free above the overflow's edge, so nothing runs back.",
        "Drain valve turns, outlet above the floor.",
    ),
    cautions=(BAD_AIR, HEIGHTS),
    limits=(Limit("as it should be: every point holds", COMMON),),
    at_service=True,
)

WALK_ROUND_PIPEWORK = Check(
    key="walk_round_pipework",
    title="Walk round the pipework",
    kind=Kind.OBSERVED,
    subject=None,
    group="Walk-round",
    purpose="The pipes run as recorded, are held, and can be shut and drained.",
    method=(
        "Sizes and valves as on the record; arrows of check valves with the flow.",
        "Held at every turn, no strain on a thread, no pipe in the open sun without cover.",
        "Each valve turns fully, and its tag says what it shuts.",
        "Deep enough, or drained, where it freezes.",
    ),
    limits=(Limit("as it should be: every point holds", COMMON),),
    before_cover=True,
)

WALK_ROUND_LABELS = Check(
    key="walk_round_labels",
    title="Labels and warnings",
    kind=Kind.OBSERVED,
    subject=None,
    group="Walk-round",
    purpose="Whoever stands here in ten years knows what is live, what is shut and what not to drink.",
    method=(
        "Isolator, controller, both ends of every cable and every valve carry the tag of the record.",
        "A warning at the isolator: live by day, and the highest voltage.",
        "Water not for drinking is marked at the tap.",
    ),
    limits=(Limit("as it should be: every point holds", "NEC (NFPA 70) 690 part VI, labels (from memory); " + COMMON),),
    before_cover=True,
)

PROVED_DEAD = Check(
    key="proved_dead",
    title="Proved dead",
    kind=Kind.OBSERVED,
    subject=PumpController,
    group="Dead tests",
    purpose="What will be touched has no voltage, shown with a tester that was seen to work before and after.",
    method=(
        "Open the isolator, lock it, hang the tag with your name; lock off any other source too.",
        "Try the tester on a voltage that is there.",
        "Test the controller's terminals: each pole to earth, and pole to pole. Nothing.",
        "Try the tester again on the same voltage as before.",
        "Wait the time marked on the controller for its capacitors, then test once more.",
    ),
    cautions=(LIVE_IN_LIGHT, STORED_CHARGE, METER),
    limits=(Limit("no voltage on any pair, tester seen to work before and after", "NFPA 70E 120.5 (from memory)"),),
    after=("walk_round_well", "walk_round_array", "walk_round_tank"),
    at_service=True,
)

ELECTRONICS_DISCONNECTED = Check(
    key="electronics_disconnected",
    title="Electronics disconnected",
    kind=Kind.OBSERVED,
    subject=PumpController,
    group="Dead tests",
    purpose="The insulation tester's voltage reaches cables and motor, and no electronics.",
    method=(
        "Pump cable, array cable and probe lines off the controller, ends apart and marked.",
        "Surge arresters between the poles and earth unplugged.",
        "Nobody at the far ends.",
    ),
    cautions=(STARTS_BY_ITSELF, STORED_CHARGE),
    limits=(Limit("every conductor to be tested is free at both ends", "IEC 60364-6 (from memory)"),),
    after=("proved_dead",),
    gate="safe_to_work",
    at_service=True,
)

CHECKS = (
    WALK_ROUND_WELL,
    WALK_ROUND_ARRAY,
    WALK_ROUND_BATTERY,
    WALK_ROUND_TANK,
    WALK_ROUND_PIPEWORK,
    WALK_ROUND_LABELS,
    PROVED_DEAD,
    ELECTRONICS_DISCONNECTED,
)
