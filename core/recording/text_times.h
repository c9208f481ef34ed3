#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/recording/recording.h"
#include "core/recording/text_calendar.h"
#include "core/recording/text_columns.h"
#include "core/recording/text_dialect.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::text {

/// What the cells of a time column are. From worst to best.
enum class TimeKind {
    None,
    Clock,     ///< 9:05:07, of the day or elapsed
    Elapsed,   ///< a number from a zero of the file's own
    DateTime,  ///< date and clock without a zone, in one column or two
    Epoch,     ///< a number since 1970
    Instant,   ///< date, clock and zone
};

/// Instants outside are no times of a recording: 1980 to 2100.
inline constexpr Micros earliestInstant{315'532'800'000'000}, latestInstant{4'133'980'800'000'000};
/// The same as a spreadsheet counts days, from 1899-12-30.
inline constexpr double earliestSerialDay = 29'221.0, latestSerialDay = 73'415.0;

/// How times are read from a row.
struct TimeLayout {
    TimeKind kind = TimeKind::None;
    std::size_t column = 0;
    std::optional<std::size_t> clockColumn;  ///< `column` then holds the date alone
    int power = 6;                           ///< numbers: microseconds are the number times 10^power …
    double factor = 1.0;                     ///< … times this (minutes, hours)
    DateOrder order = DateOrder::DayFirst;
    bool isOrderOpen = false;     ///< numbers of which it is not said which is the day
    bool clockIsMinutes = false;  ///< 75:10 is minutes and seconds
    bool isSerialDay = false;     ///< DateTime as a spreadsheet counts it: days since 1899-12-30
    bool isUtc = false;           ///< the header says that times are UTC
    int fractionDigits = 0;
    char decimalMark = '.';

    /// For people: "epoch milliseconds", "date and time without a zone", …
    [[nodiscard]] std::string text() const;
};

/// How the times of `column` are to be read, judged by the sampled rows; kind None where it holds none.
[[nodiscard]] TimeLayout timeLayoutOf(const Dialect& dialect, std::size_t column,
                                      const ColumnMeaning& meaning);

/// The best time column: the least doubt about the instant first, then the finest resolution, then the order
/// of columns. A date column and a clock column count as one.
///
/// Columns whose header means time are looked at; where there is none (or none that can be read), all that
/// hold dates; without a header also the first column, if its numbers ascend.
[[nodiscard]] TimeLayout chooseTimeLayout(const Dialect& dialect, const std::vector<ColumnMeaning>& meanings);

/// Adds the clock column that belongs to a date column, where there is one. True where `layout` then is
/// complete.
[[nodiscard]] bool completeWithClock(TimeLayout& layout, const Dialect& dialect,
                                     const std::vector<ColumnMeaning>& meanings);

/// Reads the times of one column, row by row.
///
/// Cells mostly differ from the one before in their seconds only: what stands before and behind those is
/// kept, so that a date is worked out once a minute.
class TimeReader {
public:
    /// `start` is what elapsed times count from (and whose day a clock counts from); `zone` is for times
    /// without one.
    TimeReader(TimeLayout layout, std::optional<Micros> start, std::optional<Zone> zone);

    /// Nothing where the cell is no time, or a date outside 1980 to 2100.
    [[nodiscard]] std::optional<RecordingTime> read(const Row& row);

    [[nodiscard]] const TimeLayout& layout() const { return layout_; }

private:
    [[nodiscard]] std::optional<Micros> readNumber(std::string_view cell) const;
    [[nodiscard]] std::optional<Micros> readSerialDay(std::string_view cell) const;
    [[nodiscard]] std::optional<Micros> readCalendar(std::string_view cell);
    [[nodiscard]] std::optional<Micros> readPair(std::string_view date, std::string_view clock) const;
    [[nodiscard]] std::optional<Micros> readClock(std::string_view cell);
    [[nodiscard]] std::optional<Micros> fromKept(std::string_view cell) const;
    void keep(std::string_view cell, const CalendarText& text, Micros instant);
    [[nodiscard]] Micros zoned(Micros local, const CalendarText& text) const;

    TimeLayout layout_;
    std::optional<Micros> start_;
    std::optional<Zone> zone_;
    std::optional<Micros> lastClock_;
    Micros daysPassed_{0};

    struct Kept {
        char head[40] = {};
        char tail[24] = {};
        std::size_t headSize = 0, tailSize = 0;
        Micros minute{0};
    } kept_;
};

}  // namespace beatwitness::recording::text
