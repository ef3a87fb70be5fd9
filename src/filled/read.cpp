#include "filled/filled.h"

#include "base/text.h"
#include "filled/fields.h"
#include "filled/libqpdf.h"
#include "filled/text.h"
#include "filled/unpack.h"
#include "filled/warnings.h"

#include <fmt/format.h>

#include <memory>
#include <new>
#include <optional>
#include <set>

namespace benchleaf::filled {

namespace {

// Of a table of objects of so many bytes libqpdf keeps up to half as many entries; a hundred thousand fields need about a million bytes.
constexpr std::size_t most_to_open = 4U << 20U;
constexpr std::size_t most_of_objects = 64U << 20U;
constexpr std::size_t most_unsaid = 64U << 20U; // of an attachment that does not say how long it is; a card's does
constexpr std::size_t most_attachments = 10'000;
constexpr std::string_view remedy = "open it in the program that filled it in, and save it again";

// Before libqpdf is asked. It would look for the last end that there is: of a file that lost what was saved last, that is the end of the
// state before, and nobody would be told.
std::optional<std::string> not_whole(std::string_view bytes) {
    if (bytes.empty()) return "this is no PDF: the file is empty";
    if (bytes.size() > most_bytes) return fmt::format("it has more than {} MB, which no card has", most_bytes >> 20U);
    constexpr std::size_t room_before = 1024; // where readers look for the head
    if (bytes.substr(0, room_before).find("%PDF-") == std::string_view::npos) return "this is no PDF";
    constexpr std::string_view mark = "%%EOF";
    const std::size_t end = bytes.rfind(mark);
    constexpr std::string_view blank(" \t\r\n\f\0", 6);
    if (end == std::string_view::npos || bytes.find_first_not_of(blank, end + mark.size()) != std::string_view::npos)
        return fmt::format("damaged: it does not end as a PDF does, so what was saved last may be missing: {}", remedy);
    return std::nullopt;
}

base::Failure damaged(std::string_view how) {
    std::string line = base::first_bad_utf8(how) ? std::string() : one_line(how);
    if (line.empty()) line = "it cannot be read";
    return base::Failure{fmt::format("damaged: {}: {}", line, remedy)};
}

base::Failure damaged(const QPDFExc& exception) {
    const std::string& where = exception.getObject();
    return damaged((where.empty() ? "" : where + ": ") + exception.getMessageDetail());
}

constexpr const char* table = "its table of objects";
constexpr const char* attachment = "its attachment";

base::Failure too_much(std::string_view what) {
    return base::Failure{fmt::format("{} unpacks to more than a card can hold", what)};
}

struct Attached {
    std::string name;
    QPDFObjectHandle stream;
};

// The sources among the files that the document carries (7.11.4): a tree of names.
class Attachments {
public:
    std::vector<Attached> sources;

    void look_at(QPDFObjectHandle tree, int depth = 0) {
        if (!tree.isDictionary() || depth > most_deep) return;
        if (tree.isIndirect() && !seen_.insert(tree.getObjGen()).second) return;
        QPDFObjectHandle names = tree.getKey("/Names"), kids = tree.getKey("/Kids");
        if (names.isArray())
            for (int i = 1; i < names.getArrayNItems() && more(); i += 2) file(names.getArrayItem(i));
        if (kids.isArray())
            for (int i = 0; i < kids.getArrayNItems() && more(); ++i) look_at(kids.getArrayItem(i), depth + 1);
    }

private:
    static constexpr int most_deep = 32;

    bool more() { return ++looked_at_ <= most_attachments; }

    void file(QPDFObjectHandle specification) {
        QPDFObjectHandle embedded = specification.getKeyIfDict("/EF");
        for (const char* key : {"/UF", "/F"}) {
            const auto name = text_in(specification.getKeyIfDict(key), most_characters);
            if (!name || !name.value().ends_with(".sources.yaml")) continue;
            QPDFObjectHandle unicode = embedded.getKeyIfDict("/UF"), plain = embedded.getKeyIfDict("/F");
            if (unicode.isStream() || plain.isStream())
                sources.push_back({name.value(), unicode.isStream() ? unicode : plain});
            return;
        }
    }

    std::set<QPDFObjGen> seen_;
    std::size_t looked_at_ = 0;
};

std::optional<base::Failure> read_source(QPDF& pdf, Budget& budget, Filled& into) {
    Attachments attachments;
    attachments.look_at(pdf.getRoot().getKey("/Names").getKeyIfDict("/EmbeddedFiles"));
    if (attachments.sources.empty()) return std::nullopt;
    if (attachments.sources.size() > 1)
        return base::Failure{"it carries the sources of several cards: give each of them as a PDF of its own"};
    Attached& source = attachments.sources.front();
    QPDFObjectHandle said = source.stream.getDict().getKey("/Params").getKeyIfDict("/Size");
    const long long size = said.isInteger() ? said.getIntValue() : static_cast<long long>(most_unsaid);
    if (size < 0 || size > static_cast<long long>(most_source_bytes)) return too_much(attachment);
    budget.allow(static_cast<std::size_t>(size));
    if (said.isInteger()) into.source.reserve(static_cast<std::size_t>(size));
    Pl_String to("source", nullptr, into.source);
    bool unpacked = false;
    if (!source.stream.pipeStreamData(&to, &unpacked, 0, qpdf_dl_generalized) || !unpacked)
        return damaged(source.name + " cannot be unpacked");
    if (into.source.size() > most_source_bytes) return too_much(attachment);
    if (said.isInteger() && size != static_cast<long long>(into.source.size()))
        return damaged(source.name + " is not as long as it says");
    into.source_name = source.name;
    return std::nullopt;
}

// Throws what libqpdf throws, Spent and Garbled.
base::Result<Filled> read_open(QPDF& pdf, Form needed, Budget& budget, std::string& what) {
    Filled filled;
    what = "its form";
    budget.allow(most_of_objects);
    static_cast<void>(pdf.getWarnings()); // of how it is put together: it could be opened all the same
    const auto said = [](QPDFObjectHandle where, const char* key) {
        auto text = text_in(where.getKeyIfDict(key), most_characters);
        return text ? std::move(text.value()) : std::string();
    };
    QPDFObjectHandle info = pdf.getTrailer().getKey("/Info");
    filled.title = said(info, "/Title");
    filled.keywords = said(info, "/Keywords");
    filled.language = said(pdf.getRoot(), "/Lang");
    const auto form = read_fields(pdf.getRoot().getKey("/AcroForm"), filled);
    // Of an object that cannot be read libqpdf warns, and goes on with nothing in its place.
    if (const auto warnings = pdf.getWarnings(); !warnings.empty()) return damaged(warnings.front());
    if (!form) return form.failure();
    if (filled.fields.empty() && needed == Form::needed)
        return base::Failure{
            "it holds no form fields: was it printed with --no-form, or flattened or printed to a new PDF?"};
    what = attachment;
    if (auto wrong = read_source(pdf, budget, filled)) return std::move(*wrong);
    if (const auto warnings = pdf.getWarnings(); !warnings.empty()) return damaged(warnings.front());
    return filled;
}

} // namespace

base::Result<Filled> read(std::string_view bytes, Form form) {
    if (auto wrong = not_whole(bytes)) return base::Failure{std::move(*wrong)};
    std::string what = table;
    const auto warnings = std::make_shared<Warnings>();
    try {
        Budget budget(most_to_open);
        QPDF pdf;
        const auto logger = QPDFLogger::create();
        logger->setWarn(warnings); // else it writes them to standard error
        pdf.setLogger(logger);
        pdf.setAttemptRecovery(false);
        pdf.processMemoryFile("card", bytes.data(), bytes.size(), "");
        return read_open(pdf, form, budget, what);
    } catch (const Spent&) {
        return too_much(what);
    } catch (const Garbled&) {
        return damaged(warnings->first());
    } catch (const QPDFExc& exception) {
        if (exception.getErrorCode() == qpdf_e_password)
            return base::Failure{"the PDF is locked with a password: save it without one"};
        if (exception.getErrorCode() == qpdf_e_unsupported && what == table)
            return base::Failure{
                fmt::format("the PDF is locked or packed in a way that benchleaf cannot read ({}): save it "
                            "without a lock",
                            one_line(exception.getMessageDetail()))};
        return damaged(exception);
    } catch (const std::bad_alloc&) {
        return base::Failure{fmt::format("there is not memory enough for {}", what)};
    } catch (const std::exception& exception) {
        return damaged(exception.what());
    } catch (...) {
        return damaged("");
    }
}

} // namespace benchleaf::filled
