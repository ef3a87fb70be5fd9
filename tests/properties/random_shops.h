// Shops and procedures at random, as the YAML that a mechanic would write: work that closes (a cover off and on again, a circuit opened and
// proved, a wheel with the front end up), one thing behind another, cut apart by questions, repeats and calls; and then, in a share of
// them, with a step or two left out, doubled, moved or changed. All text is in memory; steps can be dropped one by one from a shop.
#pragma once

#include <algorithm>
#include <cstdint>
#include <map>
#include <random>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace benchleaf::random_shops {

using Files = std::map<std::string, std::string>;

struct Step;
using Steps = std::vector<Step>;

enum class Kind : std::uint8_t { verb, ask, if_answered, again, stop };

struct Step {
    Kind kind = Kind::verb;
    std::vector<std::string> lines; // of a verb: `remove: bolt-1` and its other keys; of if-answered: the answers
    std::string id;
    std::string only; // a side
    Steps so;         // if-so; of if-answered: steps
    Steps otherwise;  // if-not; of again: else
    std::string from; // of again
    int at_most = 2;

    Step() = default;
    Step(std::string line) : lines{std::move(line)} {}
    Step(const char* line) : lines{line} {}
};

struct Section {
    std::string name; // empty: the first
    bool once = false;
    Steps steps;
};

struct Procedure {
    std::string name;
    bool each = false;
    std::string starts_with;
    std::string ends_with;
    std::vector<Section> sections;
};

struct Shop {
    std::string catalogue; // whole text
    std::string vehicle;
    std::vector<Procedure> procedures;
};

inline void write(const Steps& steps, std::size_t indent, std::string& text) {
    const std::string in(indent, ' ');
    const auto list = [&](const char* key, const Steps& inner) {
        if (inner.empty()) return;
        text += in + "  " + key + ":\n";
        write(inner, indent + 4, text);
    };
    for (const Step& step : steps) {
        switch (step.kind) {
        case Kind::verb:
            text += in + "- " + step.lines.front() + "\n";
            for (std::size_t i = 1; i < step.lines.size(); ++i) text += in + "  " + step.lines[i] + "\n";
            break;
        case Kind::ask:
            text += in + "- ask: Is it so?\n";
            break;
        case Kind::if_answered:
            text += in + "- if-answered: { " + step.lines.front() + " }\n";
            break;
        case Kind::again:
            text += in + "- again:\n" + in + "    from: " + step.from + "\n" + in + "    until: Is it good?\n" + in +
                    "    at-most: " + std::to_string(step.at_most) + "\n" + in + "    else:\n";
            if (step.otherwise.empty())
                text += in + "      - Note it.\n";
            else
                write(step.otherwise, indent + 6, text);
            break;
        case Kind::stop:
            text += in + "- stop: It is worn out.\n";
            break;
        }
        if (!step.id.empty()) text += in + "  id: " + step.id + "\n";
        if (!step.only.empty()) text += in + "  only: { side: " + step.only + " }\n";
        if (step.kind == Kind::ask) {
            list("if-so", step.so);
            list("if-not", step.otherwise);
        }
        if (step.kind == Kind::if_answered) list("steps", step.so);
    }
}

inline std::string text_of(const Procedure& procedure) {
    std::string text = "procedure: " + procedure.name + "\ntitle: Work\nrevision: 1\nuses: c\n";
    if (procedure.each) text += "each: side\n";
    if (!procedure.starts_with.empty()) text += "starts-with: { " + procedure.starts_with + " }\n";
    if (!procedure.ends_with.empty()) text += "ends-with: { " + procedure.ends_with + " }\n";
    text += "steps:\n";
    for (const Section& section : procedure.sections) {
        if (!section.name.empty()) text += "  - section: " + section.name + "\n";
        if (section.once) text += "    once: true\n";
        write(section.steps, 2, text);
    }
    return text;
}

inline Files files_of(const Shop& shop) {
    Files files;
    files["shop.yaml"] = "shop: sorrel-yard\nname: Sorrel Yard\n";
    files["catalogue/c.yaml"] = shop.catalogue;
    files["vehicles/tarnel-90.yaml"] = shop.vehicle;
    for (const Procedure& procedure : shop.procedures) files["work/" + procedure.name + ".yaml"] = text_of(procedure);
    return files;
}

// Calls `drop(list, i)` for one step after the other of a list and all below it, until it says true.
template <class Drop>
bool each_step(Steps& steps, Drop drop) {
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (drop(steps, i)) return true;
        if (each_step(steps[i].so, drop) || each_step(steps[i].otherwise, drop)) return true;
    }
    return false;
}
inline std::size_t count(Steps& steps) {
    std::size_t all = 0;
    each_step(steps, [&](Steps&, std::size_t) {
        ++all;
        return false;
    });
    return all;
}

// -- Making them ---------------------------------------------------------------------------------------------------------------

// A group of things with its work: how it is opened and closed, and what it owes then.
struct Assembly {
    Steps open;
    Steps close;
    Steps prove;
    int behind = -1; // the assembly that must be open to reach this one
};

class Maker {
public:
    explicit Maker(std::mt19937& random) : random_(random) {}

    Shop shop(std::size_t procedures) {
        catalogue();
        shop_.vehicle = "vehicle: tarnel-90\nname: Tarnel 90\n";
        if (!narrowable_.empty() && once_in(6))
            shop_.vehicle += "only: { " + narrowable_[below(narrowable_.size())] + ": { side: left } }\n";
        const bool all_clean = once_in(4);
        for (std::size_t i = 0; i < procedures; ++i) {
            Procedure made = procedure();
            if (!all_clean && !once_in(3))
                for (std::size_t mistakes = 1 + below(2); mistakes > 0; --mistakes) mutate(made);
            narrow_nothing_once(made);
            shop_.procedures.push_back(std::move(made));
        }
        return shop_;
    }

    std::size_t below(std::size_t n) { return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_); }
    bool once_in(std::size_t n) { return below(n) == 0; }

private:
    // In a section that is worked once, `only` is refused on a step whose things are there once.
    void narrow_nothing_once(Procedure& made) {
        for (Section& section : made.sections)
            if (section.once)
                each_step(section.steps, [&](Steps& list, std::size_t i) {
                    Step& step = list[i];
                    const std::string what = step.lines.empty() ? std::string() : step.lines.front() + " ";
                    const bool sided = std::any_of(sided_.begin(), sided_.end(), [&](const std::string& id) {
                        const std::size_t at = what.find(id);
                        return at != std::string::npos &&
                               what.find_first_of("0123456789", at + id.size()) != at + id.size();
                    });
                    if (step.kind == Kind::verb && !sided) step.only.clear();
                    return false;
                });
    }
    static void add(Steps& to, const Steps& more) { to.insert(to.end(), more.begin(), more.end()); }
    std::string name(const char* stem) { return std::string(stem) + "-" + std::to_string(++names_); }

    // -- The catalogue ---------------------------------------------------------------------------------------------------------
    std::string common(int behind, bool sided) {
        std::string text;
        if (behind >= 0) text += ", behind: " + covers_[static_cast<std::size_t>(behind)];
        if (sided) text += ", each: side";
        return text;
    }
    std::string fastener(const char* stem, int behind, bool sided, const std::string& more = {}) {
        const std::string id = name(stem);
        fasteners_ += "  " + id + ": { name: " + id + common(behind, sided) + more + " }\n";
        const bool locked = more.find("threadlock") != std::string::npos;
        // Any may be greased, so none is said to be dry.
        torques_ +=
            "  " + id + ": { value: 20 N·m, " + (locked ? "threads: thread-locked, " : "") + "source: the manual }\n";
        items_.push_back(id);
        if (sided) sided_.push_back(id);
        if (behind < 0) in_reach_.push_back(id);
        bolts_.push_back(id);
        // A vehicle has what holds a part wherever it has the part.
        const bool holds = more.find("opens") == std::string::npos && more.find("vents") == std::string::npos;
        if (sided && !holds) narrowable_.push_back(id);
        return id;
    }
    std::string clip(const char* stem, int behind, bool sided, const std::string& more = {}) {
        const std::string id = name(stem);
        fasteners_ += "  " + id + ": { name: " + id + ", secured-by: fit" + common(behind, sided) + more + " }\n";
        items_.push_back(id);
        if (sided) sided_.push_back(id);
        return id;
    }
    void part(const std::string& id, int behind, bool sided, const std::string& more) {
        parts_ += "  " + id + ": { name: " + id + common(behind, sided) + more + " }\n";
        items_.push_back(id);
        if (sided) sided_.push_back(id);
        parts_names_.push_back(id);
    }
    // Of some, the level is true only after a time; of some of these, only with the engine stopped that made it go round.
    std::string circuit(const char* sort, std::string more = {}) {
        const std::string id = name("fluid");
        if (once_in(2)) {
            more += ", settles-in: 10 min";
            settling_.insert(id);
            if (!settings_names_.empty() && once_in(2)) {
                more += ", while: { circulate: { " + settings_names_[0] + ": running }, level: { " +
                        settings_names_[0] + ": stopped } }";
                run_.insert(id);
            }
        }
        const char* const sided = once_in(5) ? ", each: side" : "";
        circuits_ += "  " + id + ": { name: " + id + ", sort: " + sort + ", fluid: stuff" + more + sided + " }\n";
        circuits_names_.push_back(id);
        return id;
    }
    std::string setting(const std::string& more) {
        const std::string id = name("setting");
        settings_ += "  " + id + ": { name: " + id + ", " + more + " }\n";
        return id;
    }

    // Which bolts want locker, and what tightening them then takes.
    std::string maybe_locker(bool& has) {
        has = once_in(3);
        return has ? ", threadlock: locker" : "";
    }
    Steps tighten(const std::string& bolt, bool has_locker, bool fit = true) {
        Steps steps;
        if (has_locker) {
            steps.push_back("clean: " + bolt);
            Step apply("apply: locker");
            apply.lines.push_back("to: " + bolt);
            apply.lines.push_back("amount: 1 drop");
            steps.push_back(apply);
        }
        if (fit) steps.push_back("fit: " + bolt);
        if (once_in(4)) steps.push_back("snug: " + bolt);
        steps.push_back("torque: " + bolt);
        if (once_in(8)) steps.push_back("mark: " + bolt);
        if (has_locker && once_in(4)) {
            Step wait("wait: 20 min");
            wait.lines.push_back("for: locker");
            steps.push_back(wait);
        } else if (once_in(8)) {
            steps.push_back("recheck: " + bolt);
        }
        return steps;
    }
    static Step filled(const std::string& circuit) {
        Step step("fill: " + circuit);
        step.lines.push_back("amount: 200 mL"); // so much as nobody takes for all of it
        return step;
    }
    Steps proofs(const std::string& id, const std::string& sort, const std::string& vent) {
        Steps steps;
        if (sort == "hydraulic") {
            steps.push_back("fill: " + id);
            if (!vent.empty()) {
                steps.push_back("bleed: " + vent);
                steps.push_back("torque: " + vent);
            }
            steps.push_back("prime: " + id);
        } else if (sort != "fuel") {
            // The air goes out at a vent that is open meanwhile, or is opened or bled afterwards.
            const bool aired = sort == "coolant" && !vent.empty();
            const bool open = aired && once_in(3);
            if (open) steps.push_back("slacken: " + vent);
            steps.push_back(filled(id));
            if (aired && !open) steps.push_back((once_in(2) ? "slacken: " : "bleed: ") + vent);
            if (aired) steps.push_back("torque: " + vent);
            const bool run = run_.contains(id);
            if (run) steps.push_back("set: { " + settings_names_[0] + ": running }");
            if (sort != "gear-oil") steps.push_back("circulate: " + id);
            if (run) steps.push_back("set: { " + settings_names_[0] + ": stopped }");
        }
        if (settling_.contains(id) && !once_in(6)) steps.push_back("wait: 10 min");
        if (sort != "fuel") steps.push_back("level: " + id);
        steps.push_back("leak-check: " + id);
        return steps;
    }

    int some_cover() { return covers_.empty() || !once_in(2) ? -1 : static_cast<int>(below(covers_.size())); }

    // What is behind something that is there on both sides mostly is, too.
    bool on_sides(int behind) {
        if (behind >= 0 && !once_in(8)) return cover_sided_[static_cast<std::size_t>(behind)];
        return once_in(2);
    }

    void cover() {
        Assembly made;
        const int behind = some_cover();
        const bool sided = on_sides(behind);
        const std::string id = name("cover");
        bool locked = false;
        const bool pinch = once_in(4);
        const std::string bolt =
            fastener("bolt", behind, sided, pinch ? std::string(", duty: pinch") : maybe_locker(locked));
        const std::string second = once_in(2) ? clip("clip", behind, sided) : std::string();
        std::string more = ", held-by: [" + bolt + (second.empty() ? "" : ", " + second) + "]";
        if (!settings_names_.empty() && once_in(4)) more += ", while: { fit: { " + settings_names_[0] + ": stopped } }";
        const bool greased = once_in(4);
        if (greased) more += ", lubricant: grease";
        part(id, behind, sided, more);
        const bool stays_in = pinch && !once_in(4);
        if (stays_in || once_in(3)) made.open.push_back("slacken: " + bolt);
        if (!stays_in) made.open.push_back("remove: " + bolt);
        if (!second.empty()) made.open.push_back("remove: " + second);
        made.open.push_back("remove: " + id);
        if (greased && !once_in(3)) made.close.push_back("clean: " + id);
        if (greased) {
            Step apply("apply: grease");
            apply.lines.push_back("to: " + id);
            apply.lines.push_back("amount: 1 g");
            made.close.push_back(apply);
        }
        made.close.push_back("fit: " + id);
        if (!second.empty()) made.close.push_back("fit: " + second);
        add(made.close, tighten(bolt, locked, !stays_in));
        made.behind = behind < 0 ? -1 : cover_work_[static_cast<std::size_t>(behind)];
        put(std::move(made));
        covers_.push_back(id);
        cover_sided_.push_back(sided);
        cover_work_.push_back(static_cast<int>(work_.size()) - 1);
    }

    void caliper() {
        Assembly made;
        const int behind = some_cover();
        const bool sided = on_sides(behind);
        const bool moved = once_in(2);
        const std::string vents = moved ? circuit("hydraulic") : std::string();
        const std::string screw =
            moved && once_in(2) ? fastener("screw", -1, sided, ", critical: true, vents: " + vents) : std::string();
        const std::string id = name("caliper");
        bool locked = false;
        const std::string lower = fastener("lower", behind, sided, maybe_locker(locked));
        const std::string upper = fastener("upper", behind, sided);
        uppers_.push_back(upper);
        if (!screw.empty()) vents_.push_back(screw);
        part(id, behind, sided,
             ", held-by: [" + lower + ", " + upper + "], also: { swung: " + lower + " }" +
                 (moved ? ", circuit: " + vents : ""));
        const std::string pad = name("pad");
        part(pad, behind, sided, ", inside: " + id + ", renew-together: [" + pad + "]");
        const std::string other_pad = once_in(2) ? name("pad") : std::string();
        if (!other_pad.empty()) part(other_pad, behind, sided, ", inside: " + id + ", renew-together: [" + pad + "]");
        if (sided) narrowable_.push_back(pad);
        const bool whole = once_in(3);
        made.open = whole ? Steps{"remove: [" + lower + ", " + upper + "]", "remove: " + id}
                          : Steps{"remove: " + lower, "move: { " + id + ": swung }"};
        if (once_in(2)) {
            made.open.push_back("remove: " + pad);
            if (!other_pad.empty() && once_in(2)) {
                made.open.push_back("remove: " + other_pad);
                made.open.push_back("renew: " + other_pad);
                made.open.push_back("fit: " + other_pad);
            } else if (!sided && once_in(2)) {
                made.open.push_back("renew: " + pad);
            }
            made.open.push_back("fit: " + pad);
        } else if (once_in(2)) {
            made.open.push_back("inspect: " + pad);
        }
        made.close = whole ? Steps{"fit: " + id} : Steps{"move: { " + id + ": on }"};
        if (whole) add(made.close, tighten(upper, false));
        add(made.close, tighten(lower, locked));
        if (moved) {
            if (once_in(3)) made.close.push_back("press-back: " + id);
            made.prove = {"prime: " + vents, "level: " + vents};
            if (!screw.empty() && once_in(3)) {
                Steps bleed{"bleed: " + screw, "torque: " + screw, "prime: " + vents, "level: " + vents,
                            "leak-check: " + vents};
                if (once_in(2)) bleed.insert(bleed.begin(), "slacken: " + screw);
                made.prove = std::move(bleed);
            }
        }
        made.behind = behind < 0 ? -1 : cover_work_[static_cast<std::size_t>(behind)];
        put(std::move(made));
    }

    void fluid() {
        static const char* const sorts[] = {"hydraulic", "engine-oil", "coolant", "gear-oil", "fuel"};
        const std::string sort = sorts[below(5)];
        Assembly made;
        const int behind = some_cover();
        const bool sided = on_sides(behind);
        const std::string id = circuit(sort.c_str());
        const std::string said = sort == "hydraulic" ? ", critical: true" : "";
        const std::string plug = fastener("plug", behind, sided, said + ", opens: " + id);
        std::string vent;
        if (once_in(2) || sort == "hydraulic") vent = fastener("vent", -1, sided, said + ", vents: " + id);
        if (once_in(5)) {
            made.open = {"open: " + id};
        } else {
            const bool out = once_in(2);
            made.open = {(out ? "remove: " : "slacken: ") + plug};
            if (out) made.close.push_back("fit: " + plug);
            made.close.push_back("torque: " + plug);
        }
        if (sort == "hydraulic" && once_in(3)) { // at the vent alone
            made.open.clear();
            made.close.clear();
            made.open.push_back("slacken: " + vent);
        }
        made.prove = proofs(id, sort, sort == "hydraulic" || sort == "coolant" ? vent : std::string());
        made.behind = behind < 0 ? -1 : cover_work_[static_cast<std::size_t>(behind)];
        put(std::move(made));
    }

    void wheel() {
        Assembly made;
        const bool sided = once_in(2);
        const std::string lift = setting("states: [down, jacked, stands], unsafe-to-leave: jacked");
        lifts_.push_back(lift);
        const std::string id = name("wheel");
        const bool slackened_down = once_in(2);
        std::string whiles;
        if (slackened_down) whiles = ", while: { slacken: { " + lift + ": down }, torque: { " + lift + ": down } }";
        const std::string nut = fastener("nut", -1, sided, whiles + ", critical: true");
        part(id, -1, sided, ", system: wheel, held-by: " + nut + ", needs: { " + lift + ": stands }");
        if (slackened_down) made.open.push_back("slacken: " + nut);
        add(made.open,
            {"set: { " + lift + ": jacked }", "set: { " + lift + ": stands }", "remove: " + nut, "remove: " + id});
        add(made.close, {"fit: " + id, "fit: " + nut, "snug: " + nut, "set: { " + lift + ": jacked }",
                         "set: { " + lift + ": down }", "torque: " + nut});
        put(std::move(made));
        covers_.push_back(id);
        cover_sided_.push_back(sided);
        cover_work_.push_back(static_cast<int>(work_.size()) - 1);
    }

    void pin() {
        Assembly made;
        const int behind = some_cover();
        const bool sided = on_sides(behind);
        bool locked = false;
        const std::string nut = fastener("nut", behind, sided, maybe_locker(locked));
        const std::string lock = clip("pin", behind, sided, ", locks: " + nut);
        const bool out = once_in(2) || (locked && !once_in(8)); // locker goes on what is out
        made.open = {"remove: " + lock, (out ? "remove: " : "slacken: ") + nut};
        made.close = tighten(nut, locked, out);
        made.close.push_back("fit: " + lock);
        made.behind = behind < 0 ? -1 : cover_work_[static_cast<std::size_t>(behind)];
        put(std::move(made));
    }

    void adjustment() {
        Assembly made;
        const int behind = some_cover();
        const bool sided = on_sides(behind);
        const std::string nut = fastener("nut", behind, sided);
        const std::string chain = name("chain");
        part(chain, -1, sided, "");
        const std::string limit = name("slack");
        limits_ += "  " + limit + ": { of: " + chain + ", within: 25..35 mm, reads-to: 1 mm }\n";
        measures_.push_back(limit);
        const std::string id = name("tension");
        const bool proved = !once_in(4);
        const bool loose = once_in(3);
        std::string marks;
        if (proved && once_in(3)) {
            marks = name("marks");
            limits_ += "  " + marks + ": { of: " + chain + ", maximum: 2 mm, reads-to: 0.5 mm }\n";
            measures_.push_back(marks);
        }
        adjustments_ +=
            "  " + id + ": { name: " + id + ", disturbed-by: [" + nut + (once_in(2) ? ", " + chain : "") + "]";
        if (proved) adjustments_ += ", proved-by: [" + limit + (marks.empty() ? "" : ", " + marks) + "]";
        if (loose) adjustments_ += ", while: { adjust: { " + nut + ": loose } }";
        adjustments_ += std::string(sided ? ", each: side" : "") + " }\n";
        adjusts_.push_back(id);
        std::string next;
        if (once_in(2)) {
            next = name("play");
            adjustments_ +=
                "  " + next + ": { name: " + next + ", after: " + id + (once_in(2) ? ", each: side" : "") + " }\n";
            adjusts_.push_back(next);
        }
        made.open = {"slacken: " + nut};
        if (once_in(3)) made.open.push_back("measure: " + limit);
        made.close = {"adjust: " + id, "torque: " + nut};
        if (proved) made.close.push_back("measure: " + limit);
        if (!marks.empty()) made.close.push_back("measure: " + marks);
        if (!next.empty()) made.close.push_back("adjust: " + next);
        made.behind = behind < 0 ? -1 : cover_work_[static_cast<std::size_t>(behind)];
        put(std::move(made));
    }

    void engine() {
        Assembly made;
        const bool any = once_in(4);
        const std::string id = setting(std::string("states: [stopped, running]") + (any ? ", rest: any" : ""));
        settings_names_.push_back(id);
        made.open = {"set: { " + id + ": running }"};
        made.close = {"set: { " + id + ": stopped }"};
        put(std::move(made));
    }

    void put(Assembly made) { work_.push_back(std::move(made)); }

    void catalogue() {
        if (once_in(2)) engine();
        if (once_in(2)) wheel();
        for (std::size_t i = 1 + below(3); i > 0; --i) cover();
        for (std::size_t i = 1 + below(3); i > 0; --i) {
            switch (below(4)) {
            case 0:
                caliper();
                break;
            case 1:
                fluid();
                break;
            case 2:
                pin();
                break;
            default:
                adjustment();
            }
        }
        std::string& text = shop_.catalogue;
        const auto kind = [&](const char* key, const std::string& entries) {
            if (!entries.empty()) text += std::string(key) + ":\n" + entries;
        };
        text = "catalogue: c\n";
        kind("parts", parts_);
        kind("fasteners", fasteners_);
        kind("circuits", circuits_);
        kind("settings", settings_);
        kind("adjustments", adjustments_);
        kind("limits", limits_);
        kind("torques", torques_);
        text += "consumables:\n  locker: { name: locker, sort: thread-locker, sets-in: 20 min, full-in: 24 h, unit: "
                "drop }\n"
                "  grease: { name: grease, sort: lubricant, unit: g }\n"
                "  stuff: { name: stuff, sort: fluid, unit: L }\n";
    }

    // -- Procedures ------------------------------------------------------------------------------------------------------------
    // Everything that has to be open for this one and is not, its own opening; and all of it closed again.
    void nested(std::size_t i, Steps& open, Steps& close, std::set<std::size_t>& opened, int depth = 0) {
        const Assembly& it = work_[i];
        open_.insert(i);
        opened.insert(i);
        Steps outer_close;
        if (it.behind >= 0 && depth < 4 && !open_.contains(static_cast<std::size_t>(it.behind)))
            nested(static_cast<std::size_t>(it.behind), open, outer_close, opened, depth + 1);
        add(open, it.open);
        add(close, it.close);
        add(close, it.prove);
        add(close, outer_close);
    }

    Step harmless() {
        const std::vector<std::string>& items = in_reach_.empty() || once_in(6) ? items_ : in_reach_;
        switch (below(12)) {
        case 0:
            return "inspect: " + items[below(items.size())];
        case 1: {
            Step apply("apply: grease");
            apply.lines.push_back("to: " + items[below(items.size())]);
            apply.lines.push_back("amount: 1 g");
            return apply;
        }
        case 2:
            return "recheck: " + bolts_[below(bolts_.size())];
        case 3:
            if (!circuits_names_.empty()) return "level: " + circuits_names_[below(circuits_names_.size())];
            return "Wash it.";
        case 4:
            if (!measures_.empty()) return "measure: " + measures_[below(measures_.size())];
            return "Wash it.";
        default:
            return "Wash it.";
        }
    }

    std::string next_id(const char* stem) { return std::string(stem) + std::to_string(++ids_); }

    Steps one_work(bool cut_by_questions, int depth) {
        std::size_t which = below(work_.size());
        for (int tries = 0; tries < 5 && open_.contains(which); ++tries) which = below(work_.size());
        if (open_.contains(which)) return {harmless()};
        std::set<std::size_t> opened;
        Steps open;
        Steps close;
        nested(which, open, close, opened);
        Steps inside;
        if (depth > 0 && once_in(3)) inside = one_work(true, depth - 1);
        if (once_in(4)) inside.push_back(harmless());
        for (const std::size_t each : opened) open_.erase(each);
        Steps whole = open;
        if (cut_by_questions && once_in(8)) { // closes and stops
            Step ask;
            ask.kind = Kind::ask;
            ask.id = next_id("q");
            ask.so = close;
            Step stop;
            stop.kind = Kind::stop;
            ask.so.push_back(stop);
            whole.push_back(ask);
        }
        add(whole, inside);
        add(whole, close);
        if (!cut_by_questions || questions_ >= 8) return whole;
        return controlled(std::move(whole), depth);
    }

    // Where a list can be cut so that no step of the second half names one of the first.
    std::size_t some_cut(Steps& whole) {
        const std::size_t cut = below(whole.size() + 1);
        const auto middle = whole.begin() + static_cast<std::ptrdiff_t>(cut);
        Steps second(middle, whole.end());
        const bool names = each_step(second, [&](Steps& list, std::size_t i) {
            const Step& step = list[i];
            if (step.kind != Kind::again && step.kind != Kind::if_answered) return false;
            return std::any_of(whole.begin(), middle, [&](const Step& each) {
                return !each.id.empty() &&
                       (each.id == step.from || (step.kind == Kind::if_answered &&
                                                 step.lines.front().find(each.id + ":") != std::string::npos));
            });
        });
        return names ? whole.size() : cut;
    }

    Steps controlled(Steps whole, int depth) {
        switch (below(8)) {
        case 0: { // on one answer only
            ++questions_;
            Step ask;
            ask.kind = Kind::ask;
            ask.id = next_id("q");
            (once_in(2) ? ask.so : ask.otherwise) = std::move(whole);
            if (depth > 0 && once_in(3)) (ask.so.empty() ? ask.so : ask.otherwise) = one_work(false, depth - 1);
            return {ask};
        }
        case 1:
        case 2: { // begun on one answer, and gone on with later, where the answer is named
            ++questions_;
            const std::size_t cut = some_cut(whole);
            const auto middle = whole.begin() + static_cast<std::ptrdiff_t>(cut);
            const bool yes = once_in(2);
            Step ask;
            ask.kind = Kind::ask;
            ask.id = next_id("q");
            (yes ? ask.so : ask.otherwise) = Steps(whole.begin(), middle);
            Step answered;
            answered.kind = Kind::if_answered;
            answered.lines = {ask.id + (yes ? ": yes" : ": no")};
            answered.so = Steps(middle, whole.end());
            Steps made{ask};
            if (once_in(2)) made.push_back(harmless());
            if (depth > 0 && once_in(3)) add(made, one_work(true, depth - 1));
            // The other answer has work of its own meanwhile, perhaps on the same things.
            const auto other = [&] {
                Step step;
                step.kind = Kind::if_answered;
                step.lines = {ask.id + (yes ? ": no" : ": yes")};
                step.so = depth > 0 && once_in(2) ? one_work(true, depth - 1) : Steps{harmless()};
                return step;
            };
            if (once_in(3)) made.push_back(other());
            const std::size_t second = some_cut(answered.so);
            if (once_in(2) && second > 0 && second < answered.so.size()) { // gone on with in two steps
                Step rest = answered;
                rest.so.erase(rest.so.begin(), rest.so.begin() + static_cast<std::ptrdiff_t>(second));
                answered.so.resize(second);
                made.push_back(answered);
                if (once_in(2)) made.push_back(once_in(2) ? other() : harmless());
                made.push_back(rest);
            } else if (!answered.so.empty()) {
                made.push_back(answered);
            }
            return made;
        }
        case 3: { // two answers must hold
            questions_ += 2;
            Step first;
            first.kind = Kind::ask;
            first.id = next_id("q");
            Step second = first;
            second.id = next_id("q");
            const std::size_t cut = some_cut(whole);
            const auto middle = whole.begin() + static_cast<std::ptrdiff_t>(cut);
            Step begin;
            begin.kind = Kind::if_answered;
            begin.lines = {first.id + ": yes, " + second.id + ": no"};
            Step end = begin;
            if (once_in(2)) end.lines = {second.id + ": no, " + first.id + ": yes"};
            begin.so = Steps(whole.begin(), middle);
            end.so = Steps(middle, whole.end());
            Steps made{first, second};
            if (!begin.so.empty()) made.push_back(begin);
            if (once_in(2)) made.push_back(harmless());
            if (!end.so.empty()) made.push_back(end);
            return made;
        }
        case 4: { // again and again
            whole.front().id = whole.front().id.empty() ? next_id("r") : whole.front().id;
            Step again;
            again.kind = Kind::again;
            again.from = whole.front().id;
            again.at_most = static_cast<int>(2 + below(2));
            if (once_in(2)) again.otherwise = depth > 0 ? one_work(true, depth - 1) : Steps{harmless()};
            if (once_in(4)) {
                Step stop;
                stop.kind = Kind::stop;
                again.otherwise.push_back(stop);
            }
            if (once_in(3)) { // and what was answered in the last round is named after it
                ++questions_;
                Step ask;
                ask.kind = Kind::ask;
                ask.id = next_id("q");
                whole.push_back(ask);
                whole.push_back(again);
                Step answered;
                answered.kind = Kind::if_answered;
                answered.lines = {ask.id + ": yes"};
                answered.so = one_work(false, 0);
                whole.push_back(answered);
                return whole;
            }
            whole.push_back(again);
            return whole;
        }
        default:
            return whole;
        }
    }

    void all_on(Steps& steps, const std::string& side) {
        each_step(steps, [&](Steps& list, std::size_t i) {
            const bool plain = list[i].kind == Kind::verb && list[i].lines.front().find(':') == std::string::npos;
            if (!plain && list[i].kind != Kind::again && list[i].kind != Kind::stop) list[i].only = side;
            return false;
        });
    }

    Procedure procedure() {
        Procedure made;
        made.name = "work-" + std::to_string(++procedures_);
        made.each = once_in(2);
        questions_ = 0;
        ids_ = 0;
        const std::size_t sections = 1 + below(2);
        if (sections == 2 && once_in(3)) { // opened in one section, closed in the next, proved in a third
            Steps open;
            Steps close;
            const std::size_t which = below(work_.size());
            std::set<std::size_t> opened;
            nested(which, open, close, opened);
            open_.clear();
            made.sections.push_back({"", false, open});
            const std::size_t prove = work_[which].behind < 0 ? work_[which].prove.size() : 0;
            Steps last(close.end() - static_cast<std::ptrdiff_t>(prove), close.end());
            close.resize(close.size() - prove);
            if (!close.empty()) made.sections.push_back({"Close", false, close});
            if (!last.empty()) made.sections.push_back({"Prove", true, last});
            return made;
        }
        for (std::size_t s = 0; s < sections; ++s) {
            Section section;
            if (s > 0) section.name = "Part " + std::to_string(s);
            if (s > 0) section.once = once_in(2);
            for (std::size_t works = 1 + below(3); works > 0; --works) {
                Steps more = one_work(true, 2);
                if (made.each && once_in(6)) all_on(more, once_in(2) ? "left" : "right");
                add(section.steps, more);
            }
            if (!shop_.procedures.empty() && once_in(5))
                section.steps.push_back("do: " + shop_.procedures[below(shop_.procedures.size())].name);
            made.sections.push_back(std::move(section));
        }
        return made;
    }

    // Work that is cut in two procedures, which say how the one leaves things and the other finds them: what the caller knows of how a
    // procedure leaves things, it says in their `ends-with` and `starts-with`; and a third that does both.
public:
    struct Cut {
        Procedure first;
        Procedure second;
        Procedure both;
    };
    Cut cut_in_two() {
        questions_ = 0;
        ids_ = 0;
        open_.clear();
        const std::size_t which = below(work_.size());
        Steps whole;
        Steps close;
        std::set<std::size_t> opened;
        nested(which, whole, close, opened);
        if (once_in(2)) whole.push_back(harmless());
        add(whole, close);
        open_.clear();
        const auto middle = whole.begin() + static_cast<std::ptrdiff_t>(1 + below(whole.size() - 1));
        Cut cut;
        const std::string number = std::to_string(++procedures_);
        cut.first.name = "begin-" + number;
        cut.second.name = "end-" + number;
        cut.both.name = "both-" + number;
        cut.first.sections.push_back({"", false, Steps(whole.begin(), middle)});
        cut.second.sections.push_back({"", false, Steps(middle, whole.end())});
        Steps calls{"do: " + cut.first.name, "do: " + cut.second.name};
        if (once_in(3)) calls.insert(calls.begin() + 1, random_verb());
        cut.both.sections.push_back({"", false, calls});
        cut.both.each = once_in(3);
        cut.first.each = once_in(3);
        cut.second.each = once_in(3);
        if (once_in(3)) mutate(cut.first);
        if (once_in(3)) mutate(cut.second);
        return cut;
    }

private:
    // -- Mistakes --------------------------------------------------------------------------------------------------------------
    Step random_verb() {
        const std::string item = items_[below(items_.size())];
        const std::string bolt = bolts_[below(bolts_.size())];
        switch (below(18)) {
        case 16:
            if (!vents_.empty()) return "bleed: " + vents_[below(vents_.size())];
            return "clean: " + item;
        case 17:
            if (!uppers_.empty()) return "remove: " + uppers_[below(uppers_.size())];
            return "clean: " + item;
        case 0:
            return "remove: " + item;
        case 1:
            return "fit: " + item;
        case 2:
            return "slacken: " + bolt;
        case 3:
            return "torque: " + bolt;
        case 4:
            return "snug: " + bolt;
        case 5:
            return "recheck: " + bolt;
        case 6:
            return "clean: " + item;
        case 7:
            if (!lifts_.empty()) {
                static const char* const states[] = {"down", "jacked", "stands"};
                return "set: { " + lifts_[below(lifts_.size())] + ": " + states[below(3)] + " }";
            }
            return "mark: " + bolt;
        case 8:
            if (!settings_names_.empty())
                return "set: { " + settings_names_[0] + ": " + (once_in(2) ? "running" : "stopped") + " }";
            return "mark: " + bolt;
        case 9:
        case 10:
        case 11:
            if (!circuits_names_.empty()) {
                static const char* const verbs[] = {"fill", "prime", "circulate", "level", "leak-check", "open"};
                const std::string verb = verbs[below(6)], circuit = circuits_names_[below(circuits_names_.size())];
                return verb == "fill" ? filled(circuit) : Step(verb + ": " + circuit);
            }
            return "inspect: " + item;
        case 12:
            if (!adjusts_.empty()) return "adjust: " + adjusts_[below(adjusts_.size())];
            return "inspect: " + item;
        case 13: {
            Step stop;
            stop.kind = Kind::stop;
            return stop;
        }
        case 14:
            return "renew: " + parts_names_[below(parts_names_.size())];
        default: {
            Step wait("wait: 20 min");
            wait.lines.push_back("for: locker");
            return wait;
        }
        }
    }

    void mutate(Procedure& made) {
        Section& section = made.sections[below(made.sections.size())];
        const std::size_t steps = count(section.steps);
        if (steps == 0) return;
        std::size_t at = below(steps);
        each_step(section.steps, [&](Steps& list, std::size_t i) {
            if (at-- != 0) return false;
            const auto here = list.begin() + static_cast<std::ptrdiff_t>(i);
            Step& step = list[i];
            switch (below(9)) {
            case 0:
            case 1:
                if (step.id.empty() && list.size() > 1) list.erase(here);
                return true;
            case 2:
                if (step.kind == Kind::verb) {
                    Step twin = step;
                    twin.id.clear();
                    list.insert(here, twin);
                }
                return true;
            case 3:
                if (i + 1 < list.size() && step.kind == Kind::verb && list[i + 1].kind == Kind::verb)
                    std::swap(list[i].lines, list[i + 1].lines);
                return true;
            case 4:
                if (made.each && step.kind == Kind::verb && step.lines.front().find(':') != std::string::npos)
                    step.only = once_in(2) ? "left" : "right";
                return true;
            case 5: { // put somewhere else
                if (step.kind != Kind::verb || !step.id.empty()) return true;
                const Step taken = step;
                list.erase(here);
                list.insert(list.begin() + static_cast<std::ptrdiff_t>(below(list.size() + 1)), taken);
                return true;
            }
            case 6: // asked on one side only
                if (made.each && step.kind == Kind::ask && once_in(2)) step.only = once_in(2) ? "left" : "right";
                return true;
            case 7:
                if (step.kind == Kind::if_answered) {
                    std::string& says = step.lines.front();
                    if (says.ends_with(": yes"))
                        says.replace(says.size() - 3, 3, "no");
                    else
                        says.replace(says.size() - 2, 2, "yes");
                    return true;
                }
                list.insert(here, random_verb());
                return true;
            default:
                list.insert(here, random_verb());
                return true;
            }
        });
    }

    std::mt19937& random_;
    Shop shop_;
    std::size_t names_ = 0;
    std::size_t ids_ = 0;
    std::size_t questions_ = 0;
    std::size_t procedures_ = 0;
    std::string parts_, fasteners_, circuits_, settings_, adjustments_, limits_, torques_;
    std::set<std::string> settling_, run_; // circuits
    std::vector<std::string> items_, bolts_, parts_names_, circuits_names_, settings_names_, lifts_, measures_,
        adjusts_;
    std::vector<std::string> narrowable_;
    std::vector<std::string> sided_; // there on each side
    std::vector<std::string> vents_;
    std::vector<std::string> uppers_;
    std::vector<std::string> covers_;
    std::vector<bool> cover_sided_;
    std::vector<std::string> in_reach_;
    std::set<std::size_t> open_;  // the work that is under way
    std::vector<int> cover_work_; // which work opens it
    std::vector<Assembly> work_;
};

} // namespace benchleaf::random_shops
