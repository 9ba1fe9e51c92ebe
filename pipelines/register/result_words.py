"""What a result says in words of its own, by what they are made of: a sample or none, what was found, a reference."""

import re

from rapidfuzz.distance import DamerauLevenshtein

NO_BUT_SAMPLED = re.compile(r"^no\W+(?:sampled|sample taken|tested|analysed)\W*$", re.I)
"""An answer to `asbestos?`."""
NONE_FOUND = re.compile(
    r"^(?:no|nil|zero)\W+(?:(?:asb\w*|acms?|fib(?:re|er)s?)\W+)+(?:was |were )?"
    r"(?:detected|det|found|present|seen|identified)\W*$",
    re.I,
)
"""What a laboratory says of a sample without asbestos, however it is shortened: `No asb. detected`."""
STRONGLY, LEAST_STRONGLY = re.compile(r"^\W*(s\w{4,9})\.?\s+(?:pre?sum|assum)", re.I), 0.75
"""`Strongy presumed`: misspelt, it would pass for a mere presumption."""
REFERRED = re.compile(
    r"\b(?:extrapolat\w*|interpolat\w*|read[ -]?across|inferred|deduced|cross[ -]?ref\w*|x[ -]?ref\w*"
    r"|by (?:association|comparison|analogy)|equated (?:to|with)|goes with (?:another|the other)"
    r"|(?:same|similar|identical|comparable|alike|match\w*)\b.{0,24}\b(?:samples?d?|analysed|tested|bag|lab))\b",
    re.I,
)
"""That another sample speaks for this: `Extrapolated from analysed sample`."""
SIGNED = re.compile(r"^(?:sampled?|analysed|tested)\s*[:(]?\s*([+−–-])\s*\)?$", re.I)
"""A result told by its sign alone: `Sampled +`, `Sampled -`."""
CERTAIN = re.compile(r"\b(?:no|without(?: a)?|beyond(?: any| all)?)(?: real| reasonable)? doubt\b", re.I)
"""Sure without a sample, as a strong presumption is: `not sampled but no doubt`."""
UNSAMPLED = re.compile(
    r"\b(?:not (?:yet |been |yet been )?(?:sampled|tested|analysed)|unsampled|untested|non[ -]sampled"
    r"|(?:no|none|without)\b.{0,8}\b(?:sampl\w+|test\w*|analys\w+)|samples? (?:was |were )?not\b)",
    re.I,
)
PENDING = re.compile(
    r"\b(?:await\w*|pending|yet|outstanding|to follow|tbc|due|back|not clear|unclear|inconclusive)\b|\?", re.I
)
SAMPLED = re.compile(r"\b(?:analys(?:ed|is|t)|samples?d?|tested|lab(?:oratory)?|bulk|bag)\b", re.I)
FOUND_NONE = re.compile(
    r"\b(?:(?:no|nil|zero)(?: trace of)? (?:asb\w*|acms?|fib(?:re|er)s?)"
    r"|none (?:detected|found|present|identified|seen)|none(?=\W*$)|nad(?:is?)?|neg(?:ative)?|clear"
    r"|not (?:detected|found|present|asb\w*)|non[ -]?asb\w*|asbestos[ -]free|free (?:of|from) asb\w*)\b|(?<!\w)-ve\b",
    re.I,
)
FOUND_SOME = re.compile(
    r"\b(?:chrys\w*|amos\w*|croc\w*|tremol\w*|actinol\w*|anthoph\w*|white|brown|blue|positive|pos|but|except|other)\b"
    r"|\+ve",
    re.I,
)
SUSPECTED = re.compile(
    r"\b(?:(?<!not )(?<!non[- ])(?<!nothing )suspect(?:ed)?|presum\w*|assum\w*|treat(?:ed)? as|taken as|deemed"
    r"|regarded as|thought to be|believed|probabl[ey])\b",
    re.I,
)
STRONG = re.compile(r"\bstr(?:ong\w*)?\b", re.I)
NOT_ENTERED = re.compile(
    r"^\W*(?:we |i )?(?:not|could ?n[o']?t|unable to|failed to|can(?: ?not|'?t)|did ?n[o']?t) (?:be |able to )*"
    r"(?:get|got|gain(?:ed)?|enter(?:ed)?|access(?:ed)?|reach(?:ed)?|be let|let)\b",
    re.I,
)
"""`Not got in`, `could not enter`."""
REST_CLEAR = re.compile(
    r"^(\S.*?)\s*[,;.]\s*(?:(?:and|but) )?(?:the )?(?:rest|remainder|everything else|elsewhere)\b[^,;.]*"
    r"\b(?:clear|nothing|none|nad|ok|fine|no asb\w*|no acms?)\W*$",
    re.I,
)
"""What is said before the rest of a home is cleared: `Artex bed 1, rest of house clear`."""


def by_parts(written: str) -> str | None:
    """The term for a result that a surveyor or laboratory says in full, whatever words of others stand in it; None
    where these rules say nothing. `Not sampled` is no sample, and what has yet to come is no result."""
    if NO_BUT_SAMPLED.match(written) or NONE_FOUND.match(written):
        return "not_detected"
    if _is_strong(written):
        return "strongly_presumed"
    is_none = FOUND_NONE.search(written) is not None
    if REFERRED.search(written):
        return None if is_none else "strongly_presumed"
    if UNSAMPLED.search(written):
        return "presumed" if SUSPECTED.search(written) and not (is_none or STRONG.search(written)) else None
    if is_none and SAMPLED.search(written) and not (FOUND_SOME.search(written) or PENDING.search(written)):
        return None if SUSPECTED.search(written) else "not_detected"
    return "no_access" if NOT_ENTERED.match(written) and not SUSPECTED.search(written) else None


def _is_strong(written: str) -> bool:
    """Whether it is strongly presumed: so called, also misspelt, or without a sample and without a doubt."""
    if (word := STRONGLY.match(written)) and _is_strongly(word[1]):
        return True
    is_certain = UNSAMPLED.search(written) is not None and CERTAIN.search(written) is not None
    return is_certain and not FOUND_NONE.search(written)


def _is_strongly(word: str) -> bool:
    """Whether a word is `strongly` misspelt."""
    return 1 > DamerauLevenshtein.normalized_similarity(word.lower(), "strongly") >= LEAST_STRONGLY
