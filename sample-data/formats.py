"""Cells and files: how a fact is written, and the bytes of a CSV, an xlsx and an ods.

Owns the writing of cells and of the three formats, with fixed timestamps so that the same rows give the
same files. It knows no building and no defect. Workbooks are plain zipped XML: ISO/IEC 29500 for xlsx,
ISO/IEC 26300 for ods.
"""

import csv
import datetime
import io
import zipfile
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

INCH, FOOT = Decimal("25.4"), Decimal("304.8")
EPOCH = datetime.date(1899, 12, 30)


def plain(figure):
    """A decimal number without exponent and without zeros at its end."""
    text = format(Decimal(figure), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def exactly(length, unit):
    """The length in the unit, which has to hold it in four decimals."""
    figure = (length / unit).quantize(Decimal("0.000001"))
    if figure * unit != length:
        raise ValueError(f"{length} mm is no short figure in units of {unit} mm")
    return plain(figure)


def with_unit(length):
    """`18 in` where inches are short, else `457 mm`."""
    try:
        return f"{exactly(length, INCH)} in"
    except ValueError:
        return f"{plain(length)} mm"


def with_mark(length):
    """`3/16"`, `1-1/2"`, `12'-6"`: as a tape is read; decimals where the tape has no such line."""
    figure = Fraction(length) / Fraction(INCH)
    if figure < 0:
        return "-" + with_mark(-length)
    if figure.denominator not in (1, 2, 4, 8, 16):
        return f'{exactly(length, INCH)}"'
    if figure >= 96:
        feet, rest = divmod(figure, 12)
        return f"{feet}'" + (f'-{tape(rest)}"' if rest else "")
    return f'{tape(figure)}"'


def tape(figure):
    whole, part = divmod(figure, 1)
    if not part:
        return str(whole)
    return f"{whole}-{part}" if whole else str(part)


class Column:
    """A column of a schedule: header, field and unit (`in`, `ft`, `mm`, `mark`, `with unit`)."""

    def __init__(self, header, field, unit=None, fill_down=False):
        self.header, self.field, self.unit, self.fill_down = header, field, unit, fill_down


class Shape:
    """How one schedule writes its facts: columns, words, decimal comma, list mark."""

    def __init__(self, about, columns, words=None, comma=False, yes="yes", no="no", text_only=False,
                 phase_mark=""):
        self.about, self.columns, self.words = about, columns, words or {}
        self.comma, self.yes, self.no, self.text_only = comma, yes, no, text_only
        self.phase_mark = phase_mark

    def cell(self, row, column):
        """The value of a cell: a text, a number (Decimal or int), a date, or nothing."""
        fact = row.get(column.field)
        if fact is None:
            return None
        words = self.words.get(column.field, {})
        if isinstance(fact, bool):
            return self.yes if fact else self.no
        if isinstance(fact, tuple) and column.field in ("box_volume", "extra_volume"):
            return self._number(Decimal(fact[0])) if column.unit == fact[1] else " ".join(fact)
        if isinstance(fact, tuple):
            mark = self.phase_mark if column.field == "phases" else "; "
            return mark.join(words.get(word, word) for word in fact)
        if isinstance(fact, Decimal):
            return self._length(fact, column.unit)
        if isinstance(fact, int):
            return self._number(Decimal(fact))
        if column.field == "observed_on" or column.field == "permit_date":
            return self._date(fact)
        return words.get(fact, fact)

    def _number(self, figure):
        if self.text_only or self.comma:
            return plain(figure).replace(".", "," if self.comma else ".")
        return figure

    def _length(self, length, unit):
        if unit == "mark":
            return with_mark(length)
        if unit in (None, "with unit"):
            return with_unit(length)
        size = {"in": INCH, "ft": FOOT, "mm": Decimal(1)}[unit]
        return self._number(Decimal(exactly(length, size)))

    def _date(self, text):
        try:
            day = datetime.date.fromisoformat(text)
        except ValueError:
            return text
        if self.comma:
            return f"{day:%d.%m.%Y}"
        return text if self.text_only else day

    def table(self, rows):
        """The header and a line a row; a filled-down cell stands only where it changes."""
        lines, above = [[column.header for column in self.columns]], {}
        for row in rows:
            line = []
            for column in self.columns:
                value = self.cell(row, column)
                repeated = column.fill_down and above.get(column.header) == value
                above[column.header] = value
                line.append(None if repeated else value)
            lines.append(line)
        return lines


def text_file(lines, delimiter=",", encoding="utf-8", ending="\n"):
    """A CSV file; dates and numbers as plain text."""
    held = io.StringIO(newline="")
    writer = csv.writer(held, delimiter=delimiter, lineterminator=ending)
    for line in lines:
        writer.writerow(["" if value is None else
                         plain(value) if isinstance(value, Decimal) else value for value in line])
    return held.getvalue().encode(encoding)


def archive(parts, stored=()):
    """A zip archive with one fixed timestamp; `stored` parts are not compressed."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as file:
        for name, content in parts:
            entry = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_STORED if name in stored else zipfile.ZIP_DEFLATED
            entry.external_attr, entry.create_system = 0o644 << 16, 3
            file.writestr(entry, content)
    return held.getvalue()


XML = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
SPREADSHEET = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
STYLES = (f'{XML}<styleSheet xmlns="{SPREADSHEET}"><fonts count="1"><font><sz val="11"/></font></fonts>'
          '<fills count="2"><fill><patternFill patternType="none"/></fill>'
          '<fill><patternFill patternType="gray125"/></fill></fills><borders count="1"><border>'
          '<left/><right/><top/><bottom/><diagonal/></border></borders>'
          '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
          '<cellXfs count="2"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>'
          '<xf numFmtId="14" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
          '</cellXfs></styleSheet>')


def letters(column):
    """The letters of a column, counted from 0."""
    text = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        text = chr(65 + rest) + text
    return text


def xlsx(sheets):
    """A workbook of `(name, lines)`; texts are shared, dates are date cells, `#N/A` an error cell."""
    shared = {}
    pages = [xlsx_sheet(lines, shared) for _, lines in sheets]
    names = [name for name, _ in sheets]
    kinds = [("workbook", "sheet.main")] + [(f"worksheets/sheet{n}", "worksheet")
                                           for n in range(1, len(pages) + 1)]
    kinds += [("styles", "styles"), ("sharedStrings", "sharedStrings")]
    types = "".join(f'<Override PartName="/xl/{part}.xml" ContentType="application/vnd.'
                    f'openxmlformats-officedocument.spreadsheetml.{kind}+xml"/>'
                    for part, kind in kinds)
    links = "".join(f'<Relationship Id="rId{n}" Type="{RELATIONS}/{kind.split(".")[0]}" '
                    f'Target="{part}.xml"/>' for n, (part, kind) in enumerate(kinds[1:], 1))
    listed = "".join(f'<sheet name={quoteattr(name)} sheetId="{n}" r:id="rId{n}"/>'
                     for n, name in enumerate(names, 1))
    strings = "".join(f'<si><t xml:space="preserve">{escape(text)}</t></si>' for text in shared)
    return archive([
        ("[Content_Types].xml", f'{XML}<Types xmlns="{PACKAGE}/content-types">'
         f'<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>{types}</Types>'),
        ("_rels/.rels", f'{XML}<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="rId1" '
         f'Type="{RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>'),
        ("xl/workbook.xml", f'{XML}<workbook xmlns="{SPREADSHEET}" xmlns:r="{RELATIONS}">'
         f'<sheets>{listed}</sheets></workbook>'),
        ("xl/_rels/workbook.xml.rels",
         f'{XML}<Relationships xmlns="{PACKAGE}/relationships">{links}</Relationships>'),
        ("xl/styles.xml", STYLES),
        ("xl/sharedStrings.xml", f'{XML}<sst xmlns="{SPREADSHEET}" uniqueCount="{len(shared)}">'
         f'{strings}</sst>'),
        *((f"xl/worksheets/sheet{n}.xml", page) for n, page in enumerate(pages, 1))])


def xlsx_sheet(lines, shared):
    rows = []
    for number, line in enumerate(lines, 1):
        cells = "".join(xlsx_cell(f"{letters(place)}{number}", value, shared)
                        for place, value in enumerate(line) if value is not None)
        if cells:
            rows.append(f'<row r="{number}">{cells}</row>')
    return (f'{XML}<worksheet xmlns="{SPREADSHEET}"><sheetData>{"".join(rows)}</sheetData>'
            '</worksheet>')


def xlsx_cell(place, value, shared):
    if isinstance(value, datetime.date):
        return f'<c r="{place}" s="1"><v>{(value - EPOCH).days}</v></c>'
    if isinstance(value, (int, Decimal)):
        return f'<c r="{place}"><v>{plain(value)}</v></c>'
    if value == "#N/A":
        return f'<c r="{place}" t="e"><v>#N/A</v></c>'
    return f'<c r="{place}" t="s"><v>{shared.setdefault(value, len(shared))}</v></c>'


OPEN = "urn:oasis:names:tc:opendocument:xmlns"
ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"


def ods(sheets):
    """An OpenDocument spreadsheet of `(name, lines)`."""
    tables = "".join(
        f'<table:table table:name={quoteattr(name)}>{"".join(map(ods_row, lines))}</table:table>'
        for name, lines in sheets)
    content = (f'{XML}<office:document-content xmlns:office="{OPEN}:office:1.0" '
               f'xmlns:table="{OPEN}:table:1.0" xmlns:text="{OPEN}:text:1.0" office:version="1.2">'
               f'<office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body>'
               '</office:document-content>')
    manifest = (f'{XML}<manifest:manifest xmlns:manifest="{OPEN}:manifest:1.0" manifest:version="1.2">'
                f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{ODS_TYPE}"/>'
                '<manifest:file-entry manifest:full-path="content.xml" '
                'manifest:media-type="text/xml"/></manifest:manifest>')
    return archive([("mimetype", ODS_TYPE), ("content.xml", content),
                    ("META-INF/manifest.xml", manifest)], stored=("mimetype",))


def ods_row(line):
    return f'<table:table-row>{"".join(map(ods_cell, line))}</table:table-row>'


def ods_cell(value):
    if value is None:
        return "<table:table-cell/>"
    if isinstance(value, datetime.date):
        return (f'<table:table-cell office:value-type="date" office:date-value="{value}">'
                f'<text:p>{value}</text:p></table:table-cell>')
    if isinstance(value, (int, Decimal)):
        return (f'<table:table-cell office:value-type="float" office:value="{plain(value)}">'
                f'<text:p>{plain(value)}</text:p></table:table-cell>')
    return (f'<table:table-cell office:value-type="string"><text:p>{escape(value)}</text:p>'
            '</table:table-cell>')


def write(path, content):
    Path(path).parent.mkdir(parents=True, exist_ok=True)
    Path(path).write_bytes(content)
