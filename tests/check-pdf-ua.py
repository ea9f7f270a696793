"""Checks PDFs against PDF/UA-1 with the independent checker of the package page-validation."""

import sys

import page


def main() -> int:
    faulty = 0
    for path in sys.argv[1:]:
        report = page.validate_pdf(path, profile=page.ValidationProfile.PDF_UA_1)
        for failure in report.failures:
            print(f"{path}: {failure.rule_id}: {failure.message}")
        faulty += not report.is_compliant
    return 1 if faulty else 0


if __name__ == "__main__":
    sys.exit(main())
