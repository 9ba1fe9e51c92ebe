"""What one note says: `textured ceiling, 9 m2, marked [1]. Taken as asbestos.` by the words of the vocabularies and
those that its writer explains."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from pipelines.register.lines import WHOLE_HOME
from pipelines.register.shorthand import UNREACHED, VOCABULARIES
from pipelines.register.stacked import NUMBER, UNIT
from pipelines.register.words import plain, recognise_word

Terms = Mapping[str, Mapping[str, str]]
EXPLAINED = ("identification", "asbestos_types", "damage", "surface")
"""Of what a writer explains words of his own."""
UNSEEN = (*UNREACHED, "not_suspect")
QUOTED = re.compile(r"[\"“']([^\"”'\[\]]{2,30})[\"”']\s+(?:means|is|stands for|=)\s+(.+?)(?:[.;](?:\s|$)|$)")
SIGNED = re.compile(r"(?:^|(?<=[\s,;:(]))([A-Za-z][A-Za-z./]{0,14})\s*=\s*([^,;=]+?)(?=[,;)]|\.(?:\s|$)|$)")
IN_CAPITALS = re.compile(r"^\s+([A-Z][A-Z '/-]{1,24}?)\s*(?:\s{2}|[=:])\s*([^=]*[a-z]{3}.*)$")
TAIL = re.compile(r"^.*(?:\s[-–—]\s|\()([^()]+)\)?$", re.S)
"""The end of a meaning, behind a dash or in brackets."""
FRACTIONS = {"½": ".5", "¼": ".25", "¾": ".75"}
FRACTION = re.compile(r"(\d*)\s?([½¼¾])")
EXTENT = re.compile(
    r"(?<![\w.,/\[])(?:(?:abt|about)\.?\s*)?(?:\d+(?:\.\d+)?\s*m?\s*[x×]\s*\d+(?:\.\d+)?\s*m\b"
    rf"|{NUMBER}\s*{UNIT})(?:\s*each\b)?",
    re.I,
)
TOGETHER = re.compile(r"^(?:in all|in total|between (?:them|the two|both)|altogether)\b[\s,]*", re.I)
NAME = r"\[\s*([A-Za-z]{0,4}[-/.]?\d{1,6}[a-z]?)\s*\]"
SAMPLE = re.compile(NAME)
LIKE = re.compile(rf"\b(?:same\s+as|as|like|see)\s+{NAME}", re.I)
RESULT = re.compile(rf"{NAME}\s*[:=–-]?\s*([^\[]+)")
CLAUSES = re.compile(r"[,;]\s+|(?<!\basb)(?<!\bapprox)\.\s+(?=[A-Z])|[.,;]+$|\s*\|\s*")
SENTENCE_END = re.compile(r"\.\s+(?=[A-Z])")
ON = re.compile(r"^\s*(?:on|over|with|and)\s+", re.I)
FIELDS = ("room", "product", "identification", "extent", "damage", "surface", "sample_ref", "notes")


def is_room(text: str, terms: Terms) -> bool:
    """Whether a text names a room."""
    return _term("room", text, terms) is not None


def _term(name: str, text: str, terms: Terms) -> str | None:
    vocabulary = VOCABULARIES[name]
    return recognise_word(vocabulary, text, terms.get(vocabulary, {}))[0]


def key_of(prologue: Sequence[str], terms: Terms) -> dict[str, tuple[str, str]]:
    """The words that a text explains at its head, plain, with the field and what they mean: `MARKED  a few scratches -
    low damage`, `"No doubt" means strongly presumed`, `white = chrysotile`."""
    together = " ".join(" ".join(prologue).split())
    pairs = [found.groups() for line in prologue if (found := IN_CAPITALS.match(line))]
    pairs += [found.groups() for pattern in (QUOTED, SIGNED) for found in pattern.finditer(together)]
    key: dict[str, tuple[str, str]] = {}
    for word, meaning in pairs:
        tail = TAIL.match(meaning)
        for text in (tail[1], meaning) if tail else (meaning,):
            name = next((one for one in EXPLAINED if _term(one, text.strip(" ."), terms)), None)
            if name and plain(word):
                key.setdefault(plain(word), (name, text.strip(" .")))
    return key


def results_of(text: str) -> dict[str, str]:
    """What was found in each sample: `[1] white;  [2] nil`."""
    results: dict[str, str] = {}
    for found in RESULT.finditer(text):
        said = found[2].strip(" ;,./")
        results[found[1]] = f"{results[found[1]]}; {said}" if found[1] in results else said
    return results


@dataclass(frozen=True)
class Notes:
    """How notes are read: by the words of the vocabularies, and those that the writer explains."""

    terms: Terms
    key: Mapping[str, tuple[str, str]]

    def items(self, room: str, text: str, results: Mapping[str, str]) -> Iterator[dict[str, str]]:
        """What a note says, once for each of several samples of it; layers share the extent."""
        blank = dict.fromkeys(FIELDS, "") | {"room": room or WHOLE_HOME}
        if not self._key(text) and self._is_unseen(text):
            yield blank | {"identification": text}
            return
        extent = ""
        for piece in _layers(FRACTION.sub(lambda found: f"{found[1] or 0}{FRACTIONS[found[2]]}", text)):
            said = blank | self._item(piece, results)
            extent = extent or said["extent"]
            yield said | {"extent": said["extent"] or extent}

    def with_material(self, said: dict[str, str], materials: Mapping[str, str]) -> dict[str, str]:
        """A note whose words name no material, with that of the sample that it refers to: `panel as [16]`."""
        of = materials.get(said["sample_ref"].removeprefix("as "), "") if said["sample_ref"].startswith("as ") else ""
        if not of or _term("product", said["product"], self.terms):
            return said
        return said | {"product": f"{said['product']}: {of}".strip(": ")}

    def _is_unseen(self, text: str) -> bool:
        return _term("product", text, self.terms) is None and _term("identification", text, self.terms) in UNSEEN

    def _item(self, text: str, results: Mapping[str, str]) -> dict[str, str]:
        """What one piece of a note says of one material."""
        like, own = LIKE.search(text), SAMPLE.search(LIKE.sub(" ", text))
        bare = SAMPLE.sub("|", LIKE.sub("|", text))
        extent = EXTENT.search(bare)
        if extent:
            bare = f"{bare[: extent.start()]}|{TOGETHER.sub('', bare[extent.end() :].strip())}"
        said = {"extent": extent[0].strip(" .,") if extent else ""}
        for clause in CLAUSES.split(ON.sub("", bare)):
            if clause and clause.strip():
                self._clause(clause.strip(), said)
        if own:
            found, *rest = SENTENCE_END.split(results.get(own[1], ""))
            said |= {"sample_ref": own[1], "identification": self._decoded(found) or said.get("identification", "")}
            said["notes"] = "; ".join(filter(None, (said.get("notes", ""), *rest)))
        elif like:
            said |= {"sample_ref": f"as {like[1]}"}
            said.setdefault("identification", f"as {like[1]}")
        return said

    def _clause(self, clause: str, said: dict[str, str]) -> None:
        """Take what one clause says."""
        if explained := self._key(clause):
            name, meaning, rest = explained
            said.setdefault(name, meaning)
            name, clause = "notes", rest
        else:
            name = self._field(clause, "product" in said)
        if clause:
            said[name] = f"{said[name]}, {clause}" if name in said else clause

    def _key(self, clause: str) -> tuple[str, str, str] | None:
        """The field and meaning of the words of the writer's own that a clause begins with, and what follows them."""
        words = clause.split()
        for n_words in range(len(words), 0, -1):
            if found := self.key.get(plain(" ".join(words[:n_words]))):
                return *found, " ".join(words[n_words:])
        return None

    def _field(self, clause: str, has_product: bool) -> str:
        """The field that a clause is of: a material first, then what is said of it."""
        is_material = _term("product", clause, self.terms) is not None
        if is_material or not has_product:
            known = next((name for name in EXPLAINED if self._is_known(name, clause)), None)
            return known or "product"
        return next((name for name in EXPLAINED if _term(name, clause, self.terms)), "notes")

    def _is_known(self, name: str, clause: str) -> bool:
        return plain(clause) in self.terms.get(VOCABULARIES[name], {})

    def _decoded(self, text: str) -> str:
        """A result with the meanings of the writer's own words: `brown and white`."""
        for word, (name, meaning) in self.key.items():
            if name in ("identification", "asbestos_types"):
                text = re.sub(rf"(?<!\w){re.escape(word)}(?!\w)", meaning, text, flags=re.I)
        return text


def _layers(text: str) -> list[str]:
    """The parts of a note that each end with a sample of their own, what follows the last with it."""
    referred = {found.end() for found in LIKE.finditer(text)}
    ends = [found.end() for found in SAMPLE.finditer(text) if found.end() not in referred]
    if len(ends) < 2:
        return [text]
    pieces = [text[start:end] for start, end in zip([0, *ends[:-1]], ends, strict=True)]
    return [*pieces[:-1], pieces[-1] + text[ends[-1] :]]
