#include "core/recording/json_tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <unordered_map>

#include "core/foundation/text.h"
#include "core/recording/text_calendar.h"
#include "core/recording/text_numbers.h"
#include "core/recording/text_words.h"

namespace beatwitness::recording::json {
namespace {

using text::ColumnMeaning;
using text::Role;

constexpr std::size_t deepest = 12;
constexpr std::size_t deepestInRow = 2;
constexpr std::size_t mostPlaces = 2048, mostTables = 256, mostColumns = 16, mostPairCells = 4;
constexpr std::size_t mostKeysKept = 2048, longestKey = 128, mostPreamble = 32;
constexpr std::size_t eventsBetweenChecks = 65'536;
constexpr std::size_t freeValues = 4'000'000, bytesPerValue = 6;
constexpr std::size_t nowhere = static_cast<std::size_t>(-1);

/// A cell of the row at hand, kept until the row is whole.
struct Cell {
    std::size_t column = 0;
    bool isText = false;
    double number = 0.0;
    std::string text;
};

struct Frame {
    bool isArray = false;
    std::size_t place = nowhere;     ///< path without indices
    ColumnMeaning meaning;           ///< of the key that the container stands under
    std::string key;                 ///< of an object: the one read last
    std::size_t count = 0;           ///< of an array: elements so far
    std::size_t rowFrame = nowhere;  ///< the frame of the row that an object belongs to
    std::size_t table = nowhere;     ///< of an array of scalars: where its column is
    std::size_t column = nowhere;
    std::size_t nextRow = 0;
    bool isPair = false;                ///< an array within an array
    std::vector<Cell> cells;            ///< of a row: its values so far
    std::optional<ColumnMeaning> kind;  ///< of a row: what its `type` says that its `value` is
};

class Collector : public nlohmann::json::json_sax_t {
public:
    Collector(std::size_t bytes, const CalendarRules& rules, const RunControl& run)
        : rules_(rules), run_(run), budget_(bytes / bytesPerValue + freeValues) {
        // The outermost values are the elements of a list that no file writes: so are objects one a line.
        Frame top;
        top.isArray = true;
        top.place = 0;
        frames_.push_back(std::move(top));
        places_.push_back("");
    }

    // Called by the parser, in the order of the text.
    bool null() override { return scalar(std::nullopt, nullptr); }
    bool boolean(bool /*value*/) override { return scalar(std::nullopt, nullptr); }
    bool number_integer(number_integer_t value) override {
        return scalar(static_cast<double>(value), nullptr);
    }
    bool number_unsigned(number_unsigned_t value) override {
        return scalar(static_cast<double>(value), nullptr);
    }
    bool number_float(number_float_t value, const string_t& /*text*/) override {
        return scalar(value, nullptr);
    }
    bool string(string_t& value) override { return scalar(std::nullopt, &value); }
    bool binary(binary_t& /*value*/) override { return scalar(std::nullopt, nullptr); }
    bool start_object(std::size_t /*elements*/) override { return open(false); }
    bool start_array(std::size_t /*elements*/) override { return open(true); }
    bool end_object() override { return close(); }
    bool end_array() override { return close(); }
    bool key(string_t& value) override {
        if (beyond_ == 0) frames_.back().key = value.size() <= longestKey ? value : std::string{};
        return true;
    }
    bool parse_error(std::size_t position, const std::string& /*token*/,
                     const nlohmann::detail::exception& /*error*/) override {
        errorAt = position;
        return false;
    }

    /// After damage: leaves the row at hand, so that the next line starts afresh.
    void abandon() {
        frames_.resize(1);
        beyond_ = 0;
    }
    /// The number that the end of the text cut is no value.
    void dropLast() {
        if (lastTable_ == nowhere) return;
        auto& values = found.tables[lastTable_].columns[lastColumn_].values;
        if (!values.empty()) values.pop_back();
    }
    void finish() {
        for (Table& table : found.tables)
            settle(table);
    }

    Tables found;
    std::optional<std::size_t> errorAt;

private:
    bool tick() {
        if (++events_ % eventsBetweenChecks != 0) return true;
        found.wasCancelled = run_.stopRequested();
        return !found.wasCancelled;
    }

    const ColumnMeaning& meaningOf(const std::string& key) {
        const auto known = meanings_.find(key);
        if (known != meanings_.end()) return known->second;
        if (meanings_.size() >= mostKeysKept) meanings_.clear();
        return meanings_.emplace(key, text::meaningOf(key)).first->second;
    }

    /// The number of the place `key` within `parent`; nowhere once there are too many.
    std::size_t placeWithin(std::size_t parent, const std::string& key) {
        if (parent == nowhere) return nowhere;
        const auto known = placeIds_.find({parent, key});
        if (known != placeIds_.end()) return known->second;
        if (places_.size() >= mostPlaces) return nowhere;
        const std::string& above = places_[parent];
        const std::string name = key.empty() ? above : above.empty() ? key : above + "." + key;
        places_.push_back(name);
        placeIds_.emplace(std::pair{parent, key}, places_.size() - 1);
        return places_.size() - 1;
    }

    std::size_t tableAt(Table::Shape shape, std::size_t place) {
        if (place == nowhere) return nowhere;
        const auto known = tableIds_.find({shape, place});
        if (known != tableIds_.end()) return known->second;
        if (found.tables.size() >= mostTables) return nowhere;
        Table table;
        table.shape = shape;
        table.place = places_[place].empty() ? "top" : printable(places_[place], 80);
        found.tables.push_back(std::move(table));
        tableIds_.emplace(std::pair{shape, place}, found.tables.size() - 1);
        return found.tables.size() - 1;
    }

    std::size_t columnOf(std::size_t table, const std::string& name, const ColumnMeaning& meaning) {
        if (table == nowhere) return nowhere;
        auto& columns = found.tables[table].columns;
        const auto known = std::ranges::find(columns, name, &Column::name);
        if (known != columns.end()) return static_cast<std::size_t>(known - columns.begin());
        if (columns.size() >= mostColumns) return nowhere;
        Column column;
        column.name = name;
        column.meaning = meaning;
        columns.push_back(std::move(column));
        return columns.size() - 1;
    }

    bool open(bool isArray) {
        if (!tick()) return false;
        if (beyond_ > 0 || frames_.size() > deepest) {
            ++beyond_;
            return true;
        }
        Frame& parent = frames_.back();
        Frame frame;
        frame.isArray = isArray;
        frame.place = placeWithin(parent.place, parent.isArray ? std::string{} : parent.key);
        if (parent.isArray) {
            ++parent.count;
            frame.meaning = parent.meaning;
            if (isArray)
                frame.isPair = frames_.size() > 1;
            else
                frame.rowFrame = frames_.size();
        } else {
            const ColumnMeaning& said = meaningOf(parent.key);
            frame.meaning = said.role == Role::None || said.role == Role::Value ? parent.meaning : said;
            const bool isNear = frames_.size() - parent.rowFrame <= deepestInRow;
            if (!isArray && parent.rowFrame != nowhere && isNear) frame.rowFrame = parent.rowFrame;
            if (isArray) prepareParallel(frame, parent, said);
        }
        // A list that is all of the text may be one of beat intervals.
        if (isArray && frames_.size() == 1) prepareColumn(frame, frame.place, "", {});
        frames_.push_back(std::move(frame));
        return true;
    }

    /// An array under a key may be a column: of the object it stands in, or where only the object's own key
    /// says what it is ({"hr": {"values": […]}}), of the one around that.
    void prepareParallel(Frame& frame, const Frame& parent, const ColumnMeaning& said) {
        const bool isNamed = said.role == Role::Time || said.role == Role::Measure;
        const bool isByParent = !isNamed &&
                                (parent.meaning.role == Role::Time || parent.meaning.role == Role::Measure) &&
                                frames_.size() >= 2;
        if (!isNamed && !isByParent && said.role != Role::Value) return;
        const Frame& owner = isByParent ? frames_[frames_.size() - 2] : parent;
        prepareColumn(frame, owner.place, isByParent ? owner.key : parent.key,
                      isByParent ? parent.meaning : said);
    }

    void prepareColumn(Frame& frame, std::size_t place, const std::string& name,
                       const ColumnMeaning& meaning) {
        frame.table = tableAt(Table::Shape::Parallel, place);
        frame.column = columnOf(frame.table, name, meaning);
        if (frame.table != nowhere) frame.nextRow = found.tables[frame.table].rows;
    }

    bool close() {
        if (!tick()) return false;
        if (beyond_ > 0) {
            --beyond_;
            return true;
        }
        if (frames_.size() < 2) return true;
        const Frame frame = std::move(frames_.back());
        frames_.pop_back();
        if (frame.isPair)
            endRow(frame, Table::Shape::Pairs);
        else if (!frame.isArray && frame.rowFrame == frames_.size())
            endRow(frame, Table::Shape::Objects);
        if (!frame.isArray) {
            const auto parallel = tableIds_.find({Table::Shape::Parallel, frame.place});
            if (parallel != tableIds_.end()) settle(found.tables[parallel->second]);
        }
        return true;
    }

    /// The next instance of the object goes on below the longest of the columns.
    static void settle(Table& table) {
        if (table.shape != Table::Shape::Parallel) return;
        for (const Column& column : table.columns)
            table.rows = std::max(table.rows, column.values.size());
    }

    bool scalar(std::optional<double> number, const std::string* words) {
        if (!tick()) return false;
        lastTable_ = nowhere;
        if (beyond_ > 0) return true;
        Frame& frame = frames_.back();
        if (frame.isArray)
            element(frame, number, words);
        else
            member(frame, number, words);
        return true;
    }

    void element(Frame& frame, std::optional<double> number, const std::string* words) {
        const std::size_t index = frame.count++;
        if (frame.isPair) {
            if (index < mostPairCells) keepCell(frame, index, number, words);
            return;
        }
        if (frame.column == nowhere) return;
        const std::size_t row = frame.nextRow++;
        if (!number && words == nullptr) return;
        if (!spend(found.tables[frame.table].columns[frame.column], row)) return;
        put(frame.table, frame.column, row, number, words);
        lastTable_ = frame.table;
        lastColumn_ = frame.column;
    }

    void member(Frame& frame, std::optional<double> number, const std::string* words) {
        if (number && isInstant(frame.key) && frame.meaning.channel == ChannelKind::HeartRate) {
            addKeyedByTime(frame, *number);
            return;
        }
        const ColumnMeaning& said = meaningOf(frame.key);
        keepPreamble(frame, number, words);
        if (frame.rowFrame == nowhere) return;
        Frame& row = frames_[frame.rowFrame];
        if (said.role == Role::Kind && words != nullptr && words->size() <= longestKey)
            row.kind = meaningOf(*words);
        const bool isOfParent = said.role == Role::None || said.role == Role::Value;
        const bool isNested = frame.rowFrame + 1 != frames_.size();
        const ColumnMeaning meaning =
            isOfParent && isNested && frame.meaning.role == Role::Measure ? frame.meaning : said;
        if (meaning.role != Role::Time && meaning.role != Role::Measure && meaning.role != Role::Value)
            return;
        const std::size_t table = tableAt(Table::Shape::Objects, frames_[frame.rowFrame - 1].place);
        const bool takesParentName = meaning.role == Role::Measure && isOfParent;
        const std::size_t column =
            columnOf(table, takesParentName ? frames_[frames_.size() - 2].key : frame.key, meaning);
        if (column != nowhere) keepCell(row, column, number, words);
    }

    static bool isInstant(const std::string& key) {
        if (key.size() < 10 || key[0] < '0' || key[0] > '9') return false;
        return text::parseCalendar(key) || text::parseNumber(key, '.');
    }

    /// {"heart_rate": {"2031-03-02T09:00:00Z": 72, …}}
    void addKeyedByTime(const Frame& frame, double number) {
        const std::size_t table = tableAt(Table::Shape::Pairs, frame.place);
        if (table == nowhere) return;
        Frame row;
        row.cells.push_back({0, true, 0.0, frame.key});
        row.cells.push_back({1, false, number, {}});
        addRow(row, table, Table::Shape::Pairs);
    }

    void keepPreamble(const Frame& frame, std::optional<double> number, const std::string* words) {
        if (found.preamble.size() >= mostPreamble) return;
        // Only what stands in no list but the outermost.
        for (std::size_t i = 1; i < frames_.size(); ++i)
            if (frames_[i].isArray) return;
        const std::string name = text::lowered(frame.key);
        if (words != nullptr && words->size() <= 64)
            found.preamble.emplace_back(name, *words);
        else if (number)
            found.preamble.emplace_back(name, fmt::format("{}", *number));
    }

    static void keepCell(Frame& row, std::size_t column, std::optional<double> number,
                         const std::string* words) {
        if (row.cells.size() >= mostColumns || (!number && words == nullptr)) return;
        if (words != nullptr && words->size() > longestKey) return;
        row.cells.push_back(
            {column, words != nullptr, number.value_or(0.0), words != nullptr ? *words : std::string{}});
    }

    void endRow(const Frame& row, Table::Shape shape) {
        if (row.cells.empty() || (shape == Table::Shape::Pairs && row.cells.size() < 2)) return;
        const std::size_t table = tableAt(shape, frames_.back().place);
        if (table != nowhere) addRow(row, table, shape);
    }

    void addRow(const Frame& whole, std::size_t table, Table::Shape shape) {
        // A `value` beside the kind of something else is no heart rate.
        const bool isOther = whole.kind && whole.kind->channel != ChannelKind::HeartRate;
        if (shape == Table::Shape::Pairs && found.tables[table].columns.empty())
            for (std::size_t i = 0; i < mostPairCells; ++i)
                static_cast<void>(columnOf(table, fmt::format("place {}", i + 1), {}));
        const std::size_t row = found.tables[table].rows;
        bool isKept = false;
        for (const Cell& cell : whole.cells) {
            auto& columns = found.tables[table].columns;
            if (cell.column >= columns.size()) continue;
            if (isOther && columns[cell.column].meaning.role == Role::Value) return;
        }
        for (const Cell& cell : whole.cells) {
            auto& columns = found.tables[table].columns;
            if (cell.column >= columns.size() || !spend(columns[cell.column], row)) continue;
            put(table, cell.column, row, cell.isText ? std::nullopt : std::optional{cell.number},
                cell.isText ? &cell.text : nullptr);
            isKept = true;
        }
        found.tables[table].rows += isKept;
    }

    /// Values that come after rows without any cost these too.
    bool spend(const Column& column, std::size_t row) {
        const std::size_t cost = row + 1 > column.values.size() ? row + 1 - column.values.size() : 0;
        if (cost > budget_) {
            found.isOverfull = true;
            return false;
        }
        budget_ -= cost;
        return true;
    }

    void put(std::size_t table, std::size_t column, std::size_t row, std::optional<double> number,
             const std::string* words) {
        Column& into = found.tables[table].columns[column];
        if (number)
            into.put(row, *number);
        else if (words != nullptr)
            into.put(row, *words, rules_);
    }

    const CalendarRules& rules_;
    const RunControl& run_;
    std::size_t budget_;
    std::vector<Frame> frames_;
    std::size_t beyond_ = 0;  ///< levels below the deepest that is looked at
    std::size_t events_ = 0;
    std::size_t lastTable_ = nowhere, lastColumn_ = 0;
    std::unordered_map<std::string, ColumnMeaning> meanings_;
    std::vector<std::string> places_;
    std::map<std::pair<std::size_t, std::string>, std::size_t> placeIds_;
    std::map<std::pair<Table::Shape, std::size_t>, std::size_t> tableIds_;
};

bool isBlank(char c) {
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

bool parse(std::string_view text, Collector& collector) {
    return nlohmann::json::sax_parse(text.begin(), text.end(), &collector);
}

/// True where the first line is a whole object and another line follows it.
bool isOneALine(std::string_view text) {
    const std::size_t begin = text.find_first_not_of(" \t\r\n");
    if (begin == std::string_view::npos || text[begin] != '{') return false;
    const std::size_t end = text.find('\n', begin);
    if (end == std::string_view::npos || end - begin > 1'000'000) return false;
    if (text.find_first_not_of(" \t\r\n", end) == std::string_view::npos) return false;
    return nlohmann::json::accept(text.begin() + static_cast<std::ptrdiff_t>(begin),
                                  text.begin() + static_cast<std::ptrdiff_t>(end));
}

void parseLines(std::string_view text, Collector& collector, const RunControl& run) {
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const std::string_view line = text.substr(at, end - at);
        if (!std::ranges::all_of(line, isBlank) && !parse(line, collector)) {
            if (collector.found.wasCancelled) return;
            // A line that cannot be read costs itself.
            if (!collector.found.damagedByte)
                collector.found.damagedByte = at + collector.errorAt.value_or(0);
            collector.abandon();
        }
        at = end + 1;
        run.progress(std::min(1.0, static_cast<double>(at) / static_cast<double>(text.size())));
    }
}

void parseWhole(std::string_view text, Collector& collector) {
    if (parse(text, collector) || collector.found.wasCancelled) return;
    collector.found.damagedByte = collector.errorAt.value_or(0);
    collector.found.isCut = collector.errorAt.value_or(0) >= text.size();
    const char last = text.empty() ? ' ' : text.back();
    if (collector.found.isCut && !isBlank(last) && last != ',') collector.dropLast();
}

}  // namespace

Tables tablesIn(std::string_view text, const CalendarRules& rules, const RunControl& run) {
    Collector collector{text.size(), rules, run};
    if (isOneALine(text))
        parseLines(text, collector, run);
    else
        parseWhole(text, collector);
    collector.finish();
    return std::move(collector.found);
}

}  // namespace beatwitness::recording::json
