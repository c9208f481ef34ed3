#include <date/date.h>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <random>
#include <span>

#include "core/foundation/text.h"
#include "core/recording/text_recording.h"

namespace beatwitness::recording {
namespace {

enum class TimeStyle {
    IsoUtc,
    IsoOffset,
    Blank,
    DayFirst,
    MonthFirst,
    EpochSeconds,
    EpochMillis,
    Elapsed,
    TwoColumns
};

/// One way to write a table.
struct Style {
    char separator = ',';
    char decimalMark = '.';
    bool quotesAll = false;
    bool hasMark = false;
    std::string lineEnd = "\n";
    TimeStyle times = TimeStyle::IsoUtc;
};

struct Table {
    std::int64_t start_ms = 0;
    std::vector<std::int64_t> times_ms;  ///< since 1970
    std::vector<int> tenths;             ///< of bpm; 0 is missing
};

Table randomTable(std::mt19937& random) {
    Table table;
    // 2001 to 2033, off the first twelve days of a month so that day and month are told apart by one date.
    const date::year_month_day day{date::year{2001 + static_cast<int>(random() % 32)},
                                   date::month{1 + static_cast<unsigned>(random() % 12)},
                                   date::day{13 + static_cast<unsigned>(random() % 15)}};
    table.start_ms =
        std::chrono::milliseconds{date::sys_days{day}.time_since_epoch()}.count() + random() % 80'000'000;
    std::int64_t time = table.start_ms;
    for (std::size_t i = 0, rows = 5 + random() % 60; i < rows; ++i, time += 1 + random() % 3000) {
        table.times_ms.push_back(time);
        table.tenths.push_back(random() % 6 == 0 ? 0 : 400 + static_cast<int>(random() % 1600));
    }
    return table;
}

std::string decimal(std::int64_t thousandths, char mark) {
    return fmt::format("{}{}{:03}", thousandths / 1000, mark, thousandths % 1000);
}

std::string timeCell(std::int64_t ms, std::int64_t start_ms, const Style& style) {
    const bool isShifted = style.times == TimeStyle::IsoOffset;
    const std::int64_t local = ms + (isShifted ? 5'400'000 : 0);
    const std::string iso = isoInstant(std::chrono::milliseconds{local});
    const std::string year = iso.substr(0, 4), month = iso.substr(5, 2), day = iso.substr(8, 2),
                      clock = iso.substr(11, 12);
    switch (style.times) {
        case TimeStyle::IsoUtc:
            return iso;
        case TimeStyle::IsoOffset:
            return iso.substr(0, 23) + "+01:30";
        case TimeStyle::Blank:
            return iso.substr(0, 10) + " " + clock;
        case TimeStyle::DayFirst:
            return fmt::format("{}/{}/{} {}", day, month, year, clock);
        case TimeStyle::MonthFirst:
            return fmt::format("{}/{}/{} {}", month, day, year, clock);
        case TimeStyle::EpochSeconds:
            return decimal(ms, style.decimalMark);
        case TimeStyle::EpochMillis:
            return std::to_string(ms);
        case TimeStyle::Elapsed:
            return decimal(ms - start_ms, style.decimalMark);
        case TimeStyle::TwoColumns:
            return iso.substr(0, 10) + '\n' + clock;
    }
    return iso;
}

class Writer {
public:
    explicit Writer(const Style& style) : style_(style), text_(style.hasMark ? "\xEF\xBB\xBF" : "") {}

    void row(const std::vector<std::string>& cells) {
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const bool isQuoted = style_.quotesAll || cells[i].find(style_.separator) != std::string::npos;
            text_ +=
                (i == 0 ? "" : std::string{style_.separator}) + (isQuoted ? '"' + cells[i] + '"' : cells[i]);
        }
        text_ += style_.lineEnd;
    }
    [[nodiscard]] const std::string& text() const { return text_; }

private:
    Style style_;
    std::string text_;
};

std::string written(const Table& table, const Style& style) {
    const bool hasTwo = style.times == TimeStyle::TwoColumns;
    Writer writer{style};
    writer.row(hasTwo ? std::vector<std::string>{"Date", "Time", "Heart Rate (bpm)", "note"}
                      : std::vector<std::string>{"Time", "Heart Rate (bpm)", "note"});
    for (std::size_t i = 0; i < table.times_ms.size(); ++i) {
        const std::string time = timeCell(table.times_ms[i], table.start_ms, style);
        std::vector<std::string> cells;
        if (hasTwo)
            cells = {time.substr(0, 10), time.substr(11)};
        else
            cells = {time};
        const int tenths = table.tenths[i];
        cells.push_back(tenths == 0 ? ""
                                    : fmt::format("{}{}{}", tenths / 10, style.decimalMark, tenths % 10));
        cells.emplace_back("word");
        writer.row(cells);
    }
    return writer.text();
}

Style randomStyle(std::mt19937& random) {
    constexpr std::array separators{',', ';', '\t', '|'};
    const std::array<std::string, 3> ends{"\n", "\r\n", "\r"};
    Style style;
    style.separator = separators[random() % separators.size()];
    style.decimalMark = random() % 2 == 0 ? '.' : ',';
    style.quotesAll = random() % 2 == 0;
    style.hasMark = random() % 2 == 0;
    style.lineEnd = ends[random() % ends.size()];
    style.times = static_cast<TimeStyle>(random() % 9);
    return style;
}

// Property: a table written in any dialect reads back to the same times and values.
TEST(TextRoundTrip, GivesBackAnyTableInAnyDialect) {
    std::mt19937 random{1930208400};

    for (int attempt = 0; attempt < 2000; ++attempt) {
        const Table table = randomTable(random);
        const Style style = randomStyle(random);
        const std::string text = written(table, style);

        const auto recording = readText(std::as_bytes(std::span{text.data(), text.size()}));

        ASSERT_TRUE(recording) << sentence(recording.fault()) << "\n" << text;
        ASSERT_EQ(recording->rows, table.times_ms.size()) << text;
        std::vector<std::pair<std::int64_t, int>> expected, found;
        const std::int64_t zero = style.times == TimeStyle::Elapsed ? table.start_ms : 0;
        for (std::size_t i = 0; i < table.times_ms.size(); ++i)
            if (table.tenths[i] > 0)
                expected.emplace_back((table.times_ms[i] - zero) * 1000, table.tenths[i]);
        if (const Channel* channel = recording->channel(ChannelKind::HeartRate))
            for (std::size_t i = 0; i < channel->values.size(); ++i)
                found.emplace_back(channel->times[i].time_since_epoch().count(),
                                   static_cast<int>(std::lround(channel->values[i] * 10)));
        ASSERT_EQ(found, expected) << text;
    }
}

}  // namespace
}  // namespace beatwitness::recording
