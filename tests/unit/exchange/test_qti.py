"""A paper as a QTI 3.0 package: read back, every item has its right option among its choices."""

from __future__ import annotations

import io
import zipfile
from xml.etree import ElementTree as ET

import pytest

from headstock.exchange.qti import ITEMS, PACKAGE, qti_package
from headstock.practice.questions import Question
from headstock.usecases.question_paper import Paper

PAPER = Paper(
    "demo-2-1", "Question paper", ("Attach <217> & 226",),
    (
        Question("aa", "place", "demo", "Where? <there> & “here”", ("in cab 217/2", "beside 226", "a & b", "<c>"), 2,
                 "line 1", "line 1"),
        Question("bb", "gauge", "demo", "What?", ("0.00 bar", "5.00 bar", "3.40 bar", "2.50 bar"), 0, "reckoned", "healthy"),
    ),
    1, True,
)  # fmt: skip


@pytest.fixture
def package() -> zipfile.ZipFile:
    return zipfile.ZipFile(io.BytesIO(qti_package(PAPER)))


@pytest.mark.outside(source="1EdTech QTI 3.0 examples, beginner's guide", clause="firstexample, imsmanifest", status="read")
def test_items_have_the_published_shape(package: zipfile.ZipFile) -> None:
    for number, question in enumerate(PAPER.questions, start=1):
        root = ET.fromstring(package.read(f"items/q{number:03d}.xml"))
        assert root.tag == f"{{{ITEMS}}}qti-assessment-item"
        right = root.find(f".//{{{ITEMS}}}qti-correct-response/{{{ITEMS}}}qti-value")
        choices = root.findall(f".//{{{ITEMS}}}qti-simple-choice")
        assert right is not None
        assert {choice.get("identifier"): choice.text for choice in choices}[right.text] == question.options[question.right]
        prompt = root.find(f".//{{{ITEMS}}}qti-prompt")
        assert prompt is not None and prompt.text == question.text


@pytest.mark.outside(source="1EdTech QTI 3.0 examples, beginner's guide", clause="imsmanifest", status="read")
def test_the_manifest_names_every_file_and_no_other(package: zipfile.ZipFile) -> None:
    root = ET.fromstring(package.read("imsmanifest.xml"))
    named = {file.get("href") for file in root.iter(f"{{{PACKAGE}}}file")}
    assert named | {"imsmanifest.xml"} == set(package.namelist())
    assert root.findtext(f"{{{PACKAGE}}}metadata/{{{PACKAGE}}}schema") == "QTI Package"


def test_the_same_paper_gives_the_same_bytes() -> None:
    assert qti_package(PAPER) == qti_package(PAPER)
