// Makes a card from a proved job: `build(proved, 0, labels, messages)` is the card of the first procedure of the job, or the only one of a
// blank card. It gives nothing when it finds an error that only a card can show (no wrench of the shop holds a torque); the messages
// say which. Everything that the card says is worked out here; text/, json/ and pages/ only print it.
#pragma once

#include "card/card.h"
#include "card/cover.h"
#include "card/needs.h"
#include "labels/labels.h"
#include "messages/message.h"
#include "proof/proved.h"

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace benchleaf::card {

// The pictures that the steps name, by their paths. One that is not there was refused, which was told, and is left out.
using Pictures = std::map<std::string, std::shared_ptr<const pictures::Picture>>;

// `card` counts from 0 in `proved.fit().sequence`.
std::optional<Card> build(const proof::Proved& proved, std::size_t card, const labels::Labels& labels,
                          messages::Messages& messages, const Pictures& pictures = {}, Needs* needs = nullptr);

// The cover sheet of a job, from what its cards take. Nothing where it would say no more than the card does: of a blank card, and of a
// job of one card whose customer is not named and said nothing.
bool has_cover(const fitted::Fit& fit, const linked::Linked& linked);
std::optional<Cover> build_cover(const proof::Proved& proved, const std::vector<Needs>& needs,
                                 const labels::Labels& labels, messages::Messages& messages);

// The whole card as plain text, one thing a line: for people, for tests, and what the digest is taken over. It does not hold the
// digest itself nor the code.
std::string dump(const Card& card);
std::string dump(const Cover& cover);

// Writes the SHA-256 of `dump(card)`, as 64 hexadecimal digits, into the foot (shortened, in groups of four) and into the code.
void seal(Card& card, std::string_view sha256_hex);
void seal(Cover& cover, std::string_view sha256_hex);

} // namespace benchleaf::card
