"""From a frozen record to what the sheet's template prints. Nothing here reads the database or the clock."""

import json
from collections.abc import Callable
from typing import Any

from commissioning.canonical import digest
from commissioning.handover.performance import performance_plots
from commissioning.handover.said import chosen_lines, duty_bar, parts_words, replaced_lines
from commissioning.ledger import drawn_interval
from commissioning.qr import qr_svg
from commissioning.strokes import StrokesError, parse_strokes, strokes_svg

Plain = dict[str, Any]
PHOTO = "sheet:photo/"
GROUP_OF_HASH = 4
EM_DASH = "—"
LONGEST_VALUE = 90  # characters of an argument


def context_of(record: str) -> Plain:
    """Return the context of the sheet's template for a frozen record."""
    frozen: Plain = json.loads(record)
    issue = frozen["sheet"]
    context = preview_of(frozen, issue)
    return {
        **context,
        "qr": qr_svg(issue["address"], "Code: " + issue["address"]),
        "check_code": spaced(digest(record)),
    }


def preview_of(frozen: Plain, issue: Plain) -> Plain:
    """Return the same for a draft, which has no number, code or check code yet."""
    marks = _marks(frozen, issue)
    formulas: dict[str, Plain] = {}
    workings = merged(frozen["workings"], formulas)
    return {
        "frozen": frozen,
        "issue": issue,
        "duty": [_duty(one) for one in frozen["duty"]],
        "duty_bar": duty_bar(frozen["duty"]),
        "parts": parts_words(frozen["as_built"]),
        "replaced": replaced_lines(frozen),
        "chosen": chosen_lines(frozen),
        "seal": spaced(issue.get("seal", "")),
        "groups": [{**g, "lines": [_line(x, marks, workings) for x in g["lines"]]} for g in frozen["results"]],
        "signatures": [
            {**one, "drawing": drawn_signature(one["strokes"], one["name"])} for one in frozen["signatures"]
        ],
        "workings": workings,
        "formulas": list(formulas.values()),
        "tables": [{**t, "tag": c["tag"]} for c in frozen["as_built"]["components"] for t in c["tables"]],
        "plots": frozen["drawings"] if "drawings" in frozen else performance_plots(frozen),
        "photos": photographs(frozen),
    }


def spaced(hash_text: str) -> str:
    """Return a hash in groups that a person can read out."""
    return " ".join(hash_text[i : i + GROUP_OF_HASH] for i in range(0, len(hash_text), GROUP_OF_HASH))


def photographs(frozen: Plain) -> list[Plain]:
    """Return every photograph of the results, with the check it belongs to."""
    lines = (line for group in frozen["results"] for line in group["lines"])
    return [
        {"src": PHOTO + sha, "caption": f"{line['number']} {line['title']}, {line['subject_words']}", "sha256": sha}
        for line in lines
        for sha in line["photos"]
    ]


def _marks(frozen: Plain, issue: Plain) -> dict[str, list[str]]:
    """Return what stands beside a check: which concession, which open item."""
    marks: dict[str, list[str]] = {}
    for one in frozen["exceptions"]["concessions"]:
        marks.setdefault(one["owed"], []).append(f"concession\u00a0{one['letter']}")
    for one in issue.get("open_items", []):
        if one["owed"]:
            marks.setdefault(one["owed"], []).append(f"open item\u00a0{one['number']}")
    return marks


def _line(line: Plain, marks: dict[str, list[str]], workings: list[Plain]) -> Plain:
    rows = [_row(row) for row in line["rows"]]
    own = marks.get(line["owed"], [])
    numbers = [str(w["number_of_working"]) for w in workings if w["owed"] == line["owed"]]
    if numbers:
        own = [*own, f"working\u00a0{', '.join(numbers)}"]
    return {**line, "rows": rows, "marks": "; ".join(own), "details": details(line, rows)}


def _row(row: Plain) -> Plain:
    return {**row, "drawing": drawn_interval(row["picture"]), "is_figure": bool(row["value"] or row["limits"])}


def details(line: Plain, rows: list[Plain]) -> list[str]:
    """Return the small print under a check: who, when, with; conditions; readings as typed; whose limits; why."""
    with_tags = f" with {', '.join(line['tags'])}" if line["tags"] else ""
    found = [", ".join(part for part in (line["who"], line["when"]) if part) + with_tags]
    if line["conditions"]:
        found.append("At " + ", ".join(f"{c['words']} {c['value']}" for c in line["conditions"]))
    found += _each(rows, "typed", "Typed", only=_is_several)
    found += _each([row for row in rows if row["limits"]], "basis", "Limits")
    found += _each(rows, "reason", "")
    if line["aside"]:
        found.append(f"{line['aside']['reason'] or 'No reason given'} ({line['aside']['by']})")
    found += [line["note"], *line.get("remarks", [])]
    return [text for text in found if text]


def _is_several(typed: str) -> bool:
    """Whether more stands behind a value than one reading, which is printed as the value itself."""
    return ", " in typed or "; " in typed


def _each(rows: list[Plain], key: str, words: str, only: Callable[[str], bool] = bool) -> list[str]:
    """Return a text that rows share once, and one for each row where they differ."""
    head = f"{words}: " if words else ""
    texts = [(row["which"], row[key]) for row in rows if row[key] and only(row[key])]
    if len({text for _, text in texts}) == 1 and len(texts) in (1, len(rows)):
        which = texts[0][0] if len(texts) < len(rows) else ""
        return [_sentence(head, which, texts[0][1])]
    return [head + "; ".join(f"{which}: {text}" if which else text for which, text in texts)] if texts else []


def _sentence(head: str, which: str, text: str) -> str:
    return f"{head}{which}: {text}" if which else head + text if head else text[:1].upper() + text[1:]


def merged(workings: list[Plain], formulas: dict[str, Plain]) -> list[Plain]:
    """Return the workings numbered, those with the very same steps once: two strings under one sun.

    Each formula stands once, in `formulas`; a step names it by its mark and prints arguments and result.
    """
    found: dict[str, Plain] = {}
    for one in workings:
        key = f"{one['owed']} {json.dumps(one['steps'], sort_keys=True)}"
        if key not in found:
            steps = [_step(step, formulas) for step in one["steps"]]
            found[key] = {**one, "steps": steps, "values": [], "number_of_working": len(found) + 1}
        said = {f"has_{name}": one[name] not in ("", EM_DASH) for name in ("limits", "expected")}
        found[key]["values"].append({**one, **said})
    return list(found.values())


def _step(step: Plain, formulas: dict[str, Plain]) -> Plain:
    key = json.dumps([step["formula"], step["equation"], step["source"]])
    if key not in formulas:
        shared = {"equation": step["equation"], "source": step["source"], "words": step_title(step["words"])}
        formulas[key] = {**shared, "mark": f"F{len(formulas) + 1}"}
    arguments = [{**a, "value": _brief(a["value"])} for a in step["arguments"]]
    return {**step, "words": step_title(step["words"]), "mark": formulas[key]["mark"], "arguments": arguments}


def _brief(value: str) -> str:
    """Return a value of a step; a whole table stands once, with the record as built."""
    return value if len(value) <= LONGEST_VALUE else "the table in the record as built"


def step_title(words: str) -> str:
    """Return what a step computes, from a formula's own first line: "Return the …" is said to programmers."""
    title = words.removeprefix("Return ").removeprefix("the ").rstrip(".")
    return title[:1].upper() + title[1:]


def _duty(one: Plain) -> Plain:
    return {**one, "rows": [{**row, "drawing": drawn_interval(row["picture"])} for row in one["rows"]]}


def _signature(one: Plain) -> Plain:
    return {**one, "drawing": drawn_signature(one["strokes"], one["name"])}


def drawn_signature(strokes: str, name: str) -> str:
    """Return a drawn signature; a typed one, or one that cannot be read any more, stands as its name alone."""
    if not strokes:
        return ""
    try:
        return strokes_svg(parse_strokes(strokes), f"Signature of {name}")
    except StrokesError:
        return ""
