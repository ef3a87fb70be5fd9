#!/usr/bin/python3
"""How time and memory grow with a shop: growth.py BUILD FOLDER [CARDS...]

Makes a shop for each number of cards with BUILD/bench_grow in FOLDER, runs `check --anew` and `print --all` over it on one core, prints a table for docs/speed.md,
and draws docs/growth.svg: both axes logarithmic, and beside each curve a straight line along which ten times as many cards cost ten times as much.
What is made in FOLDER is removed again, but for figures.json: what stands there is not measured anew, so that a run can be gone on with. A hundred
thousand cards take some gigabytes there and some minutes.

Processor time is that of the process, least of some rounds; memory is the most that was resident. The library grows with the jobs: a family of vehicles with
its catalogues and procedures for every 2 500 cards, so that the largest stays within the files that a shop may have.
"""

import json
import math
import os
import re
import shutil
import subprocess
import sys
import time

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
OWN_CATALOGUES, COMMON_CATALOGUES, PROCEDURES, VEHICLES = 9, 2, 31, 4  # of the demo shop; bench_grow rounds up to whole families
CARDS_A_FAMILY = 2500
COMMANDS = {"check": ["check", "--anew"], "print": ["print", "--all", "--out"]}


def run(words):
    """Processor seconds, clock seconds, MiB, and what it said."""
    begin = time.monotonic()
    process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    said = process.stdout.read()
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        sys.exit(f"{' '.join(words)}: status {process.returncode}\n{said[-2000:]}")
    return used.ru_utime + used.ru_stime, time.monotonic() - begin, used.ru_maxrss / 1024, said


def cards_a_job(benchleaf):
    said = run([benchleaf, "--shop", f"{ROOT}/procedures", "print", "--all", "--as", "json", "-j", "1"])[3]
    cards, jobs = re.search(r"(\d+) cards of (\d+) jobs", said).groups()
    return int(cards) / int(jobs)


def measure(build, folder, cards, each, row):
    """Adds to `row` what is not in it yet."""
    benchleaf = f"{build}/benchleaf"
    shop, out = f"{folder}/shop", f"{folder}/out"
    families = max(1, round(cards / CARDS_A_FAMILY))
    size = [OWN_CATALOGUES * families + COMMON_CATALOGUES, PROCEDURES * families, VEHICLES * families, 0, round(cards / each)]
    shutil.rmtree(shop, ignore_errors=True)
    run([f"{build}/bench_grow", shop, *map(str, size)])
    row |= {"cards": cards, "jobs": size[4], "procedures": size[1]}
    rounds = 5 if cards <= 1000 else 2 if cards <= 10000 else 1
    for name, words in COMMANDS.items():
        if name in row:
            continue
        best = None
        for _ in range(rounds):
            shutil.rmtree(out, ignore_errors=True)
            taken = run([benchleaf, "--shop", shop, *words, *([out] if words[-1] == "--out" else []), "-j", "1"])
            best = taken if best is None or taken[0] < best[0] else best
        row[name] = best[:3]
        if name == "print":
            row["cards"] = int(re.search(r"(\d+) cards of", best[3]).group(1))
            row["bytes"] = sum(each.stat().st_size for each in os.scandir(out))
        print(f"{cards} cards, {name}: {best[0]:.2f} s, {best[2]:.0f} MiB", file=sys.stderr, flush=True)
        yield
    shutil.rmtree(shop)
    shutil.rmtree(out, ignore_errors=True)


def table(rows):
    lines = ["| cards | jobs | procedures | check | a card | memory | print --all | a card | memory | written |",
             "| ---: " * 10 + "|"]
    for row in rows:
        cells = [f"{row['cards']}", f"{row['jobs']}", f"{row['procedures']}"]
        for name in COMMANDS:
            if name in row:
                seconds, _, memory = row[name]
                cells += [f"{seconds:.2f} s", f"{1000 * seconds / row['cards']:.2f} ms", f"{memory:.0f} MiB"]
            else:
                cells += ["", "", ""]
        lines.append("| " + " | ".join([*cells, f"{row['bytes'] / 1e6:.0f} MB" if "bytes" in row else ""]) + " |")
    return "\n".join(lines)


class Panel:
    """One diagram: points over cards, both in powers of ten."""

    WIDTH, HEIGHT, LEFT, TOP, LINE = 330, 300, 70, 48, 15

    def __init__(self, number, title, unit, curves):
        self.x0 = self.LEFT + number * (self.WIDTH + 110)
        self.title, self.unit, self.curves = title, unit, curves
        values = [y for _, points in curves for _, y in points]
        cards = [x for _, points in curves for x, _ in points]
        self.low_x = math.floor(math.log10(min(cards)))
        self.high_x = max(self.low_x + 1, math.ceil(math.log10(max(cards)) - 0.1))
        self.low, self.high = math.floor(math.log10(min(values))), math.ceil(math.log10(max(values)))

    def x(self, cards):
        return self.x0 + (math.log10(cards) - self.low_x) / (self.high_x - self.low_x) * self.WIDTH

    def y(self, value):
        return self.TOP + (self.high - math.log10(value)) / (self.high - self.low) * self.HEIGHT

    def draw(self):
        to = [f'<text x="{self.x0}" y="{self.TOP - 20}" font-weight="bold">{self.title}</text>']
        right, bottom = self.x0 + self.WIDTH, self.TOP + self.HEIGHT
        for power in range(self.low_x, self.high_x + 1):
            x = self.x(10.0**power)
            to.append(f'<path stroke="#ddd" d="M{x:.1f} {self.TOP}V{bottom}"/>')
            to.append(f'<text x="{x:.1f}" y="{bottom + 18}" text-anchor="middle">{10**power:,}</text>'.replace(",", " "))
        for power in range(self.low, self.high + 1):
            y = self.y(10.0**power)
            to.append(f'<path stroke="#ddd" d="M{self.x0} {y:.1f}H{right}"/>')
            to.append(f'<text x="{self.x0 - 8}" y="{y + 4:.1f}" text-anchor="end">{10.0**power:g} {self.unit}</text>')
        to.append(f'<text x="{(self.x0 + right) / 2}" y="{bottom + 38}" text-anchor="middle">cards</text>')
        names = []
        for (name, points), colour in zip(self.curves, ("#1f5fa8", "#b5541c")):
            last_x, last_y = points[-1]
            # Through the last point, down to where the panel ends.
            first_x = max(10.0**self.low_x, last_x * 10.0**self.low / last_y)
            to.append(f'<path stroke="#888" stroke-dasharray="5 4" fill="none" d="M{self.x(first_x):.1f} {self.y(last_y * first_x / last_x):.1f}'
                      f'L{self.x(last_x):.1f} {self.y(last_y):.1f}"/>')
            path = " ".join(f"{self.x(x):.1f} {self.y(y):.1f}" for x, y in points)
            to.append(f'<path stroke-width="2" fill="none" stroke="{colour}" d="M{path}"/>')
            to += [f'<circle cx="{self.x(x):.1f}" cy="{self.y(y):.1f}" r="3.5" fill="{colour}"/>' for x, y in points]
            names.append((self.y(last_y) + 4, self.x(last_x) + 8, name, colour))
        # The lowest stays where its curve ends, and each above it keeps clear of the one below.
        clear = math.inf
        for y, x, name, colour in sorted(names, reverse=True):
            clear = min(y, clear - self.LINE)
            to.append(f'<text x="{x:.1f}" y="{clear:.1f}" fill="{colour}">{name}</text>')
        return to


def picture(rows):
    def curves(which):
        return [(name, [(row["cards"], row[name][which]) for row in rows if name in row]) for name in COMMANDS]

    panels = [Panel(0, "Processor time", "s", curves(0)), Panel(1, "Memory", "MiB", curves(2))]
    lines = ['<svg xmlns="http://www.w3.org/2000/svg" width="960" height="410" viewBox="0 0 960 410" '
             'font-family="sans-serif" font-size="13" fill="#222">', '<rect width="960" height="410" fill="#fff"/>']
    for panel in panels:
        lines += panel.draw()
    return "\n".join([*lines, "</svg>", ""])


def main():
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    build, folder = os.path.abspath(sys.argv[1]), sys.argv[2]
    os.makedirs(folder, exist_ok=True)
    each = cards_a_job(f"{build}/benchleaf")
    figures = f"{folder}/figures.json"
    known = {}
    if os.path.exists(figures):
        with open(figures, encoding="utf-8") as file:
            known = json.load(file)
    for cards in sys.argv[3:] or ["100", "1000", "10000", "100000"]:
        row = known.setdefault(cards, {})
        for _ in measure(build, folder, int(cards), each, row):
            with open(figures, "w", encoding="utf-8") as file:
                json.dump(known, file)
    rows = sorted(known.values(), key=lambda row: row["cards"])
    print(table(rows))
    with open(f"{ROOT}/docs/growth.svg", "w", encoding="utf-8") as file:
        file.write(picture(rows))


main()
