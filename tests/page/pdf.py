"""The cut line of a wrap as it stands in a PDF, read by pikepdf."""

import io

import pikepdf

MM = 25.4 / 72


def _cubic(a, b, c, d, count=64):
    for step in range(1, count + 1):
        t = step / count
        u = 1 - t
        yield tuple(u * u * u * p + 3 * u * u * t * q + 3 * u * t * t * r + t * t * t * s
                    for p, q, r, s in zip(a, b, c, d))


def _paths(page):
    """The stroked paths of the layer of what is cut, as points in millimetres."""
    is_cut, path = False, []
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name == "BDC":
            is_cut = str(operands[1]) == "/cut-line"
        elif name == "EMC":
            is_cut = False
        elif name == "cm":
            raise AssertionError("a page is drawn in its own units")
        numbers = [float(one) * MM for one in operands] if name in ("m", "l", "c") else []
        points = list(zip(numbers[::2], numbers[1::2]))
        if name == "m":
            path = points
        elif name == "l":
            path += points
        elif name == "c":
            path += _cubic(path[-1], *points)
        elif name in ("S", "s"):
            if is_cut and path:
                yield path
            path = []


def wrap_cut(data, girth, height):
    """The cut line that is `girth` wide and `height` high (mm), as points with x from its left edge and y down from
    its highest place."""
    found = []
    with pikepdf.open(io.BytesIO(data)) as document:
        for page in document.pages:
            for path in _paths(page):
                left, top = min(x for x, _ in path), max(y for _, y in path)
                line = sorted((x - left, top - y) for x, y in path)
                found.append(line)
    fits = [line for line in found
            if abs(line[-1][0] - girth) < 0.01 and abs(max(y for _, y in line) - height) < 0.01]
    assert len(fits) == 1, [(line[-1][0], max(y for _, y in line)) for line in found]
    return fits[0]


def largest_difference(line, end):
    """Between the cut line and the report's curve, along the tube, in millimetres, at each degree."""
    curve = {round(azimuth): t for azimuth, t in end["curve"]}
    lowest = min(curve.values())
    girth, seam = end["printed_girth_mm"], end["seam_deg"]
    worst = 0.0
    for degree in range(1, 360):
        x = ((degree - seam) % 360) / 360 * girth
        after = next(index for index, (at, _) in enumerate(line) if at >= x)
        if after == 0:
            continue
        (x0, y0), (x1, y1) = line[after - 1], line[after]
        y = y0 + (y1 - y0) * (x - x0) / (x1 - x0 or 1)
        worst = max(worst, abs(y - (curve[degree] - lowest)))
    return worst
