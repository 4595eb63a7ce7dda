"""The shop's own words: proposing them, and the keeper's decision."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from starlette.background import BackgroundTask
from starlette.responses import Response

from server.domain.errors import Faults
from server.domain.parts import GENERAL, part_classes
from server.domain.register import UserRole, WordState
from server.services.rereading import left_to_read, read_all_anew
from server.services.word_mining import propose_words
from server.services.words import LANGUAGE_NAMES, decide_word, list_words, propose_word
from server.storage.engine import Store
from server.storage.words import count_words
from server.web.addresses import Number
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Keeper, Restorer, StoreOf, Viewer

router = APIRouter()

PAGE = 50


@router.get("/words")
def show_words(
    request: Request, actor: Viewer, store: StoreOf, after: Annotated[int, Query(ge=0, le=2_000_000_000)] = 0
) -> Response:
    """All words of the shop's own, by state; the accepted ones by pages."""
    return _show(request, store, decides=actor.may(UserRole.KEEPER), after=after)


def _show(
    request: Request,
    store: Store,
    *,
    decides: bool,
    after: int = 0,
    form: Form | None = None,
    deciding: tuple[int, Form] | None = None,
    status: int = 200,
) -> Response:
    with store.read() as session:
        counts = count_words(session)
        proposed = list_words(session, WordState.PROPOSED, most=PAGE)
        accepted = list_words(session, WordState.ACCEPTED, after=after, most=PAGE + 1)
        refused = list_words(session, WordState.REFUSED, most=PAGE)
        left, stale = left_to_read(session)
    forms = {one.id: Form(prefix=f"w{one.id}") for one in (*proposed, *accepted, *refused)}
    if deciding is not None:
        forms[deciding[0]] = deciding[1]
    context: dict[str, Any] = {
        "counts": {state.value: count for state, count in counts.items()},
        "proposed": proposed,
        "accepted": accepted[:PAGE],
        "refused": refused,
        "next_url": f"/words?after={accepted[PAGE - 1].id}" if len(accepted) > PAGE else "",
        "back_url": "/words" if after else "",
        "left": left,
        "stale": stale,
        "form": form or Form(),
        "forms": forms,
        "opened": deciding[0] if deciding else 0,
        "decides": decides,
        "classes": sorted(one.name for one in part_classes().values() if one.key != GENERAL),
        "languages": list(LANGUAGE_NAMES.items()),
    }
    title = "The shop’s words"
    return page(request, "words/words.html", f"Error: {title}" if status == 422 else title, context, status=status)


@router.post("/words")
def do_propose(request: Request, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Propose a word."""
    try:
        propose_word(store, actor, posted.fields)
    except Faults as faults:
        form = form_of(posted.fields, faults.faults)
        return _show(request, store, decides=actor.may(UserRole.KEEPER), form=form, status=422)
    return redirect(request, "/words", "word-proposed")


@router.post("/words/look")
def do_look(request: Request, actor: Keeper, store: StoreOf) -> Response:
    """Have the records read for words nobody explained."""
    found = propose_words(store, actor)
    return redirect(request, "/words", "words-found" if found else "words-none")


@router.post("/words/read-on")
def do_read_on(request: Request, _actor: Keeper, store: StoreOf) -> Response:
    """Go on reading records anew."""
    return _reading_on(redirect(request, "/words", "reading-on"), store)


@router.post("/words/{number}")
def do_decide(request: Request, number: Number, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Accept or refuse a word."""
    try:
        decided = decide_word(store, actor, number, posted.fields)
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, f"w{number}")
        return _show(request, store, decides=True, deciding=(number, form), status=422)
    said = "word-accepted" if decided.state is WordState.ACCEPTED else "word-refused"
    response = redirect(request, "/words", said)
    return _reading_on(response, store) if decided.left else response


def _reading_on(response: Response, store: Store) -> Response:
    """Read what is left anew once the answer is out, in short steps."""
    response.background = BackgroundTask(read_all_anew, store)
    return response
