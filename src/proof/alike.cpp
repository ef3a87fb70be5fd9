// Things that one step does together and that stand alike wrong are told together: "the pivot bolt and the bracket bolt are left loose".
#include "proof/tell.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>
#include <optional>

namespace benchleaf::proof {

namespace {

bool in_name(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
}

// Names and what stands between them, in turn.
std::vector<std::string_view> pieces(std::string_view text) {
    std::vector<std::string_view> all;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at + 1;
        while (end < text.size() && in_name(text[end]) == in_name(text[at])) ++end;
        all.push_back(text.substr(at, end - at));
        at = end;
    }
    return all;
}

// Several texts that differ in a name alone, each in its own, as one that names them all; nothing where they differ otherwise.
std::optional<std::string> united(const std::vector<std::string_view>& texts,
                                  const std::vector<std::string_view>& names) {
    std::vector<std::vector<std::string_view>> each;
    for (const std::string_view text : texts) each.push_back(pieces(text));
    const std::vector<std::string_view>& first = each.front();
    if (std::any_of(each.begin(), each.end(), [&](const auto& other) { return other.size() != first.size(); }))
        return std::nullopt;
    std::string all;
    for (std::size_t i = 0; i < first.size(); ++i) {
        const bool same =
            std::all_of(each.begin(), each.end(), [&](const auto& other) { return other[i] == first[i]; });
        if (same) {
            all += first[i];
            continue;
        }
        for (std::size_t k = 0; k < each.size(); ++k)
            if (each[k][i] != names[k]) return std::nullopt;
        // As an entry, `bolt: loose`; else as what a step is done to.
        const bool entry = i + 2 < first.size() && first[i + 1] == ": ";
        if (!entry && !all.ends_with(": ")) return std::nullopt;
        std::string list;
        for (const std::string_view name : names) {
            list += (list.empty() ? "" : ", ") + std::string(name);
            if (entry) list += ": " + std::string(first[i + 2]);
        }
        all += entry ? list : "[" + list + "]";
        if (entry) i += 2;
    }
    return all;
}

// What brought it about.
const fitted::Row* brought_by(const Finding& finding) {
    if (finding.blamed.empty()) return nullptr;
    const Standing& standing = finding.blamed.front().second;
    return finding.told_debts != 0 ? standing.indebted : standing.placed;
}

bool alike(const Finding& a, const Finding& b) {
    return a.check == b.check && a.value == b.value && a.item.known() && b.item.known() && a.item != b.item &&
           a.what == b.what && a.answers == b.answers && a.once == b.once && a.mends.size() == b.mends.size() &&
           a.mends_title.empty() && b.mends_title.empty() && a.brings_back.empty() && b.brings_back.empty() &&
           (a.row != nullptr ? a.row == b.row
                             : brought_by(a) == brought_by(b) && (brought_by(a) != nullptr || a.at == b.at));
}

} // namespace

void tell_alike_once(const fitted::Fit& fit, std::vector<Finding>& findings) {
    const auto id = [&](const Finding& each) -> std::string_view { return fit.items[each.item.index()].is.id; };
    for (std::size_t i = 0; i < findings.size(); ++i) {
        std::vector<std::size_t> group{i};
        for (std::size_t j = i + 1; j < findings.size(); ++j)
            if (alike(findings[i], findings[j])) group.push_back(j);
        if (group.size() < 2) continue;
        std::vector<std::string_view> names;
        for (const std::size_t each : group) names.push_back(id(findings[each]));
        const auto unite = [&](const auto& text_of) {
            std::vector<std::string_view> texts;
            for (const std::size_t each : group) texts.push_back(text_of(findings[each]));
            return united(texts, names);
        };
        const auto help = unite([](const Finding& each) -> std::string_view { return each.help; });
        if (!help || findings[i].help.empty()) continue;
        std::vector<messages::Edit> mends = findings[i].mends;
        bool whole = true;
        for (std::size_t k = 0; k < mends.size(); ++k) {
            const auto text = unite([k](const Finding& each) -> std::string_view { return each.mends[k].text; });
            whole = whole && text && std::all_of(group.begin(), group.end(), [&](std::size_t each) {
                        return findings[each].mends[k].span == mends[k].span &&
                               findings[each].mends[k].puts == mends[k].puts;
                    });
            if (text) mends[k].text = *text;
        }
        if (!whole) continue;
        Finding& told = findings[i];
        told.help = *help;
        told.mends = std::move(mends);
        for (std::size_t k = 1; k < group.size(); ++k) {
            const Finding& other = findings[group[k]];
            told.with.push_back(other.item);
            if (!(other.at == told.at)) told.more.push_back({other.at, other.label});
            told.more.insert(told.more.end(), other.more.begin(), other.more.end());
        }
        for (std::size_t k = group.size(); k > 1; --k)
            findings.erase(findings.begin() + static_cast<std::ptrdiff_t>(group[k - 1]));
    }
}

} // namespace benchleaf::proof
