"""The words that give numbers in running text their meaning, in folded spelling (ä → a, ß → s).

Roles, limits, classes of parts, amounts, and what stands before a number that
is no size. Source: common practice of the trade and its adverts.
"""

import re
from fractions import Fraction

from server.domain.reading_fold import word_set

ROLES = (
    "dia",
    "id",
    "od",
    "wall",
    "thk",
    "len",
    "width",
    "af",
    "thread",
    "stock",
    "centres",
    "head",
    "hole",
    "grip",
    "",
)
"""What a size measures. "centres", "head", "hole" and "grip" keep such sizes from passing as the
part's own diameter."""


def _table(**words: str) -> dict[str, str]:
    return {word: key for key, text in words.items() for word in text.split()}


ROLE_WORDS = _table(
    dia="dia diam diameter durchm durchmesser shank body schaft nenn ø",
    id="id bore bores bohrung innen inside inner internal innendurchmesser lichte",
    od="od outside outer external aussen ausen aussendurchmesser ausendurchmesser",
    wall="wall wandung wandstarke wand",
    thk="thk thick thickness dick dicke stark starke",
    len="long lg lang lange length len",
    width="wide width breit breite",
    af="af flats sw schlusselweite",
    centres="centres centers ctrs mittenabstand lochabstand c/c",
    head="head heads kopf",
    hole="hole holes loch",
    grip="grip klemmlange",
)
"""Word beside a number to its role."""

KEPT_WORDS = word_set("shank body schaft hole holes loch head heads kopf grip wall bore bores bohrung")
"""Role words that also name a thing: they stay among the words for comparing."""

BEHIND_ONLY = word_set("long lang wide thick dick stark breit lg")
"""Adjectives: they give a role to the number before them, never to the one behind."""

BEFORE_FIRST = word_set("head heads kopf grip")
"""With a number on either side these belong to the one behind: "head 8 mm dia"."""

EQUALS_ROLES = {"l": "len", "d": "dia", "t": "thk", "b": "width", "w": "width", "s": "thk"}
"""Letters that are a role only before "=": L=35."""

APPROXIMATE = word_set("approx approximately ca circa about etwa ungefahr roughly around zirka")
AT_MOST = word_set("max maximum maximal hochstens")
AT_LEAST = word_set("min minimum mindestens mind")

_CLASSES: dict[str, str] = _table(
    rivet="rivet rivets rivits niet niete nieten",
    screw="screw screws bolt bolts nut nuts setscrew stud studs schraube schrauben bolzen mutter muttern tap taps "
    "nutplate screwdriver unf unc",
    pin="pin pins cotter cotters splint splinte stift",
    tube="tube tubes tubing rohr rohre pipe pipes toob",
    bearing="bearing bearings kugellager lager",
    ring="gasket gaskets washer washers ring rings seal seals dichtung dichtring scheibe scheiben filzring",
    tyre="tyre tyres tire tires reifen",
    sheet="sheet sheets blech bleche plate plates alclad tafel",
    timber="timber spruce plank planks fichte holz board boards ply plywood sperrholz",
    wire="wire wires cable cables flex leitung leitungen draht litze kabel conductor loom",
    rope="cable cables rope ropes seil wire stranded strand drahtseil steuerseil",
    reel="sleeving sleeve wire tape reel roll rolle coil drum hose cord cable tubing braid fabric webbing "
    "schlauch band garn spule lacing linen",
    resistor="resistor resistors widerstand potentiometer rheostat",
    electric="fuse fuses breaker breakers switch switches relay relays ammeter voltmeter lamp lamps bulb bulbs "
    "generator starter sicherung schalter lampe amp amps volt volts cable wire",
    sized="hose hoses clip clips clamp clamps eyelet eyelets terminal terminals grommet grommets gromet drill "
    "drills reamer rod rods bar bars dowel conduit sleeving elbow union fitting fittings shackle thimble cord "
    "spring springs plug plugs key keys chain stock",
)
# a word may say several things: cable is wire, rope and on a reel
_MANY = {
    "cable": ("wire", "rope", "reel", "electric"),
    "cables": ("wire", "rope", "reel", "electric"),
    "wire": ("wire", "rope", "reel", "electric"),
    "tubing": ("tube", "reel"),
    "sleeving": ("reel", "sized"),
    "hose": ("reel", "sized"),
    "cord": ("reel", "sized"),
}
_ENDINGS = {
    "niet": "rivet",
    "niete": "rivet",
    "nieten": "rivet",
    "rohr": "tube",
    "lager": "bearing",
    "scheibe": "ring",
    "ring": "ring",
    "dichtung": "ring",
    "blech": "sheet",
    "holz": "timber",
    "draht": "wire",
    "leitung": "wire",
    "kabel": "wire",
    "litze": "wire",
    "seil": "rope",
    "schlauch": "reel",
    "band": "reel",
    "schraube": "screw",
    "mutter": "screw",
    "bolzen": "screw",
}
_ENDING = re.compile(f"(?:{'|'.join(_ENDINGS)})$")
_NOT_ENDED = word_set("during spring string bring husband")
_WORD = re.compile(r"[a-z]+")

ORDERS: dict[str, tuple[str, ...]] = {
    "bearing": ("id", "od", "width"),
    "ring": ("id", "od", "thk"),
    "tyre": ("od", "width"),
    "rivet": ("dia", "len"),
    "tube": ("od", "wall", "len"),
    "screw": ("dia", "len"),
    "pin": ("dia", "len"),
}
"""What the numbers of a product mean, in order, for a class of parts; the first class that the text names counts.

Sources: rivets by DIN 660 (shank diameter × shank length without the head), the others common practice.
"""

SIZED = frozenset({"rivet", "screw", "pin", "tube", "bearing", "ring", "sheet", "timber", "wire", "rope", "sized"})
"""Classes whose names may take a bare fraction: "1/4 bolt"."""


def classes_of(word: str) -> tuple[str, ...]:
    """The classes that one folded word names; German compounds by their last part."""
    if word in _MANY:
        return _MANY[word]
    if word in _CLASSES:
        return (_CLASSES[word],)
    if len(word) > 6 and word not in _NOT_ENDED:
        found = _ENDING.search(word)
        if found is not None:
            return (_ENDINGS[found.group()],)
    return ()


def classes_in(low: str) -> frozenset[str]:
    """All classes that a folded text names."""
    return frozenset(one for word in set(_WORD.findall(low)) for one in classes_of(word))


NOT_INCH_AFTER = word_set(
    "box boxes stock good fair very new used a an the der den dem die das ordnung original bag bags pack packs packet "
    "packets total all working excellent great perfect mint as my our this that their each it place pairs sets lots "
    "wing fuselage cockpit bulk kit gutem gut ovp transit order production use store service need one two"
)
"""Behind these "in" is the preposition: "24 in stock", "3 in a box"."""

PLACES = word_set(
    "no nr frame frames rib ribs station stations sta bay bays spant rippe former formers stringer cylinder cyl "
    "bulkhead longeron page seite fig figure item type typ mk mark muster model modell series serie grade "
    "section chapter"
)
"""A number behind these is a place, a type or a label."""

AEROPLANES = word_set("ju he bf me fw do hs fi kl ar fh go si")
"""Makers' letters before a type number; only with a capital."""

SERIALS = word_set("lot batch ref serial ser sn wk wnr wknr werknr werknummer dated invoice lotnr charge")
MONEY = word_set("gbp eur usd dm rm chf pln czk euro")

AMOUNT_BEFORE = re.compile(
    r"(?P<word>box(?:es)?|bags?|packs?|packets?|pkts?|sets?|lots?|bundles?|tins?|jars?|beutel|packung|schachtel|vpe|"
    r"qty|quantity|menge|anzahl|stuckzahl)[ ]?(?:of|mit|zu|a)?[ .:=]{0,2}(?P<number>[0-9]{1,6})(?![a-z0-9/]|[.,-][0-9])"
)
AMOUNT_BEHIND = re.compile(
    r"(?P<number>[0-9]{1,6})[ ]?(?:x[ ]?)?(?P<word>off|pcs?|pieces?|pz|pezz[io]|szt|stk|stck|(?<=[ ])st|stuck|nos|ea|"
    r"each|pairs?|paar|sets?|satz|only|units?|dozen|doz|gross)(?![a-z0-9/])\.?"
)
TIMES_AMOUNT = re.compile(r"(?P<number>[0-9]{1,4})[ ]?x[ ](?=[a-z])(?!(?:swg|awg|bwg|od|id|dia|wall|x)\b)")
X_AMOUNT = re.compile(r"x[ ]?(?P<number>[0-9]{1,6})(?:[ ]?(?P<word>pcs?|off|pieces?|stk|st)\b\.?)?[ ]{0,2}$")
COUNTED = re.compile(
    r"[0-9]{1,3}[ -]?(?:ply|lagig|lagen|pole|polig|core|cores|adrig|way|pos|position|pin|phase|speed|cyl|cylinder|"
    r"hp|ps|ton|tons)(?![a-z0-9])"
)
ROPE = re.compile(r"(?:1|3|6|7|8|18|19)[ ]?x[ ]?(?:7|12|19|24|25|36|37|49)(?![0-9]|[.,/][0-9]|[ ]?(?:mm|cm|in|x)\b)")
DATE = re.compile(
    r"(?:[0-9]{1,2}([./-])[0-9]{1,2}\1(?:19|20)?[0-9]{2}|(?:19|20)[0-9]{2}-[0-9]{2}-[0-9]{2})(?![0-9/]|[.,-][0-9])"
)
SCALE = re.compile(
    r"[0-9]{1,3}[ ]?:[ ]?[0-9]{1,4}(?![0-9])|1/(?:24|32|35|48|72|100|144)[ ](?:scale|masstab|massstab)\b"
)
PRICE_BEHIND = re.compile(
    r"[0-9]{1,6}(?:[.,](?:[0-9]{1,2}|-))?[ ]?(?:gbp|eur|usd|chf|pln|czk|dm|rm|euro|€|£|\$)(?![a-z0-9])"
)
PRICE_NUMBER = re.compile(r"[ .:]{0,2}[0-9]{1,6}(?:[.,][0-9]{3})?(?:[.,](?:[0-9]{1,2}|-)(?![0-9]))?")
SERIAL_NUMBER = re.compile(r"[ ]?(?:no|nr)?[ .:#/-]{0,3}[a-z]{0,3}[0-9][a-z0-9]{0,15}(?:[./-][a-z0-9]{1,15}){0,4}")
PHONE = re.compile(r"(?:\+|00?)[1-9](?:[ /()-]{0,2}[0-9]){6,14}(?![0-9])")
CONTACT = re.compile(r"(?:https?://|www\.)[^\s]{1,500}|[^\s@]{1,64}@[^\s@]{1,255}")
AEROPLANE = re.compile(
    r"[ -]?[0-9]{2,3}(?:/[0-9]{1,2}[a-z]{0,2}|[ -]?[a-z]-?[0-9]{1,2}[a-z]?|[a-z])?"
    r"(?![0-9.,]|[ ]?(?:mm|cm|in|\"))(?![a-z])"
)
PLACE_NUMBER = re.compile(
    r"[ .:-]{0,3}(?:no[ .]{0,2})?(?:[0-9]{1,4}[a-z]?|[ivx]{1,5})"
    r"(?![a-z0-9/]|[.,][0-9]|[ ]?(?:mm|cm|\"|inch|swg|awg|x[ ]?[0-9]))"
)
WORD_FRACTION = re.compile(
    r"(?:(?P<tops>one|three|five|seven|nine|eleven|thirteen|fifteen)[ -])?"
    r"(?P<part>half|halb|halber|halbe|quarters?|viertel|dreiviertel|eighths?|achtel|sixteenths?|thirty[ -]?seconds?)"
    r"(?:[ ]of)?(?:[ ]an?)?[ -]?(?P<unit>inch(?:es)?|in|zoll)?(?![a-z])"
)
_FRACTION_WORDS = {"half": 2, "quarter": 4, "eighth": 8, "sixteenth": 16, "thirty": 32, "viertel": 4, "achtel": 8}
TOPS = {"one": 1, "three": 3, "five": 5, "seven": 7, "nine": 9, "eleven": 11, "thirteen": 13, "fifteen": 15}


def fraction_in_words(found: re.Match[str]) -> Fraction | None:
    """The value of a match of WORD_FRACTION; None for one that is no part of a whole ("three half")."""
    part, top = found["part"], found["tops"] or "one"
    if part.startswith("halb"):
        value = Fraction(1, 2)
    elif part == "dreiviertel":
        value = Fraction(3, 4)
    else:
        bottom = next(number for word, number in _FRACTION_WORDS.items() if part.startswith(word))
        value = Fraction(TOPS[top], bottom)
    return value if value < 1 else None


LEFT_HAND = re.compile(r"\b(?:l\.?/?h\.?|left[ -]hand(?:ed)?)[ -](?:thread|screw|nut|tap)|\blinks?gewinde")
