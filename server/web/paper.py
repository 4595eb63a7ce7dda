"""A record, and a bound volume of them, as PDF/A-2b: the values in words, set by the templates in templates/typst.

What people typed goes to the typesetter as values in a JSON file, never as
markup. Letters that the fonts lack are written as [U+4E2D], so that none
goes missing unseen.
"""

import json
import re
import tempfile
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import typst
from PIL import Image

from server.domain.errors import Refused
from server.domain.register import Aeroplane, find_number, find_title, need_number, record_number
from server.domain.verdict import Row
from server.services.pictures import small_picture
from server.services.records import Frozen, fitted_of
from server.services.verifying import attachments_of
from server.settings import STATIC, TEMPLATES
from server.storage.files import Files
from server.web import diagrams
from server.web.drawn import qr_code, standalone
from server.web.wording import day, days_said, moment, percent, shown_in, verdict_kind

FONTS = STATIC / "fonts" / "print"
SHEETS = TEMPLATES / "typst"
PHOTO_SIDE = 1100
"""Longest side of a photograph on paper, pixels: about 300 to the inch at half a sheet's width."""
NOT_SAID = "not said"

# What B612 and the typesetter's own fonts can show; found by setting every character once.
_SHOWN = re.compile(
    "[\n\t\u0020-\u007e\u00a0-\u0377\u0384-\u038a\u038c\u038e-\u03a1\u03a3-\u04ff\u1e00-\u1eff\u2000-\u200a"
    "\u2010-\u2027"
    "\u202f-\u2040\u2044-\u2052\u2070\u2071\u2074-\u208e\u20a0-\u20c0\u2100-\u211e\u2126-\u2151\u2153-\u2184\u2190-\u23ff"
    "\u2460-\u25ff]"
)


class NotSet(Refused):
    """The sheet could not be set as PDF/A."""


@dataclass(frozen=True, slots=True)
class Imprint:
    """What stands on the edge of every sheet."""

    register: str
    is_demo: bool
    printed_by: str
    printed_at: datetime
    address: str = ""
    zone: ZoneInfo = field(default_factory=lambda: ZoneInfo("UTC"))


def record_pdf(record: Frozen, files: Files, imprint: Imprint) -> bytes:
    """One record on paper. Raises NotSet."""
    pictures: dict[str, bytes] = {}
    with shown_in(imprint.zone):
        values = {
            "title": f"Record {record.number}: {record.plain['need']['item']}",
            "imprint": _imprint(imprint, f"Record {record.number}"),
            "record": _record(record, files, imprint, pictures),
        }
    return _set("single.typ", values, pictures, imprint.printed_at)


def volume_pdf(plane: Aeroplane, records: list[Frozen], files: Files, imprint: Imprint) -> bytes:
    """Every standing record of an aeroplane, with a title page and indexes. Raises NotSet."""
    pictures: dict[str, bytes] = {}
    with shown_in(imprint.zone):
        values = _volume(plane, records, files, imprint, pictures)
    return _set("volume.typ", values, pictures, imprint.printed_at)


def _volume(
    plane: Aeroplane, records: list[Frozen], files: Files, imprint: Imprint, pictures: dict[str, bytes]
) -> dict[str, Any]:
    lines: list[dict[str, Any]] = [
        {
            "label": _label(record),
            "number": record.number,
            "part": f"{one.was} → {one.now}",
            "signed": day(one.since),
            "place": one.position or NOT_SAID,
            "part_number": "; ".join(one.designations) or "none known",
            "order": record.id,
        }
        for record, one in ((record, fitted_of(record)) for record in records)
    ]
    return {
        "title": f"{plane.label}: record of what was substituted",
        "imprint": _imprint(imprint, plane.label),
        "aeroplane": plane.label,
        "about": [
            ("Type", plane.type),
            ("Maker", plane.maker or NOT_SAID),
            ("Maker’s serial", plane.serial or NOT_SAID),
            ("Registration", plane.registration or NOT_SAID),
            ("It will be", plane.use),
            ("Answers to", plane.authority or NOT_SAID),
            ("Records in this volume", str(len(records))),
        ],
        "said": "Every approval that stands is bound in here, as it was signed. What was refused, and approvals "
        "that were withdrawn, stay in the register. Nothing here says that a part is airworthy or lawful to fit.",
        "by_place": _sorted(lines, "place"),
        "by_number": _sorted(lines, "part_number"),
        "by_date": [{**one, "by": one["signed"]} for one in sorted(lines, key=lambda one: one["order"])],
        "records": [_record(record, files, imprint, pictures) for record in records],
    }


def record_drawings(record: Frozen) -> dict[str, bytes]:
    """The drawings of a record as files: "-drawing-1.svg" → SVG."""
    return {
        f"-drawing-{place}.svg": standalone(diagrams.draw(one, f"d{place}")).encode()
        for place, one in enumerate(record.drawings, 1)
    }


def _sorted(lines: list[dict[str, Any]], by: str) -> list[dict[str, Any]]:
    return [{**one, "by": one[by]} for one in sorted(lines, key=lambda one: (one[by].casefold(), one["order"]))]


def _label(record: Frozen) -> str:
    return f"record-{record.id}"


def _imprint(imprint: Imprint, name: str) -> dict[str, Any]:
    return {
        "register": imprint.register,
        "demo": imprint.is_demo,
        "printed": f"printed {moment(imprint.printed_at)} by {imprint.printed_by}",
        "name": name,
    }


def _record(record: Frozen, files: Files, imprint: Imprint, pictures: dict[str, bytes]) -> dict[str, Any]:
    plain, sheet, at = record.plain, record.sheet, _label(record)
    need, find, signer = plain["need"], plain["find"], plain["signer"]
    authentic = plain["authenticity"]
    labels = {row.key: f"{row.label} ({row.verdict})" for row in sheet.rows}
    deciding = sheet.deciding_row
    photos, papers = _attached(plain, files, at, pictures)
    return {
        "label": at,
        "number": record.number,
        "item": need["item"],
        "decision": plain["decision"],
        "signer": signer["name"],
        "signed_at": moment(record.signed_at),
        "qr": _picture(pictures, f"{at}-code.svg", qr_code(imprint.address + f"/records/{record.id}").encode())
        if imprint.address
        else "",
        "qr_text": imprint.address + f"/records/{record.id}" if imprint.address else "",
        "outcome": str(sheet.outcome),
        "outcome_kind": verdict_kind(sheet.outcome),
        "deciding": deciding.label if deciding else "",
        "authentic": f"{authentic['answer']}, {authentic['by']}: {authentic['reason']}"
        if authentic["answer"]
        else "not judged",
        "cautions": list(sheet.cautions),
        "decided": [
            ("Decision", plain["decision"]),
            *_what_it_does(plain),
            ("The reason for the whole", plain["reason"] or "see the reasons for each departure"),
            ("Conditions", plain["conditions"] or "none"),
            ("Pieces used here", str(plain["used"]) if plain.get("used") else NOT_SAID),
            ("How to tell it on the part", plain.get("marking") or NOT_SAID),
            ("Can it be undone", plain.get("reversible") or "unknown"),
        ],
        "change": _change(plain),
        "left_open": list((plain.get("change") or {}).get("open", ())),
        "took": _took(plain),
        "asked": [
            {
                "said": f"{'Answer: ' if one['answers'] else ''}{one['text']}",
                "who": f"{one['by']}, {moment(one['at'])}",
            }
            for one in plain.get("remarks", ())
        ],
        "original": _original(need),
        "substitute": [
            ("Find", find_number(find["id"])),
            ("What it is", find_title(find["text"])),
            ("Kind of source", find["origin"] or NOT_SAID),
            ("From", find["supplier"]["name"] if find["supplier"] else NOT_SAID),
            ("Condition", find["condition"] or NOT_SAID),
            ("Provenance", "; ".join(_noted(one["kind"], one["note"]) for one in find["proofs"]) or "nothing entered"),
        ],
        "reasons": _reasons(plain, labels),
        "rows": [
            _row(row, f"{at}-band-{place}.svg", pictures, [str(one) for one in sheet.cited])
            for place, row in enumerate(sheet.rows)
        ],
        "drawings": [
            {
                "file": _picture(pictures, f"{at}{name}", content),
                "alt": drawing.description or drawing.title,
                "caption": f"{drawing.title}. {drawing.description}",
            }
            for (name, content), drawing in zip(record_drawings(record).items(), record.drawings, strict=True)
        ],
        "photos": photos,
        "papers": papers,
        "sources": [str(one) for one in sheet.cited],
        "signatures": [
            ("Proposed by", f"{plain['proposed_by']}, {moment(plain['proposed_at'])}"),
            *_signed_first(plain),
            ("Signed by", f"{signer['name']}, {moment(record.signed_at)}"),
            ("Authority or licence", _licence(signer)),
            ("How it was signed", "by typing the password again on the register; not by hand"),
        ],
        "proof": [
            ("Digest", record.digest),
            ("Digest before it", record.previous),
            ("Seal", f"{record.seal.signature[:64]}\n{record.seal.signature[64:]}" if record.seal else "none"),
            ("Sealed", record.seal.sealed_at if record.seal else "never"),
            ("Public key", record.seal.key if record.seal else "none"),
        ],
        "titleblock": [
            ("Record", record.number),
            ("Need", need_number(need["id"])),
            ("Find", find_number(find["id"])),
            ("Signed", day(record.signed_at)),
            ("Check", f"engine {sheet.engine}, handbook {sheet.handbook}"),
        ],
    }


def _what_it_does(plain: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What an entry that is no plain decision stands for."""
    said: list[tuple[str, str]] = []
    if plain.get("would"):
        said.append(("By itself", f"the first of two signatures; it allows nothing. It would have it {plain['would']}"))
    if closes := plain.get("closes"):
        due = closes.get("due") or closes.get("due_words")
        text = f"“{closes['text']}”{f', due {due}' if due else ''}, of {record_number(closes['record'])}"
        said.append(("Closes the condition", text))
    if withdraws := plain.get("withdraws"):
        said.append(("Withdraws", f"the record with the digest {withdraws}"))
    return said


def _change(plain: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What was asked about the kind of change, and what was answered; nothing in records from before it was asked."""
    change = plain.get("change")
    if not change:
        return []
    authority = change["authority"]
    said = [(one["question"], one["answer"]) for one in change["asked"]]
    if authority.get("said"):
        said.append(("Who says that it need not be asked, and why", authority["said"]))
    if authority.get("reference"):
        parts = (authority.get("way"), authority["reference"], authority.get("on"))
        said.append(("The answer", ", ".join(str(one) for one in parts if one)))
    return said


def _reasons(plain: Mapping[str, Any], labels: Mapping[str, str]) -> list[tuple[str, str]]:
    """Each row's reason, with the paper it rests on; records from before papers were asked for name none."""
    references = plain.get("references", {})
    said = []
    for key in dict.fromkeys((*plain["reasons"], *references)):
        parts = [plain["reasons"].get(key, ""), f"Rests on: {references[key]}." if key in references else ""]
        said.append((labels.get(key, key), " ".join(part for part in parts if part)))
    return said


def _took(plain: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What the signature took: signatures, licence, and the evidence of each governing row."""
    rule = plain.get("rule")
    if not rule:
        return []
    said = [("Asked for", rule["said"])]
    said += [(one["label"], f"evidence: {one['said']}") for one in rule["evidence"]]
    return [*said, ("Leans on", "; ".join(str(one) for one in rule["sources"]))]


def _signed_first(plain: Mapping[str, Any]) -> list[tuple[str, str]]:
    first = plain.get("first")
    if not first:
        return []
    said = f"{first['signer']['name']}, {moment(first['signed_at'])}, in {record_number(first['record'])}"
    what = f"{first['decision']}{': ' + first['reason'] if first['reason'] else ''}"
    return [
        ("First signature", said),
        ("Authority or licence", _licence(first["signer"])),
        ("It said", what),
    ]


def _original(need: Mapping[str, Any]) -> list[tuple[str, str]]:
    plane = need["aeroplane"]
    marks = [plane["type"], plane["registration"], f"maker’s serial {plane['serial']}" if plane["serial"] else ""]
    step = need["step"]
    return [
        ("Need", need_number(need["id"])),
        ("Aeroplane", ", ".join(one for one in marks if one)),
        ("It will be", plane["use"]),
        ("Place", ", ".join(one for one in (need["zone"], need["side"], need["station"]) if one) or NOT_SAID),
        ("ATA chapter", need["chapter"] or NOT_SAID),
        ("Role", need["role"]),
        ("Quantity", need["quantity_text"] or NOT_SAID),
        ("Numbers and names", "; ".join(_number(one) for one in need["designations"]) or "none known"),
        ("Wrong with the original", ", ".join(need["wrong"]) or NOT_SAID),
        ("Needed before", step["name"] if step else NOT_SAID),
    ]


def _number(one: Mapping[str, Any]) -> str:
    return f"{one['text']} ({one['kind']}, {one['reading']})"


def _noted(kind: str, note: str) -> str:
    return f"{kind}: {note}" if note else kind


def _licence(signer: Mapping[str, Any]) -> str:
    if not signer["licence_number"]:
        return "none stated"
    until = f", valid until {day(date.fromisoformat(signer['licence_until']))}" if signer["licence_until"] else ""
    return f"{signer['licence_kind']} {signer['licence_number']}{until}"


def _row(row: Row, name: str, pictures: dict[str, bytes], cited: list[str]) -> dict[str, Any]:
    rules = ", ".join(str(cited.index(str(source)) + 1) for source in row.sources)
    more = [
        ("Margin:", row.margin),
        ("Chance that it conforms:", percent(row.probability)),
        ("Assumed:", row.assumption),
        ("Caution:", row.caution),
        ("Wanted is known from:", row.known_from),
        ("Offered is known from:", days_said(row.offered_from)),
        ("Rules:", rules),
    ]
    band = _picture(pictures, name, standalone(diagrams.band(row.band, "b")).encode()) if row.band else ""
    return {
        "label": row.label,
        "weight": str(row.weight),
        "wanted": row.wanted,
        "offered": row.offered,
        "band": band,
        "band_alt": f"{row.label}: limits, value and doubt to scale",
        "verdict": str(row.verdict),
        "kind": verdict_kind(row.verdict),
        "sentence": row.sentence,
        "more": [(what, said) for what, said in more if said],
    }


def _attached(
    plain: Mapping[str, Any], files: Files, at: str, pictures: dict[str, bytes]
) -> tuple[list[dict[str, str]], list[dict[str, str]]]:
    """Photographs to show, and everything with its digest to list; a lost photograph is said, not left out."""
    photos: list[dict[str, str]] = []
    papers: list[dict[str, str]] = []
    for place, one in enumerate(attachments_of(plain)):
        said = one["caption"] or one["name"] or "without a caption"
        lost = ""
        if one["media_type"] == "image/jpeg":
            try:
                small = small_picture(files.get(one["digest"]), PHOTO_SIDE)
                photos.append(
                    {"file": _picture(pictures, f"{at}-photo-{place}.jpg", small), "alt": said, "caption": said}
                )
            except (Refused, OSError, Image.DecompressionBombError):
                lost = " (its file is gone or can’t be read)"
        papers.append({"said": f"{one['kind']}: {said}, entered by {one['by']}{lost}", "digest": one["digest"]})
    return photos, papers


def _picture(pictures: dict[str, bytes], name: str, content: bytes) -> str:
    pictures[name] = content
    return name


def _set(sheet: str, values: Mapping[str, Any], pictures: Mapping[str, bytes], made_at: datetime) -> bytes:
    """The PDF of these values. Where a letter is still missing, all but plain Latin ones are spelt out."""
    try:
        return _compile(sheet, _shown(values, _SHOWN), pictures, made_at)
    except typst.TypstError as error:
        if "could not be displayed" not in str(error):
            raise NotSet(f"The sheet could not be set: {error}") from error
    try:
        return _compile(sheet, _shown(values, re.compile("[\n\t\u0020-\u007e\u00a0-\u017f]")), pictures, made_at)
    except typst.TypstError as error:
        raise NotSet(f"The sheet could not be set: {error}") from error


def _compile(sheet: str, values: Any, pictures: Mapping[str, bytes], made_at: datetime) -> bytes:
    with tempfile.TemporaryDirectory(prefix="makegood-") as name:
        folder = Path(name)
        for template in (sheet, "record.typ"):
            (folder / template).write_bytes((SHEETS / template).read_bytes())
        (folder / "data.json").write_text(json.dumps(values, ensure_ascii=False), encoding="utf-8")
        for picture, content in pictures.items():
            (folder / picture).write_bytes(content)
        # the typesetter reads nothing outside this folder and asks no network
        return typst.compile(
            folder / sheet,
            root=folder,
            font_paths=[FONTS],
            ignore_system_fonts=True,
            format="pdf",
            pdf_standards="a-2b",
            timestamp=made_at.replace(microsecond=0),
        )


def _shown(value: Any, can_show: re.Pattern[str]) -> Any:
    """The same values with every letter that can't be shown spelt out as its number."""
    if isinstance(value, str):
        return "".join(
            sign if can_show.match(sign) else f"[U+{ord(sign):04X}]" for sign in unicodedata.normalize("NFC", value)
        )
    if isinstance(value, Mapping):
        return {name: _shown(one, can_show) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_shown(one, can_show) for one in value]
    return value
