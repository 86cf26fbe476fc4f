"""Papers against outside readers: what prints must measure, read and decode as it says.

Sources: html5lib (the HTML standard's parser, strict), pdfplumber and pypdf (PDF by vectors, text,
tags), zxing-cpp (QR), xml.etree (SVG as XML), contrast by the WCAG 2 formula, volumes under the
drawn profile by integrating the drawn path and comparing with the reckoner of solids.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from benchmate.bench.papers.making import PapersAsked, make, sheet_of
from benchmate.papers.codes import code_of
from benchmate.papers.drawing.pages import Correction, pages
from benchmate.papers.drawing.turned import AXIS_X, TOP_Y
from benchmate.papers.figures import Figures
from benchmate.papers.html import STYLE
from benchmate.papers.labels import label_pages, labels_of
from benchmate.papers.pdf import Paper, pages_pdf
from benchmate.papers.sheet import SheetTable
from benchmate.papers.templates import templates_of
from benchmate.plan.plan import Plan
from benchmate.reckon import answer
from tests.reference.outside import check
from tests.unit.loop_help import Worked

html5lib = pytest.importorskip("html5lib", reason="this machine lacks html5lib")
pdfplumber = pytest.importorskip("pdfplumber", reason="this machine lacks pdfplumber")
pypdf = pytest.importorskip("pypdf", reason="this machine lacks pypdf")
zxingcpp = pytest.importorskip("zxingcpp", reason="this machine lacks zxing-cpp")
pytest.importorskip("typst", reason="this machine lacks typst")
PT_MM, DPI = 25.4 / 72.0, 600
PROCEDURES = ("matched-bookends", "turned-lamp-base", "plane-setting-hammer")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Worked]:
    worked = Worked(tmp_path_factory.mktemp("papers"))
    worked.start()
    worked.finish()
    yield worked
    worked.bench.close()


def plan_of(shop: Worked, name: str) -> Plan:
    from benchmate.bench.starting.starting import plan_for

    return plan_for(shop.bench, name)[0]


@pytest.mark.parametrize("which", ["card", "report", "handover", "cutting", "buying", "family"])
def test_html_is_what_the_standard_reads_without_an_error(shop: Worked, which: str) -> None:
    name = "" if which == "family" else shop.job
    (data,) = make(shop.bench, name, which, "html", PapersAsked()).values()
    html5lib.HTMLParser(strict=True).parse(data.decode())
    assert b"<script" not in data
    assert not re.search(rb'(src|href)="(?!data:)', data), "nothing from elsewhere"


@pytest.mark.parametrize(("paper", "size"), [("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))])
def test_the_pdf_is_tagged_and_of_the_papers_size(shop: Worked, paper: Paper, size: Any) -> None:
    (data,) = make(shop.bench, shop.job, "card", "pdf", PapersAsked(paper=paper)).values()
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    box = reader.pages[0].mediabox
    got = [float(box.width) * PT_MM, float(box.height) * PT_MM]
    check("paper size", got, list(size), abs=0.05, source="ISO 216 A4 and ANSI Letter, by pypdf")
    text = reader.pages[0].extract_text()
    assert text.index("Mix") < text.index("Fill the") < text.index("Weigh the")


def template_pages(plan: Plan, paper: Paper, fix: Correction = Correction()) -> list[Any]:
    return [
        page.drawn(template.title)
        for template in templates_of(plan, Figures())
        for page in pages(template, paper, fix, plan.job)
    ]


def lines_mm(page: Any) -> list[tuple[float, float]]:
    """Width and height of every line and curve of a page, in mm."""
    every = [*page.lines, *page.curves]
    return [((x["x1"] - x["x0"]) * PT_MM, (x["bottom"] - x["top"]) * PT_MM) for x in every]


@pytest.mark.parametrize("name", PROCEDURES)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_both_check_lines_measure_100_mm_in_the_pdfs_vectors(
    shop: Worked, name: str, paper: Paper
) -> None:
    data = pages_pdf(name, template_pages(plan_of(shop, name), paper))
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        for page in pdf.pages:
            if "stations" in (page.extract_text() or "")[:60]:
                continue
            sizes = lines_mm(page)
            across = min((abs(w - 100.0) for w, h in sizes if h < 0.01), default=9.0)
            down = min((abs(h - 100.0) for w, h in sizes if w < 0.01), default=9.0)
            source = "the drawn line read back by pdfplumber"
            check("check line", [across, down], [0.0, 0.0], abs=0.01, source=source)


def runs_mm(line: Any) -> list[float]:
    """Middles of the dark runs of one row or column of pixels, in mm from its beginning."""
    dark = [n for n, grey in enumerate(line.tobytes()) if grey < 110]
    runs: list[list[int]] = []
    for n in dark:
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    return [(run[0] + run[-1] + 1) / 2.0 * 25.4 / DPI for run in runs]


def test_printed_at_600_dpi_lines_and_profile_measure_what_they_say(shop: Worked) -> None:
    import pypdfium2

    plan = plan_of(shop, "turned-lamp-base")
    foot = next(t for t in templates_of(plan, Figures()) if t.name == "profile-foot")
    data = pages_pdf("foot", [p.drawn("foot") for p in pages(foot, "a4", Correction(), "")])
    image = pypdfium2.PdfDocument(data)[0].render(scale=DPI / 72.0, grayscale=True).to_pil()

    def row(y_mm: float, from_mm: float, to_mm: float) -> list[float]:
        y, x1, x2 = (round(mm * DPI / 25.4) for mm in (y_mm, from_mm, to_mm))
        return [from_mm + x for x in runs_mm(image.crop((x1, y, x2, y + 1)))]

    def column(x_mm: float, from_mm: float, to_mm: float) -> list[float]:
        x, y1, y2 = (round(mm * DPI / 25.4) for mm in (x_mm, from_mm, to_mm))
        return runs_mm(image.crop((x, y1, x + 1, y2)))

    source = "the page rendered at 600 dpi, a pixel is 0.042 mm"
    across, down = row(36.0, 15.0, 125.0), column(13.0, 40.0, 150.0)
    check("line across", across[-1] - across[0], 100.0, abs=0.1, source=source)
    check("line down", down[-1] - down[0], 100.0, abs=0.1, source=source)
    shape = next(p.shape for p in plan.parts if p.name == "foot")
    assert shape is not None
    profile = shape.blank.profile_mm
    for at in (5.0, 15.0, 25.0, 34.0, 38.0, 43.0):
        (x1, d1), (x2, d2) = next((a, b) for a, b in pairwise(profile) if a[0] <= at <= b[0])
        radius = (d1 + (d2 - d1) * (at - x1) / (x2 - x1)) / 2.0
        wanted = 20.0 + AXIS_X + radius
        found = min(
            row(46.0 + TOP_Y + at, wanted - 3.0, wanted + 3.0), key=lambda x: abs(x - wanted)
        )
        check(f"radius at {at:g}", found - wanted, 0.0, abs=0.1, source=source)


def test_a_viewer_is_asked_not_to_scale_templates_and_labels(shop: Worked) -> None:
    for which in ("templates", "labels"):
        (data,) = make(shop.bench, "matched-bookends", which, "pdf", PapersAsked()).values()
        root = pypdf.PdfReader(io.BytesIO(data), strict=True).trailer["/Root"]
        assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
        assert root["/MarkInfo"]["/Marked"]


def squeezed(text: str) -> str:
    return re.sub(r"[\s\u200b]", "", text)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    ("name", "values", "fronts"),
    [
        *((name, {}, 1) for name in (*PROCEDURES, "built-up-hammer")),
        ("turned-lamp-base", {"count": 6}, 1),
        ("built-up-hammer", {"count": 6}, 2),
    ],
)
def test_a_card_is_one_sheet_and_a_front_too_long_breaks_between_stages(
    shop: Worked, name: str, values: dict[str, int], fronts: int, paper: Paper
) -> None:
    asked = PapersAsked(values=values, paper=paper)
    (steps,) = [
        block
        for block in sheet_of(shop.bench, name, "card", asked).blocks
        if isinstance(block, SheetTable) and block.stages
    ]
    (data,) = make(shop.bench, name, "card", "pdf", asked).values()
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        smallest = min(c["size"] for c in pdf.pages[0].chars if not c["matrix"][1])
    texts = [squeezed(p.extract_text()) for p in pypdf.PdfReader(io.BytesIO(data)).pages]
    # Six lamps on Letter are a few lines too many.
    assert len(texts) == fronts + 1 + (
        name == "turned-lamp-base" and paper == "letter" and bool(values)
    )
    assert smallest >= 7.5, "heads and foot; sentences are 9.2 pt or more"
    assert "Tohandbeforethefirstcut" in texts[-1]
    said = next(n for n, column in enumerate(steps.columns) if column.head == "what to do")
    for stage, rows in groupby(zip(steps.stages, steps.rows, strict=True), key=lambda r: r[0]):
        begins = [squeezed(row[said])[:18] for _, row in rows]
        on = {n for n, text in enumerate(texts[:-1]) if all(b in text for b in begins)}
        assert on, f"“{stage}” is torn apart"


def test_a_printer_that_is_off_is_corrected_by_what_was_measured(shop: Worked) -> None:
    fix = Correction(98.7, 99.1)
    data = pages_pdf("x", template_pages(plan_of(shop, "matched-bookends"), "a4", fix))
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        sizes = lines_mm(pdf.pages[0])
    printed = min((w * 0.987 for w, h in sizes if h < 0.01), key=lambda w: abs(w - 100.0))
    check("corrected line", printed, 100.0, abs=0.01, source="100 mm / 98.7 mm, by hand")


@pytest.mark.parametrize(
    ("name", "part"), [("turned-lamp-base", "foot"), ("turned-lamp-base", "column")]
)
def test_the_volume_under_the_drawn_profile_is_the_reckoners(
    shop: Worked, name: str, part: str
) -> None:
    plan = plan_of(shop, name)
    template = next(t for t in templates_of(plan, Figures()) if t.name == f"profile-{part}")
    tree = ElementTree.fromstring(template.picture.svg())
    path = next(e for e in tree.iter() if e.get("id") == "profile").get("d") or ""
    numbers = [float(text) for text in re.findall(r"-?\d+(?:\.\d+)?", path)]
    points = [(x - AXIS_X, y - TOP_Y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
    drawn = sum(
        math.pi * (y2 - y1) * (r1 * r1 + r1 * r2 + r2 * r2) / 3.0
        for (r1, y1), (r2, y2) in pairwise(points)
    )
    shape = next(p.shape for p in plan.parts if p.name == part)
    assert shape is not None
    profile = [[x, d / 2.0] for x, d in shape.blank.profile_mm]
    solid = answer("solid", {"shape": {"shape": "turned", "profile_mm": profile}}).results
    source = "frusta integrated from the drawing against the reckoner `solid`"
    check(
        "drawn volume",
        drawn / 1000.0,
        float(str(solid["volume_ml"].value)),
        rel=1e-4,
        source=source,
    )


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("dpi", [100, 150, 300])
def test_every_labels_qr_is_decoded_from_the_print(shop: Worked, paper: Paper, dpi: int) -> None:
    import pypdfium2
    from PIL import ImageFilter

    plan = shop.state.plan
    assert plan is not None
    drawn = label_pages(labels_of(plan, Figures()), paper)
    data = pages_pdf("labels", [page.drawn("labels") for page in drawn])
    image = pypdfium2.PdfDocument(data)[0].render(scale=dpi / 72.0, grayscale=True).to_pil()
    if dpi == 150:
        image = image.filter(ImageFilter.GaussianBlur(1.0))
    read = {found.text for found in zxingcpp.read_barcodes(image)}
    wanted = {code_of(f"{plan.job}/{part.piece}/{part.name}") for part in plan.parts}
    assert read == wanted


@pytest.mark.parametrize("name", PROCEDURES)
def test_every_drawing_is_xml_and_stays_on_its_page(shop: Worked, name: str) -> None:
    for page in template_pages(plan_of(shop, name), "a4"):
        tree = ElementTree.fromstring(page.svg)
        assert tree.get("width") == f"{page.width_mm:g}mm"
        assert tree.get("viewBox") == f"0 0 {page.width_mm:g} {page.height_mm:g}"


def luminance(colour: str) -> float:
    """Relative luminance of #rgb or #rrggbb, as WCAG 2 defines it."""
    digits = colour.lstrip("#")
    pairs = [c * 2 for c in digits] if len(digits) == 3 else re.findall("..", digits)
    parts = [int(pair, 16) / 255.0 for pair in pairs]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_words_stand_out_in_light_dark_and_print() -> None:
    modes = re.findall(r"--ink: (#\w+); --paper: (#\w+); --line: (#\w+); --fill: (#\w+)", STYLE)
    assert len(modes) == 3
    for ink, paper, line, fill in modes:
        for back in (paper, fill):
            light, dark = sorted((luminance(ink), luminance(back)), reverse=True)
            assert (light + 0.05) / (dark + 0.05) >= 7.0
        light, dark = sorted((luminance(line), luminance(paper)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 3.0


def test_the_contrast_formula_is_the_standards() -> None:
    ratio = (luminance("#fff") + 0.05) / (luminance("#767676") + 0.05)
    source = "WCAG 2, #767676 on white is the lightest grey that passes 4.5"
    check("contrast", ratio, 4.54, abs=0.01, source=source)


def test_a_chromium_prints_the_page_on_one_sheet(shop: Worked, tmp_path: Path) -> None:
    import shutil
    import subprocess

    browser = shutil.which("chromium")
    if browser is None:
        pytest.skip("this machine lacks chromium")
    (data,) = make(shop.bench, shop.job, "cutting", "html", PapersAsked()).values()
    page, out = tmp_path / "page.html", tmp_path / "page.pdf"
    page.write_bytes(data)
    subprocess.run(
        [
            browser,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
            f"--user-data-dir={tmp_path / 'profile'}",
            f"--print-to-pdf={out}",
            page.as_uri(),
        ],
        check=True,
        capture_output=True,
        timeout=120,
    )
    reader = pypdf.PdfReader(out)
    assert len(reader.pages) == 1
    assert "black walnut" in reader.pages[0].extract_text().lower()
