#include "driver/manual.h"

#include "driver/commands.h"
#include "driver/embedded.h"

#include "base/text.h"

#include <fmt/format.h>
#include <span>

namespace benchleaf::driver {

namespace {

// The day of the version in CMakeLists.txt: a page made twice is the same twice.
constexpr std::string_view day = "2026-11-26";

// A text as roff takes it: nothing in it is a request, a hyphen can be copied and searched for, and letters beyond ASCII are named.
std::string escaped(std::string_view text) {
    std::string to;
    for (std::size_t at = 0; at < text.size();) {
        const auto point = base::code_point_at(text, at);
        const char c = text[at];
        if (point.bytes > 1)
            to += fmt::format("\\[u{:04X}]", static_cast<std::uint32_t>(point.value));
        else if (c == '\\')
            to += "\\e";
        else if (c == '-')
            to += "\\-";
        else if (c == '\'')
            to += "\\(aq";
        else if (c == '`')
            to += "\\(ga";
        else if (c == '^')
            to += "\\(ha";
        else if (c == '~')
            to += "\\(ti";
        else
            to += c;
        at += point.bytes;
    }
    return to.starts_with('.') ? "\\&" + to : to;
}

std::string bold(std::string_view text) {
    return "\\fB" + escaped(text) + "\\fR";
}

// "DIR", "JOB... | PROCEDURE...", "pdf|text": what is put for something leans, what is typed as it stands is bold.
std::string value(const OptionSays& option) {
    if (option.takes != Takes::one_of || option.value.find('|') == std::string::npos)
        return "\\fI" + escaped(option.value) + "\\fR";
    std::string to;
    for (const std::string& each : option.choices) to += (to.empty() ? "" : "\\||\\|") + bold(each);
    return to;
}

// Prose, in which `benchleaf check` is something that is typed.
std::string prose(std::string_view text) {
    std::string to;
    bool typed = false;
    for (const std::string_view part : base::split(text, '`')) {
        to += typed ? bold(part) : escaped(part);
        typed = !typed;
    }
    return to;
}

std::string sentence(std::string text) {
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    if (!text.empty() && text.back() != '.') text += '.';
    return text;
}

class Page {
public:
    void head(std::string_view name) { text_ += fmt::format(".SH {}\n", name); }
    void paragraphs(std::string_view notes) {
        for (const std::string_view each : base::split(notes, '\n'))
            if (!each.empty()) text_ += fmt::format(".PP\n{}\n", prose(each));
    }
    void opening(std::string_view text) { text_ += prose(text) + "\n"; } // right below a head
    void item(const std::string& tag, std::string_view about) {
        text_ += fmt::format(".TP\n{}\n{}\n", tag, prose(about));
    }
    void command(const CommandSays& says);
    void examples(std::span<const Example> all);
    void raw(std::string_view text) { text_ += text; }
    void options(const CommandSays& says);
    std::string text() const { return text_; }

private:
    std::string text_;
};

void Page::options(const CommandSays& says) {
    for (const OptionSays& each : says.options) {
        if (each.names.front() == "--help") continue; // every command has it
        std::string tag;
        for (const std::string& name : each.names) tag += (tag.empty() ? "" : ", ") + bold(name);
        if (!each.value.empty()) tag += " " + value(each);
        item(tag, sentence(each.about));
    }
}

// A line that is too long for the page goes on in the next one, as a shell takes it.
std::string typed(std::string line) {
    constexpr std::size_t most = 66;
    constexpr std::string_view indent = "    ";
    std::string to;
    while (base::code_points(line) > most) {
        std::size_t at = line.rfind(" --", most);
        if (at == std::string::npos || at < indent.size()) at = line.rfind(" \"", most);
        if (at == std::string::npos || at < indent.size()) break;
        to += bold(line.substr(0, at) + " \\") + "\n";
        line = std::string(indent) + line.substr(at + 1);
    }
    return to + bold(line) + "\n";
}

void Page::examples(std::span<const Example> all) {
    if (all.empty()) return;
    text_ += ".PP\n.RS 4\n.nf\n";
    for (const Example& each : all) {
        text_ += typed(each.typed);
        if (!each.about.empty()) text_ += ".RS 4\n" + escaped(each.about) + "\n.RE\n";
    }
    text_ += ".fi\n.RE\n";
}

void Page::command(const CommandSays& says) {
    std::string tag = bold("benchleaf " + says.name);
    for (const OptionSays& each : says.words) tag += " " + value(each);
    if (says.options.size() > 1) tag += " [\\fIoptions\\fR]";
    text_ += fmt::format(".SS {}\n{}\n.PP\n{}\n", escaped(says.name), tag, prose(sentence(says.about)));
    for (const OptionSays& each : says.words) item(value(each), sentence(each.about));
    options(says);
    paragraphs(says.notes);
    examples(says.examples);
}

struct Entry {
    std::string_view name;
    std::string_view about;
};

constexpr Entry files[] = {
    {"shop.yaml", "The shop: its name, paper and language, its wrenches and who may sign. The folder that it stands in "
                  "is the shop's."},
    {"catalogue/", "What there is, and what holds what: parts, fasteners, circuits, torques, limits, cautions."},
    {"vehicles/", "A file for each sort of vehicle: what it has, and where it differs."},
    {"jobs/", "A file for each job: the vehicle, its numbers, and the procedures to be done."},
    {"brakes/, wheels/, ...", "Any other folder holds procedures, and the pictures that they show."},
    {"records/", "What was read and signed, a file for each record, sealed. They are written by `benchleaf record` and "
                 "never changed. A file that ends in .draft holds the answers of a job that is being recorded."},
    {"answers/", "Files of answers, which `benchleaf record --from` takes and `benchleaf check` looks over."},
    {"out/", "Where printed cards and pages go, in the folder that benchleaf is started in; `--out` names another."},
};

constexpr Entry environment[] = {
    {"NO_COLOR", "Set to anything but nothing: messages have no colour, unless `--color always` is given."},
    {"TERM", "Where it is `dumb`, messages have no colour either."},
    {"HOME", "The folder that a `~/` stands for when a line is completed; and in its `.cache` lies what a check of a "
             "large shop leaves behind "
             "for the next one. That may be deleted at any time."},
    {"XDG_CACHE_HOME", "The folder for that, in place of `~/.cache`."},
};

// In the words of the README.
constexpr std::string_view cautions[] = {
    {"Follow the vehicle maker's service manual and local law. A card repeats what you wrote; whether that is what the "
     "maker says, only you can tell."},
    "Work on brakes, steering, wheels and suspension is for a competent, where required licensed, mechanic.",
    "A missing figure stops the card. benchleaf never guesses one, and neither should you.",
    "Walk through a new card at the vehicle before anybody works by it.",
    "There is no warranty: see the licence.",
};

} // namespace

std::string manual(const CommandLineSays& says) {
    Page page;
    page.raw(fmt::format(".TH BENCHLEAF 1 {} \"benchleaf {}\" \"User commands\"\n", day, version()));
    page.head("NAME");
    page.raw("benchleaf \\- turns a workshop\\(aqs procedures into proved job cards\n");
    page.head("SYNOPSIS");
    page.raw("\\fBbenchleaf\\fR [\\fIoptions\\fR] \\fIcommand\\fR [\\fIargument\\fR ...]\n");
    page.head("DESCRIPTION");
    page.opening("A mechanic writes down the work on small vehicles once, as YAML: in a catalogue what there is and "
                 "what holds what, in "
                 "procedures how the work goes. For the vehicle on the lift benchleaf looks up every torque, limit, "
                 "part and caution, and "
                 "proves that whichever way the job goes nothing is left loose, off, open, unbled or out of "
                 "adjustment. Then it prints "
                 "the cards, with a box for each step and each reading.");
    page.paragraphs(
        "Afterwards it takes the readings and signatures, keeps them as sealed records, and tells what is due.\n"
        "Each message names its check in square brackets; `benchleaf explain` says what it finds and how to mend it.");
    page.head("OPTIONS");
    page.opening("These stand before or behind the command.");
    page.item(bold("-h") + ", " + bold("--help"), "A short help, of the command where there is one.");
    page.options(says.program);
    page.head("COMMANDS");
    for (const CommandSays& each : says.commands)
        if (!each.hidden) page.command(each);
    page.head("FILES");
    page.opening("Of a shop, below its folder:");
    for (const Entry& each : files) page.item("\\fI" + escaped(each.name) + "\\fR", each.about);
    page.head("EXIT STATUS");
    for (const StatusSays& each : statuses)
        page.item(bold(std::to_string(each.status)), sentence(std::string(each.about)));
    page.head("ENVIRONMENT");
    for (const Entry& each : environment) page.item("\\fB" + escaped(each.name) + "\\fR", each.about);
    page.head("EXAMPLES");
    page.opening("More of them stand with each command.");
    page.examples(says.program.examples);
    page.head("SAFETY");
    page.opening(cautions[0]);
    for (const std::string_view each : std::span(cautions).subspan(1)) page.paragraphs(each);
    return page.text();
}

} // namespace benchleaf::driver
