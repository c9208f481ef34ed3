#include "core/recording/text_times.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "core/recording/text_numbers.h"

namespace beatwitness::recording::text {
namespace {

/// Epochs are told by magnitude: 1980 to 2100 in seconds, milliseconds, microseconds, nanoseconds do not
/// overlap.
std::optional<int> epochPower(double number) {
    for (const int power : {6, 3, 0, -3}) {
        const double micros = number * std::pow(10.0, power);
        if (micros >= static_cast<double>(earliestInstant.count()) &&
            micros < static_cast<double>(latestInstant.count()))
            return power;
    }
    return std::nullopt;
}

/// What the sampled cells of one column are.
struct Profile {
    std::size_t filled = 0, numbers = 0, dates = 0, clocks = 0, dateTimes = 0, instants = 0;
    std::array<std::size_t, 4> epochs{};  ///< powers 6, 3, 0, -3
    std::size_t compactDates = 0;
    int fraction = 0;
    bool hasTwoNumbers = false, hasMeridiem = false, hasSeconds = false, hasLargeHour = false,
         isAscending = true;
    double firstNumber = 0.0, lastNumber = 0.0;
    std::optional<double> firstClock_s;
    double lowest = 0.0, highest = 0.0;
    TimeUnit cellUnit = TimeUnit::Unsaid;  ///< as in "1.5 min"
    std::vector<double> steps;
};

TimeUnit unitOfCell(std::string_view cell) {
    if (cell.empty() || (cell.back() >= '0' && cell.back() <= '9')) return TimeUnit::Unsaid;
    const std::string_view unit = unitBehind(cell);
    if (unit == "h" || unit == "hrs") return TimeUnit::Hours;
    if (unit == "min" || unit == "mins") return TimeUnit::Minutes;
    if (unit == "s" || unit == "sec") return TimeUnit::Seconds;
    return unit == "ms" ? TimeUnit::Millis : TimeUnit::Unsaid;
}

std::size_t powerIndex(int power) {
    return power == 6 ? 0 : power == 3 ? 1 : power == 0 ? 2 : 3;
}

void addNumber(Profile& profile, std::string_view cell, double number, char decimalMark) {
    if (profile.numbers++ == 0) {
        profile.firstNumber = profile.lowest = profile.highest = number;
        profile.cellUnit = unitOfCell(cell);
    } else {
        profile.steps.push_back(number - profile.lastNumber);
    }
    profile.lowest = std::min(profile.lowest, number);
    profile.highest = std::max(profile.highest, number);
    profile.isAscending = profile.isAscending && (profile.numbers == 1 || number >= profile.lastNumber);
    profile.lastNumber = number;
    profile.fraction = std::max(profile.fraction, fractionDigits(cell, decimalMark));
    if (const auto power = epochPower(number)) ++profile.epochs[powerIndex(*power)];
    if (cell.size() == 8 || cell.size() == 14)
        if (const auto text = parseCalendar(cell); text && midnightOf(*text, DateOrder::DayFirst))
            ++profile.compactDates;
}

void addCalendar(Profile& profile, const CalendarText& text) {
    const bool hasDate = text.date != CalendarText::Date::None;
    if (!hasDate)
        ++profile.clocks;
    else if (text.clockFields == 0)
        ++profile.dates;
    else if (text.zone_min)
        ++profile.instants;
    else
        ++profile.dateTimes;
    profile.fraction = std::max(profile.fraction, text.fractionDigits);
    profile.hasTwoNumbers |= text.date == CalendarText::Date::TwoNumbersThenYear && !text.hasPoints;
    profile.hasMeridiem |= text.hasMeridiem;
    profile.hasSeconds |= text.clockFields == 3;
    profile.hasLargeHour |= text.clockFields == 2 && text.clock[0] > 23;
    if (!hasDate && !profile.firstClock_s) profile.firstClock_s = toSeconds(text.timeOfDay()).value;
}

Profile profileOf(const Dialect& dialect, std::size_t column) {
    Profile profile;
    for (const Row& row : dialect.sample) {
        const std::string_view cell = row.field(column);
        if (isMissingMark(cell)) continue;
        ++profile.filled;
        if (const auto number = parseNumber(cell, dialect.decimalMark))
            addNumber(profile, cell, *number, dialect.decimalMark);
        else if (const auto text = parseCalendar(cell))
            addCalendar(profile, *text);
    }
    return profile;
}

/// The profiles of a table's columns, each worked out once: every column may be asked about beside every
/// other.
class Profiles {
public:
    explicit Profiles(const Dialect& dialect) : dialect_(dialect), known_(dialect.columns) {}

    const Profile& of(std::size_t column) {
        if (column >= known_.size()) known_.resize(column + 1);
        if (!known_[column]) known_[column] = profileOf(dialect_, column);
        return *known_[column];
    }
    [[nodiscard]] const Dialect& dialect() const { return dialect_; }

private:
    const Dialect& dialect_;
    std::vector<std::optional<Profile>> known_;
};

bool isMost(std::size_t count, const Profile& profile) {
    return count > 0 && count * 2 >= profile.filled;
}

double medianStep(const Profile& profile) {
    std::vector<double> steps;
    std::ranges::copy_if(profile.steps, std::back_inserter(steps), [](double step) { return step > 0; });
    if (steps.empty()) return 0.0;
    std::ranges::nth_element(steps, steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2));
    return steps[steps.size() / 2];
}

void setElapsedUnit(TimeLayout& layout, const Profile& profile, TimeUnit unit) {
    switch (unit) {
        case TimeUnit::Millis:
            layout.power = 3;
            return;
        case TimeUnit::Micros:
            layout.power = 0;
            return;
        case TimeUnit::Nanos:
            layout.power = -3;
            return;
        case TimeUnit::Minutes:
            layout.factor = 60.0;
            return;
        case TimeUnit::Hours:
            layout.factor = 3600.0;
            return;
        case TimeUnit::Seconds:
            return;
        case TimeUnit::Unsaid:
            break;
    }
    // No watch writes a row every quarter of an hour and more: such steps are milliseconds or finer.
    const double step = medianStep(profile);
    if (step >= 1e8)
        layout.power = -3;
    else if (step >= 1e5)
        layout.power = 0;
    else if (step >= 900.0 && profile.fraction == 0 && step != 900.0 && step != 1800.0 && step != 3600.0)
        layout.power = 3;
}

/// Whether a number that could be seconds since 1970 is a fine elapsed time by its header's unit.
bool isElapsedBy(TimeUnit unit, int power) {
    const int said = unit == TimeUnit::Millis   ? 3
                     : unit == TimeUnit::Micros ? 0
                     : unit == TimeUnit::Nanos  ? -3
                                                : 6;
    return said < power || unit == TimeUnit::Minutes || unit == TimeUnit::Hours;
}

/// Days with a fraction that advance by less than a quarter of an hour: no elapsed time does.
bool areSerialDays(const Profile& profile) {
    const double step = medianStep(profile);
    return profile.lowest >= earliestSerialDay && profile.highest < latestSerialDay &&
           profile.fraction >= 4 && step > 0.0 && step < 0.01;
}

void layNumbers(TimeLayout& layout, const Profile& profile, TimeUnit unit) {
    if (unit == TimeUnit::Unsaid) unit = profile.cellUnit;
    if (unit == TimeUnit::Unsaid && areSerialDays(profile)) {
        layout.kind = TimeKind::DateTime;
        layout.isSerialDay = true;
        layout.fractionDigits = 3;
        return;
    }
    for (const int power : {6, 3, 0, -3})
        if (isMost(profile.epochs[powerIndex(power)], profile) && !isElapsedBy(unit, power)) {
            layout.kind = TimeKind::Epoch;
            layout.power = power;
            layout.fractionDigits = std::min(6, profile.fraction + 6 - power);
            return;
        }
    layout.kind = TimeKind::Elapsed;
    setElapsedUnit(layout, profile, unit);
    layout.fractionDigits = std::min(6, profile.fraction + 6 - layout.power);
}

void layClocks(TimeLayout& layout, const Profile& profile) {
    layout.kind = TimeKind::Clock;
    // 75:10 is no time of day, and a column that begins within its first minutes counts from zero.
    const bool beginsAtZero = profile.firstClock_s && *profile.firstClock_s < 120.0;
    layout.clockIsMinutes = profile.hasLargeHour || (!profile.hasMeridiem && beginsAtZero);
}

bool isDateColumn(const Profile& profile, bool saysDate) {
    return isMost(profile.dates, profile) || (saysDate && isMost(profile.compactDates, profile));
}

bool isBetter(const TimeLayout& a, const TimeLayout& b) {
    const auto rank = [](const TimeLayout& layout) {
        return layout.kind == TimeKind::DateTime && layout.isUtc ? TimeKind::Epoch : layout.kind;
    };
    const bool aIsSure = rank(a) >= TimeKind::Epoch, bIsSure = rank(b) >= TimeKind::Epoch;
    if (aIsSure != bIsSure) return aIsSure;
    if (!aIsSure && a.kind != b.kind) return a.kind > b.kind;
    return a.fractionDigits > b.fractionDigits;
}

TimeLayout layoutOf(Profiles& profiles, std::size_t column, const ColumnMeaning& meaning) {
    const Dialect& dialect = profiles.dialect();
    const Profile& profile = profiles.of(column);
    TimeLayout layout;
    layout.column = column;
    layout.decimalMark = dialect.decimalMark;
    layout.isUtc = meaning.saysUtc;
    layout.isOrderOpen = profile.hasTwoNumbers;
    if (isMost(profile.instants, profile))
        layout.kind = TimeKind::Instant;
    else if (isMost(profile.dateTimes + profile.instants, profile))
        layout.kind = TimeKind::DateTime;
    else if (isMost(profile.clocks, profile))
        layClocks(layout, profile);
    else if (isMost(profile.compactDates, profile) && !profile.epochs[0])
        layout.kind = dialect.sample.front().field(column).size() == 14 ? TimeKind::DateTime : TimeKind::None;
    else if (isMost(profile.numbers, profile))
        layNumbers(layout, profile, meaning.timeUnit);
    if (profile.numbers == 0) layout.fractionDigits = std::min(6, profile.fraction);
    return layout;
}

bool complete(TimeLayout& layout, Profiles& profiles, const std::vector<ColumnMeaning>& meanings) {
    const std::size_t columns = profiles.dialect().columns;
    if (!isDateColumn(profiles.of(layout.column), true)) return false;
    const auto holdsClock = [&](std::size_t column) {
        return column != layout.column && isMost(profiles.of(column).clocks, profiles.of(column));
    };
    std::optional<std::size_t> found;
    for (std::size_t column = 0; column < columns && !found; ++column)
        if (meanings[column].role == Role::Time && holdsClock(column)) found = column;
    for (std::size_t column = 0; column < columns && !found; ++column)
        if (holdsClock(column)) found = column;
    if (!found) return false;
    layout.clockColumn = found;
    layout.kind = TimeKind::DateTime;
    layout.fractionDigits = profiles.of(*found).fraction;
    layout.isOrderOpen = profiles.of(layout.column).hasTwoNumbers;
    layout.isUtc = layout.isUtc || meanings[*found].saysUtc;
    return true;
}

}  // namespace

std::string TimeLayout::text() const {
    const auto unit = [this] {
        if (factor != 1.0) return factor == 60.0 ? "minutes" : "hours";
        return power == 6   ? "seconds"
               : power == 3 ? "milliseconds"
               : power == 0 ? "microseconds"
                            : "nanoseconds";
    };
    switch (kind) {
        case TimeKind::None:
            return "none";
        case TimeKind::Clock:
            return clockIsMinutes ? "elapsed minutes and seconds" : "clock without a date";
        case TimeKind::Elapsed:
            return fmt::format("elapsed {}", unit());
        case TimeKind::DateTime:
            if (isSerialDay) return isUtc ? "serial days in UTC" : "serial days without a zone";
            return isUtc ? "date and time in UTC" : "date and time without a zone";
        case TimeKind::Epoch:
            return fmt::format("epoch {}", unit());
        case TimeKind::Instant:
            return "date and time with a zone";
    }
    return "none";
}

TimeLayout timeLayoutOf(const Dialect& dialect, std::size_t column, const ColumnMeaning& meaning) {
    Profiles profiles{dialect};
    return layoutOf(profiles, column, meaning);
}

bool completeWithClock(TimeLayout& layout, const Dialect& dialect,
                       const std::vector<ColumnMeaning>& meanings) {
    Profiles profiles{dialect};
    return complete(layout, profiles, meanings);
}

TimeLayout chooseTimeLayout(const Dialect& dialect, const std::vector<ColumnMeaning>& meanings) {
    TimeLayout best;
    Profiles profiles{dialect};
    const auto consider = [&](std::size_t column) {
        TimeLayout layout = layoutOf(profiles, column, meanings[column]);
        if (layout.kind == TimeKind::None && !complete(layout, profiles, meanings)) return;
        if (best.kind == TimeKind::None || isBetter(layout, best)) best = layout;
    };
    for (const bool endsToo : {false, true}) {
        for (std::size_t column = 0; column < dialect.columns; ++column)
            if (meanings[column].role == Role::Time && meanings[column].saysEnd == endsToo) consider(column);
        if (best.kind != TimeKind::None) return best;
    }
    for (std::size_t column = 0; column < dialect.columns; ++column) {
        if (meanings[column].role != Role::None) continue;
        const TimeLayout layout = layoutOf(profiles, column, meanings[column]);
        if (layout.kind >= TimeKind::DateTime || layout.kind == TimeKind::None) consider(column);
    }
    if (best.kind == TimeKind::None && dialect.header.empty() && dialect.columns > 1) {
        const Profile& first = profiles.of(0);
        // A number that never changes is no time: it is the 1 of intervals such as "1,052".
        const bool advances = first.numbers < 2 || first.lastNumber > first.firstNumber;
        if (first.isAscending && advances) consider(0);
    }
    return best;
}

}  // namespace beatwitness::recording::text
