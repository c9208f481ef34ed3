#include "core/recording/xml_collector.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "core/foundation/text.h"
#include "core/recording/text_numbers.h"
#include "core/recording/xml_names.h"

namespace beatwitness::recording::xml {
namespace {

std::string_view trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

/// The text of an element, or that of its child `Value`.
std::string_view valueText(pugi::xml_node element) {
    const std::string_view own = trimmed(element.child_value());
    if (!own.empty()) return own;
    for (const pugi::xml_node child : element.children())
        if (localName(child.name()) == "Value") return trimmed(child.child_value());
    return {};
}

std::optional<double> numberIn(std::string_view text) {
    double value = 0.0;
    const auto parsed = std::from_chars(text.data(), text.data() + text.size(), value);
    if (parsed.ec != std::errc{} || parsed.ptr != text.data() + text.size())
        return text::parseNumber(text, '.');
    return std::isfinite(value) ? std::optional{value} : std::nullopt;
}

/// What formats write where a device had no value.
bool isSentinel(ChannelKind kind, double value) {
    if (kind == ChannelKind::HeartRate) return value == 0.0 || value == 255.0;
    return kind == ChannelKind::Cadence && value == 255.0;
}

bool namesZone(std::string_view time) {
    if (time.ends_with('Z')) return true;
    const auto parsed = text::parseCalendar(time);
    return parsed && parsed->zone_min;
}

text::TimeLayout instants() {
    text::TimeLayout layout;
    layout.kind = text::TimeKind::Instant;
    return layout;
}

/// The element after `node` in the order of the document, within `root`.
pugi::xml_node following(pugi::xml_node node, pugi::xml_node root) {
    if (node.first_child()) return node.first_child();
    while (node != root && !node.next_sibling())
        node = node.parent();
    return node == root ? pugi::xml_node{} : node.next_sibling();
}

}  // namespace

void XmlCollector::Tally::add(std::size_t byte, std::string_view text) {
    if (count++ > 0) return;
    firstByte = byte;
    example = printable(text);
}

XmlCollector::XmlCollector(std::optional<text::Zone> zone)
    : times_(instants(), std::nullopt, zone), hasZoneOption_(zone.has_value()) {
    cell_.fields.resize(1);
    for (std::size_t i = 0; i < channels_.size(); ++i)
        channels_[i].kind = static_cast<ChannelKind>(i);
}

std::optional<RecordingTime> XmlCollector::timeOf(std::string_view text) {
    cell_.fields[0] = text;
    return times_.read(cell_);
}

std::optional<RecordingTime> XmlCollector::instant(std::string_view text) {
    return timeOf(trimmed(text));
}

void XmlCollector::addPoint(pugi::xml_node point, std::size_t byte) {
    std::string_view text;
    for (const pugi::xml_node child : point.children()) {
        const std::string_view name = localName(child.name());
        if (name != "time" && name != "Time") continue;
        text = trimmed(child.child_value());
        break;
    }
    if (text.empty()) return withoutTime_.add(byte);
    const auto time = timeOf(text);
    if (!time) return unreadableTime_.add(byte, text);
    if (namesZone(text))
        ++zonedTimes_;
    else
        unzoned_.add(byte);
    addRow(*time, byte);
    addValues(point, *time, byte);
}

void XmlCollector::addRow(RecordingTime time, std::size_t byte) {
    ++rows_;
    if (last_ && time < *last_) backwards_.add(byte);
    if (last_ && time == *last_) repeated_.add(byte);
    if (stoppedAt_ && time > *stoppedAt_) pauses_.push_back({*stoppedAt_, time});
    stoppedAt_.reset();
    if (!stretchFirst_) stretchFirst_ = time;
    last_ = stretchLast_ = time;
}

void XmlCollector::addValues(pugi::xml_node point, RecordingTime time, std::size_t byte) {
    unsigned taken = 0;
    for (auto node = following(point, point); node; node = following(node, point)) {
        const auto kind = measureOf(localName(node.name()));
        if (!kind) continue;
        const unsigned bit = 1U << static_cast<unsigned>(*kind);
        const std::string_view text = valueText(node);
        if (text.empty() || (taken & bit) != 0) continue;
        taken |= bit;
        addValue(*kind, text, time, byte);
    }
}

void XmlCollector::addValue(ChannelKind kind, std::string_view text, RecordingTime time, std::size_t byte) {
    const auto value = numberIn(text);
    if (!value) {
        if (!text::isMissingMark(text)) unreadable_.add(byte, text);
        return;
    }
    if (isSentinel(kind, *value)) return;
    Channel& channel = channels_[static_cast<std::size_t>(kind)];
    channel.times.push_back(time);
    channel.values.push_back(*value);
}

void XmlCollector::stopUntilNextPoint() {
    stoppedAt_ = stretchLast_;
}

void XmlCollector::beginAnew() {
    stoppedAt_.reset();
    stretchFirst_.reset();
    stretchLast_.reset();
}

void XmlCollector::addLap(Lap lap) {
    laps_.push_back(std::move(lap));
}

void XmlCollector::nameDevice(std::string_view name) {
    if (device_.empty()) device_ = printable(trimmed(name), 80);
}

void XmlCollector::nameSport(std::string_view sport) {
    if (!sport_.empty()) return;
    sport_ = printable(trimmed(sport), 40);
    std::ranges::transform(sport_, sport_.begin(), [](char c) {
        return c == '_' ? ' ' : c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    // TCX knows only three; this one says nothing.
    if (sport_ == "other") sport_.clear();
}

void XmlCollector::nameUnit(std::string_view serial, std::string_view firmware) {
    if (serial_.empty()) serial_ = printable(trimmed(serial), 40);
    if (firmware_.empty()) firmware_ = printable(trimmed(firmware), 40);
}

void XmlCollector::settleClock(Recording& recording) const {
    if (unzoned_.count == 0 || hasZoneOption_) return;
    if (zonedTimes_ > 0) {
        recording.warnings.push_back(
            fmt::format("{} of {} times name no zone and were taken for UTC (first at byte {})",
                        unzoned_.count, rows_, unzoned_.firstByte));
        return;
    }
    recording.clock = ClockBasis::ZoneUnknown;
    recording.guessed.emplace_back("zone", "unknown, laid on UTC");
    recording.warnings.emplace_back(
        "the times name no zone; they were laid on UTC provisionally (--zone says otherwise)");
}

void XmlCollector::warn(Recording& recording) const {
    const auto tell = [&recording](const Tally& tally, std::string_view what) {
        if (tally.count > 0)
            recording.warnings.push_back(fmt::format("{} point{} {} (first at byte {})", tally.count,
                                                     tally.count == 1 ? "" : "s", what, tally.firstByte));
    };
    tell(withoutTime_, "without a time left out");
    tell(unreadableTime_,
         fmt::format("left out whose time cannot be read, such as \"{}\"", unreadableTime_.example));
    tell(unreadable_, fmt::format("with a value that is no number, such as \"{}\", counted as missing",
                                  unreadable_.example));
    tell(backwards_, "going back in time");
    tell(repeated_, "repeating the time of the one before");
    if (rows_ == 0 && withoutTime_.count == 0 && unreadableTime_.count == 0)
        recording.warnings.emplace_back("the file holds no track points");
}

Recording XmlCollector::finish(Format format) {
    Recording recording;
    recording.format = format;
    recording.device = std::move(device_);
    recording.serial = std::move(serial_);
    recording.firmware = std::move(firmware_);
    recording.sport = std::move(sport_);
    recording.rows = rows_;
    recording.laps = std::move(laps_);
    recording.pauses = std::move(pauses_);
    settleClock(recording);
    warn(recording);
    for (Channel& channel : channels_)
        if (!channel.values.empty()) recording.channels.push_back(std::move(channel));
    return recording;
}

}  // namespace beatwitness::recording::xml
