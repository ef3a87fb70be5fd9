// A thing of the model as a tree of texts, lists and maps, with its keys in the order in which they are declared and its figures spelled
// in the one right way. `print` (dump.h) lays it out as a file of the language; what compares two shops walks it.
#pragma once

#include "model/model.h"

#include <string>
#include <vector>

namespace benchleaf::model {

struct Branch;
struct Tree {
    enum class Form : std::uint8_t { text, list, map };
    Form form = Form::text;
    std::string text;
    std::vector<Branch> branches; // of a list without keys
    Span refers;                  // of a text that names something: where; else not known
    bool any_order = false;       // a map whose order says nothing
    bool in_one_line = false;     // however long, on paper
};
struct Branch {
    Branch(std::string key_, Tree tree_, Span refers_ = {})
        : key(std::move(key_)), tree(std::move(tree_)), refers(refers_) {}
    std::string key;
    Tree tree;
    Span refers; // of a key that names something: where
};

// Of any kind of file, any entry of a catalogue, a step.
template <class T>
Tree tree_of(const T& thing);

// As YAML, in block style (dump.cpp).
std::string lay_out(const Tree& tree);

} // namespace benchleaf::model
