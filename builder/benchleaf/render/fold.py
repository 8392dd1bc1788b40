"""A pocket card laid out on A4 for printing on both sides, cutting once and folding once: a booklet of A6 pages.

Each side of a sheet holds four pages. Turned over along its long edge, cut across the middle and laid one half on the
other, all halves together fold to the booklet, to be stitched in the fold. The laid-out file is for the printer alone:
readers, and those who listen, take the card itself, whose pages stand in their order with their tags.
"""

from io import BytesIO

from pypdf import PageObject, PdfReader, PdfWriter, Transformation
from pypdf.generic import DecodedStreamObject, NameObject

# ISO 216, in points.
_WIDE, _TALL = 210 / 25.4 * 72, 297 / 25.4 * 72
_PAGES_ON_A_SHEET = 8
# Length of the marks for fold and cut, and how far dashes and gaps reach, in points.
_MARK, _DASH = 14.0, 3.0


def order(count: int) -> tuple[tuple[tuple[int, int], tuple[int, int]], ...]:
    """The pages on each side of each sheet, as rows from the top, of (left, right); 0 is a page left empty.

    Front and back of a sheet follow each other. A half sheet holds on its front the outermost pair that is left.
    """
    whole = -(-count // _PAGES_ON_A_SHEET) * _PAGES_ON_A_SHEET
    fronts = [(whole - 2 * half, 2 * half + 1) for half in range(whole // 4)]
    backs = [(2 * half + 2, whole - 2 * half - 1) for half in range(whole // 4)]
    sides = []
    for sheet in range(0, whole // 4, 2):
        sides += [(fronts[sheet], fronts[sheet + 1]), (backs[sheet], backs[sheet + 1])]
    return tuple(tuple((_real(left, count), _real(right, count)) for left, right in side) for side in sides)  # type: ignore[misc]


def folded(card: bytes) -> bytes:
    """The pages of a pocket card (PDF) on A4, with marks where to fold (dashed) and to cut. Same input, same bytes."""
    pages = PdfReader(BytesIO(card)).pages
    writer = PdfWriter()
    for side in order(len(pages)):
        sheet = writer.add_blank_page(_WIDE, _TALL)
        for row, pair in enumerate(side):
            for column, number in enumerate(pair):
                if number:
                    _place(sheet, pages[number - 1], column, row)
        _mark(writer, sheet)
    writer.compress_identical_objects()
    writer.metadata = {"/Title": "Pocket card to print on both sides, cut and fold"}
    stream = BytesIO()
    writer.write(stream)
    return stream.getvalue()


def _real(number: int, count: int) -> int:
    return number if number <= count else 0


def _place(sheet: PageObject, page: PageObject, column: int, row: int) -> None:
    """The page in the middle of its quarter of the sheet; row 0 is the upper one."""
    across, up = _WIDE / 2, _TALL / 2
    left = column * across + (across - float(page.mediabox.width)) / 2
    bottom = (1 - row) * up + (up - float(page.mediabox.height)) / 2
    sheet.merge_transformed_page(page, Transformation().translate(left, bottom))


def _mark(writer: PdfWriter, sheet: PageObject) -> None:
    """Dashes on the fold at the upper and lower edge, whole lines on the cut at the sides."""
    middle, half = _WIDE / 2, _TALL / 2
    fold = f"{middle:.2f} 0 m {middle:.2f} {_MARK} l {middle:.2f} {_TALL:.2f} m {middle:.2f} {_TALL - _MARK:.2f} l S"
    cut = f"0 {half:.2f} m {_MARK} {half:.2f} l {_WIDE:.2f} {half:.2f} m {_WIDE - _MARK:.2f} {half:.2f} l S"
    drawn = f"q 0.6 w 0 G [{_DASH} {_DASH}] 0 d {fold} [] 0 d {cut} Q"
    over = PageObject.create_blank_page(None, _WIDE, _TALL)
    stream = DecodedStreamObject()
    stream.set_data(drawn.encode())
    over[NameObject("/Contents")] = stream
    sheet.merge_page(over)
