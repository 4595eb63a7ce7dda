"""What the API answers, field by field, for its description. Filled from the plain form of the records.

Exact numbers are fractions written as text ("381/128"), in the kind's own unit
(millimetres for a length); beside them stands the text as it was typed.
Nothing known is null or "", never 0.
"""

from server.web.api_models.asking import FoundOut, HitOut, LogOut, RankedOut
from server.web.api_models.base import AlikeHere, AlikeOut, Answer, ChangedOut, Faulty, Overtaken, Page, Refused
from server.web.api_models.candidates import CandidateLineOut, CandidateOut, RemarkOut, SignOffOut
from server.web.api_models.finds import FindLineOut, FindOut, ProofOut, StatementOut
from server.web.api_models.needs import (
    AttachmentOut,
    DesignationOut,
    EnquiryOut,
    JointOut,
    KnownOut,
    NeedLineOut,
    NeedOut,
    PlyOut,
    RequirementOut,
)
from server.web.api_models.sheets import BandOut, MeasureOut, QuantityOut, RowOut, SheetOut, SourceOut
from server.web.api_models.yard import AeroplaneOut, StepOnBoard, StepOut, SupplierOut

__all__ = [
    "AeroplaneOut",
    "AlikeHere",
    "AlikeOut",
    "Answer",
    "AttachmentOut",
    "BandOut",
    "CandidateLineOut",
    "CandidateOut",
    "ChangedOut",
    "DesignationOut",
    "EnquiryOut",
    "Faulty",
    "FindLineOut",
    "FindOut",
    "FoundOut",
    "HitOut",
    "JointOut",
    "KnownOut",
    "LogOut",
    "MeasureOut",
    "NeedLineOut",
    "NeedOut",
    "Overtaken",
    "Page",
    "PlyOut",
    "ProofOut",
    "QuantityOut",
    "RankedOut",
    "Refused",
    "RemarkOut",
    "RequirementOut",
    "RowOut",
    "SheetOut",
    "SignOffOut",
    "SourceOut",
    "StatementOut",
    "StepOnBoard",
    "StepOut",
    "SupplierOut",
]
