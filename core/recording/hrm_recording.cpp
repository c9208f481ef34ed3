#include "core/recording/hrm_recording.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>

#include "core/foundation/text.h"
#include "core/recording/beats.h"
#include "core/recording/rr_columns.h"
#include "core/recording/text_calendar.h"
#include "core/recording/text_encoding.h"
#include "core/recording/text_numbers.h"
#include "core/recording/text_rows.h"
#include "core/recording/text_words.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording {
namespace {

constexpr double intervalsCode = 238.0;
constexpr double longestPace_s = 120.0;
constexpr std::size_t rowsBetweenReports = 65'536;
constexpr std::size_t mostLaps = 100'000;
/// The sum of the data and the length in the header differ by rounding only.
constexpr double lengthSlack_s = 2.0;
/// Data to judge intervals or rates by.
constexpr std::size_t judgedRows = 400;

/// The name of a section line in lower case; nothing for any other line.
std::optional<std::string> sectionName(std::string_view line) {
    line = text::trimmed(line);
    if (line.size() < 3 || line.size() > 80 || line.front() != '[' || line.back() != ']') return std::nullopt;
    const std::string name = text::lowered(line.substr(1, line.size() - 2));
    const bool isName =
        name[0] >= 'a' && name[0] <= 'z' && name.find_first_of("[]{}\",:") == std::string::npos;
    if (!isName || name == "true" || name == "false" || name == "null") return std::nullopt;
    return name;
}

bool holdsData(std::string_view section) {
    return section == "hrdata" || section == "rr" || section == "rrdata" || section == "ibi" ||
           section == "rr intervals";
}

std::optional<Micros> clockOf(std::string_view cell) {
    const auto clock = text::parseCalendar(cell);
    if (!clock || clock->date != text::CalendarText::Date::None || clock->clockFields != 3)
        return std::nullopt;
    return clock->timeOfDay();
}

/// A column beside the heart rate.
struct Extra {
    ChannelKind kind;
    double scale;
    bool isKept;
};

class HrmReader {
public:
    HrmReader(std::string_view text, const ReadOptions& options) : text_(text), options_(options) {
        recording_.format = Format::Hrm;
        recording_.clock = ClockBasis::None;
    }

    Result<Recording> read(const RunControl& run) {
        // Blanks part the fields of data; keys are read from the whole line.
        text::RowScanner scanner{text_, text::Separator{' ', true}, 6};
        text::Row row;
        std::size_t number = 0;
        while (scanner.next(row)) {
            if (++number % rowsBetweenReports == 0) {
                if (run.stopRequested()) return cancelled();
                run.progress(static_cast<double>(scanner.offset()) / static_cast<double>(text_.size()));
            }
            const std::string_view line = text_.substr(row.begin, row.end - row.begin);
            if (auto name = sectionName(line)) {
                section_ = *std::move(name);
                if (!holdsData(section_)) continue;
                if (auto fault = beginData(scanner.offset())) return *std::move(fault);
                continue;
            }
            if (section_ == "params")
                takeParameter(line);
            else if (section_ == "inttimes")
                takeLap(row);
            else if (holdsData(section_) && !takeData(row))
                break;
        }
        return finished();
    }

private:
    void takeParameter(std::string_view line) {
        const std::size_t split = line.find('=');
        if (split == std::string_view::npos || line.size() > 200) return;
        const std::string key = text::lowered(text::trimmed(line.substr(0, split)));
        const std::string_view value = text::trimmed(line.substr(split + 1));
        if (key == "date") date_ = text::parseCalendar(value);
        if (key == "starttime") startTime_ = clockOf(value);
        if (key == "length") length_ = clockOf(value);
        if (key == "interval") code_ = text::parseNumber(value, '.');
        if (key == "smode" || key == "mode") modes_ = value;
    }

    void takeLap(const text::Row& row) {
        const auto end = clockOf(row.field(0));
        if (end && lapEnds_.size() < mostLaps) lapEnds_.push_back(*end);
    }

    /// Settles what the data are, once the header is read.
    std::optional<Fault> beginData(std::size_t offset) {
        if (hasBegun_) return std::nullopt;
        hasBegun_ = true;
        if (auto fault = settleStart()) return fault;
        if (code_ == intervalsCode) {
            isIntervals_ = true;
            recording_.guessed.emplace_back("layout", "beat intervals in milliseconds (Interval=238)");
            return std::nullopt;
        }
        if (code_ && *code_ >= 1.0 && *code_ <= longestPace_s) {
            pace_s_ = *code_;
            settleExtras();
            recording_.guessed.emplace_back("layout", fmt::format("heart rate every {} s", pace_s_));
            return std::nullopt;
        }
        return judgeData(offset);
    }

    std::optional<Fault> settleStart() {
        const auto asked = text::zoneAsked(options_.zone);
        if (!asked) return asked.fault();
        const std::optional<text::Zone>& zone = *asked;
        const auto midnight = date_ ? text::midnightOf(*date_, text::DateOrder::DayFirst) : std::nullopt;
        if (!midnight || !startTime_) {
            recording_.warnings.emplace_back(
                "no date and start time that can be read; times count from the first sample");
            return std::nullopt;
        }
        start_ = zone ? zone->toUtc(*midnight + *startTime_) : *midnight + *startTime_;
        recording_.clock = zone ? ClockBasis::Utc : ClockBasis::ZoneUnknown;
        if (zone) return std::nullopt;
        recording_.guessed.emplace_back("zone", "unknown, laid on UTC");
        recording_.warnings.emplace_back(
            "the start names no zone; it was laid on UTC provisionally (--zone says otherwise)");
        return std::nullopt;
    }

    /// SMode 1xxx…: speed, cadence, altitude and power follow the heart rate in this order; digit 8 says that
    /// lengths are in miles and feet, which are not read.
    void settleExtras() {
        const auto says = [this](std::size_t digit) { return digit < modes_.size() && modes_[digit] == '1'; };
        if (modes_.size() < 8 || modes_.find_first_not_of("01") != std::string::npos) return;
        const bool isMetric = !says(7);
        if (says(0)) extras_.push_back({ChannelKind::Speed, 0.1 / 3.6, isMetric});
        if (says(1)) extras_.push_back({ChannelKind::Cadence, 1.0, true});
        if (says(2)) extras_.push_back({ChannelKind::Altitude, 1.0, isMetric});
        if (says(3)) extras_.push_back({ChannelKind::Power, 1.0, true});
        for (const Extra& extra : extras_)
            extraChannels_.push_back({extra.kind, {}, {}});
    }

    /// Without a code that is known only intervals can be read, and these show by their size.
    std::optional<Fault> judgeData(std::size_t offset) {
        text::RowScanner scanner{text_, text::Separator{' ', true}, 1, offset};
        text::Row row;
        std::vector<double> values;
        while (values.size() < judgedRows && scanner.next(row))
            if (const auto value = text::parseNumber(row.field(0), '.'); value && *value > 0.0)
                values.push_back(*value);
        const std::string code = code_ ? fmt::format("Interval={}", *code_) : "no Interval";
        double median = 0.0;
        if (!values.empty()) {
            std::ranges::nth_element(values, values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2));
            median = values[values.size() / 2];
        }
        if (rr::millisecondsBy(median) != 1.0)
            return Fault{
                FaultCode::Damaged,
                fmt::format("the header has {}, which does not say what the data are; Interval=238 (beat "
                            "intervals in ms) or 1 to 120 (seconds from one heart rate to the next) was "
                            "expected",
                            code),
                {},
                {},
                1};
        isIntervals_ = true;
        recording_.guessed.emplace_back(
            "layout", fmt::format("beat intervals in milliseconds, by their size ({})", code));
        return std::nullopt;
    }

    /// False where no more can be taken.
    bool takeData(const text::Row& row) {
        const auto value = text::parseNumber(row.field(0), '.');
        if (!value || *value < 0.0 || *value > 1e6) {
            if (unreadable_++ == 0) {
                unreadableLine_ = row.line;
                unreadableCell_ = printable(row.field(0));
            }
            if (isIntervals_ || !value) return true;
        }
        if (recording_.rows >= mostBeats) {
            recording_.warnings.push_back(
                fmt::format("only the first {} rows of data were read; line {} and what follows was left out",
                            mostBeats, row.line));
            return false;
        }
        if (isIntervals_)
            takeInterval(*value);
        else
            takeRate(*value, row);
        return true;
    }

    void takeInterval(double value_ms) {
        if (value_ms <= 0.0) {
            ++unreadable_;
            return;
        }
        sum_ms_ += value_ms;
        ++recording_.rows;
        beats_.add(at(sum_ms_ / 1000.0), value_ms);
    }

    void takeRate(double value, const text::Row& row) {
        const RecordingTime time = at(static_cast<double>(recording_.rows) * pace_s_);
        ++recording_.rows;
        // 0 and 255 stand where there was no heart rate.
        if (value > 0.0 && value != 255.0) {
            rates_.times.push_back(time);
            rates_.values.push_back(value);
        }
        for (std::size_t i = 0; i < extras_.size(); ++i) {
            const auto extra = text::parseNumber(row.field(i + 1), '.');
            if (!extra || !extras_[i].isKept || std::abs(*extra) > 1e6) continue;
            extraChannels_[i].times.push_back(time);
            extraChannels_[i].values.push_back(*extra * extras_[i].scale);
        }
    }

    [[nodiscard]] RecordingTime at(double elapsed_s) const {
        return RecordingTime{start_ + toMicros(Seconds{elapsed_s})};
    }

    Result<Recording> finished() {
        if (recording_.rows == 0)
            return Fault{FaultCode::Damaged,
                         hasBegun_
                             ? "the section of data holds no numbers; beat intervals or heart rates were "
                               "expected"
                             : "there is no section of data; [HRData] with beat intervals or heart rates "
                               "was expected",
                         {},
                         {},
                         1};
        if (unreadable_ > 0)
            recording_.warnings.push_back(
                fmt::format("{} row{} of data that cannot be read left out: \"{}\" (first in line {})",
                            unreadable_, unreadable_ == 1 ? "" : "s", unreadableCell_, unreadableLine_));
        compareLength();
        addLaps();
        addBeats(recording_, std::move(beats_));
        if (!rates_.values.empty()) recording_.channels.push_back(std::move(rates_));
        for (Channel& channel : extraChannels_)
            if (!channel.values.empty()) recording_.channels.push_back(std::move(channel));
        return std::move(recording_);
    }

    void compareLength() {
        if (!length_) return;
        const double length_s = toSeconds(*length_).value;
        const double read_s =
            isIntervals_ ? sum_ms_ / 1000.0 : static_cast<double>(recording_.rows) * pace_s_;
        if (std::abs(length_s - read_s) > lengthSlack_s + 2.0 * pace_s_)
            recording_.warnings.push_back(
                fmt::format("the header says that the recording is {:.1f} s long, the data are {:.1f} s",
                            length_s, read_s));
    }

    void addLaps() {
        Micros begin{0};
        for (const Micros end : lapEnds_) {
            if (end <= begin) continue;
            recording_.laps.push_back({{RecordingTime{start_ + begin}, RecordingTime{start_ + end}}, {}});
            begin = end;
        }
    }

    std::string_view text_;
    const ReadOptions& options_;
    Recording recording_;
    std::string section_;
    std::optional<text::CalendarText> date_;
    std::optional<Micros> startTime_, length_;
    std::optional<double> code_;
    std::string modes_;
    std::vector<Micros> lapEnds_;
    Micros start_{0};
    bool hasBegun_ = false, isIntervals_ = false;
    double pace_s_ = 0.0, sum_ms_ = 0.0;
    Beats beats_;
    Channel rates_;
    std::vector<Extra> extras_;
    std::vector<Channel> extraChannels_;
    std::size_t unreadable_ = 0, unreadableLine_ = 0;
    std::string unreadableCell_;
};

}  // namespace

bool looksLikeHrm(std::span<const std::byte> bytes) {
    if (!text::beginsLikeText(bytes)) return false;
    const text::DecodedText start = text::decodeText(bytes.first(std::min<std::size_t>(bytes.size(), 1024)));
    std::string_view content = start.view();
    content.remove_prefix(std::min(content.find_first_not_of(" \t\r\n"), content.size()));
    return sectionName(content.substr(0, content.find_first_of("\r\n"))).has_value();
}

Result<Recording> readHrm(std::span<const std::byte> bytes, const ReadOptions& options,
                          const RunControl& run) {
    if (run.stopRequested()) return cancelled();
    const text::DecodedText decoded = text::decodeText(bytes);
    return HrmReader{decoded.view(), options}.read(run);
}

}  // namespace beatwitness::recording
