#include "model/trade_words.h"

#include <algorithm>

namespace benchleaf::model {

namespace {

constexpr std::string_view to_apply =
    "benchleaf calls this `apply`: `- apply: guide-grease`, with `to: guide-pin` and `amount: 1 g` below it";
constexpr std::string_view to_tighten =
    "benchleaf calls this `torque`, to the figure given under `torques`; only run in by hand, it is `snug`";
constexpr std::string_view to_undo = "benchleaf says `slacken` for what stays in, and `remove` for what is taken out";
constexpr std::string_view to_look =
    "benchleaf says `inspect` with `look-for` for what is judged by eye, `measure` for a "
    "figure and `ask` for a question";
constexpr std::string_view to_renew = "benchleaf says `renew` for a new one, and `fit` for the same one put back";
constexpr std::string_view to_set = "benchleaf calls this `set`: `- set: { front-end: jacked }`";
constexpr std::string_view to_caution =
    "benchleaf calls this `caution`: `caution: { level: warning, hazard: …, avoid: … }`";
constexpr std::string_view to_run_in =
    "benchleaf calls this `snug` for what is run in until it touches, and `fit` for what is started";

// In the order of the alphabet, for the search.
constexpr TradeWord words[] = {
    {"assemble", "fit", "benchleaf says `fit` for a part that is put on, and `do` for another procedure"},
    {"attach", "fit", "benchleaf says `fit` for what was off, and `move` for a part that was only put aside"},
    {"brush", "clean", "benchleaf calls this `clean`, and what it is done with stands below it: `with: brass-brush`"},
    {"change", "renew", to_renew},
    {"check", "inspect", to_look},
    {"connect", "fit", "benchleaf says `fit` for what was off, and `set` for a state: `- set: { battery: connected }`"},
    {"danger", "caution", to_caution},
    {"degrease", "clean", "benchleaf calls this `clean`, and what it is done with stands below it: `with: degreaser`"},
    {"detach", "remove", "benchleaf says `remove` for what comes off, and `move` for a part that is only put aside"},
    {"disassemble", "remove", "benchleaf calls this `remove`, one step for each thing that comes off"},
    {"disconnect", "remove",
     "benchleaf says `remove` for what comes off, and `set` for a state: `- set: { battery: off }`"},
    {"drain", "remove",
     "benchleaf has no word for this: `- remove: drain-plug` lets it run out, `wait` gives it time, and `fill` fills "
     "it"},
    {"else", "if-not", "a question has `if-so` and `if-not`, each with steps below it"},
    {"examine", "inspect", {}},
    {"exchange", "renew", to_renew},
    {"gap", "adjust", "benchleaf calls this `adjust`, and the figure stands under `limits`"},
    {"grease", "apply", to_apply},
    {"hand-tighten", "snug", to_run_in},
    {"if-no", "if-not", {}},
    {"if-yes", "if-so", {}},
    {"install", "fit", {}},
    {"jack", "set", to_set},
    {"lift", "set", to_set},
    {"loosen", "slacken", {}},
    {"lower", "set", to_set},
    {"lube", "apply", to_apply},
    {"lubricate", "apply", to_apply},
    {"mount", "fit", {}},
    {"no", "if-not", "a question has `if-so` and `if-not`, each with steps below it"},
    {"oil", "apply", to_apply},
    {"pump", "prime", "benchleaf says `prime` for a lever or pedal that is pumped until it stands firm"},
    {"purge", "bleed", "benchleaf says `bleed` for air let out at a bleed screw"},
    {"raise", "set", to_set},
    {"reassemble", "fit", "benchleaf calls this `fit`, one step for each thing that goes on"},
    {"refill", "fill", {}},
    {"refit", "fit", {}},
    {"reinstall", "fit", {}},
    {"replace", "renew", to_renew},
    {"retighten", "recheck",
     "benchleaf says `recheck` for a torque that is tried once more, and `torque` after it was loosened"},
    {"retorque", "recheck",
     "benchleaf says `recheck` for a torque that is tried once more, and `torque` after it was loosened"},
    {"screw", "fit", to_run_in},
    {"swap", "renew", to_renew},
    {"swing", "move", "benchleaf calls this `move`: `- move: { caliper: swung }`"},
    {"take-off", "remove", {}},
    {"test", "inspect",
     "benchleaf says `inspect`, `measure` or `leak-check`; a test on the road is a step in words: `say: …`"},
    {"text", "say", "benchleaf calls the text of a step `say`"},
    {"then", "if-so", "a question has `if-so` and `if-not`, each with steps below it"},
    {"tighten", "torque", to_tighten},
    {"top-up", "level",
     "benchleaf says `level` for fluid brought between its marks, and `fill` for a circuit that is empty"},
    {"undo", "slacken", to_undo},
    {"uninstall", "remove", {}},
    {"unscrew", "slacken", to_undo},
    {"vent", "bleed", "benchleaf says `bleed` for air let out at a bleed screw"},
    {"verify", "inspect", to_look},
    {"warning", "caution", to_caution},
    {"wash", "clean", "benchleaf calls this `clean`, and what it is done with stands below it: `with: brake-cleaner`"},
    {"wipe", "clean", "benchleaf calls this `clean`, and what it is done with stands below it: `with: shop-cloth`"},
    {"yes", "if-so", "a question has `if-so` and `if-not`, each with steps below it"},
};

static_assert(std::is_sorted(std::begin(words), std::end(words),
                             [](const TradeWord& a, const TradeWord& b) { return a.word < b.word; }));

} // namespace

const TradeWord* find_trade_word(std::string_view word) {
    const auto* const found = std::lower_bound(std::begin(words), std::end(words), word,
                                               [](const TradeWord& each, std::string_view w) { return each.word < w; });
    return found != std::end(words) && found->word == word ? found : nullptr;
}

} // namespace benchleaf::model
