"""Laboratories' results joined to the rows of registers that name their samples, from files to items."""

import random
from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from tests import portfolios

FEW_BUILDS = settings(
    max_examples=3, deadline=None, derandomize=True, database=None, phases=(Phase.explicit, Phase.generate)
)
Row = portfolios.Row


def result(**cells: str) -> Row:
    """A laboratory's result that sample S1 of H1 holds amosite, but for what `cells` say."""
    usual = {
        "Sample Ref": "S1",
        "Property Ref": "H1",
        "Material": "AIB",
        "Date Sampled": "2025-03-01",
        "Date Analysed": "2025-03-09",
        "Result": "Amosite",
    }
    return usual | {name.replace("_", " "): cell for name, cell in cells.items()}


def presumed(**cells: str) -> Row:
    """A register row about a presumed board in the kitchen of H1 with sample S1, but for what `cells` say."""
    return portfolios.row(Status="Presumed", Asbestos_Type="") | {
        name.replace("_", " "): cell for name, cell in cells.items()
    }


def entries(folder: Path) -> Mapping[tuple[str, int], tuple[Any, ...]]:
    """Identification and types of each entry, by the name of its file and row."""
    found = portfolios.ask(
        portfolios.read(folder), "select path, row_number, identification, asbestos_types from entries"
    )
    return {(Path(path).stem, row): tuple(cells) for path, row, *cells in found}


def test_a_presumption_is_answered_either_way(tmp_path: Path) -> None:
    register = [presumed(), presumed(Sample_Ref="S2", Location="Bed 1"), presumed(Sample_Ref="S3", Location="Hall")]
    lab = [result(), result(Sample_Ref="S2", Result="NADIS")]
    found = entries(portfolios.write(tmp_path, {"r.csv": register}, samples={"l.csv": lab}))
    assert found == {
        ("r", 2): ("identified", ["amosite"]),
        ("r", 3): ("not_detected", []),
        ("r", 4): ("presumed", []),
    }


def test_asbestos_that_the_register_denies_calls_for_action(tmp_path: Path) -> None:
    register = [
        portfolios.row(Status="NAD", Asbestos_Type="", Condition="3"),
        portfolios.row(Property_Ref="H2", Sample_Ref="S9", Condition="1"),
    ]
    database = portfolios.build(portfolios.write(tmp_path, {"r.csv": register}, samples={"l.csv": [result()]}))
    items = (
        "select property_ref, identification, asbestos_types, act_now, rank from items join item_ranking using (item_id"
    )
    assert portfolios.ask(database, f"{items}, property_ref) order by rank") == [
        ("H1", "identified", ["amosite"], True, 1),
        ("H2", "identified", ["amosite"], False, 2),
    ]
    told = "select field, kind, reason from doubts where reason like '%laboratory%' order by all"
    says = "the register says not detected, sample S1, samples/l.csv, row 2; the laboratory's result stands"
    assert portfolios.ask(database, told) == [
        ("asbestos_types", "overruled", says),
        ("identification", "overruled", says),
    ]
    kinds = portfolios.ask(database, "select kind from item_contradictions")
    assert kinds == [("register_and_laboratory",)]


def test_a_sample_of_two_homes_is_joined_by_its_property_or_set_aside_with_both(tmp_path: Path) -> None:
    register = [presumed(), presumed(Property_Ref="H2")]
    named = portfolios.write(tmp_path / "named", {"r.csv": register}, samples={"l.csv": [result(Property_Ref="H2")]})
    assert entries(named)["r", 2] == ("presumed", [])
    assert entries(named)["r", 3] == ("identified", ["amosite"])
    unnamed = portfolios.write(tmp_path / "un", {"r.csv": register}, samples={"l.csv": [result(Property_Ref="")]})
    assert {found for found, _ in entries(unnamed).values()} == {"presumed"}
    aside = portfolios.ask(unnamed / "portfolio.duckdb", "select reason_code, reason from set_aside_rows")
    assert aside[0][0] == "ambiguous_sample"
    assert "H1, registers/r.csv, row 2; H2, registers/r.csv, row 3" in aside[0][1]


ALIKE = ("S-001", "S001", "S 1", "s1", "1", "Sample S1")
OTHER = ("S11", "S1A", "T1", "S1/2", "S10")
REFERS = ("as S1", "as sample 1", "see S1", "cross ref S1")
RANGES = ("S0001-S0003", "S1, S2", "S001/S002")


def test_samples_are_the_same_written_otherwise_and_others_are_others(tmp_path: Path) -> None:
    homes = [f"P{number}" for number in range(len(ALIKE + OTHER + REFERS + RANGES))]
    stock = [portfolios.HOMES[0] | {"Property Ref": home, "Address": f"{home[1:]}9 Ash Row"} for home in homes]
    lab, register = [], []
    for home, written in zip(homes, ALIKE + OTHER + REFERS + RANGES, strict=True):
        in_lab = written in ALIKE + OTHER
        lab.append(result(Property_Ref=home, Sample_Ref=written if in_lab else "S1"))
        register.append(presumed(Property_Ref=home, Sample_Ref="S1" if written not in RANGES else written))
        if written in REFERS:
            register.append(presumed(Property_Ref=home, Sample_Ref=written, Location="Bed 1"))
    database = portfolios.read(portfolios.write(tmp_path, {"r.csv": register}, stock, {"l.csv": lab}))
    found = portfolios.ask(
        database, "select property_ref, list(identification order by row_number) from entries group by 1"
    )
    expected = [
        *(["identified"] for _ in ALIKE),
        *(["presumed"] for _ in OTHER),
        *(["identified", "strongly_presumed"] for _ in REFERS),
        *(["identified"] for _ in RANGES),
    ]
    assert dict(found) == dict(zip(homes, expected, strict=True))


def test_samples_by_letters_are_met_where_the_laboratory_calls_them_so(tmp_path: Path) -> None:
    register = [presumed(Sample_Ref="A"), presumed(Sample_Ref="AB", Location="Hall"), presumed(Sample_Ref="No")]
    lab = [result(Sample_Ref="a"), result(Sample_Ref="AB", Result="NADIS")]
    found = entries(portfolios.write(tmp_path, {"r.csv": register}, samples={"l.csv": lab}))
    assert found == {
        ("r", 2): ("identified", ["amosite"]),
        ("r", 3): ("not_detected", []),
        ("r", 4): ("presumed", []),
    }


def test_certificates_of_unseen_layouts_are_read(tmp_path: Path) -> None:
    register = [presumed(Sample_Ref="BS-7"), presumed(Property_Ref="H2", Sample_Ref="BS-7"), presumed(Sample_Ref="B9")]
    folder = portfolios.write(tmp_path, {"r.csv": register})
    (folder / "samples").mkdir()
    certificate = (
        'Merely Analytical,,,\nCertificate of bulk analysis,,,\nSite address:,"2 Elm Road, Alder",,\n'
        "Certificate No:,C-12,,\nDate of analysis:,10/03/2025,,\n,,,\n"
        "Your Ref,Chrysotile,Amosite,Crocidolite\nBS7,ND,Trace,ND\nEnd of certificate,,,\n"
    )
    (folder / "samples" / "certificate.csv").write_text(certificate, "utf-8")
    (folder / "samples" / "two.csv").write_text("Sample,Result\nB9,White asbestos\n", "utf-8")
    assert entries(folder) == {
        ("r", 2): ("presumed", []),
        ("r", 3): ("identified", ["amosite"]),
        ("r", 4): ("identified", ["chrysotile"]),
    }
    kept = "select sample_ref, property_ref, certificate_ref, analysed_on::varchar from samples order by all"
    assert portfolios.ask(folder / "portfolio.duckdb", kept) == [
        ("B9", "H1", None, None),
        ("BS7", "H2", "C-12", "2025-03-10"),
    ]


def test_hostile_text_of_a_laboratory_stays_text(tmp_path: Path) -> None:
    nasty = [
        "'; drop table samples; --",
        "<script>alert(1)</script>",
        '=cmd|"/c calc"!A1',
        "../../etc/passwd",
        "S" * 9_000,
    ]
    lab = [result(Sample_Ref=text, Material=text, Result="Amosite", Property_Ref="H1") for text in nasty]
    lab += [result(Result=text) for text in nasty]
    folder = portfolios.write(tmp_path, {"r.csv": [presumed()]}, samples={"l.csv": lab})
    assert entries(folder) == {("r", 2): ("presumed", [])}
    counts = "select rows_read, rows_used, rows_set_aside from source_files where kind = 'samples'"
    assert portfolios.ask(folder / "portfolio.duckdb", counts) == [(10, 0, 10)]


def said(database: Path) -> dict[str, list[tuple[Any, ...]]]:
    """What a result says, but for what names a row of a file."""
    columns = {
        "entries": "* exclude (entry_id, row_number)",
        "items": "* exclude (entry_id, evidence_entry_id)",
        "samples": "* exclude (sample_id, row_number, entry_ids), len(entry_ids)",
        "doubts": "path, field, kind",
        "set_aside_rows": "path, reason_code, row_json",
    }
    return {
        name: sorted(portfolios.ask(database, f"select {what} from {name}"), key=repr) for name, what in columns.items()
    }


SAMPLES = st.sampled_from(["S1", "S-02", "S3", "as S1", "S1-S2", "2", ""])
registers = st.lists(
    st.builds(
        presumed,
        Property_Ref=st.sampled_from(["H1", "H2"]),
        Survey_Date=st.sampled_from(["2024-03-01", "2025-03-01", ""]),
        Location=st.sampled_from(["Kitchen", "Bed 1"]),
        Status=st.sampled_from(["Presumed", "Identified", "NAD"]),
        Material=st.sampled_from(["AIB", "Floor tiles"]),
        Sample_Ref=SAMPLES,
    ),
    min_size=8,
    max_size=20,
    unique_by=lambda row: tuple(row.items()),
)
laboratories = st.lists(
    st.builds(
        result,
        Sample_Ref=SAMPLES,
        Property_Ref=st.sampled_from(["H1", "H2", "h 2", "H9"]),
        Date_Sampled=st.sampled_from(["2024-03-01", "2025-03-01", ""]),
        Material=st.sampled_from(["AIB", "Floor tiles", ""]),
        Result=st.sampled_from(["Amosite", "NADIS", "Chrysotile", "awaited"]),
    ),
    min_size=8,
    max_size=20,
    unique_by=lambda row: tuple(row.items()),
)


@FEW_BUILDS
@given(registers, laboratories, st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_nothing(register: list[Row], lab: list[Row], chance: random.Random) -> None:
    results = []
    for shuffled in (False, True):
        rows, answers = register.copy(), lab.copy()
        if shuffled:
            chance.shuffle(rows)
            chance.shuffle(answers)
        with TemporaryDirectory() as folder:
            written = portfolios.write(Path(folder), {"r.csv": rows}, samples={"l.csv": answers})
            database = portfolios.read(written)
            results.append(said(database))
            counts = portfolios.ask(database, "select rows_read, rows_used + rows_set_aside from source_files")
            assert all(read == told for read, told in counts)
    assert results[0] == results[1]
