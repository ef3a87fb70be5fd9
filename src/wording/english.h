// What the checks on wording know of English: short closed lists of words, and no dictionary. What is on no list is given the benefit
// of the doubt, for a warning that is wrong is soon not read any more. All words are in small letters. The lists are our own.
#pragma once

#include "wording/wording.h"

#include <span>
#include <string_view>

namespace benchleaf::wording {

// Words that say how or when and may stand before the verb: "slowly turn …", "then fit …". Not "never" and "not".
bool is_manner(std::string_view word);

// Words with which a condition or a circumstance opens, after which a comma and then the verb follow: "with the engine cold, …".
bool opens_circumstance(std::string_view word);

// "removing", "checked": a verb in a form that is no order. "bring", "swing", "bleed", "feed" are orders.
bool is_gerund_or_participle(std::string_view word);

// Words that no order begins with: articles, pronouns, forms of be, auxiliaries, numbers, adjectives of place.
bool never_begins_order(const Word& word);

// Does an order begin at word `at`, with an object or a place behind it: "fit the cap", "pull out both pins", "tie it"? Only verbs on
// our list are known: all of the language's own, and what else is often done in a workshop.
bool order_with_object(std::span<const Word> words, std::size_t at);

// The same, but only of the verbs of the language, which the proof follows.
bool verb_with_object(std::span<const Word> words, std::size_t at);

// Verbs that say what goes on beside another action, at the same time: hold, keep, watch, …
bool goes_beside(std::string_view word);

// Two verbs that are one movement there and back: "open and close the nipple".
bool to_and_fro(std::string_view one, std::string_view other);

} // namespace benchleaf::wording
