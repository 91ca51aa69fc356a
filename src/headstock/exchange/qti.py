"""A question paper as a QTI 3.0 package: an item a question, a test over them, the manifest. Same paper, same bytes.

Structure after the public examples of the specification's publisher (read); its schemas were not at hand and are not checked.
"""

from __future__ import annotations

import io
import zipfile
from xml.etree import ElementTree as ET

from headstock.practice.questions import Question
from headstock.usecases.question_paper import Paper, letter

ITEMS = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
PACKAGE = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
MATCH = "https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/match_correct"
EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The time of every file in the package: zip knows none before."""


def qti_package(paper: Paper) -> bytes:
    """The package as a zip file."""
    names = {question.key: f"items/q{number:03d}.xml" for number, question in enumerate(paper.questions, start=1)}
    files = {"imsmanifest.xml": _manifest(paper, names), "paper.xml": _test(paper, names)}
    files |= {names[question.key]: _item(question, number) for number, question in enumerate(paper.questions, start=1)}
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as package:
        for name, root in files.items():
            package.writestr(zipfile.ZipInfo(name, EARLIEST), ET.tostring(root, encoding="utf-8", xml_declaration=True))
    return packed.getvalue()


def _identifier(question: Question) -> str:
    return f"q{question.key}"


def _item(question: Question, number: int) -> ET.Element:
    item = ET.Element("qti-assessment-item", {
        "xmlns": ITEMS, "identifier": _identifier(question), "title": f"Question {number}", "adaptive": "false",
        "time-dependent": "false", "xml:lang": "en"})  # fmt: skip
    declared = ET.SubElement(item, "qti-response-declaration",
                             {"identifier": "RESPONSE", "cardinality": "single", "base-type": "identifier"})  # fmt: skip
    right = ET.SubElement(declared, "qti-correct-response")
    ET.SubElement(right, "qti-value").text = letter(question.right)
    ET.SubElement(item, "qti-outcome-declaration", {"identifier": "SCORE", "cardinality": "single", "base-type": "float"})
    body = ET.SubElement(item, "qti-item-body")
    choice = ET.SubElement(body, "qti-choice-interaction",
                           {"response-identifier": "RESPONSE", "shuffle": "false", "max-choices": "1"})  # fmt: skip
    ET.SubElement(choice, "qti-prompt").text = question.text
    for place, text in enumerate(question.options):
        ET.SubElement(choice, "qti-simple-choice", {"identifier": letter(place)}).text = text
    ET.SubElement(item, "qti-response-processing", {"template": MATCH})
    return item


def _test(paper: Paper, names: dict[str, str]) -> ET.Element:
    test = ET.Element("qti-assessment-test", {"xmlns": ITEMS, "identifier": "paper", "title": f"{paper.title} {paper.number}"})
    part = ET.SubElement(test, "qti-test-part",
                         {"identifier": "part", "navigation-mode": "nonlinear", "submission-mode": "simultaneous"})  # fmt: skip
    section = ET.SubElement(part, "qti-assessment-section", {"identifier": "questions", "title": "Questions", "visible": "true"})
    for question in paper.questions:
        ET.SubElement(section, "qti-assessment-item-ref", {"identifier": _identifier(question), "href": names[question.key]})
    return test


def _manifest(paper: Paper, names: dict[str, str]) -> ET.Element:
    manifest = ET.Element("manifest", {"xmlns": PACKAGE, "identifier": "manifest"})
    about = ET.SubElement(manifest, "metadata")
    ET.SubElement(about, "schema").text = "QTI Package"
    ET.SubElement(about, "schemaversion").text = "3.0.0"
    ET.SubElement(manifest, "organizations")
    resources = ET.SubElement(manifest, "resources")
    test = ET.SubElement(resources, "resource", {"identifier": "paper", "type": "imsqti_test_xmlv3p0", "href": "paper.xml"})
    ET.SubElement(test, "file", {"href": "paper.xml"})
    for question in paper.questions:
        ET.SubElement(test, "dependency", {"identifierref": _identifier(question)})
    for question in paper.questions:
        href = names[question.key]
        item = ET.SubElement(
            resources, "resource", {"identifier": _identifier(question), "type": "imsqti_item_xmlv3p0", "href": href}
        )
        ET.SubElement(item, "file", {"href": href})
    return manifest
