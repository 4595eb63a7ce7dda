"""A record's pages, its sheet on paper, its archive, and what is not original on an aeroplane, over HTTP.

What marks a PDF/A-2b file: ISO 19005-2, 6.6.4 (pdfaid:part and pdfaid:conformance in the XMP metadata),
6.2.11.4 (every font embedded), 6.2.2 (an output intent), 6.1.3 (no encryption), read in summaries; this is not a
full validation.
"""

import io
import json
import time
import zipfile
from datetime import UTC, datetime
from typing import Any

import pikepdf
import pytest

from server.domain.drawing import Circle, Dimension, Drawing, Label, Path
from server.domain.drawing_plain import drawing_from_plain
from server.domain.plain import as_plain
from server.services import candidates, finds, needs, signing
from server.services.records import load_record
from server.web import paper
from server.web.drawn import qr_code
from tests.builders import CHANGE
from tests.web.conftest import PASSWORD, Register

HOSTILE = (
    '#panic("x") *bold* $x$ \\ `raw` @ref <label> [a] // \u202e\u4e2d\U0001f600 \u1f60 \u00b5 #read("/etc/passwd")'
)


def a_record(register: Register, **given: str) -> tuple[int, int]:
    """A signed record of a rivet; the record's number and the aeroplane's."""
    plane = register.aeroplane(use="DISPLAY")
    need = register.need(
        plane, part_class="tubular_rivet", item=f"Rivet {HOSTILE}", zone="cabin", quantity_text="40 off"
    )
    restorer = register.actor("restorer")
    sizes = {"body_diameter": "2.95 to 3.05 mm"}
    for name, text in sizes.items():
        asked = {"characteristic": name, "text": text, "form": "limits", "layer": "as designed"}
        needs.add_requirement(register.store, restorer, need, asked | {"known_from": "drawing", "reference": "41-207"})
    find = register.find(text=f"tin {HOSTILE}", part_class="tubular_rivet")
    measured = {"characteristic": "body_diameter", "text": "3.00 mm", "basis": "measured"}
    finds.add_statement(
        register.store, restorer, find, measured | {"stage": "bare, will stay so", "instrument": "micrometer"}
    )
    number = candidates.propose(register.store, restorer, need, find)
    shown = candidates.get_candidate(register.store, number)
    answers = {signing.reason_field(row): f"It carries no load there. {HOSTILE}" for row in shown.sheet.to_answer}
    form = {
        "decision": "approved with conditions",
        **CHANGE,
        "conditions": HOSTILE,
        "shown": shown.shown_digest,
        "password": PASSWORD,
        "marking": "yellow dot on the head",
        "used": "40",
        "reversible": "yes",
        **answers,
        **given,
    }
    answer = register.client_as("approver").post(f"/candidates/{number}/sign", data=form)
    assert answer.status_code == 303, answer.text
    return int(answer.headers["location"].split("/")[2].split("?")[0]), plane


def opened(content: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(content))


def test_the_record_says_its_seal_its_marking_and_where_its_files_are(register: Register, words_of: Any) -> None:
    number, _ = a_record(register)
    answer = register.client_as("viewer").get(f"/records/{number}")
    assert answer.status_code == 200
    said = words_of(answer.text)
    with register.store.read() as session:
        record = load_record(session, number)
    assert record.seal is not None
    assert record.seal.signature in said
    assert "yellow dot on the head" in said
    for kind in ("pdf", "archive", "json"):
        assert f'href="/records/{number}/{kind}"' in answer.text


@pytest.mark.parametrize("path", ["pdf", "archive", "json"])
def test_nobody_reads_a_record_without_signing_in(register: Register, path: str) -> None:
    assert register.client().get(f"/records/1/{path}").status_code in {303, 401}
    assert register.client_as("viewer").get(f"/records/77/{path}").status_code == 404


def test_the_sheet_on_paper_is_marked_as_pdf_a(register: Register) -> None:
    number, _ = a_record(register)
    began = time.monotonic()
    answer = register.client_as("viewer").get(f"/records/{number}/pdf")
    assert time.monotonic() - began < 2
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    with opened(answer.content) as pdf:
        with pdf.open_metadata() as about:
            assert (about["pdfaid:part"], about["pdfaid:conformance"]) == ("2", "B")
            assert str(about["dc:title"]).startswith(f"Record R\u00a0{number:04d}")
        assert not pdf.is_encrypted
        assert "/OutputIntents" in pdf.Root
        assert "/JavaScript" not in pdf.Root.get("/Names", {})
        fonts = [one for one in pdf.objects if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/Font"]
        described = [one.FontDescriptor for one in fonts if "/FontDescriptor" in one]
        assert described
        assert all("/FontFile3" in one or "/FontFile2" in one for one in described)
        assert len(pdf.pages) >= 2


def test_what_was_typed_is_shown_and_never_read_as_markup(register: Register) -> None:
    number, _ = a_record(register)
    with register.store.read() as session:
        record = load_record(session, number)
    imprint = paper.Imprint("Kelp #panic()", is_demo=False, printed_by="*me*", printed_at=datetime.now(UTC))
    assert paper.record_pdf(record, register.files, imprint).startswith(b"%PDF-")
    shown = paper._shown({"a": [HOSTILE]}, paper._SHOWN)["a"][0]
    assert '#panic("x") *bold*' in shown
    assert "[U+202E][U+4E2D][U+1F600]" in shown


@pytest.mark.parametrize("letters", ["\u0301\u0e01", "\ufeff\u200b\ufffd\ue000", "\U0010ffff", "ﬁ א ع ไ"])
def test_no_letter_stops_the_sheet(register: Register, letters: str) -> None:
    number, _ = a_record(register, reason=f"Because of this {letters} it is acceptable in this place.")
    assert register.client_as("viewer").get(f"/records/{number}/pdf").status_code == 200


def test_the_archive_is_proven_by_the_key_alone(register: Register, tmp_path: Any) -> None:
    from server.services.exported import Checked, check_export
    from server.services.seals import public_keys

    number, _ = a_record(register)
    answer = register.client_as("viewer").get(f"/records/{number}/archive")
    assert answer.headers["content-type"] == "application/zip"
    (tmp_path / "one.zip").write_bytes(answer.content)
    with register.store.read() as session:
        keys = public_keys(session)
    assert check_export(tmp_path / "one.zip", keys) == Checked(1, [], [])
    with zipfile.ZipFile(io.BytesIO(answer.content)) as read:
        name = f"records/R{number:04d}"
        assert read.read(f"{name}.pdf").startswith(b"%PDF-")
        assert keys[-1] in read.read("README.txt").decode()
        body = json.loads(read.read(f"{name}.json"))
    single = register.client_as("viewer").get(f"/records/{number}/json")
    assert single.json() == body


def test_a_volume_binds_what_stands_and_nothing_else(register: Register) -> None:
    number, plane = a_record(register)
    client = register.client_as("viewer")
    before = len(opened(client.get(f"/aeroplanes/{plane}/volume.pdf").content).pages)
    with register.store.read() as session:
        candidate = load_record(session, number).candidate_id
    given = {"reason": "The same tin cracked on the sister aeroplane.", "password": PASSWORD}
    signing.withdraw_approval(register.store, register.actor("approver"), candidate, given)
    after = client.get(f"/aeroplanes/{plane}/volume.pdf")
    assert after.status_code == 200
    assert len(opened(after.content).pages) < before
    assert client.get("/aeroplanes/99/volume.pdf").status_code == 404


def test_what_is_not_original_is_listed_until_the_approval_is_withdrawn(register: Register, words_of: Any) -> None:
    number, plane = a_record(register)
    client = register.client_as("viewer")
    assert f'href="/aeroplanes/{plane}/fitted"' in client.get(f"/aeroplanes/{plane}").text
    said = words_of(client.get(f"/aeroplanes/{plane}/fitted").text)
    assert "1 substitution stands approved" in said
    assert "yellow dot on the head yes" in said
    assert f"R\u00a0{number:04d}".replace("\u00a0", " ") in said.replace("\u00a0", " ")
    with register.store.read() as session:
        candidate = load_record(session, number).candidate_id
    given = {"reason": "The same tin cracked on the sister aeroplane.", "password": PASSWORD}
    signing.withdraw_approval(register.store, register.actor("approver"), candidate, given)
    assert "Nothing stands in" in words_of(client.get(f"/aeroplanes/{plane}/fitted").text)


def test_an_answer_that_is_none_of_the_three_is_pointed_out(register: Register) -> None:
    with pytest.raises(AssertionError, match="Can it be undone"):
        a_record(register, reversible="perhaps")


def test_a_drawing_comes_back_as_it_was_frozen() -> None:
    shapes = (
        Path((("M", (0.0, 1.5)), ("A", (1.0, 1.0, 0.0, 1.0, 0.0, 2.0, 2.0)), ("Z", ())), "hatch-a"),
        Circle(1.0, 2.0, 0.25),
        Label(0.0, 0.0, "head", "end"),
        Dimension(0.0, 0.0, 4.0, 0.0, "4 mm"),
    )
    drawing = Drawing("a", "b", shapes, (0.0, 0.0, 4.0, 4.0))
    assert drawing_from_plain(json.loads(json.dumps(as_plain(drawing)))) == drawing


def test_the_code_is_drawn_for_the_address() -> None:
    assert qr_code("http://kelpmoor.example/records/24").startswith("<svg")
    assert qr_code("http://kelpmoor.example/records/24") != qr_code("http://kelpmoor.example/records/25")
