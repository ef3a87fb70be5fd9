// The bare program that benchleaf's speed is held against: it parses the same YAML with yaml-cpp, does nothing with it, and draws the
// same strings, areas and lines at the same places with libharu, in the plainest way: fonts loaded from a file and embedded whole, one
// call after the other. No names are resolved, nothing is proved, measured or broken into lines.
#pragma once

#include <string>
#include <vector>

namespace benchleaf::bench {

// How it comes by its fonts.
enum class Fonts {
    whole_utf8,  // the system's font files as they are, with libharu's UTF-8 encoder
    cut_winansi, // files already cut down to what a card may need, with one byte a character: the best that is known
};

struct Text {
    int face = 0; // 0 regular, 1 bold, 2 italic
    float size = 0;
    float x = 0;
    float y = 0; // up from the foot of the page, in points
    float grey = 0;
    std::string utf8;
};
struct Area {
    float x = 0, y = 0, width = 0, height = 0;
    float fill = -1; // grey; below zero: none
    float line = 0;  // width of the stroke
    float line_grey = 0;
};
struct Path {
    std::vector<float> points; // x, y, x, y …
    float grey = 0;
    float width = 0; // of the stroke; 0: filled
};
struct Drawing {
    float width = 0;
    float height = 0;
    std::vector<Area> areas;
    std::vector<Path> paths;
    std::vector<Text> texts;
};
using Drawings = std::vector<Drawing>; // one a page

std::string write(const Drawings& pages);
Drawings read(const std::string& text);

// How many nodes were parsed, so that the work is not left out by the compiler.
std::size_t parse(const std::vector<std::string>& yaml);
// How many events yaml-cpp's parser gave: its own scan alone, which builds nothing.
std::size_t scan(const std::vector<std::string>& yaml);
std::string draw(const Drawings& pages, Fonts fonts, const std::string font_files[3]);

} // namespace benchleaf::bench
