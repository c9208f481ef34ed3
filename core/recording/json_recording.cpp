#include "core/recording/json_recording.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "core/foundation/text.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/json_tables.h"
#include "core/recording/text_encoding.h"
#include "core/recording/text_start.h"

namespace beatwitness::recording {
namespace {

using json::Column;
using json::Table;
using json::Tables;
using text::Role;

/// A table and the columns of it that are taken.
struct Choice {
    std::size_t table = 0, time = 0, rate = 0;
    std::size_t usable = 0;  ///< valid rates beside a time
};

bool sameIgnoringCase(std::string_view a, std::string_view b) {
    const auto lower = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; };
    return std::ranges::equal(a, b, {}, lower, lower);
}

bool isNamed(const Column& column, const std::optional<std::string>& name) {
    return name && sameIgnoringCase(column.name, *name);
}

/// How good the times of a column are: dates and epochs before elapsed ones, beginnings before ends.
int timeMerit(const Column& column) {
    const json::TimeScale scale = json::timeScaleOf(column);
    return (scale.clock == ClockBasis::Utc           ? 4
            : scale.clock == ClockBasis::ZoneUnknown ? 2
                                                     : 0) +
           (column.meaning.saysEnd ? 0 : 1);
}

std::optional<std::size_t> timeColumn(const Table& table, const ReadOptions& options) {
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const Column& column = table.columns[i];
        if (column.values.empty()) continue;
        if (options.timeColumn) {
            if (isNamed(column, options.timeColumn)) return i;
            continue;
        }
        const bool mayBe = table.shape == Table::Shape::Pairs
                               ? column.holds == Column::Holds::Calendars || column.ascends()
                               : column.meaning.role == Role::Time;
        if (!mayBe) continue;
        if (!best || timeMerit(column) > timeMerit(table.columns[*best])) best = i;
    }
    return best;
}

std::size_t usableRows(const Table& table, std::size_t time, std::size_t rate) {
    const json::TimeScale scale = json::timeScaleOf(table.columns[time]);
    std::size_t usable = 0;
    for (std::size_t row = 0; row < table.rows; ++row)
        usable += isValidHeartRate(table.columns[rate].at(row)) &&
                  json::instantOf(table.columns[time].at(row), scale).has_value();
    return usable;
}

bool mayBeRates(const Table& table, const Column& column, bool valuesToo) {
    if (column.holds != Column::Holds::Numbers) return false;
    if (table.shape == Table::Shape::Pairs) return column.validRates() * 10 >= column.values.size() * 5;
    if (valuesToo) return column.meaning.role == Role::Value;
    return column.meaning.channel == ChannelKind::HeartRate;
}

/// The column of rates with most usable rows; columns called `value` only where no other is one.
std::optional<Choice> choiceIn(const Tables& tables, std::size_t index, const ReadOptions& options) {
    const Table& table = tables.tables[index];
    const auto time = timeColumn(table, options);
    if (!time) return std::nullopt;
    std::optional<Choice> best;
    for (const bool valuesToo : {false, true}) {
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            const Column& column = table.columns[i];
            const bool isWanted = options.rateColumn ? isNamed(column, options.rateColumn) &&
                                                           column.holds == Column::Holds::Numbers
                                                     : mayBeRates(table, column, valuesToo);
            if (i == *time || !isWanted) continue;
            const std::size_t usable = usableRows(table, *time, i);
            if (!best || usable > best->usable) best = Choice{index, *time, i, usable};
        }
        if (best) return best;
    }
    return best;
}

Fault noList(const Tables& tables, const ReadOptions& options) {
    if (tables.damagedByte)
        return {FaultCode::Damaged,
                "the JSON breaks off or is damaged before any time and heart rate; it was read up to here",
                {},
                tables.damagedByte,
                {}};
    if (options.timeColumn || options.rateColumn)
        return {FaultCode::WrongUsage,
                fmt::format("no list in the JSON has a time and a rate under the keys asked for (\"{}\")",
                            printable(options.rateColumn.value_or(options.timeColumn.value_or("")))),
                {},
                {},
                {}};
    const auto holdsRate = [](const Table& table) {
        return table.shape != Table::Shape::Pairs &&
               std::ranges::any_of(table.columns, [](const Column& column) {
                   return column.meaning.channel == ChannelKind::HeartRate;
               });
    };
    if (std::ranges::any_of(tables.tables, holdsRate))
        return {
            FaultCode::NoTimeColumn,
            "the JSON holds heart rates without times; a key such as \"time\" or \"timestamp\" was expected "
            "beside them",
            {},
            {},
            {}};
    return {FaultCode::UnknownFormat,
            "the JSON holds no list of times and heart rates; objects with keys such as \"time\" and \"hr\", "
            "pairs of a time and a rate, or lists side by side were expected",
            {},
            {},
            {}};
}

/// Turns the columns of the chosen table into channels, freeing them on the way.
class Assembler {
public:
    Assembler(Tables tables, const Choice& choice, const ReadOptions& options, std::optional<text::Zone> zone)
        : tables_(std::move(tables)),
          table_(tables_.tables[choice.table]),
          choice_(choice),
          options_(options),
          zone_(std::move(zone)) {}

    Recording recording() {
        for (std::size_t i = 0; i < tables_.tables.size(); ++i)
            if (i != choice_.table) tables_.tables[i].columns.clear();
        settleTimes();
        settleChannels();
        for (std::size_t row = 0; row < table_.rows; ++row)
            take(row);
        for (Channel& channel : channels_)
            if (!channel.values.empty()) recording_.channels.push_back(std::move(channel));
        note();
        return std::move(recording_);
    }

private:
    void settleTimes() {
        scale_ = json::timeScaleOf(table_.columns[choice_.time]);
        recording_.format = Format::Json;
        recording_.clock = scale_.clock;
        if (!scale_.isElapsed) return;
        const auto start = text::preambleStart(tables_.preamble, zone_);
        const bool isClock = table_.columns[choice_.time].isClock;
        const auto zero = isClock ? start.midnight : start.instant;
        if (!zero) return;
        start_ = *zero;
        recording_.clock = start.isZoned ? ClockBasis::Utc : ClockBasis::ZoneUnknown;
    }

    void settleChannels() {
        sources_.push_back(choice_.rate);
        channels_.push_back({ChannelKind::HeartRate, {}, {}});
        if (table_.shape != Table::Shape::Pairs)
            for (std::size_t i = 0; i < table_.columns.size(); ++i) {
                const auto kind = table_.columns[i].meaning.channel;
                const bool isTaken = i == choice_.time || i == choice_.rate || !kind ||
                                     std::ranges::find(channels_, *kind, &Channel::kind) != channels_.end();
                if (isTaken) continue;
                sources_.push_back(i);
                channels_.push_back({*kind, {}, {}});
            }
        channels_[0].times.reserve(table_.rows);
        channels_[0].values.reserve(table_.rows);
    }

    [[nodiscard]] static double popped(Column& column) {
        if (column.values.empty()) return std::nan("");
        const double value = column.values.front();
        column.values.pop_front();
        return value;
    }

    void take(std::size_t row) {
        const auto time = json::instantOf(popped(table_.columns[choice_.time]), scale_);
        noTime_ += !time;
        if (time) {
            const RecordingTime at{start_ + *time};
            backwards_ += recording_.rows > 0 && at < last_;
            last_ = at;
            ++recording_.rows;
        }
        for (std::size_t i = 0; i < sources_.size(); ++i) {
            Column& column = table_.columns[sources_[i]];
            const double value = popped(column) * column.meaning.scale;
            // 0 and 255 stand where there was no heart rate.
            const bool isMissing =
                std::isnan(value) || !std::isfinite(value) || (i == 0 && (value == 0.0 || value == 255.0));
            if (!time || isMissing) continue;
            channels_[i].times.push_back(last_);
            channels_[i].values.push_back(value);
        }
        static_cast<void>(row);
    }

    void note() {
        auto& guessed = recording_.guessed;
        static constexpr std::array<const char*, 3> shapes{"list of objects", "list of pairs",
                                                           "lists side by side"};
        guessed.emplace_back(
            "layout", fmt::format("{} at {}", shapes[static_cast<std::size_t>(table_.shape)], table_.place));
        const auto name = [this](std::size_t column) { return printable(table_.columns[column].name); };
        if (!options_.timeColumn) guessed.emplace_back("time column", name(choice_.time));
        guessed.emplace_back("time kind", scale_.text);
        if (table_.columns[choice_.time].isOrderOpen)
            guessed.emplace_back("date order", "day/month/year where that can be");
        if (!options_.rateColumn) guessed.emplace_back("rate column", name(choice_.rate));
        auto& warnings = recording_.warnings;
        if (recording_.clock == ClockBasis::ZoneUnknown) {
            guessed.emplace_back("zone", "unknown, laid on UTC");
            warnings.emplace_back(
                "the times name no zone; they were laid on UTC provisionally (--zone says otherwise)");
        }
        if (noTime_ > 0)
            warnings.push_back(fmt::format("{} row{} without a time that can be read left out", noTime_,
                                           noTime_ == 1 ? "" : "s"));
        if (backwards_ > 0)
            warnings.push_back(
                fmt::format("{} row{} going back in time", backwards_, backwards_ == 1 ? "" : "s"));
        if (tables_.damagedByte)
            warnings.push_back(fmt::format("the JSON {} at byte {}; what stands before was read",
                                           tables_.isCut ? "breaks off" : "is damaged",
                                           *tables_.damagedByte));
        if (tables_.isOverfull)
            warnings.emplace_back(
                "the JSON holds more numbers than can be kept; the last ones were left out");
    }

    Tables tables_;
    Table& table_;
    Choice choice_;
    const ReadOptions& options_;
    std::optional<text::Zone> zone_;
    Recording recording_;
    json::TimeScale scale_;
    Micros start_{0};
    std::vector<std::size_t> sources_;
    std::vector<Channel> channels_;
    RecordingTime last_{};
    std::size_t noTime_ = 0, backwards_ = 0;
};

/// NaN and Infinity outside strings become empty strings of the same length; nothing where there are none.
std::optional<std::string> withoutNotNumbers(std::string_view text) {
    if (text.find("NaN") == std::string_view::npos && text.find("Infinity") == std::string_view::npos)
        return std::nullopt;
    std::string clean{text};
    bool isString = false;
    const auto blank = [&clean](std::size_t at, std::size_t size) {
        for (std::size_t i = 0; i < size; ++i)
            clean[at + i] = i < 2 ? '"' : ' ';
    };
    for (std::size_t i = 0; i < clean.size(); ++i) {
        if (isString && clean[i] == '\\')
            ++i;
        else if (clean[i] == '"')
            isString = !isString;
        else if (!isString && clean[i] == 'N' && clean.compare(i, 3, "NaN") == 0)
            blank(i, 3), i += 2;
        else if (!isString && clean[i] == 'I' && clean.compare(i, 8, "Infinity") == 0) {
            const bool isNegative = i > 0 && clean[i - 1] == '-';
            blank(i - isNegative, 8U + isNegative);
            i += 7;
        }
    }
    return clean;
}

}  // namespace

bool looksLikeJson(std::span<const std::byte> bytes) {
    if (!text::beginsLikeText(bytes)) return false;
    const text::DecodedText start = text::decodeText(bytes.first(std::min<std::size_t>(bytes.size(), 4096)));
    std::string_view content = start.view();
    content.remove_prefix(std::min(content.find_first_not_of(" \t\r\n"), content.size()));
    if (content.empty()) return false;
    if (content[0] == '{') return true;
    if (content[0] != '[') return false;
    content.remove_prefix(1);
    content.remove_prefix(std::min(content.find_first_not_of(" \t\r\n"), content.size()));
    if (content.empty()) return true;
    // "[time],[hr]" is a header of a table.
    const bool isWord = content.starts_with("true") || content.starts_with("false") ||
                        content.starts_with("null") || content.starts_with("NaN");
    return isWord || std::string_view{"{[\"-0123456789]"}.find(content[0]) != std::string_view::npos;
}

Result<Recording> readJson(std::span<const std::byte> bytes, const ReadOptions& options,
                           const RunControl& run) {
    if (run.stopRequested()) return cancelled();
    std::optional<text::Zone> zone;
    if (options.zone) {
        auto named = text::Zone::named(*options.zone);
        if (!named) return named.fault();
        zone = *std::move(named);
    }
    const text::DecodedText decoded = text::decodeText(bytes);
    auto clean = withoutNotNumbers(decoded.view());
    Tables tables = json::tablesIn(clean ? std::string_view{*clean} : decoded.view(), zone, run);
    if (tables.wasCancelled) return cancelled();
    clean.reset();
    std::optional<Choice> best;
    for (std::size_t i = 0; i < tables.tables.size(); ++i)
        if (const auto choice = choiceIn(tables, i, options);
            choice && (!best || choice->usable > best->usable))
            best = choice;
    if (!best) return noList(tables, options);
    Recording recording = Assembler{std::move(tables), *best, options, std::move(zone)}.recording();
    if (decoded.isConverted) recording.guessed.emplace_back("encoding", decoded.encoding);
    run.progress(1.0);
    return recording;
}

}  // namespace beatwitness::recording
