"""The one place that joins the questions people ask to the adapters that print or store the answers.

The faces import every name from here. What a name needs is imported when it is used, so that ``--help`` stays instant.
"""

from headstock.wiring.air import air_engine, drawn_bands, expected_readings, many_runs, pairs_abreast, signature_blocks
from headstock.wiring.files import check_writable, write_whole
from headstock.wiring.given import DEMO_JOB, fleet_from, read_recorder
from headstock.wiring.records import (
    accounts_of,
    data_folder,
    export_records,
    open_accounts,
    open_records,
    paper_log,
    print_certificate,
    public_key,
    public_keys,
    sitting_log,
    tls_files,
)
from headstock.wiring.sheets import (
    print_can_sheet,
    print_cards,
    print_half_done_sheet,
    print_pair_sheet,
    print_paper,
    print_sheet,
    printed_paper,
    write_join_table,
    write_reconstruction,
)
from headstock.wiring.studies import ask_study, run_study, write_study_report
from headstock.wiring.tables import air_series_file, write_pddl, write_signatures

__all__ = [
    "DEMO_JOB",
    "accounts_of",
    "air_engine",
    "air_series_file",
    "ask_study",
    "check_writable",
    "data_folder",
    "drawn_bands",
    "expected_readings",
    "export_records",
    "fleet_from",
    "many_runs",
    "open_accounts",
    "open_records",
    "pairs_abreast",
    "paper_log",
    "print_can_sheet",
    "print_cards",
    "print_certificate",
    "print_half_done_sheet",
    "print_pair_sheet",
    "print_paper",
    "print_sheet",
    "printed_paper",
    "public_key",
    "public_keys",
    "read_recorder",
    "run_study",
    "signature_blocks",
    "sitting_log",
    "tls_files",
    "write_join_table",
    "write_pddl",
    "write_reconstruction",
    "write_signatures",
    "write_study_report",
    "write_whole",
]
