// One function a command. Each takes what the command line said, does its work and gives the exit status. The options are plain
// structs, so that a test can call a command without a command line.
#pragma once

#include "driver/stage.h"
#include "driver/terminal.h"
#include "pages/pages.h"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

enum Status : int { clean = 0, input_has_errors = 1, wrong_usage = 2, machine_failed = 3 };

// In the words of the help and of the man page.
struct StatusSays {
    Status status;
    std::string_view about;
};
inline constexpr std::array<StatusSays, 4> statuses = {{
    {clean, "clean, warnings may have been shown"},
    {input_has_errors, "the input has errors, and nothing was written"},
    {wrong_usage, "wrong usage"},
    {machine_failed, "the machine failed (a file, a disk, a permission)"},
}};

// human: the first of them; gnu: a line each, as editors jump to; sarif: OASIS SARIF 2.1.0
enum class MessageForm : std::uint8_t { human, all, json, gnu, sarif };
constexpr bool is_for_programs(MessageForm form) { // and so nothing else stands on standard error
    return form == MessageForm::json || form == MessageForm::sarif;
}

struct Global {
    std::string shop; // --shop; empty: look for it
    MessageForm messages = MessageForm::human;
};

struct CheckArguments {
    std::vector<std::string> paths;
    std::optional<Stage> stop_after;
    bool dump = false;
    bool approved = false; // what nobody has approved is an error
    bool fix = false;
    bool yes = false;
    bool watch = false; // and again whenever a file changes
    bool anew = false;  // with nothing of what an earlier check left
    int cores = 0;      // all that the machine has, where it pays
};
int check(const CheckArguments& arguments, const Global& global, Terminal& terminal);

enum class Form : std::uint8_t { pdf, text, json };

struct PrintArguments {
    std::vector<std::string> names; // jobs, or with a vehicle procedures
    std::string vehicle;
    bool all = false;
    std::string out; // empty: the folder `out`; text and json go to standard output
    Form as = Form::pdf;
    std::optional<pages::Paper> paper;
    std::string language; // empty: the shop's
    bool no_form = false;
    bool split = false;   // a file a card, and not one a job
    std::string depfile;  // empty: none
    std::string bindings; // the folder of their lists; empty: none
    int cores = 0;        // all that the machine has, where it pays
};
int print(const PrintArguments& arguments, const Global& global, Terminal& terminal);

struct BindingsArguments {
    std::string out;
};
int bindings(const BindingsArguments& arguments, const Global& global, Terminal& terminal);

struct RecordArguments {
    std::string job;
    std::vector<std::string> from; // a file of answers, or cards that were filled in: a booklet or one by one
    std::vector<std::string> card; // printed ones, that carry the files which they were made of
    bool sheet = false;            // prints the boxes, to be filled in by hand
    bool page = false;             // prints the customer's page of the record that there is
    bool correct = false;
    std::string reason;
    std::string out = "out"; // the folder for the customer's page
};
int record(const RecordArguments& arguments, const Global& global, Terminal& terminal);

struct VerifyArguments {
    std::string what; // the words of a code square, or a PDF
    bool json = false;
};
int verify(const VerifyArguments& arguments, const Global& global, Terminal& terminal);

struct WhereArguments {
    std::string name; // `bolt`, `frame/bolt`, or that of a file
    bool json = false;
};
int where(const WhereArguments& arguments, const Global& global, Terminal& terminal);

struct CompareArguments {
    std::string before, after; // each a shop, a part of one, a bundle, a card, a revision: shop_state.h
    bool json = false;
};
int compare(const CompareArguments& arguments, Terminal& terminal);

struct ApproveArguments {
    std::vector<std::string> procedures; // none, and not `all`: says how they stand
    bool all = false;
    std::string by; // initials
    std::string note;
    std::string key; // signs with it: a file of ssh-keygen's
    bool json = false;
};
int approve(const ApproveArguments& arguments, const Global& global, Terminal& terminal);

struct BundleArguments {
    std::vector<std::string> procedures;
    std::vector<std::string> vehicles; // none: those that they fit
    std::string out;
    bool json = false;
};
int bundle_up(const BundleArguments& arguments, const Global& global, Terminal& terminal);

struct AdoptArguments {
    std::string file;                      // a bundle, or a printed card
    std::vector<std::string> procedures;   // none: all that are in it
    std::vector<std::string> mine, theirs; // names of what differs
    std::vector<std::string> both;         // NAME=NEW-NAME
    bool all_mine = false, all_theirs = false;
    bool no_vehicles = false;
    bool dry_run = false;
};
int adopt(const AdoptArguments& arguments, const Global& global, Terminal& terminal);

struct HistoryArguments {
    std::string identity; // any number of a vehicle, or a job
    Form as = Form::text;
    std::string out; // empty: the folder `out` for PDF; text and JSON go to standard output
    std::optional<pages::Paper> paper;
    std::string language; // empty: the shop's
};
int show_history(const HistoryArguments& arguments, const Global& global, Terminal& terminal);

struct DueArguments {
    std::string at; // the day; empty: today
    bool json = false;
};
int show_due(const DueArguments& arguments, const Global& global, Terminal& terminal);

int explain(const std::string& name, const Global& global, Terminal& terminal);

struct NewArguments {
    std::string kind;
    std::string name; // of a procedure perhaps with its folder: "brakes/front-disc-service"
};
int start_new(const NewArguments& arguments, const Global& global, Terminal& terminal);

struct SchemaArguments {
    std::string kind;
    bool write = false; // those of all kinds, into the shop's folder
};
int schema(const SchemaArguments& arguments, const Global& global, Terminal& terminal);

struct TorqueArguments {
    std::vector<std::string> stages; // "24 N·m ±10 %", or its stages: "30 N·m" "+90°"
    std::string thread;              // "M8x1.25"; empty: no preload
    std::string strength_class;      // "8.8"
    std::string condition = "dry";   // of the thread, as the language has it
    std::string wrench_length;       // else that of the shop's wrench
    std::string adapter;             // its length
    std::string angle = "0°";        // and its angle to the wrench
    std::string date;                // for the calibration; empty: not looked at
    int count = 0;                   // of fasteners in the ring
    int rounds = 1;
    bool json = false;
};
int torque(const TorqueArguments& arguments, const Global& global, Terminal& terminal);

struct WearArguments {
    std::vector<std::string> readings; // "6.4mm@12460km", the newest last
    std::string minimum, maximum;      // one of them
    std::string reads_to;              // the step of the gauge
    std::string uncertainty;           // empty: not reckoned with
    std::string as_new;                // the size when new
    std::string new_at;                // and the stand of the meter then; empty: 0
    std::string meter;                 // its stand today
    std::string next_service;          // "+6000km", or a stand of the meter
    std::string margin = "1.25";
    std::string reading; // of today, to be judged
    bool json = false;
};
int wear(const WearArguments& arguments, Terminal& terminal);

} // namespace benchleaf::driver
