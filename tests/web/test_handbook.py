"""The handbook over HTTP: the shipped tables row by row, and the shop's own beside them."""

import re
from html import unescape

import pytest

from server.services import handbook, handbook_tables
from tests.web.conftest import Register

FIGURES = {
    "kind": "figures",
    "designation": "Vennmere 7",
    "family": "aluminium",
    "form": "sheet",
    "temper": "T4",
    "uts": "70 ksi",
    "value_class": "design minimum",
    "document": "Vennmere works standard 12 (invented)",
    "edition": "1936",
    "place": "table 3",
    "seen": "seen",
}


def text_of(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def test_every_table_is_linked_and_opens(register: Register) -> None:
    client = register.client_as("viewer")
    front = client.get("/handbook").text
    for table in handbook_tables.shipped_tables():
        assert f'href="/handbook/{table.key}"' in front
        page = client.get(f"/handbook/{table.key}")
        assert page.status_code == 200
        first = handbook_tables.row_of(table.key, 1)
        assert f'href="{first.url}"' in page.text
        assert client.get(first.url).status_code == 200
    for wrong in ("/handbook/teapots", "/handbook/materials/0", "/handbook/materials/99999", "/handbook/materials/x"):
        assert client.get(wrong).status_code == 404


def test_a_row_says_its_source_and_how_far_it_may_be_leaned_on(register: Register) -> None:
    client = register.client_as("viewer")
    firm = handbook_tables.row_of_material("al-2024-t3-sheet")
    shaky = handbook_tables.row_of_material("al-2017-t3-sheet")
    assert firm is not None
    assert shaky is not None
    page = text_of(client.get(firm.url).text)
    assert "MIL-HDBK-5J" in page
    assert "63 ksi" in page  # MIL-HDBK-5J Table 3.2.3.0(b1)
    assert "proves nothing alone" not in page
    page = text_of(client.get(shaky.url).text)
    assert "from memory, unverified : it informs, it proves nothing alone" in page


def test_a_table_is_narrowed_and_read_on(register: Register) -> None:
    client = register.client_as("viewer")
    page = client.get("/handbook/designations")
    (more,) = map(unescape, re.findall(r'rel="next" href="([^"]+)"', page.text))
    assert more == f"/handbook/designations?after={handbook_tables.PAGE}"
    following = client.get(more).text
    assert f'id="row-{handbook_tables.PAGE + 1}"' in following
    assert 'id="row-1"' not in following
    found = client.get("/handbook/designations?words=dural").text
    wanted = len(handbook_tables.find_rows("designations", "dural"))
    assert f"{wanted} rows" in found
    piece = client.get("/handbook/designations?words=dural", headers={"HX-Request": "true"}).text
    assert "<html" not in piece
    assert "No row has all of these words" in client.get("/handbook/wire?words=unobtainium").text


@pytest.mark.parametrize("role", ["viewer", "restorer", "approver"])
def test_only_a_keeper_enters(register: Register, role: str) -> None:
    client = register.client_as(role)
    for address in ("/handbook/materials/new", "/handbook/names/new"):
        assert client.get(address).status_code == 403
        assert address not in client.get("/handbook").text
    assert client.get("/handbook/shop").status_code == 200
    assert client.post("/handbook/shop", data=FIGURES).status_code == 403
    assert client.post("/handbook/shop/1/withdraw", data={"reason": "no"}).status_code == 403
    assert handbook.entries(register.store) == []


def test_a_keeper_enters_a_row_and_withdraws_it(register: Register) -> None:
    keeper = register.client_as("keeper")
    assert keeper.get("/handbook/materials/new").status_code == 200
    answer = keeper.post("/handbook/shop", data=FIGURES)
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/handbook/shop")
    page = text_of(register.client_as("viewer").get("/handbook/shop").text)
    assert "Vennmere 7" in page
    assert "shop's own handbook: Vennmere works standard 12 (invented), 1936, table 3" in page
    assert "Withdraw" not in page, "a viewer only reads"
    (entry,) = handbook.entries(register.store)
    refused = keeper.post(f"/handbook/shop/{entry.id}/withdraw", data={"reason": ""})
    assert refused.status_code == 422
    assert "The reason is missing" in text_of(refused.text)
    assert keeper.post(f"/handbook/shop/{entry.id}/withdraw", data={"reason": "misread"}).status_code == 303
    assert "misread" in text_of(keeper.get("/handbook/shop").text)
    assert keeper.post("/handbook/shop/99/withdraw", data={"reason": "none"}).status_code == 404


def test_the_shipped_row_is_shown_where_it_stands_in_the_way(register: Register) -> None:
    keeper = register.client_as("keeper")
    answer = keeper.post("/handbook/shop", data={**FIGURES, "designation": "2024", "temper": "T3"})
    assert answer.status_code == 422
    assert "<title>Error: Figures of a material" in answer.text
    shipped = handbook_tables.row_of_material("al-2024-t3-sheet")
    assert shipped is not None
    assert f'href="{shipped.url}"' in answer.text
    assert "MIL-HDBK-5J" in text_of(answer.text)
    assert 'value="70 ksi"' in answer.text, "what was typed is kept"
    assert 'aria-invalid="true"' in answer.text.split('name="designation"')[1].split(">")[0]


def test_another_name_is_entered_and_read_by_the_check(register: Register) -> None:
    keeper = register.client_as("keeper")
    name = {**FIGURES, "kind": "name", "designation": "QX 12", "means": "2024-T3", "grade": "same composition"}
    assert keeper.get("/handbook/names/new").status_code == 200
    assert keeper.post("/handbook/shop", data=name).status_code == 303
    question = "/try/sheet_part?w_material_text=2024-T3&o_material_text=QX+12"
    page = text_of(register.client_as("viewer").get(question).text)
    assert "QX 12 is read as 2024" in page
    assert "From the shop's own handbook" in page
    assert "and the shop's rows" in page


@pytest.mark.parametrize("field", ["document", "edition", "place", "seen"])
def test_a_row_without_its_source_is_refused(register: Register, field: str) -> None:
    answer = register.client_as("keeper").post("/handbook/shop", data={**FIGURES, field: ""})
    assert answer.status_code == 422
    assert f'id="f-{field}-fault"' in answer.text
    assert handbook.entries(register.store) == []
