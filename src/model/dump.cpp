#include "model/dump.h"

#include "base/text.h"
#include "model/kind.h"
#include "model/tree.h"
#include "model/words.h"

#include <fmt/format.h>

#include <utility>

namespace benchleaf::model {

namespace {

bool needs_quotes(std::string_view value) {
    if (value.empty() || value != base::trimmed(value)) return true;
    if (value.find_first_of(":#,?[]{}\"'\\\n\r\t&*!|>`@\x7F") != std::string_view::npos) return true;
    for (const char c : value)
        if (static_cast<unsigned char>(c) < 0x20) return true;
    return value.front() == '-' || value.front() == '%' || value.front() == '~' || value.front() == '=' ||
           value.front() == '.';
}

void put_scalar(const std::string& value, std::string& to) {
    if (!needs_quotes(value)) {
        to += value;
        return;
    }
    to += '"';
    for (const char c : value) {
        switch (c) {
        case '"':
            to += "\\\"";
            break;
        case '\\':
            to += "\\\\";
            break;
        case '\n':
            to += "\\n";
            break;
        case '\r':
            to += "\\r";
            break;
        case '\t':
            to += "\\t";
            break;
        default:
            if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
                to += fmt::format("\\x{:02X}", static_cast<unsigned>(c));
            else
                to += c;
        }
    }
    to += '"';
}

void put_flow(const Tree& tree, std::string& to) {
    if (tree.form == Tree::Form::text) {
        put_scalar(tree.text, to);
        return;
    }
    const bool is_map = tree.form == Tree::Form::map;
    to += is_map ? "{" : "[";
    std::string_view between = is_map ? " " : "";
    for (const auto& [key, value, at] : tree.branches) {
        to += between;
        if (is_map) {
            put_scalar(key, to);
            to += ": ";
        }
        put_flow(value, to);
        between = ", ";
    }
    to += is_map ? (tree.branches.empty() ? "}" : " }") : "]";
}

// A list or map stands in one line when it is short and holds nothing but texts.
bool is_flat(const Tree& tree) {
    if (tree.form == Tree::Form::text || tree.branches.empty()) return true;
    for (const auto& [key, value, at] : tree.branches)
        if (value.form == Tree::Form::map || (value.form == Tree::Form::list && !is_flat(value))) return false;
    std::string line;
    put_flow(tree, line);
    return line.size() <= 90;
}

void put_block(const Tree& tree, std::size_t indent, std::string& to, bool starts_in_line) {
    for (const auto& [key, value, at] : tree.branches) {
        if (!starts_in_line) to.append(indent, ' ');
        starts_in_line = false;
        const bool is_map = tree.form == Tree::Form::map;
        if (is_map) {
            put_scalar(key, to);
            to += ':';
        } else {
            to += '-';
        }
        // Steps and things are maps, and stand in full; only what lies inside them is written in one line.
        const bool flat = value.in_one_line || (is_flat(value) && !(value.form == Tree::Form::map && !is_map));
        if (flat) {
            to += ' ';
            put_flow(value, to);
            to += '\n';
        } else if (is_map) {
            to += '\n';
            put_block(value, indent + 2, to, false);
        } else {
            to += ' ';
            put_block(value, indent + 2, to, true);
        }
    }
}

template <class T>
PrintedFile print_file(const T& value, Kind kind, std::string path) {
    std::string made = std::string(word(kind)) + ": ";
    put_scalar(value.id.value, made);
    made += '\n';
    return {std::move(path), made + lay_out(tree_of(value))};
}

} // namespace

std::string lay_out(const Tree& tree) {
    std::string made;
    if (tree.form == Tree::Form::text) {
        put_scalar(tree.text, made);
        made += '\n';
    }
    put_block(tree, 0, made, false);
    return made;
}

std::vector<PrintedFile> print(const Model& model) {
    std::vector<PrintedFile> files;
    for (const Shop& shop : model.shops) files.push_back(print_file(shop, Kind::shop, "shop.yaml"));
    const auto all = [&files](const auto& things, Kind kind, std::string_view in) {
        for (const auto& thing : things)
            files.push_back(print_file(thing, kind, fmt::format("{}/{}.yaml", in, thing.id.value)));
    };
    all(model.catalogues, Kind::catalogue, folder(Kind::catalogue));
    all(model.vehicles, Kind::vehicle, folder(Kind::vehicle));
    all(model.procedures, Kind::procedure, "procedures");
    all(model.jobs, Kind::job, folder(Kind::job));
    all(model.records, Kind::record, folder(Kind::record));
    all(model.answers, Kind::answers, folder(Kind::answers));
    all(model.approvals, Kind::approval, folder(Kind::approval));
    return files;
}

std::string print(const Record& record) {
    return print_file(record, Kind::record, {}).text;
}

std::string print(const Approval& approval) {
    return print_file(approval, Kind::approval, {}).text;
}

std::string dump(const Model& model) {
    std::string all;
    for (const PrintedFile& file : print(model)) all += fmt::format("# {}\n{}\n", file.path, file.text);
    return all;
}

} // namespace benchleaf::model
