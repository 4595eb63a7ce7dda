"""What kind of change a substitution is: the questions the signer is led through, and what each answer leaves open.

The register lists what was asked, what was answered and what is open. It never
says that a change is minor, major or lawful: that is said by the person who
signs, and by the authority.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from server.domain.sources import Source, Standing, common_practice, from_memory


class ChangeKind(StrEnum):
    """What is fitted in place of the original."""

    REPAIRED = "the part itself, repaired"
    RENAMED = "an approved part by another name"
    STANDARD = "a standard part"
    OWNER = "an owner-produced part"
    SALVAGED = "a salvaged part"
    SUBSTITUTE = "another part or material"


class Critical(StrEnum):
    """What follows if the part fails in flight."""

    NO = "no"
    YES = "yes"
    UNKNOWN = "not known"


class Asked(StrEnum):
    """Where the question to the authority stands."""

    NOT_NEEDED = "need not be asked"
    TO_ASK = "has to be asked, not asked yet"
    WAITING = "asked, not answered yet"
    ANSWERED = "asked and answered"


class Way(StrEnum):
    """By which way the authority is asked."""

    FIELD_APPROVAL = "field approval"
    ORDER = "engineering order"
    PERMIT = "permit organisation"
    OTHER = "another way"


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer that may be given: its word, what it means, and what it leaves open."""

    word: str
    help: str
    open: str = ""
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """One question, with its answers; `key` is its field in a form."""

    key: str
    text: str
    help: str
    answers: tuple[Answer, ...] = ()
    sources: tuple[Source, ...] = ()

    def answer(self, word: str) -> Answer | None:
        """The answer of this word."""
        return next((one for one in self.answers if one.word == word), None)


REFERRING = "Your own authority and the person who signs decide; these questions only see that nothing is forgotten."

_AC_20_62 = Source("AC 20-62E", "para 6", "23 Dec 2010")
_STANDARD_US = Source("14 CFR 21.9(a)(3)", "standard part")
_STANDARD_EU = Source("21.A.303(c) and AMC", "standard part")
_OWNER_RULE = Source("14 CFR 21.9(a)(5)", "produced by an owner or operator")
_OWNER_MEMO = Source(
    "FAA counsel memorandum on owner-produced parts", "as trade articles give it", "5 Aug 1993", Standing.QUOTED
)
_SALVAGE = Source("Hong Kong CAD airworthiness notice on salvaged items", "", "2011 copy")
_LIMITED = Source("CAR 571.09", "used life-limited part only with its technical history")
_SUBSTITUTE = Source("AC 23-27", "abstract; the body was not read", "18 May 2009")
METHODS = Source("AC 43.13-1B", "as data for a major repair: chapter, page and paragraph", "8 Sep 1998, chg 1")
_MAJOR = Source("14 CFR 43 appendix A(a)(1)", "airframe", standing=Standing.QUOTED)
_QUESTIONS_CA = Source("Standard 571 appendix A", "yes-or-no questions, first part")
_FIELD = Source("AC 43-210A", "approval of data for major work", "17 Aug 2016")
_EXHIBIT = common_practice("curator or conservator and owner decide for an exhibit")

KIND = Question(
    "change_kind",
    "What goes in?",
    "Choose the nearest. It decides what has to be proven, not whether it may be fitted.",
    (
        Answer(
            ChangeKind.REPAIRED,
            "The original comes back after work on it.",
            "By which data it was repaired, and its inspection after the repair.",
            (METHODS,),
        ),
        Answer(
            ChangeKind.RENAMED,
            "The maker or a standard says that this number stands for the old one.",
            "The paper that says so, with its edition.",
            (_AC_20_62,),
        ),
        Answer(
            ChangeKind.STANDARD,
            "Made to a published standard, and the design calls that standard up.",
            "Proof that it conforms to the standard, and that the design calls that standard up.",
            (_STANDARD_US, _STANDARD_EU),
        ),
        Answer(
            ChangeKind.OWNER,
            "The owner had a hand in design, material, process, quality or supervision; for this aeroplane only.",
            "A paper on the owner’s part in it. Whoever fits it still has to find it airworthy.",
            (_OWNER_RULE, _OWNER_MEMO),
        ),
        Answer(
            ChangeKind.SALVAGED,
            "Out of another aeroplane.",
            "The donor’s history: accident, fire, storage, hours. Without it a life-limited part is not used again.",
            (_SALVAGE, _LIMITED),
        ),
        Answer(
            ChangeKind.SUBSTITUTE,
            "None of the above: compared property by property.",
            "Whether the change is minor or major, and by which approved data it is done if it is major.",
            (_SUBSTITUTE, _MAJOR),
        ),
    ),
)
CRITICAL = Question(
    "change_critical",
    "If it fails, can the aeroplane, somebody aboard or somebody below come to harm?",
    "Structure, controls, landing gear, engine and propeller mounting, fuel, seats and harness are the usual ones. "
    "“Not known” is held like “yes”.",
    (
        Answer(Critical.NO, "Nothing follows that matters to the flight."),
        Answer(
            Critical.YES,
            "It is signed like primary structure.",
            "Whether this is a major repair or alteration: a person with the authority says so.",
            (_MAJOR, _QUESTIONS_CA),
        ),
        Answer(Critical.UNKNOWN, "It is signed like primary structure.", "What follows if it fails.", (_QUESTIONS_CA,)),
    ),
    (from_memory("depth of proof follows what happens if the part fails", "AC 23-27"),),
)
DATA = Question(
    "change_data",
    "Which data does it rest on?",
    "Drawing, manual, standard, earlier approval: with number, edition and place in it.",
    sources=(METHODS,),
)
AUTHORITY = Question(
    "change_authority",
    "Does the authority have to be asked?",
    "A part that waits for an authority is not signed.",
    (
        Answer(Asked.NOT_NEEDED, "Write below who says so and why.", "", (_AC_20_62,)),
        Answer(Asked.TO_ASK, "It can’t be approved until it is answered.", "The authority has not been asked."),
        Answer(Asked.WAITING, "It can’t be approved until it is answered.", "The authority has not answered."),
        Answer(Asked.ANSWERED, "Write below the number and the date of the answer."),
    ),
    (_FIELD,),
)
OWNER_AGREES = Question(
    "change_authority",
    "Do the curator or the owner have to be asked?",
    "On an exhibit they decide what stands in for an original. A part that waits for them is not signed.",
    AUTHORITY.answers,
    (_EXHIBIT,),
)

FULL: tuple[Question, ...] = (KIND, CRITICAL, DATA, AUTHORITY)
SHORT: tuple[Question, ...] = (KIND, OWNER_AGREES)
"""For static display: what goes in, and whether somebody was asked."""


def questions_for(flies: bool) -> tuple[Question, ...]:
    """The questions asked for an aeroplane that flies, or for an exhibit."""
    return FULL if flies else SHORT


@dataclass(frozen=True, slots=True)
class Change:
    """The answers as they are frozen in the record; None and "" where nothing was answered."""

    kind: ChangeKind | None = None
    critical: Critical | None = None
    data: str = ""
    asked: Asked | None = None
    way: Way | None = None
    said: str = ""
    reference: str = ""
    on: date | None = None

    @property
    def counts_as_critical(self) -> bool:
        """Unknown is held like yes."""
        return self.critical in {Critical.YES, Critical.UNKNOWN}


def faults_of(change: Change, flies: bool, today: date) -> dict[str, str]:
    """What keeps these answers from carrying an approval: field → sentence."""
    faults: dict[str, str] = {}
    if change.kind is None:
        faults["change_kind"] = "Choose what kind of change this is."
    if flies and change.critical is None:
        faults["change_critical"] = "Say whether harm can follow if it fails; “not known” is an answer."
    if flies and not change.data:
        faults["change_data"] = "Name the data it rests on: drawing, manual, standard or earlier approval."
    if flies and change.asked is None:
        faults["change_authority"] = "Say whether the authority has to be asked."
    whom = "the authority" if flies else "whoever has to be asked"
    if change.asked in {Asked.TO_ASK, Asked.WAITING}:
        faults["change_authority"] = (
            f"A part that waits for {whom} is not signed. It stays proposed; sign when the answer is there."
        )
    if change.asked is Asked.ANSWERED:
        if not change.reference:
            faults["change_authority_ref"] = "Give the number or letter the answer came under."
        if change.on is None:
            faults["change_authority_on"] = "Give the date of the answer."
        elif change.on > today:
            faults["change_authority_on"] = f"{change.on.isoformat()} is still to come; give the date of the answer."
        if flies and change.way is None:
            faults["change_authority_way"] = "Say by which way the authority answered."
    if flies and change.asked is Asked.NOT_NEEDED and not change.said:
        faults["change_authority_said"] = "Write who says that the authority need not be asked, and why."
    return faults


def left_open(change: Change) -> tuple[str, ...]:
    """What these answers leave open, in words, for the record and the reader."""
    said: Mapping[Question, StrEnum | None] = {KIND: change.kind, CRITICAL: change.critical, AUTHORITY: change.asked}
    found = [question.answer(word) for question, word in said.items() if word is not None]
    return tuple(one.open for one in found if one is not None and one.open)


def sources_of(change: Change, flies: bool) -> tuple[Source, ...]:
    """What the questions and the chosen answers lean on, each once."""
    chosen: list[Source] = []
    words = {"change_kind": change.kind, "change_critical": change.critical, "change_authority": change.asked}
    for question in questions_for(flies):
        chosen.extend(question.sources)
        word = words.get(question.key)
        answer = question.answer(word) if word is not None else None
        chosen.extend(answer.sources if answer else ())
    return tuple(dict.fromkeys(chosen))
