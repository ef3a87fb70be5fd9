#!/usr/bin/env python3
"""Draws the pictures of the demo shop beside itself: `python3 procedures/pictures/draw.py` (python3-cairo, python3-pil). The parts are invented, and
drawn so that each can be told from the others, not to scale."""
import math
import os

import cairo
from PIL import Image

BESIDE = os.path.dirname(os.path.abspath(__file__))
LARGE = 4  # drawn so many times as large, then scaled down
THIN, LINE, BOLD = 2.2, 3.6, 5.5


class Sheet:
    def __init__(self, width, height):
        self.width, self.height = width, height
        self.surface = cairo.ImageSurface(cairo.FORMAT_RGB24, width * LARGE, height * LARGE)
        self.c = cairo.Context(self.surface)
        self.c.scale(LARGE, LARGE)
        self.c.set_source_rgb(1, 1, 1)
        self.c.paint()
        self.c.set_line_join(cairo.LINE_JOIN_ROUND)
        self.c.set_line_cap(cairo.LINE_CAP_ROUND)

    def save(self, name, scale=1.0):
        data = bytes(self.surface.get_data())
        image = Image.frombuffer("RGBX", (self.width * LARGE, self.height * LARGE), data, "raw", "BGRX", 0, 1)
        image = image.convert("L").resize((round(self.width * scale), round(self.height * scale)), Image.LANCZOS)
        image = image.quantize(8, dither=Image.Dither.NONE)  # so many greys are enough for the edges of lines
        image.save(os.path.join(BESIDE, name), optimize=True, bits=4)

    # What the path holds becomes white or grey, its edge black.
    def ink(self, line=LINE, fill=1.0, dash=None):
        if fill is not None:
            self.c.set_source_rgb(fill, fill, fill)
            self.c.fill_preserve()
        self.c.set_source_rgb(0, 0, 0)
        self.c.set_line_width(line)
        self.c.set_dash(dash or [])
        self.c.stroke()
        self.c.set_dash([])

    def circle(self, x, y, r, line=LINE, fill=1.0, dash=None):
        self.c.new_path()
        self.c.arc(x, y, r, 0, 2 * math.pi)
        self.ink(line, fill, dash)

    def polygon(self, points, line=LINE, fill=1.0):
        self.c.new_path()
        for x, y in points:
            self.c.line_to(x, y)
        self.c.close_path()
        self.ink(line, fill)

    def stroke(self, points, line=LINE, dash=None):
        self.c.new_path()
        for x, y in points:
            self.c.line_to(x, y)
        self.ink(line, None, dash)

    def hexagon(self, x, y, r, turn=0.0, line=LINE):
        self.polygon([(x + r * math.cos(turn + k * math.pi / 3), y + r * math.sin(turn + k * math.pi / 3)) for k in range(6)],
                     line)

    # A bolt seen from its head.
    def bolt(self, x, y, r, turn=0.0):
        self.circle(x, y, r * 1.28)
        self.hexagon(x, y, r, turn)
        self.circle(x, y, r * 0.66, THIN, None)

    # A part of a ring; angles in degrees, clockwise from three o'clock.
    def ring(self, x, y, inner, outer, first, last, line=LINE, fill=1.0):
        self.c.new_path()
        self.c.arc(x, y, outer, math.radians(first), math.radians(last))
        self.c.arc_negative(x, y, inner, math.radians(last), math.radians(first))
        self.c.close_path()
        self.ink(line, fill)

    # One part out of several shapes: the edge runs round them all.
    def part(self, shapes, line):
        for wide in (2 * line, 0):
            for shape in shapes:
                shape()
                tone = 0 if wide else 1
                self.c.set_source_rgb(tone, tone, tone)
                self.c.set_line_width(wide)
                if wide:
                    self.c.stroke()
                else:
                    self.c.fill()

    # Two round ends and what is between.
    def link(self, a, b, ra, rb, line=LINE, fill=1.0):
        self.link_path(a, b, ra, rb)
        self.ink(line, fill)

    def link_path(self, a, b, ra, rb):
        turn = math.atan2(b[1] - a[1], b[0] - a[0])
        lean = math.acos((ra - rb) / math.hypot(b[0] - a[0], b[1] - a[1]))
        self.c.new_path()
        self.c.arc(*a, ra, turn + lean, turn - lean)
        self.c.arc(*b, rb, turn - lean, turn + lean)
        self.c.close_path()

    # A tube along a curve.
    def tube(self, start, one, two, end, width):
        self.c.new_path()
        self.c.move_to(*start)
        self.c.curve_to(*one, *two, *end)
        self.c.set_line_cap(cairo.LINE_CAP_BUTT)
        for wide, tone in ((width, 0), (width - 2 * LINE, 1)):
            self.c.set_source_rgb(tone, tone, tone)
            self.c.set_line_width(wide)
            self.c.stroke_preserve()
        self.c.set_line_cap(cairo.LINE_CAP_ROUND)
        self.c.new_path()

    def arrow_head(self, x, y, turn, size):
        self.c.new_path()
        for along, off in ((0, 0), (-size, size * 0.42), (-size, -size * 0.42)):
            self.c.line_to(x + along * math.cos(turn) - off * math.sin(turn), y + along * math.sin(turn) + off * math.cos(turn))
        self.c.close_path()
        self.ink(THIN, 0.0)

    # A spring between two hooks.
    def spring(self, a, b, wide, turns):
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        n = (-u[1], u[0])
        lead = length * 0.17
        at = lambda along, off: (a[0] + u[0] * along + n[0] * off, a[1] + u[1] * along + n[1] * off)
        for line, tone in ((BOLD + 5, 1.0), (BOLD - 1, 0.0)):
            self.c.set_source_rgb(tone, tone, tone)
            self.c.set_line_width(line)
            self.c.new_path()
            self.c.line_to(*a)
            self.c.line_to(*at(lead, 0))
            for k in range(turns):
                step = (length - 2 * lead) / turns
                self.c.line_to(*at(lead + step * (k + 0.25), wide))
                self.c.line_to(*at(lead + step * (k + 0.75), -wide))
            self.c.line_to(*at(length - lead, 0))
            self.c.line_to(*b)
            self.c.stroke()
        for hook in (a, b):
            self.circle(*hook, 8, LINE, 1.0)


def polar(x, y, r, degrees):
    return x + r * math.cos(math.radians(degrees)), y + r * math.sin(math.radians(degrees))


def caliper():
    """The front caliper seen from the middle of the vehicle: body, ears, guide bolts, hose."""
    s = Sheet(1120, 660)
    x, y = 790, 330
    s.circle(x, y, 372, BOLD)  # the disc
    s.circle(x, y, 356, THIN, None)
    s.circle(x, y, 205, THIN, None)
    s.circle(x, y, 150)
    s.circle(x, y, 62)
    for k in range(4):  # as many as the wheel has nuts
        s.circle(*polar(x, y, 106, 45 + 90 * k), 13)
    # carrier, with its two bolts
    s.ring(x, y, 232, 378, 140, 220, BOLD)
    for degrees in (152, 208):
        s.bolt(*polar(x, y, 262, degrees), 20, math.radians(degrees))
    # body of the caliper, over the disc
    upper, lower = polar(x, y, 384, 219), polar(x, y, 384, 141)
    middle = (x - 372, y)
    s.part([lambda: s.link_path(upper, middle, 48, 118), lambda: s.link_path(lower, middle, 48, 118)], BOLD)
    s.circle(*middle, 106)
    s.circle(*middle, 96, THIN, None)
    for ear in (upper, lower):
        # the flats of the guide pin stand out under the bolt's head
        s.polygon([(ear[0] - 37, ear[1] - 26), (ear[0] + 37, ear[1] - 26), (ear[0] + 37, ear[1] + 26), (ear[0] - 37, ear[1] + 26)])
        s.bolt(*ear, 22, math.pi / 6)
    # bleed screw, with its cap
    foot = polar(*middle, 92, 300)
    tip = polar(*middle, 176, 300)
    s.link(foot, tip, 21, 15)
    s.hexagon(*polar(*middle, 112, 300), 24, math.radians(300))
    s.circle(*tip, 9, THIN)
    # it swings up on its upper bolt
    far = math.hypot(lower[0] - upper[0], lower[1] - upper[1]) + 6
    s.c.new_path()
    s.c.arc(*upper, far, math.radians(98), math.radians(116))
    s.ink(LINE, None, [16, 11])
    s.arrow_head(*polar(*upper, far, 119), math.radians(119 + 90), 30)
    # hose: a ring under a bolt
    s.tube((middle[0] - 26, middle[1] + 14), (260, y + 70), (170, y + 120), (96, y + 400), 46)
    s.link((middle[0] + 2, middle[1] + 2), (middle[0] - 74, middle[1] + 42), 47, 27)
    s.bolt(middle[0] + 2, middle[1] + 2, 28, 0.2)
    s.save("caliper.png")


def drum():
    """The rear brake without its drum: shoes, springs, clips, cam, anchor, star wheel."""
    s = Sheet(900, 900)
    x, y = 450, 450
    s.circle(x, y, 430, BOLD)
    s.circle(x, y, 408, THIN, None)
    for first, last in ((101, 259), (-79, 79)):
        s.ring(x, y, 262, 322, first, last, LINE)  # web
        s.ring(x, y, 322, 340, first - 1, last + 1, LINE)  # table
        s.ring(x, y, 340, 372, first + 12, last - 12, LINE, 0.80)  # lining
    s.circle(x, y, 118)  # hub
    s.circle(x, y, 62)
    for k in range(4):
        s.circle(*polar(x, y, 90, 45 + 90 * k), 12)
    # the star wheel, on its thread between the shoes
    top = y - 168
    s.polygon([(x - 222, top - 15), (x - 60, top - 15), (x - 60, top + 15), (x - 222, top + 15)])
    s.polygon([(x + 24, top - 11), (x + 222, top - 11), (x + 222, top + 11), (x + 24, top + 11)])
    for k in range(9):
        s.stroke([(x + 34 + 14 * k, top - 11), (x + 42 + 14 * k, top + 11)], THIN)
    for side in (-1, 1):
        s.polygon([(x + side * 222, top - 30), (x + side * 252, top - 30), (x + side * 252, top + 30), (x + side * 222, top + 30)])
    s.polygon([(x - 60, top - 46), (x + 24, top - 46), (x + 24, top + 46), (x - 60, top + 46)])
    for k in range(1, 6):
        s.stroke([(x - 60, top - 46 + 92 * k / 6), (x + 24, top - 46 + 92 * k / 6)], LINE)
    # anchor below, cam above
    s.circle(x, y + 296, 46, BOLD)
    s.circle(x, y + 296, 24, THIN, None)
    s.c.save()
    s.c.translate(x, y - 298)
    s.c.rotate(math.radians(24))
    s.c.new_path()
    s.c.arc(-14, 0, 30, math.pi / 2, math.pi * 1.5)
    s.c.arc(14, 0, 30, -math.pi / 2, math.pi / 2)
    s.c.close_path()
    s.c.restore()
    s.ink(BOLD)
    s.circle(x, y - 298, 15, LINE)
    # springs, hook to hook
    s.spring((x - 196, y - 222), (x + 196, y - 222), 17, 12)
    s.spring((x - 186, y + 232), (x + 186, y + 232), 17, 11)
    # clips that hold the shoes to the plate
    for side in (-1, 1):
        cx = x + side * 292
        s.c.new_path()
        s.c.rectangle(cx - 21, y - 40, 42, 80)
        s.ink(LINE)
        s.circle(cx, y, 15)
        s.stroke([(cx - 11, y), (cx + 11, y)], BOLD)
    s.save("drum.png", 0.9)


caliper()
drum()
