#include "core/recording/text_dialect.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "core/foundation/text.h"
#include "core/recording/text_calendar.h"
#include "core/recording/text_columns.h"
#include "core/recording/text_numbers.h"
#include "core/recording/text_words.h"

namespace beatwitness::recording::text {
namespace {

constexpr std::size_t sampledBytes = 256 * 1024;
constexpr std::size_t sampledRows = 400;
constexpr std::size_t mostColumns = 1024;
/// A unit such as "bpm" under a header word is short; a longer word is data.
constexpr std::size_t longestUnit = 16;

bool isComment(const Row& row, std::string_view text) {
    return row.begin < text.size() && text[row.begin] == '#';
}

/// A table as one separator would part it.
struct Attempt {
    Separator separator;
    std::vector<Row> rows;                     ///< comments too
    std::vector<std::vector<CellKind>> kinds;  ///< of the kept fields of each row
    std::vector<bool> comment;
    std::size_t usualFields = 0;
    double regularity = 0.0;
    double readability = 0.0;
    std::optional<std::size_t> header;  ///< index into rows
    int headerScore = 0;
};

/// True where `cell` holds what would part it under another separator: it is then no cell.
bool holdsForeignSeparator(std::string_view cell, Separator separator) {
    const std::string_view foreign = separator.mark == ',' || separator.mark == '\t' || separator.mark == ';'
                                         ? std::string_view{";\t|"}
                                         : std::string_view{";\t|,"};
    return std::ranges::any_of(
        cell, [&](char c) { return c != separator.mark && foreign.find(c) != std::string_view::npos; });
}

void readRows(Attempt& attempt, std::string_view text) {
    const bool isCut = text.size() > sampledBytes;
    const std::string_view start = text.substr(0, sampledBytes);
    RowScanner scanner{start, attempt.separator, mostColumns};
    Row row;
    while (attempt.rows.size() < sampledRows && scanner.next(row)) {
        const bool commented = isComment(row, start);
        if (commented) {
            RowScanner inside{start.substr(row.begin + 1, row.end - row.begin - 1), attempt.separator,
                              mostColumns};
            Row bare;
            if (inside.next(bare)) {
                row.fields = bare.fields;
                row.fieldCount = bare.fieldCount;
            }
        }
        attempt.rows.push_back(row);
        attempt.comment.push_back(commented);
        std::vector<CellKind>& kinds = attempt.kinds.emplace_back(row.fields.size());
        std::ranges::transform(row.fields, kinds.begin(), kindOf);
    }
    if (isCut && scanner.offset() >= start.size() && attempt.rows.size() > 1) {
        attempt.rows.pop_back();
        attempt.kinds.pop_back();
        attempt.comment.pop_back();
    }
}

/// The number of fields that most rows of the rear half have: a preamble is above.
void measureRegularity(Attempt& attempt) {
    std::map<std::size_t, std::size_t> counts;
    std::size_t rows = 0;
    for (std::size_t i = attempt.rows.size() / 2; i < attempt.rows.size(); ++i)
        if (!attempt.comment[i]) ++counts[attempt.rows[i].fieldCount], ++rows;
    for (const auto& [fields, count] : counts)
        if (rows > 0 && static_cast<double>(count) / static_cast<double>(rows) >= attempt.regularity) {
            attempt.regularity = static_cast<double>(count) / static_cast<double>(rows);
            attempt.usualFields = fields;
        }
}

/// Share of cells that are numbers, times, missing or one clean word.
void measureReadability(Attempt& attempt) {
    double score = 0.0;
    std::size_t cells = 0;
    for (std::size_t i = attempt.rows.size() / 2; i < attempt.rows.size(); ++i) {
        if (attempt.comment[i] || attempt.rows[i].fieldCount != attempt.usualFields) continue;
        const auto& fields = attempt.rows[i].fields;
        cells += fields.size();
        for (std::size_t field = 0; field < fields.size(); ++field)
            if (attempt.kinds[i][field] != CellKind::Word)
                score += 1.0;
            else if (!holdsForeignSeparator(fields[field], attempt.separator))
                score += 0.5;
    }
    attempt.readability = cells == 0 ? 0.0 : score / static_cast<double>(cells);
}

bool isValue(CellKind kind) {
    return kind == CellKind::Number || kind == CellKind::Calendar;
}

int headerScore(const Attempt& attempt, std::size_t index) {
    const Row& row = attempt.rows[index];
    if (row.fieldCount < 2 && attempt.usualFields > 1) return 0;
    if (std::ranges::any_of(attempt.kinds[index], isValue)) return 0;
    bool hasTime = false, hasMeasure = false;
    for (std::size_t i = 0; i < row.fields.size(); ++i) {
        if (attempt.kinds[index][i] == CellKind::Missing) continue;
        const std::string_view cell = row.fields[i];
        if (holdsForeignSeparator(cell, attempt.separator)) continue;
        const Role role = meaningOf(cell).role;
        hasTime |= role == Role::Time;
        hasMeasure |= role == Role::Measure || role == Role::Value;
    }
    if (!hasTime && !hasMeasure) return 0;
    const std::size_t wide = std::max(row.fieldCount, attempt.usualFields),
                      slim = std::min(row.fieldCount, attempt.usualFields);
    const bool isAsWide = wide - slim <= 1;
    return (hasTime && hasMeasure ? 4 : 1) + (isAsWide ? 2 : 0);
}

void findHeader(Attempt& attempt) {
    for (std::size_t i = 0; i < attempt.rows.size(); ++i) {
        const int score = headerScore(attempt, i);
        if (score <= attempt.headerScore) continue;
        attempt.header = i;
        attempt.headerScore = score;
    }
    // A lone word that is no row's width is a line of the preamble.
    if (attempt.headerScore < 2) attempt.header.reset();
}

bool holdsValue(const Row& row) {
    return std::ranges::any_of(row.fields, [](std::string_view cell) { return isValue(kindOf(cell)); });
}

/// A header of words that nobody taught us: no value in it, as wide as the rows, values right below.
void findUnknownHeader(Attempt& attempt) {
    for (std::size_t i = 0; i + 1 < attempt.rows.size(); ++i) {
        if (attempt.comment[i] || attempt.rows[i].fieldCount != attempt.usualFields) continue;
        if (!holdsValue(attempt.rows[i]) && attempt.usualFields > 1 && holdsValue(attempt.rows[i + 1]))
            attempt.header = i;
        return;
    }
}

Attempt attemptWith(Separator separator, std::string_view text) {
    Attempt attempt;
    attempt.separator = separator;
    readRows(attempt, text);
    measureRegularity(attempt);
    measureReadability(attempt);
    findHeader(attempt);
    return attempt;
}

double merit(const Attempt& attempt) {
    const double width = attempt.usualFields > 1 ? 1.0 : 0.2;
    const double penalty =
        attempt.separator.isBlanks ? 0.3 : 0.0;  // blanks stand inside cells of the others too
    return (attempt.headerScore >= 4  ? 2.0
            : attempt.headerScore > 1 ? 0.5
                                      : 0.0) +
           2.0 * width * attempt.regularity * attempt.readability - penalty;
}

Attempt bestAttempt(std::string_view text, std::optional<char> separator) {
    if (separator) return attemptWith(Separator{*separator, *separator == ' '}, text);
    static constexpr std::array<Separator, 5> candidates{
        {{',', false}, {';', false}, {'\t', false}, {'|', false}, {' ', true}}};
    std::optional<Attempt> best;
    const std::string_view start = text.substr(0, sampledBytes);
    bool isWholeTried = false;
    for (const Separator candidate : candidates) {
        // Marks that do not occur all give the same: whole lines.
        const bool occurs = start.find_first_of(candidate.isBlanks ? std::string_view{" \t"}
                                                                   : std::string_view{&candidate.mark, 1}) !=
                            std::string_view::npos;
        if (!occurs && isWholeTried) continue;
        isWholeTried |= !occurs;
        Attempt attempt = attemptWith(candidate, text);
        if (!best || merit(attempt) > merit(*best) + 1e-9) best = std::move(attempt);
    }
    return *std::move(best);
}

std::string unquoted(std::string_view cell) {
    std::string text;
    for (std::size_t i = 0; i < cell.size(); ++i) {
        text += cell[i];
        if (cell[i] == '"' && i + 1 < cell.size() && cell[i + 1] == '"') ++i;
    }
    return text;
}

/// "# start: 2031-03-02T09:00:00Z", "Start time,2031-03-02 9:00", "device = strap".
void addPreambleLine(Dialect& dialect, std::string_view line) {
    const auto strip = [&dialect](std::string_view text) {
        constexpr std::string_view outer = " \t#\"";
        while (!text.empty() && (outer.find(text.front()) != std::string_view::npos))
            text.remove_prefix(1);
        while (!text.empty() &&
               (outer.find(text.back()) != std::string_view::npos || text.back() == dialect.separator.mark))
            text.remove_suffix(1);
        return text;
    };
    line = strip(line);
    if (line.size() > 400) return;
    std::size_t split = line.find_first_of(":=");
    if (!dialect.separator.isBlanks) split = std::min(split, line.find(dialect.separator.mark));
    if (split == std::string_view::npos || split == 0) return;
    std::string_view value = line.substr(split + 1);
    while (!value.empty() &&
           (value.front() == ':' || value.front() == '=' || value.front() == dialect.separator.mark))
        value.remove_prefix(1);
    dialect.preamble.emplace_back(lowered(strip(line.substr(0, split))), std::string{strip(value)});
}

/// "Date,Start time" above "02.03.2031,9:00": a small table of facts about the recording above the real one.
void addPreambleTable(Dialect& dialect, const Row& names, const Row& values) {
    constexpr std::size_t mostFacts = 64;
    if (names.fieldCount < 2 || names.fieldCount != values.fieldCount || names.fieldCount > mostFacts) return;
    if (holdsValue(names) || !holdsValue(values)) return;
    for (std::size_t i = 0; i < names.fields.size(); ++i)
        if (!names.fields[i].empty() && !values.fields[i].empty())
            dialect.preamble.emplace_back(lowered(names.fields[i]), unquoted(values.fields[i]));
}

/// Appends the units of a second header line to the names.
bool takeUnits(Dialect& dialect, const Row& row) {
    if (row.fieldCount != dialect.header.size() || holdsValue(row)) return false;
    bool holdsWord = false;
    for (const auto cell : row.fields) {
        if (cell.size() > longestUnit) return false;
        holdsWord |= kindOf(cell) == CellKind::Word;
    }
    if (!holdsWord) return false;
    for (std::size_t i = 0; i < row.fields.size(); ++i) {
        std::string_view unit = row.fields[i];
        while (!unit.empty() && (unit.front() == '[' || unit.front() == '('))
            unit.remove_prefix(1);
        while (!unit.empty() && (unit.back() == ']' || unit.back() == ')'))
            unit.remove_suffix(1);
        if (!unit.empty()) dialect.header[i] += fmt::format(" [{}]", unit);
    }
    return true;
}

void placeAfter(Dialect& dialect, const Attempt& attempt, std::size_t row, std::string_view text) {
    const Row& above = attempt.rows[row];
    if (row + 1 < attempt.rows.size()) {
        dialect.dataBegin = attempt.rows[row + 1].begin;
        dialect.dataLine = attempt.rows[row + 1].line;
    } else {
        dialect.dataBegin = std::min(text.size(), above.end);
        dialect.dataLine = above.line;
    }
}

/// Header, where the rows begin and what stands above; returns the index of the first row of data.
std::size_t placeTable(Dialect& dialect, const Attempt& attempt, std::string_view text) {
    std::size_t firstRow = 0;
    if (attempt.header) {
        const Row& names = attempt.rows[*attempt.header];
        for (const auto cell : names.fields)
            dialect.header.push_back(unquoted(cell));
        dialect.headerLine = names.line;
        firstRow = *attempt.header + 1;
        if (firstRow < attempt.rows.size() && takeUnits(dialect, attempt.rows[firstRow])) ++firstRow;
        placeAfter(dialect, attempt, firstRow - 1, text);
    } else {
        while (firstRow < attempt.rows.size() &&
               (attempt.comment[firstRow] || attempt.rows[firstRow].fieldCount != attempt.usualFields ||
                !holdsValue(attempt.rows[firstRow])))
            ++firstRow;
        if (firstRow == attempt.rows.size()) firstRow = 0;
        if (!attempt.rows.empty()) {
            dialect.dataBegin = attempt.rows[firstRow].begin;
            dialect.dataLine = attempt.rows[firstRow].line;
        }
    }
    const std::size_t above = attempt.header ? *attempt.header : firstRow;
    for (std::size_t i = 0; i < attempt.rows.size(); ++i)
        if (i < above || attempt.comment[i])
            addPreambleLine(dialect,
                            text.substr(attempt.rows[i].begin, attempt.rows[i].end - attempt.rows[i].begin));
    for (std::size_t i = 0; i + 1 < above; ++i)
        addPreambleTable(dialect, attempt.rows[i], attempt.rows[i + 1]);
    return firstRow;
}

/// The first field that most sampled rows fill with a date and follow by a clock.
std::optional<std::size_t> dateBeforeClock(const std::vector<Row>& rows) {
    std::map<std::size_t, std::size_t> found;
    for (const Row& row : rows)
        for (std::size_t i = 0; i + 1 < row.fields.size(); ++i) {
            const auto day = parseCalendar(row.fields[i]), clock = parseCalendar(row.fields[i + 1]);
            if (!day || !clock || day->date == CalendarText::Date::None || day->clockFields > 0) continue;
            if (clock->date == CalendarText::Date::None) ++found[i];
        }
    for (const auto& [column, count] : found)
        if (count * 2 > rows.size()) return column;
    return std::nullopt;
}

bool isGroupedByThousands(std::string_view cell) {
    const std::size_t comma = cell.find(',');
    return comma > 0 && comma <= 3 && cell[0] != '0' && cell.size() >= comma + 4 &&
           std::ranges::all_of(cell.substr(comma + 1, 3), [](char c) { return c >= '0' && c <= '9'; }) &&
           (cell.size() == comma + 4 || cell[comma + 4] == ',' || cell[comma + 4] == '.');
}

/// Comma where numbers with a comma cannot be thousands, or where none has a point. Between commas a quoted
/// "1,201" is thousands: who writes decimal commas parts fields by something else.
char decimalMarkOf(const std::vector<Row>& rows, Separator separator) {
    std::size_t commas = 0, grouped = 0, points = 0;
    for (const Row& row : rows)
        for (const auto cell : row.fields) {
            if (cell.empty() || cell.size() > 32 ||
                cell.find_first_not_of("+-0123456789.,") != std::string_view::npos)
                continue;
            const bool hasComma = cell.find(',') != std::string_view::npos;
            points += !hasComma && std::ranges::count(cell, '.') == 1;
            commas += hasComma;
            grouped += hasComma && isGroupedByThousands(cell);
        }
    if (commas == 0) return '.';
    if (grouped == commas) return points > 0 || separator.mark == ',' ? '.' : ',';
    return commas > points ? ',' : '.';
}

/// True where the first field of the rows counts them: 1, 2, 3, …, or names them.
bool firstFieldNumbersRows(const std::vector<Row>& rows) {
    std::optional<double> before;
    for (const Row& row : rows) {
        const auto number = parseNumber(row.field(0), '.');
        if (!number && kindOf(row.field(0)) != CellKind::Word) return false;
        if (number && before && *number != *before + 1.0) return false;
        before = number;
    }
    return true;
}

/// A name for each column: rows that are one field wider than the header carry an unnamed row number first.
void fitHeaderToRows(Dialect& dialect, std::size_t usualFields) {
    if (dialect.header.empty()) return;
    const bool isWiderByOne = usualFields == dialect.header.size() + 1 && !dialect.dateBeforeClock;
    const auto lastIsFilled = [usualFields](const Row& row) {
        return row.fields.size() == usualFields && !row.fields.back().empty();
    };
    if (isWiderByOne && std::ranges::any_of(dialect.sample, lastIsFilled) &&
        firstFieldNumbersRows(dialect.sample))
        dialect.header.insert(dialect.header.begin(), "");
    // Where the rows disagree the header says how wide the table is.
    if (dialect.regularity < 0.9 || dialect.header.size() > dialect.columns)
        dialect.columns = dialect.header.size();
    dialect.header.resize(dialect.columns);
}

}  // namespace

CellKind kindOf(std::string_view cell) {
    if (isMissingMark(cell)) return CellKind::Missing;
    const char first = cell.front();
    if ((first >= '0' && first <= '9') || first == '-' || first == '+' || first == '.' || first == ',') {
        if (parseNumber(cell, '.') || parseNumber(cell, ',')) return CellKind::Number;
    }
    return parseCalendar(cell) ? CellKind::Calendar : CellKind::Word;
}

void Dialect::joinDateAndClock(Row& row) const {
    if (!dateBeforeClock || row.fields.size() < *dateBeforeClock + 2) return;
    const std::string_view day = row.fields[*dateBeforeClock], clock = row.fields[*dateBeforeClock + 1];
    row.fields[*dateBeforeClock] = {day.data(),
                                    static_cast<std::size_t>(clock.data() + clock.size() - day.data())};
    row.fields.erase(row.fields.begin() + static_cast<std::ptrdiff_t>(*dateBeforeClock) + 1);
    --row.fieldCount;
}

std::string Dialect::columnText(std::size_t column) const {
    if (column >= header.size() || header[column].empty()) return fmt::format("column {}", column + 1);
    return fmt::format("column {} \"{}\"", column + 1, printable(header[column]));
}

std::string separatorName(Separator separator) {
    if (separator.isBlanks) return "blanks";
    switch (separator.mark) {
        case ',':
            return "comma";
        case ';':
            return "semicolon";
        case '\t':
            return "tab";
        case '|':
            return "bar";
        default:
            return fmt::format("\"{}\"", printable(std::string_view{&separator.mark, 1}));
    }
}

Dialect sniffDialect(std::string_view text, std::optional<char> separator) {
    Attempt attempt = bestAttempt(text, separator);
    if (!attempt.header) findUnknownHeader(attempt);
    Dialect dialect;
    dialect.separator = attempt.separator;
    dialect.regularity = attempt.regularity;
    const std::size_t firstRow = placeTable(dialect, attempt, text);
    for (std::size_t i = firstRow; i < attempt.rows.size(); ++i)
        if (!attempt.comment[i]) dialect.sample.push_back(attempt.rows[i]);
    const bool mayJoin = dialect.separator.isBlanks && dialect.header.size() < attempt.usualFields;
    if (mayJoin) dialect.dateBeforeClock = dateBeforeClock(dialect.sample);
    dialect.columns = attempt.usualFields - (dialect.dateBeforeClock ? 1 : 0);
    for (Row& row : dialect.sample)
        dialect.joinDateAndClock(row);
    fitHeaderToRows(dialect, attempt.usualFields);
    dialect.decimalMark = decimalMarkOf(dialect.sample, dialect.separator);
    return dialect;
}

}  // namespace beatwitness::recording::text
