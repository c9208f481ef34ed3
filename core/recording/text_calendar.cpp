#include "core/recording/text_calendar.h"

#include <date/date.h>

#include <algorithm>
#include <array>
#include <string>

namespace beatwitness::recording::text {
namespace {

bool isDigit(char c) {
    return c >= '0' && c <= '9';
}
bool isLetter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
}

/// A place in a cell that moves on as things are taken.
class Cursor {
public:
    explicit Cursor(std::string_view text) : text_(text) {}

    [[nodiscard]] bool atEnd() const { return at_ >= text_.size(); }
    [[nodiscard]] std::size_t at() const { return at_; }
    void moveTo(std::size_t at) { at_ = at; }
    [[nodiscard]] char peek(std::size_t ahead = 0) const {
        return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0';
    }
    bool take(char c) {
        if (atEnd() || text_[at_] != c) return false;
        ++at_;
        return true;
    }
    void takeBlanks() {
        while (take(' ')) {
        }
    }
    [[nodiscard]] std::size_t digitsAhead(std::size_t from = 0) const {
        std::size_t count = 0;
        while (isDigit(peek(from + count)))
            ++count;
        return count;
    }
    /// Requires: `count` digits ahead, at most 9.
    int takeNumber(std::size_t count) {
        int value = 0;
        for (std::size_t i = 0; i < count; ++i)
            value = value * 10 + (text_[at_ + i] - '0');
        at_ += count;
        return value;
    }
    std::string takeWord() {
        std::string word;
        while (isLetter(peek()))
            word += lower(text_[at_++]);
        return word;
    }

private:
    std::string_view text_;
    std::size_t at_ = 0;
};

int monthNumber(std::string_view word) {
    static constexpr std::array<std::string_view, 12> months{"jan", "feb", "mar", "apr", "may", "jun",
                                                             "jul", "aug", "sep", "oct", "nov", "dec"};
    if (word.size() < 3 || word.size() > 9) return 0;
    const auto found = std::ranges::find(months, word.substr(0, 3));
    return found == months.end() ? 0 : static_cast<int>(found - months.begin()) + 1;
}

bool isWeekday(std::string_view word) {
    static constexpr std::array<std::string_view, 7> days{"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    return word.size() >= 3 && word.size() <= 9 && std::ranges::find(days, word.substr(0, 3)) != days.end();
}

int fullYear(int year, std::size_t digits) {
    if (digits != 2) return year;
    return year < 80 ? 2000 + year : 1900 + year;
}

bool takeYear(Cursor& cursor, CalendarText& text) {
    const std::size_t digits = cursor.digitsAhead();
    if (digits != 4 && digits != 2) return false;
    text.year = fullYear(cursor.takeNumber(digits), digits);
    return true;
}

bool takeSmallNumber(Cursor& cursor, int& value) {
    const std::size_t digits = cursor.digitsAhead();
    if (digits == 0 || digits > 2) return false;
    value = cursor.takeNumber(digits);
    return true;
}

bool takeYearFirst(Cursor& cursor, CalendarText& text) {
    text.date = CalendarText::Date::YearFirst;
    text.year = cursor.takeNumber(4);
    const char mark = cursor.peek();
    if (mark != '-' && mark != '/' && mark != '.') return false;
    cursor.take(mark);
    return takeSmallNumber(cursor, text.first) && cursor.take(mark) && takeSmallNumber(cursor, text.second);
}

bool takeCompactDate(Cursor& cursor, CalendarText& text) {
    text.date = CalendarText::Date::YearFirst;
    text.year = cursor.takeNumber(4);
    text.first = cursor.takeNumber(2);
    text.second = cursor.takeNumber(2);
    return true;
}

/// "2 Mar 2031", "2-Mar-31" (day taken already).
bool takeNamedMonth(Cursor& cursor, CalendarText& text, int day) {
    text.date = CalendarText::Date::Named;
    text.second = day;
    text.first = monthNumber(cursor.takeWord());
    if (text.first == 0) return false;
    cursor.take('.');
    if (!cursor.take('-') && !cursor.take('/') && !cursor.take(',')) cursor.take(' ');
    cursor.takeBlanks();
    return takeYear(cursor, text);
}

bool takeSmallFirst(Cursor& cursor, CalendarText& text) {
    if (!takeSmallNumber(cursor, text.first)) return false;
    const char mark = cursor.peek();
    if (mark != '-' && mark != '/' && mark != '.' && mark != ' ') return false;
    cursor.take(mark);
    cursor.takeBlanks();
    if (isLetter(cursor.peek())) return takeNamedMonth(cursor, text, text.first);
    if (mark == ' ') return false;
    text.date = CalendarText::Date::TwoNumbersThenYear;
    text.hasPoints = mark == '.';
    return takeSmallNumber(cursor, text.second) && cursor.take(mark) && takeYear(cursor, text);
}

/// "Mar 2, 2031", "Mar 2 9:00:05 2031" (the year stays 0), a weekday before any of the forms.
bool takeWordFirst(Cursor& cursor, CalendarText& text) {
    std::string word = cursor.takeWord();
    cursor.take('.');
    cursor.take(',');
    cursor.takeBlanks();
    if (isWeekday(word)) {
        if (!isLetter(cursor.peek()))
            return cursor.digitsAhead() == 4 ? takeYearFirst(cursor, text) : takeSmallFirst(cursor, text);
        word = cursor.takeWord();
        cursor.takeBlanks();
    }
    text.date = CalendarText::Date::Named;
    text.first = monthNumber(word);
    if (text.first == 0 || !takeSmallNumber(cursor, text.second)) return false;
    cursor.take(',');
    cursor.takeBlanks();
    if (cursor.peek(cursor.digitsAhead()) == ':') return true;
    return takeYear(cursor, text);
}

bool takeDate(Cursor& cursor, CalendarText& text) {
    if (isLetter(cursor.peek())) return takeWordFirst(cursor, text);
    const std::size_t digits = cursor.digitsAhead();
    if (digits == 4) return takeYearFirst(cursor, text);
    if (digits == 8 || digits == 14) return takeCompactDate(cursor, text);
    return takeSmallFirst(cursor, text);
}

void takeFraction(Cursor& cursor, CalendarText& text) {
    if ((cursor.peek() != '.' && cursor.peek() != ',') || !isDigit(cursor.peek(1))) return;
    cursor.moveTo(cursor.at() + 1);
    std::int64_t scale = 100'000;
    for (; isDigit(cursor.peek()); scale /= 10, ++text.fractionDigits)
        text.fraction_us += scale * cursor.takeNumber(1);
}

bool takeCompactClock(Cursor& cursor, CalendarText& text, std::size_t digits) {
    text.clock[0] = cursor.takeNumber(2);
    text.clock[1] = cursor.takeNumber(2);
    text.clockFields = 2;
    if (digits == 6) {
        text.secondsAt = cursor.at();
        text.clock[2] = cursor.takeNumber(2);
        text.clockFields = 3;
        takeFraction(cursor, text);
        text.secondsEnd = cursor.at();
    }
    return text.clock[1] < 60 && text.clock[2] <= 60;
}

bool takeClock(Cursor& cursor, CalendarText& text) {
    const std::size_t digits = cursor.digitsAhead();
    if ((digits == 4 || digits == 6) && text.date != CalendarText::Date::None)
        return takeCompactClock(cursor, text, digits);
    if (digits == 0 || digits > 4) return false;
    text.clock[0] = cursor.takeNumber(digits);
    if (!cursor.take(':') || cursor.digitsAhead() != 2) return false;
    const std::size_t secondAt = cursor.at();
    text.clock[1] = cursor.takeNumber(2);
    text.clockFields = 2;
    if (cursor.peek() == ':' && isDigit(cursor.peek(1))) {
        cursor.take(':');
        text.secondsAt = cursor.at();
        if (cursor.digitsAhead() > 2) return false;
        text.clock[2] = cursor.takeNumber(cursor.digitsAhead());
        text.clockFields = 3;
    } else {
        text.secondsAt = secondAt;
    }
    // "9:05:07:250": thousandths behind a third colon.
    if (text.clockFields == 3 && cursor.peek() == ':' && cursor.digitsAhead(1) == 3) {
        cursor.take(':');
        text.fraction_us = cursor.takeNumber(3) * 1000LL;
        text.fractionDigits = 3;
    }
    takeFraction(cursor, text);
    text.secondsEnd = cursor.at();
    if (text.clockFields == 2 && text.fractionDigits == 0) text.secondsAt = text.secondsEnd = 0;
    return text.clock[1] < 60 && text.clock[2] <= 60;
}

bool applyMeridiem(CalendarText& text, bool isAfternoon) {
    if (text.clock[0] < 1 || text.clock[0] > 12) return false;
    text.hasMeridiem = true;
    text.clock[0] = text.clock[0] % 12 + (isAfternoon ? 12 : 0);
    return true;
}

struct NamedZone {
    std::string_view name;
    int offset_min;
};

/// RFC 822 and the European ones of the same kind.
std::optional<int> namedZone(std::string_view word) {
    static constexpr std::array<NamedZone, 17> zones{{{"z", 0},
                                                      {"utc", 0},
                                                      {"gmt", 0},
                                                      {"est", -300},
                                                      {"edt", -240},
                                                      {"cst", -360},
                                                      {"cdt", -300},
                                                      {"mst", -420},
                                                      {"mdt", -360},
                                                      {"pst", -480},
                                                      {"pdt", -420},
                                                      {"cet", 60},
                                                      {"cest", 120},
                                                      {"eet", 120},
                                                      {"eest", 180},
                                                      {"wet", 0},
                                                      {"west", 60}}};
    const auto found = std::ranges::find(zones, word, &NamedZone::name);
    return found == zones.end() ? std::nullopt : std::optional{found->offset_min};
}

bool takeOffset(Cursor& cursor, CalendarText& text) {
    const int sign = cursor.peek() == '-' ? -1 : 1;
    cursor.moveTo(cursor.at() + 1);
    const std::size_t digits = cursor.digitsAhead();
    int hours = 0, minutes = 0;
    if (digits == 4) {
        hours = cursor.takeNumber(2);
        minutes = cursor.takeNumber(2);
    } else if (digits == 1 || digits == 2) {
        hours = cursor.takeNumber(digits);
        if (cursor.take(':')) {
            if (cursor.digitsAhead() != 2) return false;
            minutes = cursor.takeNumber(2);
        }
    } else {
        return false;
    }
    if (hours > 18 || minutes > 59) return false;
    text.zone_min = sign * (hours * 60 + minutes);
    return true;
}

/// What may stand behind the clock: AM or PM, then a zone, then a zone's name in brackets.
bool takeSuffix(Cursor& cursor, CalendarText& text) {
    cursor.takeBlanks();
    if (isLetter(cursor.peek())) {
        std::string word = cursor.takeWord();
        if ((word == "a" || word == "p") && cursor.take('.')) {
            word += cursor.takeWord();
            cursor.take('.');
        }
        if (word == "am" || word == "pm") {
            if (!applyMeridiem(text, word == "pm")) return false;
            cursor.takeBlanks();
            word = cursor.takeWord();
        }
        if (!word.empty()) {
            const auto zone = namedZone(word);
            if (!zone) return false;
            text.zone_min = zone;
        }
    }
    if (cursor.peek() == '+' || cursor.peek() == '-')
        if (!takeOffset(cursor, text)) return false;
    if (cursor.peek() == '[')
        while (!cursor.atEnd() && !cursor.take(']'))
            cursor.moveTo(cursor.at() + 1);
    return cursor.atEnd();
}

/// "9:05:07 2031", "9:05:07 CET 2031".
bool takeYearBehind(Cursor& cursor, CalendarText& text) {
    cursor.takeBlanks();
    if (isLetter(cursor.peek())) {
        text.zone_min = namedZone(cursor.takeWord());
        if (!text.zone_min) return false;
        cursor.takeBlanks();
    }
    return cursor.digitsAhead() == 4 && takeYear(cursor, text);
}

bool takeBetween(Cursor& cursor) {
    const std::size_t begin = cursor.at();
    cursor.take(',');
    cursor.takeBlanks();
    if (cursor.at() == begin && !cursor.take('T') && !cursor.take('t') && !cursor.take('_')) return false;
    return isDigit(cursor.peek());
}

bool startsWithClock(std::string_view cell) {
    const std::size_t colon = cell.find_first_not_of("0123456789");
    return colon != std::string_view::npos && colon > 0 && cell[colon] == ':';
}

}  // namespace

Micros CalendarText::timeOfDay() const {
    return Micros{((clock[0] * 60LL + clock[1]) * 60 + clock[2]) * 1'000'000 + fraction_us};
}

std::optional<CalendarText> parseCalendar(std::string_view cell) {
    if (cell.size() < 3 || cell.size() > 64) return std::nullopt;
    CalendarText text;
    Cursor cursor{cell};
    bool yearIsBehind = false;
    if (!startsWithClock(cell)) {
        const bool isRunTogether = cursor.digitsAhead() == 14;
        if (!takeDate(cursor, text)) return std::nullopt;
        if (cursor.atEnd()) return text;
        yearIsBehind = text.date == CalendarText::Date::Named && text.year == 0;
        if (!isRunTogether && !yearIsBehind && !takeBetween(cursor)) return std::nullopt;
    }
    if (!takeClock(cursor, text)) return std::nullopt;
    if (yearIsBehind && !takeYearBehind(cursor, text)) return std::nullopt;
    if (!takeSuffix(cursor, text)) return std::nullopt;
    if (text.date != CalendarText::Date::None && text.clock[0] > 24) return std::nullopt;
    return text;
}

std::optional<Micros> midnightOf(const CalendarText& text, DateOrder order) {
    int month = text.first, day = text.second;
    if (text.date == CalendarText::Date::None) return std::nullopt;
    if (text.date == CalendarText::Date::TwoNumbersThenYear && order == DateOrder::DayFirst)
        std::swap(month, day);
    if (text.year < 1980 || text.year > 2100) return std::nullopt;
    const date::year_month_day ymd{date::year{text.year}, date::month{static_cast<unsigned>(month)},
                                   date::day{static_cast<unsigned>(day)}};
    if (!ymd.ok()) return std::nullopt;
    return std::chrono::duration_cast<Micros>(date::sys_days{ymd}.time_since_epoch());
}

}  // namespace beatwitness::recording::text
