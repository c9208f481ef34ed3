#include "core/recording/json_recording.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "core/foundation/text.h"
#include "core/recording/heart_rate_range.h"
#include "core/recording/json_beats.h"
#include "core/recording/json_choice.h"
#include "core/recording/json_tables.h"
#include "core/recording/text_encoding.h"
#include "core/recording/text_start.h"

namespace beatwitness::recording {
namespace {

using json::Choice;
using json::Column;
using json::Table;
using json::Tables;

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
        json::noteOrder(recording_, table_.columns[choice_.time]);
        if (!options_.rateColumn) guessed.emplace_back("rate column", name(choice_.rate));
        auto& warnings = recording_.warnings;
        json::noteZone(recording_);
        if (noTime_ > 0)
            warnings.push_back(fmt::format("{} row{} without a time that can be read left out", noTime_,
                                           noTime_ == 1 ? "" : "s"));
        if (backwards_ > 0)
            warnings.push_back(
                fmt::format("{} row{} going back in time", backwards_, backwards_ == 1 ? "" : "s"));
        json::noteDamage(recording_, tables_);
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

/// Dates of which the numbers leave the order open are read again where one of them can only be month first.
Tables tablesOf(std::string_view text, const std::optional<text::Zone>& zone, const RunControl& run) {
    Tables tables = json::tablesIn(text, {zone, text::DateOrder::DayFirst}, run);
    std::size_t onlyDayFirst = 0, onlyMonthFirst = 0;
    for (const Table& table : tables.tables)
        for (const Column& column : table.columns) {
            onlyDayFirst += column.onlyDayFirst;
            onlyMonthFirst += column.onlyMonthFirst;
        }
    if (tables.wasCancelled || onlyMonthFirst <= onlyDayFirst) return tables;
    tables = {};
    return json::tablesIn(text, {zone, text::DateOrder::MonthFirst}, run);
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
    auto zone = text::zoneAsked(options.zone);
    if (!zone) return zone.fault();
    const text::DecodedText decoded = text::decodeText(bytes);
    auto clean = withoutNotNumbers(decoded.view());
    Tables tables = tablesOf(clean ? std::string_view{*clean} : decoded.view(), *zone, run);
    if (tables.wasCancelled) return cancelled();
    clean.reset();
    Recording recording;
    if (const auto choice = json::bestChoice(tables, options))
        recording = Assembler{std::move(tables), *choice, options, *std::move(zone)}.recording();
    else if (const auto beats = json::bestBeats(tables, options))
        recording = json::beatsOf(tables, *beats, options, *zone);
    else
        return json::noList(tables, options);
    if (decoded.isConverted) recording.guessed.emplace_back("encoding", decoded.encoding);
    run.progress(1.0);
    return recording;
}

}  // namespace beatwitness::recording
