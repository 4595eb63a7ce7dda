"""A count of pieces and a price beside the words they were typed in: the right figure, or none.

Source: how dealers and stores write quantities and prices, common practice; a pair is two, a dozen twelve, a gross
twelve dozen. The marks between thousands: ISO 80000-1 (a blank), and the usage of the English, German and Swiss.
"""

import pytest

from server.domain.pieces import read_pieces
from server.domain.prices import read_price


@pytest.mark.parametrize(
    ("said", "count"),
    [
        ("40", 40),
        ("40 off", 40),
        ("40off", 40),
        ("10-off", 10),
        ("4x", 4),
        ("4 x bolts", 4),
        ("20 Stück", 20),
        ("20 St", 20),
        ("10 no.", 10),
        ("2 sheets", 2),
        ("2 bars", 2),
        ("1 half hide", 1),
        ("2 lengths, 1650", 2),
        ("2 lengths of 1.6 m", 2),
        ("1 off, 2.4 m", 1),
        ("3 reels, about 750 m", 3),
        ("4 square washers", 4),
        ("40 (two bags)", 40),
        ("1 pair", 2),
        ("3 Paar", 6),
        ("2 dozen", 24),
        ("1 gross", 144),
        ("24 off + 16 off", 40),
    ],
)
def test_a_figure_that_counts_pieces_is_their_number(said: str, count: int) -> None:
    assert read_pieces(said) == count


@pytest.mark.parametrize(
    "said",
    [
        "10 g",
        "7 yd",
        "7yds.",
        "2 metres",
        "2 Meter",
        "5 m",
        "5\u202fm",
        "12 V 5 W",
        "60 litres",
        "5 l",
        "1 pt",
        "3 gal",
        "1 sq ft",
        "4 square feet",
        "2 m²",
        "2 m³",
        "500 cm3",
        "3 running metres",
        "5 lfm",
        "2 cwt",
        "30 kg",
        "4'",
        '6"',
        "50 %",
        "50%",
        "2.5 m",
        "2½ yd",
        "2 ½ yd",
        "1 1/2 m",
        "3/4",
        "1,250",
        "1 250 off",
        "3-4 off",
        "3 – 4 off",
        "3 to 4 off",
        "3 bis 4",
        "40+",
        "40?",
        "2 x 520 mm",
        "2 x 3 m",
        "10 x 26 x 8",
        "about 80",
        "a tin",
        "a tin + 20 off",
        "24 off + 6 m",
        "24 off + not counted",
        "1234567",
        "",
    ],
)
def test_a_measure_or_a_doubtful_figure_is_no_count(said: str) -> None:
    """Own rule: no number at all is better than a wrong one; the words stay as typed."""
    assert read_pieces(said) is None


@pytest.mark.parametrize(
    ("said", "price"),
    [
        ("GBP 12.50 the bag", (1250, "GBP")),
        ("€ 30", (3000, "EUR")),
        ("12,- EUR", (1200, "EUR")),
        ("12.– CHF", (1200, "CHF")),
        ("30 Euro", (3000, "EUR")),
        ("$ 4.5", (450, "USD")),
        ("US$ 4", (400, "USD")),
        ("Muster frei; EUR 2,35 der Meter", (235, "EUR")),
        ("GBP 640.00 for both, pattern included", (64000, "GBP")),
        ("EUR 180 with a box of hatches", (18000, "EUR")),
        ("4 off, GBP 2 each", (200, "GBP")),
        ("GBP 12.50/m", (1250, "GBP")),
        ("GBP 1450.00", (145000, "GBP")),
        ("GBP 1,250.00", (125000, "GBP")),
        ("EUR 1.250,00", (125000, "EUR")),
        ("EUR 1.250,-", (125000, "EUR")),
        ("EUR 1 250,00", (125000, "EUR")),
        ("1\u202f250,00 €", (125000, "EUR")),
        ("CHF 1'250", (125000, "CHF")),
        ("CHF 1’250.50", (125050, "CHF")),
        ("GBP 1,250,000", (125000000, "GBP")),
        ("GBP 12.00 (GBP 12)", (1200, "GBP")),
    ],
)
def test_a_price_is_read_in_its_smallest_coin(said: str, price: tuple[int, str]) -> None:
    assert read_price(said) == price


@pytest.mark.parametrize(
    "said",
    [
        "two pints of bitter",
        "12.50",
        "£12 10s",
        "£12 10/-",
        "£12/10/6",
        "£12.10.0",
        "12/6",
        "GBP 1,250",
        "EUR 1.250",
        "EUR 0,125 each",
        "EUR 1 250",
        "GBP 1.25.00",
        "GBP 12,34,567.00",
        "GBP 1,250,00",
        "GBP 1.2k",
        "GBP 10-12",
        "10 - 12 EUR",
        "GBP 10 to 12",
        "10 bis 12 EUR",
        "GBP 12 + 5",
        "GBP 5 each, GBP 40 the lot",
        "EUR 12 GBP 10",
        "A$ 30",
        "$ 30 CAD",
        "Amateur 5",
        "GBP 12345678",
        "GBP 12345678901234567890",
        "",
    ],
)
def test_a_price_that_may_be_another_one_is_left_in_words(said: str) -> None:
    """Own rule: no figure at all is better than a wrong one; the words stay as typed."""
    assert read_price(said) == (None, "")
