// What every leaf of a job has around its content: whose it is, its foot, the words that layout itself prints. Private to card/.
#pragma once

#include "card/card.h"
#include "card/wording.h"

namespace benchleaf::card {

// Shop, vehicle, job, date, meter; without a title.
Head head_of_visit(const Speaker& speaker);
Foot make_foot(const Speaker& speaker);
Words make_words(const Speaker& speaker);

std::string title_of(const fitted::Procedure& procedure);

// "2026-0418-08-brake-fluid-change": as many digits as the last card's number has, or a folder would list 10 before 2.
std::string numbered_stem(const Speaker& speaker, std::size_t number, std::string_view name);

void seal(Head& head, std::string_view sha256_hex);

} // namespace benchleaf::card
