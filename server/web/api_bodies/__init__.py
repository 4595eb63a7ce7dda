"""What the API takes: the fields of the forms as one flat JSON object, and nothing the forms do not know."""

from server.web.api_bodies.base import Fields, Given, ReasonIn, Value, numbered
from server.web.api_bodies.candidates import CheckIn, JudgementIn, ProposalIn, RemarkIn
from server.web.api_bodies.finds import STATEMENT_FIELDS, EvidenceIn, FindEdit, FindIn, StatementIn
from server.web.api_bodies.needs import (
    REQUIREMENT_FIELDS,
    DesignationIn,
    EnquiryIn,
    JointIn,
    NeedEdit,
    NeedIn,
    RequirementIn,
)
from server.web.api_bodies.yard import (
    AeroplaneEdit,
    AeroplaneIn,
    StepEdit,
    StepFields,
    StepIn,
    StepStateIn,
    SupplierEdit,
    SupplierIn,
)

__all__ = [
    "REQUIREMENT_FIELDS",
    "STATEMENT_FIELDS",
    "AeroplaneEdit",
    "AeroplaneIn",
    "CheckIn",
    "DesignationIn",
    "EnquiryIn",
    "EvidenceIn",
    "Fields",
    "FindEdit",
    "FindIn",
    "Given",
    "JointIn",
    "JudgementIn",
    "NeedEdit",
    "NeedIn",
    "ProposalIn",
    "ReasonIn",
    "RemarkIn",
    "RequirementIn",
    "StatementIn",
    "StepEdit",
    "StepFields",
    "StepIn",
    "StepStateIn",
    "SupplierEdit",
    "SupplierIn",
    "Value",
    "numbered",
]
