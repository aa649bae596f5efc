"""QR codes read back by the rules of ISO/IEC 18004:2015, written here: no encoder's word is taken for them.

Version 2, and version 3 at level M, have one block (table 9), so that the data codewords stand in a row.
"""

from __future__ import annotations

import re

import pytest

from planbook.publish.qr import qr_code

# Masks of table 10: (row, column) is turned where the condition holds.
MASKS = (
    lambda i, j: (i + j) % 2 == 0,
    lambda i, _: i % 2 == 0,
    lambda _, j: j % 3 == 0,
    lambda i, j: (i + j) % 3 == 0,
    lambda i, j: (i // 2 + j // 3) % 2 == 0,
    lambda i, j: i * j % 2 + i * j % 3 == 0,
    lambda i, j: (i * j % 2 + i * j % 3) % 2 == 0,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2 == 0,
)
FINDER = ("1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111")


def modules(svg: str) -> list[list[int]]:
    """Return the dark modules of the drawn lines, with the quiet zone."""
    size = int(re.findall(r'viewBox="0 0 (\d+) \1"', svg)[0])
    grid = [[0] * size for _ in range(size)]
    x, y = 0.0, 0.0
    for command, numbers in re.findall(r"([Mmh])([-\d. ]+)", re.findall(r' d="([^"]+)"', svg)[0]):
        values = [float(number) for number in numbers.split()]
        if command == "M":
            x, y = values
        elif command == "m":
            x, y = x + values[0], y + values[1]
        else:
            for step in range(int(values[0])):
                grid[int(y)][int(x) + step] = 1
            x += values[0]
    return grid


def inner(grid: list[list[int]]) -> list[list[int]]:
    """Take the quiet zone of four modules away (6.3.8), which must be light."""
    edge = [*grid[:4], *grid[-4:], *([*row[:4], *row[-4:]] for row in grid)]
    assert not any(any(row) for row in edge)
    return [row[4:-4] for row in grid[4:-4]]


def data_modules(size: int) -> list[tuple[int, int]]:
    """Return where the bits stand: two columns at a time, from the right, up and down (7.7.3)."""
    middle = size - 7  # of the one alignment pattern of versions 2 to 6
    taken = {(i, j) for i in range(size) for j in range(size) if 6 in (i, j)}
    taken |= {(i, j) for i in range(9) for j in range(9)}
    taken |= {(i, size - 1 - j) for i in range(9) for j in range(8)}
    taken |= {(size - 1 - i, j) for i in range(8) for j in range(9)}
    taken |= {(middle + a, middle + b) for a in range(-2, 3) for b in range(-2, 3)}
    found = []
    upward = True
    for start in range(size - 1, 0, -2):
        right = start if start > 6 else start - 1  # the column of the timing pattern is passed over
        for i in range(size - 1, -1, -1) if upward else range(size):
            found += [(i, j) for j in (right, right - 1) if (i, j) not in taken]
        upward = not upward
    return found


def read(svg: str) -> str:
    grid = inner(modules(svg))
    size = len(grid)
    assert size in (25, 29)  # versions 2 and 3
    for top, left in ((0, 0), (0, size - 7), (size - 7, 0)):
        assert tuple("".join(map(str, row[left : left + 7])) for row in grid[top : top + 7]) == FINDER
    timing = [grid[6][j] for j in range(8, size - 8)]
    assert timing == [(j + 1) % 2 for j in range(8, size - 8)]
    # Format information (7.9): its first five bits, less the mask 10101, are level and mask. Level M is 00; a
    # stronger one is taken where there is room.
    told = [grid[8][j] for j in range(5)]
    level, mask = divmod(int("".join(map(str, told)), 2) ^ 0b10101, 8)
    assert level == 0 or size == 25  # all levels of version 2 have one block
    bits = "".join(str(grid[i][j] ^ int(MASKS[mask](i, j))) for i, j in data_modules(size))
    assert bits[:4] == "0100"  # byte mode (table 2)
    length = int(bits[4:12], 2)
    return bytes(int(bits[12 + 8 * n : 20 + 8 * n], 2) for n in range(length)).decode()


@pytest.mark.parametrize(
    "address", ["https://example.org/a", "https://example.org/plans/class-one/", "https://example.org/plans/b/12345"]
)
def test_the_code_leads_to_its_page(address: str) -> None:
    assert read(qr_code(address)) == address


def test_without_an_address_there_is_none() -> None:
    assert qr_code("") == ""
