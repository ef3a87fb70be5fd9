// What an English text orders done to the items of the shop: words of the trade that change how a thing stands, the verb of the language
// that does the same, and the item that stands behind them by its printed name or its id.
#pragma once

#include "wording/wording.h"

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string_view>
#include <unordered_map>
#include <vector>

namespace benchleaf::wording {

// An item that a text names.
struct Named {
    const linked::Item* item = nullptr;
    std::size_t count = 0; // of words
};

// The names by which a procedure's texts may call the items that it sees.
class Names {
public:
    explicit Names(const Wording& wording);

    // All that the words from `at` on may name, in no order.
    std::vector<Named> at(const linked::Procedure& procedure, std::span<const Word> words, std::size_t at) const;

private:
    struct Name {
        const linked::Item* item;
        std::vector<std::string> parts;
    };
    std::unordered_map<std::string, std::vector<Name>> by_first_; // word of a name
    std::unordered_map<std::string, std::vector<const linked::Item*>> by_name_;
};

// How many words from `at` on are the item's name or the end of it ("nut" for the axle nut); 0: none of that.
std::size_t names_itself(const linked::Item& item, std::span<const Word> words, std::size_t at);

struct Deed {
    std::string_view word;
    std::string_view
        particles; // one of these goes with it, before or behind the object; empty: none is wanted; a full stop: nothing follows
    unsigned on; // sorts, by bit
    model::VerbName verb;
    std::string_view against = {}; // states of a setting that it does not lead to
    bool leaves = false;           // "leave … loose": it changes nothing, and says how the thing stands
};

struct Order {
    const Deed* deed = nullptr;
    std::size_t begin = 0; // words: the verb, and what follows the object's name and its particle
    std::size_t end = 0;
};

// Does an order begin with word `at`? At the start of a sentence, behind "and", behind a circumstance, behind "while you".
bool begins_order(std::span<const Word> words, std::size_t at);

// What the word `at` orders done to an item of this sort whose name `named` counts the words of.
std::optional<Order> order_at(std::span<const Word> words, std::size_t at, const linked::Item& item,
                              const std::function<std::size_t(std::size_t)>& named);

// The order of word `at` on the item with the longest name that it fits.
struct OrderOn {
    Order order;
    const linked::Item* item = nullptr;
};
std::optional<OrderOn> order_on_any(const Names& names, const linked::Procedure& procedure, std::span<const Word> words,
                                    std::size_t at);

} // namespace benchleaf::wording
