"""A class's check without a need or a find: a question in the address, an answer on the page, nothing kept."""

from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.instruments import INSTRUMENTS, instruments_for, measures
from server.domain.offer import Basis, Evidence, Offered, Origin, Stage
from server.domain.parts import part_classes
from server.domain.parts._kit import Characteristic
from server.domain.specification import Access, Form, KnownFrom, Layer, Role, Use
from server.services import trial, trial_examples
from server.services.needs import get_need, wanted_of
from server.services.place import MOST_PLIES
from server.services.trial import DEFAULTS, Compared, Trial
from server.web import diagrams
from server.web.addresses import Number
from server.web.posted import Form as TypedForm
from server.web.respond import page, redirect, wants_fragment
from server.web.routes.candidates import deciding_first
from server.web.who import StoreOf, Viewer

router = APIRouter()

PLIES_SHOWN = 3


def _pairs(words: Any, default: str) -> list[tuple[str, str]]:
    """The words of a closed set with the one that holds anyway first."""
    said = [one.value for one in words]
    return [(word, word) for word in (default, *(word for word in said if word != default))]


@router.get("/try")
def show_classes(request: Request, _actor: Viewer) -> Response:
    """Every part class by family, with what its check compares and works out."""
    families: dict[str, list[dict[str, Any]]] = {}
    for one in part_classes().values():
        asked = [each.label for each in one.characteristics if each.essential]
        families.setdefault(one.family, []).append(
            {
                "known": one,
                "asked": asked,
                "count": len(one.characteristics),
                "worked_out": trial_examples.worked_out(one.key),
            }
        )
    return page(request, "trial/classes.html", "Try a check", {"families": families})


@router.get("/needs/{number}/try")
def show_for_need(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """The form of a need's class with what is known of its original filled in; the offered side is still empty."""
    need = get_need(store, number)
    wanted = wanted_of(need)
    fields = trial.tidy(need.part_class, trial_examples.fields_of(wanted, Offered(need.part_class)))
    return redirect(request, f"/try/{need.part_class}?{urlencode(fields)}")


@router.get("/try/{class_key}")
def show_trial(request: Request, class_key: str, _actor: Viewer, store: StoreOf) -> Response:
    """The form of one class with its answer; the address is put into its shortest form."""
    given: dict[str, str | list[str]] = {}
    for name, text in request.query_params.multi_items():
        held = given.get(name)
        given[name] = text if held is None else [*(held if isinstance(held, list) else [held]), text]
    short = trial.tidy(class_key, given)
    url = f"/try/{class_key}?{urlencode(short)}" if short else f"/try/{class_key}"
    is_fragment = wants_fragment(request)
    if not is_fragment and list(request.query_params.multi_items()) != short:
        return redirect(request, url)
    made = trial.ask(store, class_key, given)
    title = f"Try: {made.wanted_class.name}"
    answer = page(
        request,
        "trial/trial.html",
        f"Error: {title}" if made.faults else title,
        _context(made, url, is_fragment=is_fragment),
        fragment="trial/_result.html",
    )
    if is_fragment:
        answer.headers["HX-Replace-Url"] = url
    return answer


def _context(made: Trial, url: str, *, is_fragment: bool) -> dict[str, Any]:
    sheet = made.sheet
    typed = {"offered": made.offered_class.key, "use": DEFAULTS["use"], "role": DEFAULTS["role"]} | made.typed
    return {
        "trial": made,
        "known": made.wanted_class,
        "form": TypedForm(typed, made.many, made.faults),
        "lines": [_line(made, one) for one in trial.compared_of(made.wanted_class, made.offered_class)],
        "examples": [
            {"title": one.title, "url": f"/try/{made.wanted_class.key}?{urlencode(one.fields)}#result"}
            for one in trial_examples.examples_of(made.wanted_class.key)
        ],
        "url": url,
        "is_fragment": is_fragment,
        "sheet": sheet,
        "rows": deciding_first(sheet) if sheet else [],
        "bands": {row.key: diagrams.band(row.band, f"b-{row.key}") for row in sheet.rows if row.band} if sheet else {},
        "drawings": [diagrams.draw(one, f"d{place}") for place, one in enumerate(made.drawings)],
        "plies": range(1, _plies_shown(made) + 1),
        "classes": [(one.key, one.name) for one in sorted(part_classes().values(), key=lambda one: one.name)],
        "uses": _pairs(Use, DEFAULTS["use"]),
        "roles": _pairs(Role, DEFAULTS["role"]),
        "bindings": _pairs(Form, DEFAULTS["form"]),
        "layers": _pairs(Layer, DEFAULTS["layer"]),
        "known_froms": _pairs(KnownFrom, DEFAULTS["known_from"]),
        "bases": _pairs(Basis, DEFAULTS["basis"]),
        "stages": _pairs(Stage, DEFAULTS["stage"]),
        "accesses": _pairs(Access, DEFAULTS["access"]),
        "evidences": [(one.value, one.value) for one in Evidence],
        "origins": [(one.value, one.value) for one in Origin],
        "instruments": [(one.key, one.name) for one in INSTRUMENTS.values()],
    }


def _plies_shown(made: Trial) -> int:
    typed = [int(name[3]) for name in made.typed if name.startswith("ply")]
    return min(max([PLIES_SHOWN, *(number + 1 for number in typed)]), MOST_PLIES)


def _line(made: Trial, compared: Compared) -> dict[str, Any]:
    """One characteristic on the form: open where it has to be said or something was said of it."""
    one = compared.one
    wanted, offered = made.typed.get(f"w_{one.key}_text", ""), made.typed.get(f"o_{one.key}_text", "")
    touched = any(name.startswith((f"w_{one.key}_", f"o_{one.key}_")) for name in (*made.typed, *made.faults))
    said = [f"wanted {wanted}"] if wanted else []
    said += [f"offered {offered}"] if offered else []
    return {
        "one": one,
        "is_wanted": compared.is_wanted,
        "is_offered": compared.is_offered,
        "is_open": one.essential or touched or len(made.wanted_class.characteristics) <= PLIES_SHOWN,
        "said": ", ".join(said),
        "instruments": _instruments(one),
        "known": _how_known(made, compared),
        "known_open": any(name in made.faults for name in _finer(one)),
    }


def _finer(one: Characteristic) -> tuple[str, ...]:
    """The fields that say how a characteristic is known."""
    wanted = [f"w_{one.key}_{name}" for name in trial.WANTED_FIELDS if name not in {"text", "form", "sure"}]
    offered = [f"o_{one.key}_{name}" for name in trial.OFFERED_FIELDS if name not in {"text", "basis", "sure"}]
    return (*wanted, *offered)


def _how_known(made: Trial, compared: Compared) -> str:
    """How a characteristic is known, in one line: "Wanted: drawing. Offered: micrometer, ± 0.01 mm"."""
    key, typed = compared.one.key, made.typed
    wanted = [typed.get(f"w_{key}_known_from", DEFAULTS["known_from"])]
    if f"w_{key}_layer" in typed:
        wanted.append(typed[f"w_{key}_layer"])
    used = INSTRUMENTS.get(typed.get(f"o_{key}_instrument", ""))
    offered = [used.name.lower() if used else "no instrument named"]
    offered += [f"± {typed[name]}" for name in (f"o_{key}_uncertainty",) if name in typed]
    said = [f"Wanted: {', '.join(wanted)}"] if compared.is_wanted else []
    said += [f"Offered: {', '.join(offered)}"] if compared.is_offered else []
    return ". ".join(said)


def _instruments(one: Characteristic) -> list[tuple[str, str]]:
    if one.kind is None:
        fitting = [INSTRUMENTS[key] for key in one.tell_with if key in INSTRUMENTS]
        fitting += [each for each in INSTRUMENTS.values() if each.kind is None and each not in fitting]
    else:
        fitting = [*instruments_for(one.kind)]
        fitting += [each for each in INSTRUMENTS.values() if each not in fitting and measures(each, one.kind)]
    return [(each.key, each.name) for each in fitting]
