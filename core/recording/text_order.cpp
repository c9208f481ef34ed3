#include "core/recording/text_order.h"

#include <algorithm>
#include <optional>

#include "core/foundation/clocks.h"

namespace beatwitness::recording::text {
namespace {

/// How well one order suits a column.
struct Fit {
    std::size_t impossible = 0, backwards = 0;
    std::optional<Micros> first, last, lowest, highest;

    void add(const CalendarText& text, DateOrder order) {
        const auto day = midnightOf(text, order);
        if (!day) {
            ++impossible;
            return;
        }
        backwards += last && *day < *last;
        last = day;
        lowest = lowest ? std::min(*lowest, *day) : *day;
        highest = highest ? std::max(*highest, *day) : *day;
    }
    [[nodiscard]] Micros span() const { return lowest ? *highest - *lowest : Micros{0}; }
};

}  // namespace

OrderVerdict dateOrderOf(std::string_view text, const Dialect& dialect, const TimeLayout& layout) {
    RowScanner scanner{text, dialect.separator, layout.column + 2, dialect.dataBegin, dialect.dataLine};
    Fit dayFirst, monthFirst;
    Row row;
    std::string_view before;
    while (scanner.next(row)) {
        dialect.joinDateAndClock(row);
        const std::string_view cell = row.field(layout.column);
        // The same day as in the row before adds nothing.
        const std::string_view day = cell.substr(0, cell.find_first_of(" T,"));
        if (day == before) continue;
        before = day;
        const auto date = parseCalendar(cell);
        if (!date || date->date != CalendarText::Date::TwoNumbersThenYear) continue;
        dayFirst.add(*date, DateOrder::DayFirst);
        monthFirst.add(*date, DateOrder::MonthFirst);
    }
    if (dayFirst.impossible != monthFirst.impossible)
        return {dayFirst.impossible < monthFirst.impossible ? DateOrder::DayFirst : DateOrder::MonthFirst,
                {}};
    if (dayFirst.backwards != monthFirst.backwards)
        return {dayFirst.backwards < monthFirst.backwards ? DateOrder::DayFirst : DateOrder::MonthFirst, {}};
    if (dayFirst.span() != monthFirst.span())
        return {dayFirst.span() < monthFirst.span() ? DateOrder::DayFirst : DateOrder::MonthFirst, {}};
    return {DateOrder::DayFirst,
            "the dates leave open which number is the day and which the month; day first was taken"};
}

}  // namespace beatwitness::recording::text
