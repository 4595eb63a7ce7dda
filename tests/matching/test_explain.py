"""Reasons as a mechanic would say them."""

from server.matching.explain import against, corrections, explain, in_favour
from server.matching.index import row_of, tokens_of
from server.matching.lexicon import standard_lexicon
from server.matching.query import prepare
from server.matching.reading_text import read_facts
from server.matching.score import Hit, document, score


def _hit(query: str, other: str) -> Hit:
    facts = read_facts(other)
    return score(
        prepare(read_facts(query), {}, 100), document(1, frozenset(tokens_of(facts)), row_of(facts), standard_lexicon())
    )


def _plain(lines: list[str]) -> str:
    return "\n".join(lines).replace("\u202f", " ")


def test_what_speaks_for_a_hit_is_said_in_both_languages_and_systems() -> None:
    said = _plain(in_favour(_hit("Tülle Gummi 1/4 in Bohrung", "Grommet, rubber | 6.4 mm bore")))
    assert "“Tülle” = grommet" in said
    assert "“Gummi” = rubber" in said
    assert "1/4 in = 6.35 mm, bore, equal to 6.4 mm" in said
    assert "every size agrees" in said


def test_contradictions_are_said_plainly_and_first() -> None:
    hit = _hit("brass bush 10 mm bore, red", "bush, steel, 12 mm bore, green")
    assert [line.agrees for line in explain(hit)][:3] == [False, False, False]
    said = _plain(against(hit))
    assert "10 mm bore = 10 mm, bore against 12 mm" in said or "10 mm, bore against 12 mm" in said
    assert "“brass” against steel" in said
    assert "“red” against green" in said


def test_a_near_size_asks_for_measuring() -> None:
    said = _plain(in_favour(_hit("hose 1/4 in id", "hose 6 mm bore")))
    assert "near 6 mm (5.5 % apart): measure it" in said


def test_a_mended_word_is_shown() -> None:
    hit = _hit("3/16 geommet", "Grommet | 3/16 in")
    assert corrections(hit.reasons_for) == ["“geommet” read as “grommet”"]
    assert "“geommet” read as “grommet”" in _plain(in_favour(hit))


def test_kinds_and_other_things_are_named() -> None:
    assert "“pop rivet” is a kind of rivet" in _plain(in_favour(_hit("pop rivet", "Rivet, steel")))
    assert "“rivet” takes in split rivet" in _plain(in_favour(_hit("rivet", "Split rivet")))
    assert "“washer” is no turnbuckle" in _plain(against(_hit("washer", "Turnbuckle")))


def test_numbers_are_explained() -> None:
    assert "AN470AD4-6: the same number" in _plain(in_favour(_hit("AN470AD4-6", "rivet MS20470AD4-6")))
    assert "begins with AN470AD4" in _plain(in_favour(_hit("AN470AD4-6", "rivet AN470AD4-8")))
    silent = [line.text for line in explain(_hit("K4711 bracket", "bracket"), theirs="find")]
    assert "K4711: not a number of the find" in silent
