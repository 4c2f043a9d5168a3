"""One thing to do, as a machine can follow it and as a person reads it."""

from enum import StrEnum

from sizing.records import record
from sizing.system import Node, System


class Act(StrEnum):
    """What a step does to the system. A step that moves nothing is a wait or a look."""

    STOP = "stop"  # electronics, at their own switch
    START = "start"
    DISCONNECT = "disconnect"  # an isolator, breaker or fuse
    CONNECT = "connect"
    SHUT = "shut"  # a valve, a drain or a tap
    OPEN = "open"
    WAIT = "wait"
    LOOK = "look"
    GAP = "gap"  # the record holds nothing with which this could be done


@record
class Step:
    """A step of a procedure; `tag` is what is worked, empty where nothing is moved."""

    act: Act
    tag: str
    words: str
    caution: str = ""


Steps = tuple[Step, ...]

# Cautions: common practice, no source, where none stands beside it.
LIVE_ARRAY = (
    "The modules and their cables stay live for as long as there is light. Never pull a plug or draw a fuse that "
    "carries current: a DC arc does not go out."
)
LIVE_BATTERY = "The battery's posts stay live whatever is switched off. Nothing of metal on it; no flame near it."
FUSE_COLD = "Only when nothing draws current: a fuse is no switch. Whoever is not trained for it calls the contractor."
LOCKED = "Lock it or tape it off and hang a tag: a float or a pressure switch can start the pump at any moment."
PRESSED = "Water under pressure: stand aside, let it off at the tap first, and never undo a joint that still hisses."
NO_ENTRY = "Do not climb into a tank, a pit or a well: the air in it can kill, and it kills who comes to help."
GAS_CHARGE = "Its gas stays under pressure when the water is gone: only the contractor takes it off."
BURST = "Never plug, cap or shut off a relief valve, even one that drips."


def label(system: System, tag: str) -> str:
    """Return a tag with the name that a person gave the thing, else with what it is."""
    if tag in system.runs:
        name = system.runs[tag].name or system.runs[tag].part.title.lower()
    else:
        node = system.node(tag)
        name = node.name or _kind_words(node)
    return f"{tag} ({name})"


def _kind_words(node: Node) -> str:
    form: str | None = getattr(node.part, "form", None)
    return form if form in ("fuse", "breaker") else node.part.title.replace("DC ", "").lower()


def listed(system: System, tags: list[str]) -> str:
    """Return several things in one phrase."""
    words = [label(system, tag) for tag in tags]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
