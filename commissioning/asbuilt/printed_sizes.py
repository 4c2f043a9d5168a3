"""What is printed on a cable or a pipe fills the figures that it stands for, and is held against those typed."""

from collections.abc import Mapping

from commissioning import units
from commissioning.asbuilt.conductor_sizes import NO_SIZE, SIZES, section_of, standard_size
from commissioning.asbuilt.pipe_sizes import NAMES, bore_of, known_size, rating_of
from commissioning.asbuilt.plate import ChoiceItem, Item, MeasureItem, TextItem
from sizing.parts import Part, Pipe, PowerCable

AGREE = 0.05  # a figure as printed and one typed apart by more than this are asked back


def suggest(part: type[Part], items: Mapping[str, Item]) -> None:
    """Offer the sizes of the tables while a person types."""
    if issubclass(part, PowerCable):
        _text(items, "size").suggestions = SIZES
    elif issubclass(part, Pipe):
        _text(items, "nominal").suggestions = NAMES


def fill(part: type[Part], items: Mapping[str, Item]) -> None:
    """Fill what is empty from the size as printed; ask back where the two disagree."""
    if issubclass(part, PowerCable):
        _fill_cable(items)
    elif issubclass(part, Pipe):
        _fill_pipe(items)


def _fill_cable(items: Mapping[str, Item]) -> None:
    size = _text(items, "size")
    standard = standard_size(size.typed)
    if not standard:
        size.error = size.error or (NO_SIZE if size.typed else "")
        return
    size.typed, known = standard, section_of(standard)
    _fill_or_compare(_measure(items, "section"), known, f"{standard} has {known.label} of metal.")


def _fill_pipe(items: Mapping[str, Item]) -> None:
    nominal, material, rating = _text(items, "nominal"), items["material"], _measure(items, "pressure_rating")
    size = known_size(nominal.typed)
    if size is None:
        return
    bore = bore_of(size, nominal.unit_system)
    words = f"{size.designation} has an inside diameter of {bore.label}, {size.source}."
    nominal.typed = size.designation
    _fill_or_compare(_measure(items, "inside_diameter"), bore, words)
    if isinstance(material, ChoiceItem) and not material.chosen:
        material.chosen = size.material
    rated = rating_of(size, nominal.unit_system)
    if rated and not rating.typed:
        rating.typed, rating.unit = rated.text, rated.unit


def _fill_or_compare(item: MeasureItem, known: units.Cure, doubt: str) -> None:
    if not item.typed:
        item.typed, item.unit = known.text, known.unit
    elif not item.error and not item.doubt:
        meant = units.to_core(float(known.text), known.unit, item.quantity)
        value = item.entry().value_core
        if value is not None and abs(value - meant) > AGREE * meant:
            item.settle_or_ask(doubt, known)


def _text(items: Mapping[str, Item], name: str) -> TextItem:
    item = items[name]
    assert isinstance(item, TextItem)
    return item


def _measure(items: Mapping[str, Item], name: str) -> MeasureItem:
    item = items[name]
    assert isinstance(item, MeasureItem)
    return item
