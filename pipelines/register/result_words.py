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
    r"|as (?:was )?(?:sampled|tested|analysed)(?: (?:at|in|from|by|elsewhere)\b|\W*$)"
    r"|(?:same|similar|identical|comparable|alike|match\w*)\b.{0,24}\b(?:samples?d?|analysed|tested|bulk|bag|lab)"
    r"|like (?:the |an? )?(?:one|item|material|other|piece|sheet|board)s? (?:that (?:was|were) )?"
    r"(?:sampled|tested|analysed)|not (?:re-?(?:sampled|tested|analysed)|(?:sampled|tested|analysed) again))\b",
    re.I,
)
"""That another sample speaks for this: `Extrapolated from analysed sample`, `same board, not sampled again`."""
SIGNED = re.compile(r"^(?:sampled?|analysed|tested)\s*[:(]?\s*([+−–-])\s*\)?$", re.I)
"""A result told by its sign alone: `Sampled +`, `Sampled -`."""
CERTAIN = re.compile(
    r"\b(?:no|without(?: a)?|beyond(?: any| all)?)(?: real| reasonable)? doubt\b"
    r"|\b(?:satisfied|confident|certain|sure|convinced)(?: that)? (?:it|this|they) (?:is|are|contains?) "
    r"(?:an? )?(?:asb\w*|acms?)\b",
    re.I,
)
"""Sure without a sample, as a strong presumption is: `not sampled but no doubt`, `no bulk; sure it is asbestos`."""
UNTIL = re.compile(
    r"\b(?:until|till|unless|pending|before) (?:it (?:is|has been) )?(?:sampl\w+|test\w+|analys\w+|prove[nd]?|shown)\b",
    re.I,
)
"""`Presume it is until sampled`."""
ON_RECORD = re.compile(
    r"\b(?:maker'?s?|manufacturer'?s?|trade) (?:mark|stamp|name|label|plate|data|literature)s?\b"
    r"|\b(?:records?|drawings?|specifications?|o ?& ?m manuals?) (?:say|states?|shows?|confirms?)\b",
    re.I,
)
"""What is known without a sample by what is written on it or of it."""
UNSAMPLED = re.compile(
    r"\b(?:not (?:yet |been |yet been )?(?:sampled|tested|analysed)|unsampled|untested|non[ -]sampled"
    r"|(?:no|none|without)\b.{0,8}\b(?:sampl\w+|test\w*|analys\w+)|no (?:bulk|bag)s?\b"
    r"|samples? (?:was |were )?not\b)",
    re.I,
)
PENDING = re.compile(
    r"\b(?:await\w*|pending|yet|outstanding|to follow|tbc|due|back|not clear|unclear|inconclusive)\b|\?", re.I
)
AWAITED = re.compile(
    r"\b(?:await\w*|pending|to follow|tbc|results? (?:due|outstanding)|(?:not|no)\b.{0,16}\b(?:back|yet))\b", re.I
)
"""That the laboratory has yet to say what it found."""
LOOKED_AT = re.compile(r"\bvisual(?:ly)?\b|\bby (?:eye|sight)\b", re.I)
SAMPLED = re.compile(r"\b(?:analys(?:ed|is|t)|samples?d?|tested|lab(?:oratory)?|bulk|bag)\b", re.I)
FOUND_NONE = re.compile(
    r"\b(?:(?:no|nil|zero)(?: trace of)? (?:asb\w*|acms?|fib(?:re|er)s?)"
    r"|none (?:detected|found|present|identified|seen)|(?:none|nil)(?=\W*$)|nad(?:is?)?|neg(?:ative)?|clear"
    r"|did ?n[o']?t (?:find|detect|contain|show) (?:any )?(?:asb\w*|acms?|fib(?:re|er)s?)"
    r"|not (?:detected|found|present|asb\w*)|non[ -]?asb\w*|asbestos[ -]free|free (?:of|from) asb\w*)\b|(?<!\w)-ve\b",
    re.I,
)
MERELY = re.compile(r"^(?:\W|\b(?:sample|result|lab|all|detected|found|present|identified|it was|is)\b)*$", re.I)
"""What may stand beside that none was found, and says no more."""
BY_LABORATORY = re.compile(r"^\W*nothing (?:was )?(?:found|detected|seen)(?: by (?:the )?lab(?:oratory)?)?\W*$", re.I)
FOUND_SOME = re.compile(
    r"\b(?:chrys\w*|amos\w*|croc\w*|tremol\w*|actinol\w*|anthoph\w*|white|brown|blue|positive|pos|but|except|other)\b"
    r"|\+ve",
    re.I,
)
BETWEEN_CLAUSES = re.compile(r"[;\n]|\.\s")
SUSPECTED = re.compile(
    r"\b(?:(?<!not )(?<!non[- ])(?<!nothing )suspect(?:ed)?|presum\w*|assum\w*|treat(?:ed)? as|taken (?:as|to be)"
    r"|considered to (?:be|contain)|deemed|regarded as|thought to be|believed|probabl[ey])\b",
    re.I,
)
JUDGED = r"(?:judged|satisfied|confident|certain|sure|convinced|considered)"
JUDGED_NONE = re.compile(
    rf"\b{JUDGED}\b[^.;,]{{0,30}}\b(?:not (?:to (?:contain|be) )?(?:an? )?|non[ -]?|no |free (?:of|from) )"
    r"(?:asb\w*|acms?)\b"
    r"|\b(?:not|non[ -]?|no) ?(?:asb\w*|acms?)\b[^.;,]{0,12}\b(?:surveyor\W?s|inspector\W?s|my|our) "
    r"(?:view|opinion|judge?ment)\b",
    re.I,
)
"""What a surveyor says who is sure of it without an analysis: `judged not to contain asbestos`."""
NOT_JUDGED = re.compile(
    rf"\b(?:not|no|never|cannot|can'?t|could ?n[o']?t|isn'?t|less than)\W+(?:\w+ )?{JUDGED}\b"
    r"|\bun(?:satisfied|certain|sure|convinced)\b",
    re.I,
)
BY_EYE = re.compile(
    r"^\W*(?:by eye|visual(?:ly)?)\W+(?:asb\w*|acms?)(?: \(?(?:sure|certain)\)?)?\W*$"
    r"|^\W*(?:asb\w*|acms?)\W+(?:by eye|visual(?:ly)?)(?: (?:only|identified|inspection))?\W*$",
    re.I,
)
"""Asbestos by its look, without a sample: `By eye - ACM`, `Asbestos (visual)`."""
STRONG = re.compile(r"\bstr(?:ong\w*)?\b", re.I)
ASBESTOS = re.compile(r"\b(?:asb\w*|acms?)\b", re.I)
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
    if _is_strong(written) or BY_EYE.match(written):
        return "strongly_presumed"
    if _is_judged_none(written):
        return "not_suspect"
    is_none = FOUND_NONE.search(written) is not None
    if REFERRED.search(written):
        return None if is_none else "strongly_presumed"
    if not is_none and (said := _without_analysis(written)):
        return said
    if UNSAMPLED.search(written):
        return "presumed" if SUSPECTED.search(written) and not (is_none or STRONG.search(written)) else None
    if is_none and SAMPLED.search(written) and not (FOUND_SOME.search(written) or PENDING.search(written)):
        return None if SUSPECTED.search(written) else "not_detected"
    return "no_access" if NOT_ENTERED.match(written) and not SUSPECTED.search(written) else None


def _without_analysis(written: str) -> str | None:
    """What is presumed, until there is a sample or as its analysis is awaited, or strongly, as it is on record or as
    somebody knew it by its look alone."""
    if SUSPECTED.search(written) and UNTIL.search(written):
        return "presumed"
    if ON_RECORD.search(written) and ASBESTOS.search(written):
        return "strongly_presumed"
    if FOUND_SOME.search(written) and UNSAMPLED.search(written) is None:
        return None
    if UNSAMPLED.search(written):
        is_known = LOOKED_AT.search(written) and re.search(r"(?<!not )\bidentified\b", written, re.I)
        return "strongly_presumed" if is_known else None
    return "presumed" if SAMPLED.search(written) and AWAITED.search(written) else None


def found_none(written: str) -> bool:
    """Whether what a laboratory found says that there is no asbestos, and nothing else: `clear, no asbestos`."""
    left = FOUND_NONE.sub(" ", written)
    is_none = left != written and MERELY.match(left) is not None
    return is_none or BY_LABORATORY.match(written) is not None


def says_of_several(written: str) -> bool:
    """Whether one clause says what a sample had, and another that there is none: `kitchen tile sampled - chrysotile;
    bathroom same tile, not sampled`. Each is of something else."""
    clauses = BETWEEN_CLAUSES.split(written)
    is_unsampled = [UNSAMPLED.search(clause) is not None for clause in clauses]
    return any(is_unsampled) and any(
        SAMPLED.search(clause) and FOUND_SOME.search(clause) and not (is_none or REFERRED.search(clause))
        for clause, is_none in zip(clauses, is_unsampled, strict=True)
    )


def is_told_behind(head: str, written: str) -> bool:
    """Whether a result begins by saying no more than that there is no sample, and goes on with what speaks for it:
    `Not sampled; same material as the sample quoted`."""
    is_bare = UNSAMPLED.search(head) is not None and SUSPECTED.search(head) is None
    return is_bare and by_parts(written) == "strongly_presumed"


def _is_judged_none(written: str) -> bool:
    """Whether a surveyor is sure that there is no asbestos, and nobody analysed any of it."""
    is_analysed = SAMPLED.search(written) is not None and UNSAMPLED.search(written) is None
    is_sure = JUDGED_NONE.search(written) is not None and NOT_JUDGED.search(written) is None
    return is_sure and not (is_analysed or FOUND_SOME.search(written))


def _is_strong(written: str) -> bool:
    """Whether it is strongly presumed: so called, also misspelt, or without a sample and without a doubt."""
    if (word := STRONGLY.match(written)) and _is_strongly(word[1]):
        return True
    is_certain = UNSAMPLED.search(written) is not None and CERTAIN.search(written) is not None
    return is_certain and not (FOUND_NONE.search(written) or NOT_JUDGED.search(written))


def _is_strongly(word: str) -> bool:
    """Whether a word is `strongly` misspelt."""
    return 1 > DamerauLevenshtein.normalized_similarity(word.lower(), "strongly") >= LEAST_STRONGLY
