#include "core/recording/tcx_sink.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/foundation/text.h"
#include "core/recording/text_numbers.h"
#include "core/recording/xml_names.h"

namespace beatwitness::recording::xml {
namespace {

/// A lap longer than a year is a mistake of its writer.
constexpr double longestLap_s = 366.0 * 86'400.0;

std::optional<Micros> lengthIn(std::string_view text) {
    const auto seconds = text::parseNumber(text, '.');
    if (!seconds || *seconds < 0.0 || *seconds > longestLap_s) return std::nullopt;
    return toMicros(Seconds{*seconds});
}

std::string_view childText(pugi::xml_node element, std::string_view name) {
    for (const pugi::xml_node child : element.children())
        if (localName(child.name()) == name) return child.child_value();
    return {};
}

std::string_view attributeText(pugi::xml_node element, std::string_view name) {
    for (const pugi::xml_attribute attribute : element.attributes())
        if (localName(attribute.name()) == name) return attribute.value();
    return {};
}

}  // namespace

bool TcxSink::enter(std::string_view localName, pugi::xml_node element, std::size_t) {
    if (localName == "Activity") {
        collector_.nameSport(attributeText(element, "Sport"));
    } else if (localName == "Lap") {
        closeLap();
        collector_.beginAnew();
        lap_.emplace();
        lap_->begin = collector_.instant(attributeText(element, "StartTime"));
    } else if (localName == "Track") {
        if (lap_ && lap_->tracks++ > 0) collector_.stopUntilNextPoint();
    }
    return true;
}

void TcxSink::leave(std::string_view localName) {
    if (localName == "Lap") closeLap();
}

void TcxSink::take(std::string_view localName, pugi::xml_node element, std::size_t byte) {
    if (localName == "Trackpoint") return collector_.addPoint(element, byte);
    if (localName == "Creator") return takeCreator(element);
    if (!lap_) return;
    if (localName == "TotalTimeSeconds") lap_->length = lengthIn(element.child_value());
    if (localName == "Notes") lap_->label = printable(element.child_value(), 80);
}

void TcxSink::takeCreator(pugi::xml_node element) {
    collector_.nameDevice(childText(element, "Name"));
    std::string version;
    for (const pugi::xml_node child : element.children()) {
        if (xml::localName(child.name()) != "Version") continue;
        const auto major = childText(child, "VersionMajor"), minor = childText(child, "VersionMinor");
        if (!major.empty()) version = fmt::format("{}.{}", major, minor.empty() ? "0" : minor);
    }
    collector_.nameUnit(childText(element, "UnitId"), version);
}

void TcxSink::closeLap() {
    if (!lap_) return;
    const auto begin = lap_->begin ? lap_->begin : collector_.firstSinceAnew();
    auto end = begin;
    if (begin && lap_->length)
        end = *begin + *lap_->length;
    else if (begin && collector_.lastSinceAnew())
        end = std::max(*begin, *collector_.lastSinceAnew());
    if (begin) {
        std::string label =
            lap_->label.empty() ? fmt::format("lap {}", collector_.lapCount() + 1) : lap_->label;
        collector_.addLap({{*begin, *end}, std::move(label)});
    }
    lap_.reset();
}

}  // namespace beatwitness::recording::xml
