"""The API: finds proposed for needs, with their sheets. Signing is done by a person on the page."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from server.domain.plain import as_plain
from server.services import candidates
from server.services.candidates import Candidate
from server.web.addresses import LAST, After, Number
from server.web.api_bodies import ProposalIn
from server.web.api_kit import CREATED, MOST, REFUSALS, ApiReader, ApiWriter, address_of, page_of
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
