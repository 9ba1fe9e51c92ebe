"""What a file is, told from its bytes: a name only says what it was meant to be."""

import re
import zipfile
from pathlib import Path

from pipelines.sources.rows import UnreadableError

DELIMITED, WORKBOOK, JSON, PARQUET = "delimited", "workbook", "json", "parquet"
ENDINGS = {
    **dict.fromkeys((".csv", ".tsv", ".txt"), DELIMITED),
    **dict.fromkeys((".xlsx", ".xlsm", ".xls", ".ods"), WORKBOOK),
    **dict.fromkeys((".json", ".jsonl", ".ndjson"), JSON),
    ".parquet": PARQUET,
}
HEAD_BYTES = 1 << 16
# How files of other programs begin (from memory; common practice, no source).
SIGNATURES = {
    b"%PDF-": "a PDF document",
    b"{\\rtf": "an RTF document",
    b"\x1f\x8b": "a gzip archive",
    b"7z\xbc\xaf": "a 7z archive",
    b"Rar!": "a RAR archive",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
    b"SQLite format 3": "a database",
}
IN_A_ZIP = {
    "xl/workbook.xml": None,
    "content.xml": None,
    "xl/workbook.bin": "an xlsb workbook",
    "word/document.xml": "a Word document",
    "ppt/presentation.xml": "a presentation",
}
ZIP, OLD_OFFICE = (b"PK\x03\x04", b"PK\x05\x06"), b"\xd0\xcf\x11\xe0"
MARKUP = re.compile(r"\s*<(!doctype\s+html|html|head|body|table|\?xml|meta|style|div)\b", re.IGNORECASE)
RECORD = re.compile(r'\s*\[?\s*\{\s*"[^"]*"\s*:')
# Bytes that no text holds; line feeds, tabs, page breaks and the marks of old line editors are left out.
NO_TEXT = bytes(set(range(32)) - set(b"\t\n\v\f\r\x1a\x1b\x1c\x1d\x1e\x1f"))
NO_TEXT_SHARE_MOST = 0.05
WIDE_SHARE_LEAST = 0.4


def kind_of(file: Path) -> str:
    """Which reader a file is for. Raises UnreadableError with what it seems to be where it is for none."""
    suffix = file.suffix.lower()
    if suffix not in ENDINGS:
        raise UnreadableError("format_not_read", suffix or "no ending")
    with file.open("rb") as opened:
        head = opened.read(HEAD_BYTES)
    if head.startswith(ZIP):
        return _in_zip(file)
    if head.startswith(OLD_OFFICE):
        return WORKBOOK
    if head.startswith(b"PAR1"):
        return PARQUET
    for signature, what in SIGNATURES.items():
        if head.startswith(signature):
            raise UnreadableError("another_kind", what)
    return _of_text(head, suffix)


def check_places(file: Path) -> None:
    """Raises UnreadableError for what is neither GeoJSON nor GeoPackage: other formats may name files elsewhere."""
    with file.open("rb") as opened:
        head = opened.read(HEAD_BYTES)
    if not head.strip():
        raise UnreadableError("empty_file", "")
    if not head.startswith(b"SQLite format 3") and not head.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"{"):
        raise UnreadableError("places_not_read", file.suffix.lower() or "no ending")


def _in_zip(file: Path) -> str:
    try:
        with zipfile.ZipFile(file) as archive:
            names = set(archive.namelist())
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError, RuntimeError) as error:
        raise UnreadableError("cut_off", f"a workbook or archive: {error}") from error
    known = [IN_A_ZIP[name] for name in IN_A_ZIP if name in names]
    if known and known[0] is None:
        return WORKBOOK
    raise UnreadableError("another_kind", (known and known[0]) or "a zip archive")


def _of_text(head: bytes, suffix: str) -> str:
    text = head.decode(encodings(head)[0], "replace").lstrip("\ufeff")
    if not text or text.isspace():
        raise UnreadableError("empty_file", "")
    if MARKUP.match(text):
        raise UnreadableError("another_kind", "a web page or an XML document")
    if not wide(head) and len(head) - len(head.translate(None, NO_TEXT)) > NO_TEXT_SHARE_MOST * len(head):
        raise UnreadableError("another_kind", "no text and no table")
    if RECORD.match(text) or (ENDINGS[suffix] == JSON and text.lstrip().startswith(("{", "["))):
        return JSON
    return DELIMITED


def wide(head: bytes) -> str | None:
    """The UTF-16 of a text by its byte order mark, else by where the empty halves of its letters stand."""
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    pairs = len(head) // 2
    low, high = head[0 : 2 * pairs : 2].count(0), head[1 : 2 * pairs : 2].count(0)
    if high >= WIDE_SHARE_LEAST * pairs > 0 and low <= high // 20:
        return "utf-16-le"
    if low >= WIDE_SHARE_LEAST * pairs > 0 and high <= low // 20:
        return "utf-16-be"
    return None


def encodings(head: bytes) -> tuple[str, ...]:
    """The encodings that a text may have, in the order in which to try them; the last of three takes any byte."""
    found = wide(head)
    return (found,) if found else ("utf-8-sig", "cp1252", "latin-1")
