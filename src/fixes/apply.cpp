#include "fixes/fixes.h"

#include <algorithm>

namespace benchleaf::fixes {

namespace {

bool meet(source::Span a, source::Span b) {
    if (a.begin == a.end || b.begin == b.end)
        return a.begin <= b.end && b.begin <= a.end; // an insertion at an edge too
    return a.begin < b.end && b.begin < a.end;
}

// Edits of one fix may stand side by side, and several may insert at one place.
bool overlap(source::Span a, source::Span b) {
    return a.begin < b.end && b.begin < a.end;
}

} // namespace

std::vector<messages::Fix> fixes_of(const messages::Messages& messages, source::FileId file) {
    std::vector<messages::Fix> fixes;
    for (const messages::Message& message : messages.all()) {
        if (message.fixes.empty()) continue;
        const messages::Fix& fix = message.fixes.front();
        if (fix.to_try) continue;
        if (std::any_of(fix.edits.begin(), fix.edits.end(),
                        [file](const messages::Edit& edit) { return edit.span.file == file; }))
            fixes.push_back(fix);
    }
    return fixes;
}

Applied apply(std::span<const messages::Fix> fixes, source::FileId file, std::string_view text) {
    std::vector<messages::Edit> edits; // taken so far, in the order of their places
    Applied result;
    const auto by_place = [](const messages::Edit& a, const messages::Edit& b) { return a.span.begin < b.span.begin; };
    for (const messages::Fix& fix : fixes) {
        std::vector<messages::Edit> own = fix.edits;
        std::stable_sort(own.begin(), own.end(), by_place);
        bool good = !own.empty();
        for (std::size_t i = 0; i < own.size() && good; ++i) {
            const source::Span span = own[i].span;
            good = span.file == file && span.begin <= span.end && span.end <= text.size() &&
                   (i == 0 || !overlap(own[i - 1].span, span));
            // The taken edits do not meet each other, so only the neighbours can meet this one.
            auto near = std::lower_bound(edits.begin(), edits.end(), own[i], by_place);
            if (good && near != edits.end()) good = !meet(near->span, span);
            if (good && near != edits.begin()) good = !meet(std::prev(near)->span, span);
        }
        if (!good) {
            ++result.skipped;
            continue;
        }
        ++result.applied;
        const auto middle = static_cast<std::ptrdiff_t>(edits.size());
        edits.insert(edits.end(), own.begin(), own.end());
        std::inplace_merge(edits.begin(), edits.begin() + middle, edits.end(), by_place);
    }
    std::size_t at = 0;
    for (const messages::Edit& edit : edits) {
        result.text.append(text.substr(at, edit.span.begin - at));
        result.text.append(edit.text);
        at = edit.span.end;
    }
    result.text.append(text.substr(at));
    return result;
}

} // namespace benchleaf::fixes
