"""Grammar of figures with units: salt-spray hours, years, temperatures, pieces, hardness, friction, torque, categories."""

# ruff: noqa: E501 - a grammar is easier to check in one unbroken line

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping

from advisor.language.found import Found, number

_N = r"(?<![0-9./#a-z])[0-9]{1,7}(?:\.[0-9]{1,3})?"
_SPRAY = re.compile(
    r"\b(?:salt ?-?(?:spray|fog|mist|test)|nss|sst|b117|b 117|9227|ass|neutral spray|salzspr\w*|snt|brouillard salin|niebla salina|camara salina"
    r"|(?:white|red|brown|base metal) ?(?:rust|corrosion)|w/?r\b|r/?r\b|rust[- ]?free|fog test)"
)
_HOURS = re.compile(
    rf"(?P<n>{_N})(?P<k> ?k)?(?: ?(?:-|to|/) ?(?P<n2>[0-9]{{2,4}}))? ?-?(?P<u>h\b|hrs?\b|hours?\b|hour\b|std\b|stunden\b|heures\b|horas\b|hr\b)"
)
_COLOUR_AFTER = re.compile(
    r"\A[ ,.(-]*(?:(?:of|in|the|neutral|salt|spray|fog|mist|nss|sst|astm|iso|b117|9227|test(?:ing)?|without|with|no|before|until|to|till|for|zero|min(?:imum)?|any|first|sign|signs|ss|and|free|from|up|must|be|per|on|a|base|metal)[ ,.)-]*){0,9}(?P<c>white|red|brown|w/?r\b|r/?r\b|rotrost|weissrost|rouille rouge|rouille blanche|oxido rojo|oxido blanco)"
)
_COLOUR_BEFORE = re.compile(
    r"(?P<c>white|red|brown)(?: rust| corrosion| oxide)?[ :,=-]*(?:(?:after|at|for|min(?:imum)?|to|in|of|salt|spray|nss|resistance|is|until|before)[ :,]*){0,4}\Z"
)
_TO_COLOUR = re.compile(
    rf"(?P<n>{_N}) ?(?:h|hrs?|hours?)? ?(?:to|no|without|before|until|till|w/o|for|hours? to) (?:first |any |the )?(?P<c>white|red|brown)\b"
)
_SPRAY_BEFORE = re.compile(
    r"(?:spray|fog|nss|sst|b117|9227|salt test|spray test)[ :,=(-]*(?:(?:test|resistance|of|for|to|at|min(?:imum)?|astm|iso|is|neutral|9227|b117|hours?|hrs?|h)[ :,=-]*){0,4}\Z"
)
_SPRAY_NUMBER = re.compile(
    rf"(?P<n>{_N})(?: ?(?P<k>k))?(?: ?(?:in|of))? (?:neutral )?(?:nss|sst|salt ?spray|salt ?fog|b117)\b"
)
_YEARS = re.compile(
    rf"(?P<n>{_N})(?P<plus> ?\+)?(?: ?(?:-|to|or|bis) ?(?P<n2>[0-9]{{1,3}}))? ?-?(?P<u>years?|yrs?|yr|jahren?|jahr|ans|annees|anos|decades?|months?|monate|y(?![a-z])|a(?= life))(?![a-z])"
)
_PAST_BEFORE = re.compile(
    r"(?:\bafter(?: only| just| about| around| less than)?|\blasted(?: only| about| maybe)?|\bonly lasted|\bwithin|\binside|\bgone in|\brott?ed in|\brusted in|\bfailed in|\bin (?:the )?(?:last|past)|\bfor the (?:last|past)|\bevery"
    r"|\bjust|\bunder|\balready|\bonly|\bgot|\bbeen (?:there|up|in|outside|out)(?: for)?|\bare|\bthose are|\bsince|\bfor about the last|\brusted(?: out| through| away| solid)? in|\bstand for|\bnach|\bsat (?:there )?for|\bstored for|\bstanding for|\bless than|\bnot even|\bonce in|\bserved)"
    r" ?(?:about|around|some|roughly|nearly|the first|a mere|at most|approx)? ?\Z"
)
_PAST_AFTER = re.compile(
    r"\A[ -]?(?:old\b|ago\b|back\b|since\b|warranty on|of rust\b|later\b|already\b|and (?:it|they)(?: have|'ve|ve)? (?:rust|fail|gone|rot)|was all|in (?:the|a) shed|experience|before (?:it|they) (?:rust|fail))"
)
_LIFE_BEFORE = re.compile(
    r"(?:last(?:ing)?|life|want|need|needs|for|hope|at least|min(?:imum)?|expect\w*|survive|good for|design|stay|hold|guarantee\w*|warranty|must)[ a-z]{0,14}\Z"
)
_LAST_BARE = re.compile(
    r"\b(?:last|lasting|for|want|need|hope for|at least|expect|like) (?:for |at least |about |another |them to last |it to last |to last )*(?P<n>[1-9][0-9]?)(?= ?(?:\Z|[,.;!?\n]|this time|instead|next time|or more|plus|now))"
)
_TEMP = re.compile(
    r"(?<![0-9./#a-z])(?P<sign>-|minus |plus |\+|sub )?(?P<n>[0-9]{1,4}(?:\.[0-9])?)(?: ?(?:-|to|bis|/|and) ?(?P<sign2>-|minus |plus |\+)?(?P<n2>[0-9]{1,4}))? ?"
    r"(?P<u>° ?[cf]?\b|°|deg(?:rees?|s)?\.? ?(?:c|f|celsius|centigrade|fahrenheit)?\b|degc\b|degf\b|grad(?: celsius)?\b|c\b(?! ?(?:class|-[0-9]|[0-9]))|f\b|celsius\b|centigrade\b|fahrenheit\b|grados\b|degres\b)"
)
_TEMP_FROM = re.compile(
    r"(?P<s>-|minus )(?P<n>[0-9]{1,3})(?: ?(?:°|c|deg(?:rees)?|° ?c))? (?:to|up to|and|bis) (?:\+|plus )?(?P<n2>[0-9]{1,4}) ?(?:° ?c|°|c|deg(?:rees)?(?: c)?|celsius)?\b"
)
_COLD = re.compile(r"\b(?:freez\w*|cold|winter|frost\w*|chill\w*|arctic|cryo\w*|lng|frozen|ice|snow)\b")
_MINUS_SIGN = re.compile(r"(?<![0-9a-z.-])-(?P<n>[0-9]{2,3})\b(?! ?(?:mm|x|um|h\b|%|pcs|off))")
_COLD = re.compile(r"\b(?:freez\w*|cold|winter|frost\w*|chill\w*|arctic|cryo\w*|lng|frozen|ice|snow)\b")
_MINUS_SIGN = re.compile(r"(?<![0-9a-z.-])-(?P<n>[0-9]{2,3})\b(?! ?(?:mm|x|um|h\b|%|pcs|off))")
_DOWN_TO = re.compile(r"\b(?:down to|low as) (?:-|minus )(?P<n>[0-9]{1,3})\b(?! ?(?:mm|um|%|h\b))")
_MINUS_BARE = re.compile(r"\b(?:minus|sub) (?P<n>[0-9]{2,3})\b(?! ?(?:mm|m\b|h\b|%|um))")
_FASTENERS = r"(?:bolts?|screws?|nuts?|studs?|washers?|fasteners?|fixings?|setscrews?|pins?|rods?|anchors?|grubs?|coach|allen|caps?|schrauben|muttern|boulons|vis\b|ecrous|tornillos|tuercas|tek|teks|tappers?|drillers?|nylocs?|capheads?|allens?|eyebolts?|studding|rivets?|inserts?|dowels?|circlips?|u-?bolts?)"
_UNITS = r"(?:mm|m\b|cm|um|microns?|mic\b|mil\b|mils|thou|inch|inches|in\b|\"|'|ft\b|feet|kg|kilos?|g\b|t\b|tons?|tonnes?|lbs?|%|percent|h\b|hrs?|hours?|std\b|years?|yrs?|months?|weeks?|days?|minutes?|°|deg|degrees|c\b|f\b|hv|hb|hrc|nm|n\.m|kn|mpa|bar|psi|ksi|metres?|meters?|miles?|km|yards?|yds?|litres?|gallons?|gal|drums?|buckets?|ppm|eur|euro|gbp|usd|dollars?|pounds?|quid|:|/)"
_PIECES = re.compile(
    rf"(?P<n>{_N})(?P<k> ?(?:k|m)(?= ?(?:off(?! (?:the|a|our|my)\b)|pcs?|pieces|ea\b|each|{_FASTENERS}| of\b))| ?k\b)? ?-?(?:off\b|of+ (?=m[0-9])|pcs?\b|pces?\b|pieces?\b|piece\b|stk\b|stuck\b|st(?= ?(?:\Z|[,.;!?]))|pz\b|piezas\b|unidades\b|nos?\b(?! (?:rust|salt|white|red|cad|chem))|ea\b|each\b|units?\b|sets?\b|items?\b|of (?:them|these|those|each)\b|of(?= ?(?:\Z|[,.;!?]))|in (?:all|total)\b|only\b(?= ?(?:\Z|[,.;!?]))|x (?=m[0-9]|[0-9]+/|#)|x(?=m[0-9]))"
)
_QTY = re.compile(
    rf"\b(?:qty|quantity|quantities|menge|cantidad|quantite|qnty|number of pieces|how many|anzahl)\.?(?: is| of|:|=| about)? ?(?P<n>[0-9]{{1,7}})(?P<k> ?[km]\b)?(?! ?{_UNITS})"
)
_BEFORE_SIZE = re.compile(
    r"(?P<n>(?<![0-9./#a-z-])[0-9]{1,7})(?P<k>k)? ?(?:x |of |off |no |nos )?(?=m[0-9]{1,2}(?![0-9])|(?:[1-9]/[0-9]{1,2}|#[0-9]+)(?:[ \"-])|(?:[468]|1[02])-(?:24|28|32|36|40)(?![0-9]))"
)
_THOUSANDS_LAST = re.compile(r"(?:\A|[ ,])(?P<n>[1-9][0-9]{0,2}(?:\.[0-9])?)(?P<k> ?k)(?= ?(?:\Z|[,.;!?](?![0-9])))")
_BOXES = re.compile(r"(?P<n>[0-9]{1,5}) (?:boxes|box|bags|bag|packs?|cartons?|packets?)(?: of (?P<m>[0-9]{1,6}))?")
_AFTER_LENGTH = re.compile(r"(?<![a-z0-9])m[0-9]{1,2} ?x ?[0-9]{2,3} ?(?:mm)? x (?P<n>[0-9]{2,6})(?P<k>k)?\b(?! ?mm)")
_ORDER = re.compile(
    rf"\b(?:need|needs|want|wants|order|ordering|require|after|buy|buying|get|send|quote|quoting|for|supply|price|about|around|approx|roughly|some|with|have|got|looking for|brauche|necesito|il me faut|benotige) (?:me |us |about |around |some |approx |roughly |say |a |another |up )*"
    rf"(?P<n>[0-9]{{1,7}})(?P<k>k)? (?!{_UNITS})(?:(?!and\b|for\b|with\b|in\b|years\b|on\b|to\b)[a-z0-9./-]+ ){{0,5}}{_FASTENERS}\b"
)
_START = re.compile(
    rf"\A(?:hi |hello |please |pls |hi, |hello, |morning,? )?(?P<n>[0-9]{{1,7}})(?P<k>k)? (?!{_UNITS})(?:(?!and\b|for\b|with\b|in\b|years\b|on\b|to\b|point\b)[a-z0-9.-]+ ){{0,5}}{_FASTENERS}\b"
)
_WEIGHT = re.compile(rf"{_N} ?(?:kg|kilos?|kilograms?|t|tons?|tonnes?|lbs?|pounds)\b")
_HRC = re.compile(
    r"\b(?:hrc|rc|rockwell ?c?|rockwell hardness(?: of)?)[ :=-]*(?P<n>[2-6][0-9](?:\.[0-9])?)\b|(?<![0-9./])(?P<n2>[2-6][0-9](?:\.[0-9])?) ?(?:-|to)? ?(?P<n3>[2-6][0-9])? ?(?:hrc|rc\b|rockwell|hr c)"
)
_HV = re.compile(
    r"(?<![0-9./])(?P<n>[1-7][0-9]{2}) ?(?:h\.?v\.?(?:[0-9]{1,2})?|vickers|vpn)\b(?! set)|\b(?:hv|vickers|hardness)[ :=]*(?:of )?(?P<n2>[1-7][0-9]{2})\b(?! ?(?:hb|hours|h\b|brinell|mpa))"
)
_TENSILE = re.compile(rf"(?P<n>{_N}) ?(?P<u>n/mm2|n/sq mm|mpa|ksi|psi)\b")
_TENSILE_MPA = {"ksi": 6.894757, "psi": 0.006894757}
TENSILE_READ = 700.0, 2600.0
"""Strengths in MPa taken for the tensile strength of a fastener; below them stands a pressure or a mild steel."""
_HB = re.compile(
    r"(?<![0-9./])(?P<n>[1-6][0-9]{2}) ?(?:h\.?b\.?w?|brinell|bhn)\b|\b(?:hb|brinell)[ :=]*(?P<n2>[1-6][0-9]{2})\b"
)
_MU = re.compile(
    r"(?:\b(?:mu|u|friction(?: coeff?icient)?(?: window| range)?|coefficient(?: of friction)?|coeff?(?: of friction)?|cof|reibzahl|reibwert)\b[ a-z:=_,]{0,22}?)(?P<a>0?\.[0-9]{1,3})(?: ?(?:-|to|bis|\.\.|and|/) ?(?P<b>0?\.[0-9]{1,3}))?|(?<![0-9.])(?P<a2>0?\.[0-9]{1,3}) ?(?:-|to) ?(?P<b2>0?\.[0-9]{1,3}) (?:mu\b|friction|coefficient)"
)
_TORQUE = re.compile(
    r"(?<![0-9./])(?P<n>[0-9]{1,4}(?:\.[0-9]{1,2})?) ?-?(?P<u>n ?[.-]? ?m\b|newton[ -]?met(?:er|re)s?|lbf?[ .-]?ft\b|ft[ .-]?lbf?s?\b|foot[ -]?pounds?|pounds?[ -]f(?:oo|ee)t|in[ .-]?lbf?s?\b|lbf?[ .-]?in\b|inch[ -]?pounds?)"
)
_CATEGORY = re.compile(
    r"(?<![a-z0-9./])(?:iso 9223 |category |class |cat )?c ?-?(?P<n>[1-5]|x)(?:-?[mihl]{1,2})?(?![a-z0-9/]|[.-][0-9])(?! ?(?:-|/)[0-9])"
)
_CATEGORY_HINT = re.compile(r"\bc ?-?[1-5x]\b")
_PART_NUMBER = re.compile(
    r"(?<![a-z0-9.-])(?:an-?[0-9]{1,4}(?:-[0-9a-z]+)?|nas ?-?[0-9]{2,6}(?:-[0-9a-z]+)*|ms ?-?[0-9]{4,6}(?:-[0-9a-z]+)?)(?![a-z0-9])"
)
Scales = Mapping[str, tuple[tuple[float, float], ...]]
NM_PER_FT_LB, NM_PER_IN_LB = 1.3558, 0.11299


def _multiplied(n: str, k: str | None) -> int | float:
    return number(str(float(n) * 1000)) if k and k.strip() else number(n)


def hours(text: str, answering: str | None) -> list[Found]:
    """Salt-spray hours, with the colour of the rust they run to; two limits ("96 to white, 240 to red") give the red one.

    >>> [(f.slot, f.value) for f in hours("720 h nss no red rust", None)]
    [('salt_spray_hours', 720), ('rust', 'red')]
    """
    spray = _SPRAY.search(text)
    seen: list[tuple[int, int, int | float, str]] = []
    for m in _HOURS.finditer(text):
        if re.match(
            r" ?(?:a day|per day|delivery|turn|bake|at [0-9]+ ?°?c|notice|service)|/7", text[m.end() :]
        ) or re.search(r"bak\w* (?:for |of )?\Z|within (?:about )?\Z", text[: m.start()]):
            continue
        n = _multiplied(m["n2"] or m["n"], m["k"])
        after, before = _COLOUR_AFTER.match(text[m.end() :]), _COLOUR_BEFORE.search(text[: m.start()])
        colour = after["c"] if after else before["c"] if before else ""
        if (
            spray
            or colour
            or answering == "salt_spray_hours"
            or (n >= 72 and not re.search(r"running|operating|flight|machine hours", text))
        ):
            seen.append((m.start(), m.end() + (after.end() if after else 0), n, colour))
    for m in _TO_COLOUR.finditer(text):
        if (not any(a < m.end() and m.start() < b for a, b, _, _ in seen)) and float(m["n"]) >= 6:
            seen.append((m.start(), m.end(), number(m["n"]), m["c"]))
    if not seen and spray:
        for m in _SPRAY_NUMBER.finditer(text):
            after = _COLOUR_AFTER.match(text[m.end() :])
            seen.append(
                (
                    m.start(),
                    m.end() + (after.end() if after else 0),
                    _multiplied(m["n"], m["k"]),
                    after["c"] if after else "",
                )
            )
        if not seen:
            for m in re.finditer(_N, text):
                if (
                    _SPRAY_BEFORE.search(text[: m.start()])
                    and float(m[0]) >= 24
                    and m[0] not in ("9227", "117", "4042", "10683")
                ):
                    after = _COLOUR_AFTER.match(text[m.end() :])
                    seen.append((m.start(), m.end(), number(m[0]), after["c"] if after else ""))
                    break
    if not seen:
        return []
    red = [s for s in seen if s[3] and not s[3].startswith(("w", "oxido b", "rouille b"))]
    best = red[-1] if red else seen[-1] if len({s[3] for s in seen}) == 1 else seen[0]
    out = [Found(best[0], best[1], "salt_spray_hours", best[2])]
    if best[3]:
        white = best[3].startswith("w") or best[3] in ("oxido blanco", "rouille blanche")
        out.append(Found(best[0], best[1], "rust", "white" if white else "red"))
    out.extend(Found(s[0], s[1], slug="second-salt-spray-limit") for s in seen if s is not best)
    return out


def years(text: str, answering: str | None) -> list[Found]:
    """The wished life in years; a life that is over ("rusted after four years") is not a wish.

    >>> [f.value for f in years("rusted after 4 years, hope for 15 years", None) if f.slot]
    [15]
    """
    out = []
    for m in _YEARS.finditer(text):
        before = text[: m.start()]
        past = _PAST_BEFORE.search(before) or _PAST_AFTER.match(text[m.end() :])
        wished = past and _LIFE_BEFORE.search(before[: past.start()] if past.re is _PAST_BEFORE else before[-1:])
        if past and not wished and (answering != "life_years" or _PAST_AFTER.match(text[m.end() :])):
            out.append(Found(m.start(), m.end(), slug="failed-life"))
            continue
        n = float(m["n2"] or m["n"])
        unit = m["u"]
        n = n * 10 if unit.startswith("decade") else n / 12 if unit.startswith("mon") else n
        if unit.startswith("mon") and answering != "life_years" and not _LIFE_BEFORE.search(before):
            continue
        if 0 < n <= 200:
            out.append(Found(m.start(), m.end(), "life_years", number(f"{n:.2f}")))
    if out and not any(f.slot for f in out):
        # "gone within 2 years, must last 20": the unit is not said twice
        out.extend(
            Found(m.start("n"), m.end("n"), "life_years", number(m["n"]), 0.9) for m in _LAST_BARE.finditer(text)
        )
    return out


def _celsius(n: float, unit: str) -> int | float:
    return (
        number(f"{(n - 32) / 1.8:.0f}")
        if "f" in unit.replace("fahrenheit", "f") and "c" not in unit
        else number(f"{n:g}")
    )


def temperatures(text: str, answering: str | None) -> list[Found]:
    """Highest and lowest service temperature in °C.

    >>> [(f.slot, f.value) for f in temperatures("from -40 to 120 c", None)]
    [('temperature_min_c', -40), ('temperature_c', 120)]
    """
    out = []
    both = _TEMP_FROM.search(text)
    if both:
        return [
            Found(both.start(), both.end(), "temperature_min_c", -int(both["n"])),
            Found(both.start(), both.end(), "temperature_c", number(both["n2"])),
        ]
    for m in _TEMP.finditer(text):
        unit = m["u"]
        if (
            unit.strip() in ("c", "f")
            and float(m["n"]) < 20
            and answering not in ("temperature_c", "temperature_min_c")
            and not m["sign"]
        ):
            continue
        if unit.startswith(("deg", "°")) and re.match(
            r" ?(?:angle|turn|bend|countersink|head|thread|csk|corner)", text[m.end() :]
        ):
            continue
        low = -float(m["n"]) if m["sign"] and m["sign"].strip() in ("-", "minus", "sub") else float(m["n"])
        end = (m.end() - 1) if False else m.end()
        if m["n2"]:
            high = -float(m["n2"]) if m["sign2"] and m["sign2"].strip() in ("-", "minus") else float(m["n2"])
            if low < 0:
                out.append(Found(m.start(), end, "temperature_min_c", _celsius(low, unit)))
            out.append(Found(m.start(), end, "temperature_c", _celsius(max(low, high), unit)))
        else:
            value = _celsius(low, unit)
            cold = value < 0 or (answering == "temperature_min_c")
            out.append(Found(m.start(), end, "temperature_min_c" if cold else "temperature_c", value))
    if not out:
        out.extend(
            Found(m.start(), m.end(), "temperature_min_c", -int(m["n"]), 0.9) for m in _MINUS_BARE.finditer(text)
        )
        if _COLD.search(text):
            out.extend(
                Found(m.start(), m.end(), "temperature_min_c", -int(m["n"]), 0.9) for m in _MINUS_SIGN.finditer(text)
            )
    if not any(f.slot == "temperature_min_c" for f in out):
        out.extend(Found(m.start(), m.end(), "temperature_min_c", -int(m["n"])) for m in _DOWN_TO.finditer(text))
    highs = [f for f in out if f.slot == "temperature_c"]
    if len(highs) > 1:
        top = max(highs, key=lambda f: f.value)
        out = [f for f in out if f.slot != "temperature_c" or f is top]
    return out


def pieces(text: str, shown: str) -> list[Found]:
    """Number of pieces; kilograms are none.

    >>> [f.value for f in pieces("50 off m16 x 100", "50 off M16 x 100")], pieces("400 kg of m10", "")
    ([50], [])
    """
    for m in _BOXES.finditer(text):
        if m["m"]:
            return [Found(m.start(), m.end(), "quantity", int(m["n"]) * int(m["m"]))]
    for pattern in (_QTY, _PIECES, _AFTER_LENGTH, _BEFORE_SIZE, _ORDER, _START, _THOUSANDS_LAST):
        for m in pattern.finditer(text):
            value = _multiplied(m["n"], m["k"])
            if pattern is _PIECES and re.search(
                r"(?:grade|class|type|hrc|no\.?|#|m|zone|every|one of|step|page|table|sae|gr)[ .]?\Z", text[: m.start()]
            ):
                continue
            if pattern in (_START, _ORDER) and _is_grade(m["n"]):
                continue
            if (
                pattern in (_BEFORE_SIZE, _ORDER, _START)
                and re.search(
                    r"(?:grade|class|type|gr|sae|about|-|iso|din|en|astm|bs|no|number|nr|#|gauge)[ .]{0,2}\Z",
                    text[: m.start("n")],
                )
                and not re.search(r"(?:need|want|about) \Z", text[: m.start("n")])
            ):
                continue
            if value >= 1 and float(value).is_integer():
                end = m.end("k") if m["k"] else m.end("n")
                return [Found(m.start("n"), end if pattern is not _PIECES else m.end(), "quantity", int(value))]
    return []


def _is_grade(n: str) -> bool:
    return n in ("304", "316", "18", "88", "109", "129")


def hardness(text: str, scales: Scales) -> list[Found]:
    """Measured hardness as HRC, whatever it is told in; without the scale of its unit it is only noticed.

    `scales` joins Vickers (`hv`), Brinell (`hb`) and the tensile strength (`tensile_mpa`) with Rockwell C: pairs in rising
    order. A figure beyond the end counts as the hardest steel of the scale, one below the beginning as soft.

    >>> [f.value for f in hardness("hrc 44 measured", {})]
    [44]
    >>> [f.value for f in hardness("1250 mpa bolts", {"tensile_mpa": ((1250.0, 40.0), (1300.0, 41.0))})]
    [40]
    """
    out: list[Found] = []
    out.extend(
        Found(m.start(), m.end(), "hardness_hrc", number(m["n3"] or m["n2"] or m["n"])) for m in _HRC.finditer(text)
    )
    told = [(m, "hv", float(m["n"] or m["n2"])) for m in _HV.finditer(text)]
    told += [(m, "hb", float(m["n"] or m["n2"])) for m in _HB.finditer(text)]
    strengths = ((m, float(m["n"]) * _TENSILE_MPA.get(m["u"], 1.0)) for m in _TENSILE.finditer(text))
    told += [(m, "tensile_mpa", mpa) for m, mpa in strengths if TENSILE_READ[0] <= mpa <= TENSILE_READ[1]]
    for m, unit, figure in told:
        scale = scales.get(unit, ())
        value = _interpolate(scale, min(figure, scale[-1][0])) if scale else None
        if value is not None:
            out.append(Found(m.start(), m.end(), "hardness_hrc", value, 0.95, slug="hardness-converted"))
        elif unit != "tensile_mpa":
            slug = "hardness-vickers" if unit == "hv" else "hardness-brinell"
            out.append(Found(m.start(), m.end(), slug=slug, candidates=(figure,)))
    return out


def _interpolate(scale: tuple[tuple[float, float], ...], hv: float) -> int | float | None:
    for (v0, c0), (v1, c1) in itertools.pairwise(scale):
        if v0 <= hv <= v1:
            return number(f"{c0 + (c1 - c0) * (hv - v0) / (v1 - v0):.1f}")
    return None


def friction_and_torque(text: str) -> list[Found]:
    """A demanded friction range and a demanded torque in N·m.

    >>> [(f.slot, f.value) for f in friction_and_torque("mu 0.10 to 0.16, 45 nm")]
    [('friction_window', [0.1, 0.16]), ('torque_nm', 45)]
    """
    out: list[Found] = []
    for m in _MU.finditer(text):
        a, b = (m["a"], m["b"]) if m["a"] else (m["a2"], m["b2"])
        low, high = float(a), float(b or a)
        if 0.02 <= low <= 0.6:
            out.append(Found(m.start(), m.end(), "friction_window", [min(low, high), max(low, high)]))
    for m in _TORQUE.finditer(text):
        unit = m["u"].replace(" ", "")
        factor = 1.0 if unit.startswith("n") else NM_PER_IN_LB if "in" in unit else NM_PER_FT_LB
        out.append(Found(m.start(), m.end(), "torque_nm", number(f"{float(m['n']) * factor:.4g}")))
    return out


def categories(text: str) -> list[Found]:
    """Corrosivity categories C1 to C5 and CX.

    >>> [f.value for f in categories("site is c5-m")]
    ['C5']
    """
    if not _CATEGORY_HINT.search(text):
        return []
    return [Found(m.start(), m.end(), "corrosivity", "C" + m["n"].upper()) for m in _CATEGORY.finditer(text)]


def masses(text: str) -> list[Found]:
    """Weights: no number of pieces, but used words."""
    return [Found(m.start(), m.end(), slug="weight-given") for m in _WEIGHT.finditer(text)]


def part_numbers(text: str) -> list[Found]:
    """Aircraft standard part numbers; they make the enquiry an aircraft one.

    >>> [f.value for f in part_numbers("cad plated an3 bolts")]
    [['aerospace']]
    """
    return [
        Found(m.start(), m.end(), "duty", ["aerospace"], slug="aerospace-part-number")
        for m in _PART_NUMBER.finditer(text)
    ]
