#include "linked/look_over.h"
#include "linked/reports.h"

#include <fmt/format.h>

namespace benchleaf::linked {

namespace {

void find_system_unsaid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::system_unsaid = {
    {"system-unsaid", messages::Level::warning,
     "a part that people may rely on does not say to which system of the vehicle it belongs"},
    find_system_unsaid};

namespace {

// By its English name: `brake lever` and `hub of the front wheel` are, `axle stand` is not.
bool sounds_relied_on(const std::string& name) {
    const std::vector<std::string> words = what_it_is(name);
    const bool anywhere = std::any_of(words.begin(), words.end(), [](const std::string& word) {
        return is_among(word, {"brake", "brakes", "caliper", "calipers", "steering", "handlebar", "handlebars",
                               "kingpin", "suspension", "wishbone", "strut", "struts", "swingarm", "damper"});
    });
    return anywhere || (!words.empty() &&
                        is_among(words.back(), {"wheel", "wheels", "hub", "hubs", "fork", "forks", "axle", "axles",
                                                "pad", "pads", "shoe", "shoes", "disc", "discs", "drum", "drums"}));
}

std::string why_it_may(const Item& part, const ReadItem& read) {
    if (part.circuit.known() && is_hydraulic(read(part.circuit)))
        return fmt::format("the {} moves it", read(part.circuit).name);
    if (rubs(part)) return "it rubs";
    return sounds_relied_on(part.name) ? "by its name it is one that people rely on" : "";
}

// Where its holders have it decided whether they are critical, nothing hangs on it.
void find_system_unsaid(const Linked& linked, const Check& self, Messages& out) {
    look_over(linked, [&](const Item& part, const ReadItem& read) {
        if (part.sort != Sort::part || part.part.system || part.held_by.empty()) return false;
        const bool decided = std::all_of(part.held_by.begin(), part.held_by.end(), [&](ItemId id) {
            return read(id).critical || read(id).fastener.not_critical || read(id).fastener.unread;
        });
        if (decided) return false;
        const std::string why = why_it_may(part, read);
        if (why.empty()) return false;
        messages::Message& message = out.add(
            self.rule, part.declared, fmt::format("the {} does not say to which system it belongs", part.name), why);
        message.help = "add `system:` – brake, wheel, steering and suspension are what people rely on, and what holds "
                       "them gets a second check";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
