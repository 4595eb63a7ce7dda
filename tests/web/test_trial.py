"""Trying a check over HTTP: the question in the address, the answer on the page, nothing kept."""

import re
from html import unescape
from urllib.parse import parse_qsl, urlencode, urlsplit

import pytest

from server.domain.parts import part_classes
from server.services import needs
from server.services.trial_examples import examples_of
from tests.web.conftest import Register

ROLES = ["viewer", "restorer", "approver", "keeper"]
BUSH = {"w_bore_text": "10 to 10.02 mm", "o_bore_text": "10.05 mm", "o_bore_basis": "measured"}


def text_of(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def result_of(html: str) -> str:
    return text_of(html.split('id="result"')[1].split("</main>", maxsplit=1)[0])


@pytest.mark.parametrize("role", ROLES)
def test_anybody_who_is_signed_in_may_try(register: Register, role: str) -> None:
    client = register.client_as(role)
    assert client.get("/try").status_code == 200
    answer = client.get(f"/try/bush?{urlencode(BUSH)}")
    assert answer.status_code == 200
    assert "Row by row" in answer.text


def test_nobody_else_may(register: Register) -> None:
    for address in ("/try", "/try/bush", "/handbook"):
        answer = register.client().get(address)
        assert answer.status_code == 303
        assert answer.headers["location"].startswith("/sign-in")


def test_every_class_stands_in_the_list_and_has_its_form(register: Register) -> None:
    client = register.client_as("viewer")
    page = client.get("/try").text
    for key, one in part_classes().items():
        assert f'href="/try/{key}"' in page
        form = client.get(f"/try/{key}")
        assert form.status_code == 200
        assert one.name in text_of(form.text)
        assert ("ply1_thickness" in form.text) == one.has_joint
    assert client.get("/try/teapot").status_code == 404


def test_the_example_fills_the_form_and_comes_out(register: Register) -> None:
    client = register.client_as("viewer")
    page = client.get("/try/tubular_rivet").text
    assert "Start with the example" in page
    (href,) = map(unescape, re.findall(r'href="([^"]+)">Start with the example', page))
    answer = client.get(href.split("#")[0])
    assert answer.status_code == 200, "the link is in its shortest form already"
    (example, *_) = part_classes()["tubular_rivet"].examples
    assert str(example.outcome) in result_of(answer.text)
    for name, text in examples_of("tubular_rivet")[0].fields:
        assert f'name="{name}"' in answer.text
        assert text in unescape(answer.text)
    assert "<svg" in answer.text.split('id="result"')[1], "drawn to scale"
    assert "Rules and sources" in answer.text


def test_an_address_with_empty_fields_goes_to_the_short_one(register: Register) -> None:
    client = register.client_as("viewer")
    sent = {
        **BUSH,
        "w_bore_form": "limits",
        "w_bore_known_from": "estimate",
        "touches": "",
        "o_length_text": "",
        "use": "",
    }
    answer = client.get(f"/try/bush?{urlencode(sent)}")
    assert answer.status_code == 303
    assert dict(parse_qsl(urlsplit(answer.headers["location"]).query)) == BUSH
    assert client.get(answer.headers["location"]).status_code == 200
    assert client.get("/try/bush?use=&role=").headers["location"] == "/try/bush"


def test_a_fault_stands_at_its_field_and_the_page_is_no_refusal(register: Register) -> None:
    answer = register.client_as("viewer").get("/try/bush?w_bore_text=ten&o_bore_text=10+mm")
    assert answer.status_code == 200
    assert "<title>Error: Try: Bush or spacer" in answer.text
    field = answer.text.split('name="w_bore_text"')[1].split(">")[0]
    assert 'aria-invalid="true"' in field
    assert 'value="ten"' in field
    assert 'id="f-w_bore_text-fault"' in answer.text
    assert "Nothing is compared yet: 1 field can’t be read" in result_of(answer.text)
    assert "Row by row" not in answer.text


def test_a_script_gets_the_answer_alone_and_the_short_address(register: Register) -> None:
    client = register.client_as("viewer")
    answer = client.get(f"/try/bush?{urlencode({**BUSH, 'touches': ''})}", headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert "<form" not in answer.text
    assert 'id="result"' in answer.text
    assert 'hx-swap-oob="innerHTML"' in answer.text
    assert dict(parse_qsl(urlsplit(answer.headers["hx-replace-url"]).query)) == BUSH
    assert "hx-swap-oob" not in client.get(f"/try/bush?{urlencode(BUSH)}").text


def test_what_is_typed_is_shown_as_text(register: Register) -> None:
    nasty = "<script>alert(1)</script>"
    question = urlencode({"o_bore_text": nasty, "w_material_text": nasty})
    answer = register.client_as("viewer").get(f"/try/bush?{question}")
    assert answer.status_code == 200
    assert nasty not in answer.text


def test_another_class_may_be_offered(register: Register) -> None:
    answer = register.client_as("viewer").get("/try/tubular_rivet?offered=semi_tubular_rivet&o_bore_form_text=straight")
    assert answer.status_code == 200
    assert "Offered is a Rivet, semi-tubular" in result_of(answer.text)


def test_weight_and_balance_comes_with_an_arm(register: Register) -> None:
    given = {
        "w_mass_text": "2.4 kg",
        "o_mass_text": "3.2 kg",
        "o_mass_basis": "measured",
        "o_mass_uncertainty": "10 g",
        "arm": "1.85 m aft of datum",
        "role": "systems",
    }
    client = register.client_as("viewer")
    answer = client.get(client.get(f"/try/general?{urlencode(given)}").headers["location"])
    assert "Weight and balance" in result_of(answer.text)
    assert "+1.48\u202fkg·m" in answer.text  # 0.80 kg × 1.85 m, elementary statics


# ---- from a need ----


def test_a_need_opens_the_form_with_what_is_known_of_its_original(register: Register) -> None:
    need = register.need(register.aeroplane(), part_class="bush", arm="0.4 m forward of datum", touches="2024-T3 skin")
    for text, layer in (("12 mm", "as fitted now"), ("10 to 10.02 mm", "as designed"), ("11 mm", "as found")):
        given = {"characteristic": "bore", "text": text, "layer": layer, "known_from": "ESTIMATE"}
        needs.add_requirement(register.store, register.actor("restorer"), need, given)
    client = register.client_as("viewer")
    assert f'href="/needs/{need}/try"' in client.get(f"/needs/{need}").text
    answer = client.get(f"/needs/{need}/try")
    assert answer.status_code == 303
    fields = dict(parse_qsl(urlsplit(answer.headers["location"]).query))
    assert fields["w_bore_text"] == "10 to 10.02 mm", "as drawn stands before as found and as fitted"
    assert fields["arm"] == "0.4 m forward of datum"
    assert fields["touches"] == "2024-T3 skin"
    assert fields["role"] == "furnishing"
    assert client.get(answer.headers["location"]).status_code == 200
    assert client.get("/needs/999/try").status_code == 404


def test_an_arm_is_kept_with_its_need_and_questioned_where_it_cannot_be_read(register: Register) -> None:
    plane = register.aeroplane()
    client = register.client_as("restorer")
    given = {"item": "Battery", "part_class": "general", "aeroplane_id": str(plane), "role": "SYSTEMS"}
    refused = client.post("/needs", data={**given, "arm": "1.85 m"})
    assert refused.status_code == 422
    assert "On which side of the datum" in text_of(refused.text)
    assert 'value="1.85 m"' in refused.text
    opened = client.post("/needs", data={**given, "arm": "1.85 m aft of datum"})
    assert opened.status_code == 303
    number = int(re.findall(r"\d+", opened.headers["location"])[0])
    assert needs.get_need(register.store, number).arm == "1.85 m aft of datum"
    assert "1.85 m aft of datum" in client.get(f"/needs/{number}").text


@pytest.mark.parametrize("address", ["/needs", "/help", "/bench", "/"])
def test_the_way_there_is_on_the_pages(register: Register, address: str) -> None:
    answer = register.client_as("viewer").get(address)
    if answer.status_code == 200:
        assert 'href="/try"' in answer.text
