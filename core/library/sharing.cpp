#include "core/library/sharing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <set>
#include <string>
#include <vector>

#include "core/library/journal.h"
#include "core/library/library_file.h"

namespace beatwitness::library {
namespace {

/// A word that must not stay, and what takes its place.
struct Replaced {
    std::string word, by;
};

/// Hides everything that is not the project's, so that purging removes it.
void hideTheRest(Database& database, ProjectId project) {
    database.run("UPDATE project SET deleted_at_us = 1 WHERE id <> ?", project);
    database.run(
        "UPDATE session SET deleted_at_us = 1 WHERE id NOT IN (SELECT session_id FROM project_session WHERE "
        "project_id = ?)",
        project);
    database.run("UPDATE planned_session SET deleted_at_us = 1 WHERE project_id <> ?", project);
    database.run(
        "DELETE FROM planned_device WHERE planned_id IN (SELECT id FROM planned_session WHERE deleted_at_us "
        "IS NOT "
        "NULL)");
    database.run(
        "UPDATE device SET deleted_at_us = 1 WHERE id NOT IN (SELECT wearing.device_id FROM wearing JOIN "
        "session ON "
        "session.id = session_id WHERE session.deleted_at_us IS NULL AND wearing.deleted_at_us IS NULL) AND "
        "id NOT IN "
        "(SELECT device_id FROM planned_device) AND id NOT IN (SELECT device_id FROM project_device WHERE "
        "project_id = "
        "?)",
        project);
    database.run(
        "UPDATE wearer SET deleted_at_us = 1 WHERE id NOT IN (SELECT wearer_id FROM session WHERE wearer_id "
        "IS NOT NULL "
        "AND deleted_at_us IS NULL)");
    database.run(
        "UPDATE activity SET deleted_at_us = 1 WHERE id NOT IN (SELECT activity_id FROM session WHERE "
        "activity_id IS NOT "
        "NULL AND deleted_at_us IS NULL UNION SELECT activity_id FROM planned_session WHERE activity_id IS "
        "NOT NULL AND "
        "deleted_at_us IS NULL)");
    // Of other projects' sessions the journal tells as well.
    database.run("DELETE FROM journal");
}

std::vector<std::string> textsOf(Database& database, std::string_view sql) {
    std::vector<std::string> texts;
    auto rows = database.statement(sql);
    while (rows.step())
        texts.emplace_back(rows.text(0));
    return texts;
}

// --- Pseudonyms ------------------------------------------------------------------------------------------

bool isLetter(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || static_cast<unsigned char>(c) >= 0x80;
}

std::vector<std::string> wordsOf(const std::string& text) {
    std::vector<std::string> words;
    for (std::size_t i = 0; i < text.size();) {
        while (i < text.size() && !isLetter(text[i]))
            ++i;
        const std::size_t begin = i;
        while (i < text.size() && isLetter(text[i]))
            ++i;
        if (i - begin >= 3) words.push_back(text.substr(begin, i - begin));
    }
    return words;
}

/// "wearer 3" is a pseudonym already: its words are everybody's.
bool isPseudonym(const std::string& label) {
    return label.starts_with("wearer ") &&
           std::ranges::all_of(label.substr(7), [](unsigned char c) { return std::isdigit(c) != 0; });
}

/// Wearers by number in the order of their first session.
std::vector<Replaced> renameWearers(Database& database) {
    std::vector<std::pair<std::int64_t, std::string>> wearers;
    {
        auto rows = database.statement(
            "SELECT wearer.id, label FROM wearer LEFT JOIN session ON wearer_id = wearer.id GROUP BY "
            "wearer.id ORDER BY "
            "MIN(session.start_us), wearer.id");
        while (rows.step())
            wearers.emplace_back(rows.integer(0), rows.text(1));
    }
    std::vector<Replaced> replaced;
    // Past each other by way of a name that nobody has: labels are unique.
    for (const auto& [id, label] : wearers)
        database.run("UPDATE wearer SET label = ? WHERE id = ?", fmt::format("\x01{}", id), id);
    for (std::size_t i = 0; i < wearers.size(); ++i) {
        const auto& [id, label] = wearers[i];
        const auto name = fmt::format("wearer {}", i + 1);
        database.run("UPDATE wearer SET label = ?, note = '' WHERE id = ?", name, id);
        if (isPseudonym(label)) continue;
        replaced.push_back({label, name});
        for (auto& word : wordsOf(label))
            replaced.push_back({std::move(word), name});
    }
    return replaced;
}

/// Units of each device by number, in the order of their first wearing.
std::vector<Replaced> renameUnits(Database& database) {
    std::vector<std::pair<std::int64_t, std::string>> units;
    {
        auto rows = database.statement(
            "SELECT device_id, unit FROM wearing WHERE unit <> '' GROUP BY device_id, unit ORDER BY "
            "device_id, MIN(id)");
        while (rows.step())
            units.emplace_back(rows.integer(0), rows.text(1));
    }
    std::vector<Replaced> replaced;
    std::int64_t device = -1;
    int number = 0;
    for (const auto& [of, unit] : units) {
        number = of == device ? number + 1 : 1;
        device = of;
        const auto name = fmt::format("unit {}", number);
        database.run("UPDATE wearing SET unit = ? WHERE device_id = ? AND unit = ?", "\x01" + name, of, unit);
        if (unit.size() >= 4) replaced.push_back({unit, name});
    }
    database.run("UPDATE wearing SET unit = substr(unit, 2) WHERE unit <> ''");
    return replaced;
}

std::vector<Replaced> serials(Database& database) {
    std::vector<Replaced> replaced;
    for (auto& serial : textsOf(database, "SELECT DISTINCT serial FROM recording WHERE serial <> ''"))
        if (serial.size() >= 3) replaced.push_back({std::move(serial), "\u2026"});
    return replaced;
}

// --- What is left out ------------------------------------------------------------------------------------

/// Everything that people wrote freely, and what files say of who made them.
constexpr const char* emptied = R"sql(
DELETE FROM original;
DELETE FROM recording_guess;
DELETE FROM recording_warning;
DELETE FROM edition;
DELETE FROM outcome;
UPDATE recording SET file = 'recording ' || id || '.' || format, serial = '', device = '', sport = '';
UPDATE recording_lap SET label = '';
UPDATE session SET note = '', place = '', zone = '', medication = '';
UPDATE device SET note = '';
UPDATE activity SET note = '';
UPDATE planned_session SET note = '';
UPDATE pin SET note = '';
UPDATE flag_decision SET note = '';
)sql";

struct Column {
    std::string table, name;
};

/// Words of closed lists, digests and keys: no place for a name, and a replaced word would be damage.
bool isClosed(const Column& column) {
    static constexpr std::array<std::string_view, 27> closed{
        "channel.kind",          "criterion.metric",      "criterion.sense",      "figure.kind",
        "figure.scale",          "figure.size",           "phase.kind",           "phase.origin",
        "recording.clock",       "recording.format",      "recording.read_by",    "recording.sha256",
        "wearer.label",          "wearer.skin_tone",      "wearing.clock",        "wearing.outcome",
        "wearing.role",          "wearing.unit",          "recording.file",       "planned_session.day",
        "comparison.choices",    "recording.firmware",    "flag_decision.kind",   "flag_decision.new_kind",
        "flag_decision.verdict", "flag_decision.flagged", "project_threshold.key"};
    return std::ranges::find(closed, column.table + "." + column.name) != closed.end();
}

std::vector<Column> textColumns(Database& database) {
    std::vector<Column> columns;
    for (const auto& table : textsOf(
             database, "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%'")) {
        auto rows = database.statement("SELECT name FROM pragma_table_info(?) WHERE type = 'TEXT'", table);
        while (rows.step())
            if (Column column{table, std::string{rows.text(0)}}; !isClosed(column)) columns.push_back(column);
    }
    return columns;
}

bool sameLetters(std::string_view a, std::string_view b) {
    return std::ranges::equal(
        a, b, [](unsigned char x, unsigned char y) { return std::tolower(x) == std::tolower(y); });
}

/// Whole words only, whatever their case.
std::string without(std::string text, const Replaced& replaced) {
    const auto& word = replaced.word;
    for (std::size_t at = 0; at + word.size() <= text.size();) {
        const bool begins = at == 0 || !isLetter(text[at - 1]) || !isLetter(word.front());
        const std::size_t end = at + word.size();
        const bool ends = end == text.size() || !isLetter(text[end]) || !isLetter(word.back());
        if (begins && ends && sameLetters(std::string_view{text}.substr(at, word.size()), word)) {
            text.replace(at, word.size(), replaced.by);
            at += replaced.by.size();
        } else {
            ++at;
        }
    }
    return text;
}

void replaceEverywhere(Database& database, std::vector<Replaced> words) {
    std::erase_if(words, [](const Replaced& one) { return one.word.empty(); });
    // The whole name before its parts.
    std::ranges::stable_sort(words, std::greater{}, [](const Replaced& one) { return one.word.size(); });
    for (const auto& column : textColumns(database)) {
        const auto quoted = fmt::format("\"{}\"", column.name);
        for (const auto& text : textsOf(database, fmt::format("SELECT DISTINCT {} FROM \"{}\" WHERE {} <> ''",
                                                              quoted, column.table, quoted))) {
            auto changed = text;
            for (const auto& word : words)
                changed = without(std::move(changed), word);
            if (changed == text) continue;
            database.run(fmt::format("UPDATE \"{}\" SET {} = ? WHERE {} = ?", column.table, quoted, quoted),
                         changed, text);
        }
    }
}

/// Two devices of which only a name told them apart would have one label.
void keepLabelsApart(Database& database) {
    for (const auto* table : {"device", "activity"})
        database.run(fmt::format(
            "UPDATE {0} SET label = label || ' (' || id || ')' WHERE id NOT IN (SELECT MIN(id) FROM "
            "{0} GROUP BY label)",
            table));
}

void makeFitForOthers(Database& database) {
    auto words = renameWearers(database);
    for (auto more : {renameUnits(database), serials(database)})
        std::ranges::move(more, std::back_inserter(words));
    database.runScript(emptied);
    // Unique labels would keep two of them from becoming one; they are told apart again below.
    database.run("DROP INDEX device_label");
    database.run("DROP INDEX activity_label");
    replaceEverywhere(database, std::move(words));
    keepLabelsApart(database);
    database.run("CREATE UNIQUE INDEX device_label ON device (label) WHERE deleted_at_us IS NULL");
    database.run("CREATE UNIQUE INDEX activity_label ON activity (label) WHERE deleted_at_us IS NULL");
}

/// Opens the whole copy, cuts it down and closes it again: one tidy file.
Result<Done> cutDown(const std::filesystem::path& part, ProjectId project, Sharing sharing) {
    {
        auto file = LibraryFile::open(part);
        if (!file) return file.fault();
        auto& database = file->database();
        Transaction transaction{database, Durability::Full};
        hideTheRest(database, project);
        if (auto done = transaction.commit(); !done) return done.fault();
    }
    {
        auto copy = Library::open(part);
        if (!copy) return copy.fault();
        if (auto done = copy->purgeDeleted(); !done) return done.fault();
    }
    auto file = LibraryFile::open(part);
    if (!file) return file.fault();
    auto& database = file->database();
    Transaction transaction{database, Durability::Full};
    database.run("DELETE FROM journal");
    if (sharing == Sharing::Copy) makeFitForOthers(database);
    note(database,
         sharing == Sharing::Copy ? "made as a copy for sharing, without originals, serial numbers and notes"
                                  : "made as a project's library",
         std::nullopt);
    if (auto done = transaction.commit(); !done) return done.fault();
    // Rewrites the file: free pages would still hold what was left out.
    database.run("VACUUM");
    return database.outcome();
}

}  // namespace

Result<Done> saveProject(Library& library, ProjectId project, const std::filesystem::path& copy,
                         Sharing sharing, const RunControl& run) {
    namespace fs = std::filesystem;
    if (const auto there = library.particulars(project); !there) return there.fault();
    std::error_code error;
    if (fs::equivalent(copy, library.path(), error))
        return Fault{FaultCode::WrongUsage,
                     "a copy cannot take the place of the library that is open",
                     copy.string(),
                     {},
                     {}};
    fs::path part = copy;
    part += ".making";
    auto done = library.saveCopy(part);
    run.progress(0.5);
    if (done && run.stopRequested()) done = cancelled();
    if (done) done = cutDown(part, project, sharing);
    if (done && run.stopRequested()) done = cancelled();
    if (done) {
        fs::rename(part, copy, error);
        if (!error) return done;
        done = Fault{FaultCode::NotWritable,
                     fmt::format("the copy could not be put in its place ({})", error.message()),
                     copy.string(),
                     {},
                     {}};
    }
    fs::remove(part, error);
    for (const auto* rest : {"-wal", "-shm"})
        fs::remove(fs::path{part.string() + rest}, error);
    return done;
}

}  // namespace beatwitness::library
