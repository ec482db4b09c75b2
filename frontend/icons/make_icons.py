"""Draw the app's icon: the line from above, nose up, on spruce. Run: python icons/make_icons.py

The outline is the one of parts/dog_figure.js. The SVG is written beside the PNGs, so that all sizes
come from one drawing.
"""

from __future__ import annotations

from pathlib import Path

from PIL import Image, ImageDraw

HERE = Path(__file__).parent
SPRUCE, PAPER, SOFT = "#17594A", "#FFFEFA", "#B9D4C8"
CENTRE = 24.0
# (y, half width) along the spine, in the drawing's units.
STATIONS = [
    (1.1, 0.7), (3.4, 2.6), (7.6, 3.4), (10.6, 5.6), (14.4, 6.2), (18.2, 5.4), (22, 4.9),
    (25.8, 6.6), (31.2, 10), (38, 11.3), (44.8, 10.6), (52.4, 8.4), (60, 9.3), (66.1, 9.4),
    (70.7, 6.6), (73.7, 2),
]  # fmt: skip
EAR = [(5, 10.3), (8.4, 11.8), (9.6, 16), (8, 20.5), (6.4, 18.6), (5.6, 14.4)]
TAIL = [(24, 74.1), (24.8, 76.9), (27.4, 79.7), (27, 83.3), (25.4, 84.9)]
TOP, BOTTOM = 1.1, 84.9
STROKE = 2.6
SUPERSAMPLED = 4

Point = tuple[float, float]


def smooth(points: list[Point], *, closed: bool, steps: int = 16) -> list[Point]:
    """Points of a Catmull-Rom curve through the given ones."""
    count = len(points)
    at = (lambda i: points[i % count]) if closed else (lambda i: points[min(max(i, 0), count - 1)])
    curve: list[Point] = []
    for i in range(count if closed else count - 1):
        p0, p1, p2, p3 = at(i - 1), at(i), at(i + 1), at(i + 2)
        for step in range(steps):
            t = step / steps
            curve.append(
                (_between(p0[0], p1[0], p2[0], p3[0], t), _between(p0[1], p1[1], p2[1], p3[1], t))
            )
    return curve if closed else [*curve, points[-1]]


def _between(a: float, b: float, c: float, d: float, t: float) -> float:
    return 0.5 * (
        2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3
    )


def shapes() -> tuple[list[Point], list[list[Point]], list[Point]]:
    """Body, ears and tail as curves in the drawing's units."""
    ring = [(CENTRE + half, y) for y, half in STATIONS]
    ring += [(CENTRE - half, y) for y, half in reversed(STATIONS)]
    ears = [smooth([(CENTRE + side * x, y) for x, y in EAR], closed=True) for side in (1, -1)]
    return smooth(ring, closed=True), ears, smooth(TAIL, closed=False)


def picture(size: int, *, fill_height: float) -> Image.Image:
    """The icon as a square. fill_height: the dog's length as a part of the square."""
    big = size * SUPERSAMPLED
    scale = big * fill_height / (BOTTOM - TOP)
    image = Image.new("RGB", (big, big), SPRUCE)
    draw = ImageDraw.Draw(image)
    width = round(STROKE * scale)

    def placed(points: list[Point]) -> list[Point]:
        middle = (TOP + BOTTOM) / 2
        return [((x - CENTRE) * scale + big / 2, (y - middle) * scale + big / 2) for x, y in points]

    body, ears, tail = shapes()
    draw.polygon(placed(body), fill=SOFT)
    draw.line([*placed(body), placed(body)[0]], fill=PAPER, width=width, joint="curve")
    for ear in ears:
        draw.polygon(placed(ear), fill=SOFT)
        draw.line([*placed(ear), placed(ear)[0]], fill=PAPER, width=width, joint="curve")
    draw.line(placed(tail), fill=PAPER, width=width, joint="curve")
    return image.resize((size, size), Image.Resampling.LANCZOS)


def svg() -> str:
    """The same drawing for a browser's tab."""

    def path(points: list[Point], *, closed: bool) -> str:
        return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points[::3]) + ("Z" if closed else "")

    body, ears, tail = shapes()
    parts = "".join(f'<path d="{path(ear, closed=True)}" fill="{SOFT}"/>' for ear in ears)
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-29 -10 106 106">'
        f'<rect x="-29" y="-10" width="106" height="106" rx="5" fill="{SPRUCE}"/>'
        f'<g stroke="{PAPER}" stroke-width="{STROKE}" stroke-linejoin="round">'
        f'<path d="{path(body, closed=True)}" fill="{SOFT}"/>{parts}'
        f'<path d="{path(tail, closed=False)}" fill="none"/></g></svg>\n'
    )


def main() -> None:
    """Write all icons beside this file."""
    (HERE / "tuckline.svg").write_text(svg(), encoding="utf-8")
    for name, size, fill_height in (
        ("icon-192.png", 192, 0.8),
        ("icon-512.png", 512, 0.8),
        ("maskable-512.png", 512, 0.58),  # within the circle that any mask leaves
        ("apple-touch-icon.png", 180, 0.76),
    ):
        picture(size, fill_height=fill_height).quantize(32).save(HERE / name, optimize=True)


if __name__ == "__main__":
    main()
