"""The keys that other people's scripts rely on, each with the kind of its value, and how an answer is held against them."""

from program import check

# Kinds of JSON values: a name each, so that a failure reads well.
NUMBER, TEXT, TRUTH, WHOLE = "a number", "text", "true or false", "a whole number"


class OrNull:
    def __init__(self, kind):
        self.kind = kind


def is_kind(value, kind):
    if isinstance(kind, OrNull):
        return value is None or is_kind(value, kind.kind)
    if isinstance(kind, set):
        return value in kind
    if isinstance(kind, dict):
        return isinstance(value, dict) and all(key in value and is_kind(value[key], each) for key, each in kind.items())
    if isinstance(kind, list):
        return isinstance(value, list) and all(is_kind(each, kind[0]) for each in value)
    if kind in (NUMBER, WHOLE):
        return isinstance(value, int if kind == WHOLE else (int, float)) and not isinstance(value, bool)
    return isinstance(value, {TEXT: str, TRUTH: bool}[kind])


def hold(value, kind, what):
    """Names the first key that is missing or of another kind. Nothing else may be null without a word why."""
    if isinstance(kind, dict) and isinstance(value, dict):
        for key, each in kind.items():
            check(key in value, f"{what}: no key {key} in {value}")
            hold(value[key], each, f"{what} {key}")
    elif isinstance(kind, list) and isinstance(value, list):
        for index, each in enumerate(value):
            hold(each, kind[0], f"{what} {index}")
    else:
        check(is_kind(value, kind), f"{what}: {value!r} is not {kind if not isinstance(kind, OrNull) else kind.kind} (or null)")


def hold_whys(value, free, what):
    """A null has its reason in `why` beside it, and `why` names nothing that has a value. `free`: keys whose null is a plain answer."""
    if isinstance(value, list):
        for index, each in enumerate(value):
            hold_whys(each, free, f"{what} {index}")
    if not isinstance(value, dict):
        return
    whys = value.get("why", {})
    for key, each in value.items():
        if each is None and key not in free:
            check(isinstance(whys, dict) and isinstance(whys.get(key), str) and whys[key], f"{what} {key} is null and nobody says why")
        hold_whys(each, free, f"{what} {key}")
    for key in whys if isinstance(whys, dict) else ():
        check(key in value and value[key] is None, f"{what}: why names {key}, which is {value.get(key, 'not there')}")


ESTIMATES = {"estimate": OrNull(NUMBER), "lower": OrNull(NUMBER), "upper": OrNull(NUMBER)}
COUNT = {"method": TEXT, "correct": WHOLE, "of": WHOLE, "chance": NUMBER, "p_value": OrNull(NUMBER),
         "proportion_correct": ESTIMATES | {"confidence": NUMBER, "interval": TEXT}, "discriminators": ESTIMATES,
         "d_prime": ESTIMATES | {"standard_error": OrNull(NUMBER)}, "least_correct": OrNull(WHOLE),
         "verdict": {"different", "slight", "close-enough", "unsettled"}, "words": TEXT}
COUNT_SAME = {key: kind for key, kind in COUNT.items() if key != "least_correct"} | {"most_correct": OrNull(WHOLE)}
PREFERENCES = {"new-preferred", "current-preferred", "no-clear-preference"}
VOTES = {"method": TEXT, "for_new": WHOLE, "for_current": WHOLE, "no_preference": WHOLE, "p_value": OrNull(NUMBER),
         "share_new": ESTIMATES | {"confidence": NUMBER}, "verdict": PREFERENCES, "words": TEXT}
SIZE = {"method": TEXT, "aim": {"difference", "similarity"}, "alpha": NUMBER, "power": NUMBER,
        "detect": {"d_prime": NUMBER, "discriminators": NUMBER, "proportion_correct": NUMBER}, "tasters": WHOLE, "tasters_safe": WHOLE,
        "least_correct": WHOLE, "alpha_actual": NUMBER, "power_actual": NUMBER}
CURVE = {"method": TEXT, "d_prime": NUMBER, "proportion_correct": NUMBER, "discriminators": NUMBER}
BALLOTS = [{"ballot": TEXT, "taster": OrNull(TEXT), "spare": TRUTH,
            "sets": [{"round": WHOLE, "set": WHOLE, "method": TEXT, "spot": OrNull(TEXT), "codes": [TEXT]}]}]
KEY = [{"ballot": TEXT, "set": WHOLE, "code": TEXT, "version": TEXT, "spot": OrNull(TEXT)}]
ROUND = {"round": WHOLE, "method": TEXT, "decide_on": {"overall", "any-spot", "each-spot"}, "planned": TRUTH, "spots": [{"spot": OrNull(TEXT)}],
         "pooled": {}, "heterogeneity": OrNull({"p_value": NUMBER}), "verdict": TEXT, "words": TEXT}
JUDGED = {"rounds": [ROUND], "verdict": TEXT, "words": TEXT, "warnings": [TEXT]}
