// For tests that ask other people's programs: run a command, keep files in a folder of their own, and texts that hold every
// letter of a language.
#pragma once

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>
#include <sys/wait.h>

namespace benchleaf::outside {

struct Ran {
    int status = -1; // -1 when it could not be run or was killed
    std::string out; // both streams
};

inline Ran run(const std::string& command) {
    Ran ran;
    FILE* pipe = popen(("{ " + command + "; } 2>&1").c_str(), "r");
    if (pipe == nullptr) return ran;
    char buffer[4096];
    while (const std::size_t got = std::fread(buffer, 1, sizeof buffer, pipe)) ran.out.append(buffer, got);
    const int status = pclose(pipe);
    if (WIFEXITED(status)) ran.status = WEXITSTATUS(status);
    return ran;
}

// A folder for a test's files, under the build folder; made when it is missing.
inline std::string scratch(const std::string& name) {
    const std::string folder = std::string(BENCHLEAF_BINARY_DIR) + "/scratch/" + name;
    std::filesystem::create_directories(folder);
    return folder;
}

inline void write(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

inline std::string read(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

// Written for these tests so that each holds all the letters that its language adds to a to z.
struct Sentence {
    std::string_view language;
    std::string_view text;
};
inline constexpr Sentence sentences[] = {
    {"English", "Quick jaws gripped a vexing hub flange: zero play, then back off one notch."},
    {"German", "Große Übermaße: Öl prüfen, Ärger spüren, Äxte schärfen, müßig; ÄÖÜ äöüß ẞ."},
    {"French",
     "Où est l’œillet ? Çà et là, un bœuf âgé naît, forêt, maïs, ambiguë, Noël, île, août, ÿ; ÀÂÆÇÉÈÊËÎÏÔŒÙÛÜŸ."},
    {"Spanish", "¿Año? ¡El pingüino comió jalapeño, así está bien! ÁÉÍÑÓÚÜ áéíñóúü."},
    {"Polish", "Źrebię żuło łąkę, gęś ćwierkała, koń śnił; ĄĆĘŁŃÓŚŹŻ ąćęłńóśźż."},
    {"Czech", "Příliš žluťoučký kůň úpěl ďábelské ódy; ČĎĚŇŘŠŤŮŽ."},
    {"Greek", "Σφίξε τον κοχλία: ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ αβγδεζηθικλμνξοπρστυφχψως, ΆΈΉΊΌΎΏΪΫ άέήίόύώϊϋΐΰ."},
    {"Russian", "Съешь ещё: АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ абвгдеёжзийклмнопрстуфхцчшщъыьэюя."},
    {"Ukrainian", "Ґанок, їжак, єнот: ҐЄІЇ ґєії."},
    {"signs", "24 N·m ±10 % × 90° µm Ω “a” „b‘ ‚c’ «d» → ← ↑ ↓ ≥ ≤ ≈ ≠ − ⌀ ⅛ ½ – — … € № 12\u00A0460\u00A0km"},
};

} // namespace benchleaf::outside
