// A booklet: the leaves of a job, one after the other. Each card keeps its own numbers of pages in its heads; feet say the sheet of the
// booklet, and every box that somebody writes in gets a name that is its own in the whole of it: "card-2/step-5/tick/1".
#pragma once

#include "card/card.h"
#include "card/cover.h"
#include "pages/field_words.h"
#include "pages/pages.h"

#include <cstddef>
#include <string>
#include <vector>

namespace benchleaf::pages {

struct Bookmark {
    std::string title;
    std::size_t page = 0;  // from 0
    Length y = 0;          // from the top of it
    std::size_t depth = 0; // a deeper one belongs to the last that is less deep
};

// How a reader calls the pages from one on: "2-1", "2-2" …, or with roman numbers and no prefix "i", "ii" ….
struct Numbering {
    std::size_t page = 0;
    std::string prefix;
    bool roman = false;
};

struct Booklet {
    Pages pages;
    FieldWords words;
    std::vector<Bookmark> bookmarks;
    std::vector<Numbering> numbering;
};

struct Leaves {
    const card::Card* card = nullptr;
    Pages* pages = nullptr; // are taken out of it
};

// `cover` and `cover_pages` may be nothing; all pages are of one paper.
Booklet bind(const card::Cover* cover, Pages* cover_pages, const std::vector<Leaves>& cards);

} // namespace benchleaf::pages
