"""The API: finds proposed for needs, with their sheets. Signing is done by a person on the page."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from server.domain.plain import as_plain
from server.services import candidates, remarks
from server.services.candidates import Candidate
from server.storage.engine import Store
from server.web.addresses import LAST, After, Number
from server.web.api_bodies import JudgementIn, ProposalIn, ReasonIn, RemarkIn
from server.web.api_kit import (
    CREATED,
    MOST,
    OVERTAKEN,
    REFUSALS,
    ApiReader,
    ApiRestorer,
    ApiWriter,
    address_of,
    page_of,
)
from server.web.api_models import CandidateLineOut, CandidateOut, Page
from server.web.who import StoreOf

router = APIRouter(prefix="/api/candidates", tags=["proposals"], responses=REFUSALS)

Id = Annotated[int | None, Query(ge=1, le=LAST)]


def plain_candidate(one: Candidate) -> dict[str, Any]:
    """A proposal as the API answers it: need and find by number, both sheets whole."""
    plain: dict[str, Any] = as_plain(one)
    return {**plain, "need_id": one.need.id, "find_id": one.find.id}


@router.get("", summary="List proposals", response_model=Page[CandidateLineOut])
def list_them(
    _actor: ApiReader,
    store: StoreOf,
    need_id: Id = None,
    find_id: Id = None,
    undecided: Annotated[bool, Query(description="Only those that wait for a signature.")] = False,
    after: After = 0,
    most: Annotated[int, Query(ge=1, le=MOST)] = 50,
) -> dict[str, Any]:
    """Proposals in order of their number, without those that were taken back."""
    with store.read() as session:
        lines = candidates.list_candidates(
            session, need_id=need_id, find_id=find_id, undecided=undecided, after=after, most=most + 1
        )
    return page_of(lines, most, [as_plain(line) for line in lines])


@router.post("", summary="Propose a find for a need", status_code=201, response_model=CandidateOut, responses=CREATED)
def propose(request: Request, response: Response, actor: ApiWriter, store: StoreOf, body: ProposalIn) -> dict[str, Any]:
    """Propose a find for a need; the check runs on what is known now. Needs the role “restorer”."""
    number = candidates.propose(store, actor, body.need_id, body.find_id, body.note)
    response.headers["Location"] = address_of(request, f"/api/candidates/{number}")
    return plain_candidate(candidates.get_candidate(store, number))


@router.get("/{number}", summary="Read a proposal with its sheet", response_model=CandidateOut)
def read_one(number: Number, _actor: ApiReader, store: StoreOf) -> dict[str, Any]:
    """A proposal: the sheet as it was when proposed, the sheet on what is known now, and the decisions."""
    return plain_candidate(candidates.get_candidate(store, number))


def _whole(store: Store, number: int) -> dict[str, Any]:
    return plain_candidate(candidates.get_candidate(store, number))


@router.post("/{number}/check", summary="Check a proposal again", response_model=CandidateOut)
def check_again(number: Number, actor: ApiRestorer, store: StoreOf) -> dict[str, Any]:
    """Check it on what is known now and keep that sheet; never of one that is decided. Needs the role “restorer”."""
    candidates.recheck(store, actor, number)
    return _whole(store, number)


@router.post("/{number}/authenticity", summary="Judge authenticity", response_model=CandidateOut, responses=OVERTAKEN)
def judge(number: Number, actor: ApiRestorer, store: StoreOf, body: JudgementIn) -> dict[str, Any]:
    """Say, as a person, whether it is right for this restoration, with a reason. Needs the role “restorer”."""
    candidates.judge_authenticity(store, actor, number, body.given())
    return _whole(store, number)


@router.post("/{number}/remarks", summary="Ask or answer", response_model=CandidateOut)
def remark(request: Request, number: Number, actor: ApiRestorer, store: StoreOf, body: RemarkIn) -> dict[str, Any]:
    """Ask something of a proposal, or answer, until it is decided. Needs the role “restorer”."""
    remarks.add_remark(store, request.app.state.files, actor, number, body.given())
    return _whole(store, number)


@router.post("/remarks/{remark_id}/withdraw", summary="Take a question or answer back", response_model=CandidateOut)
def withdraw_remark(remark_id: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> dict[str, Any]:
    """Take back what one said oneself, with a reason; its proposal. Needs the role “restorer”."""
    return _whole(store, remarks.withdraw_remark(store, actor, remark_id, str(body.given().get("reason", ""))))


@router.post("/{number}/withdraw", summary="Take a proposal back", response_model=CandidateOut)
def withdraw_one(number: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> dict[str, Any]:
    """Take back a proposal that is not decided, with a reason. Needs the role “restorer”."""
    candidates.withdraw_candidate(store, actor, number, str(body.given().get("reason", "")))
    return _whole(store, number)
