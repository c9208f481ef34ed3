#include "core/recording/xml_recording.h"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <string>

#include "core/foundation/text.h"
#include "core/recording/gpx_sink.h"
#include "core/recording/tcx_sink.h"
#include "core/recording/text_encoding.h"
#include "core/recording/text_zones.h"
#include "core/recording/xml_collector.h"
#include "core/recording/xml_walk.h"

namespace beatwitness::recording {
namespace {

constexpr std::string_view blanks{" \t\r\n\0", 5};

/// Hands everything to the reader that the root element asks for; refuses any other document.
class RootSink final : public xml::XmlSink {
public:
    explicit RootSink(xml::XmlCollector& collector) : collector_(collector) {}

    bool enter(std::string_view localName, pugi::xml_node element, std::size_t byte) override {
        if (!inner_ && !choose(localName)) {
            root_ = printable(localName);
            rootByte_ = byte;
            return false;
        }
        return inner_->enter(localName, element, byte);
    }
    void leave(std::string_view localName) override {
        if (inner_) inner_->leave(localName);
    }
    void take(std::string_view localName, pugi::xml_node element, std::size_t byte) override {
        if (inner_) inner_->take(localName, element, byte);
    }

    [[nodiscard]] bool isChosen() const { return inner_ != nullptr; }
    [[nodiscard]] Format format() const { return format_; }
    [[nodiscard]] Fault unknownRoot() const {
        return {
            FaultCode::UnknownFormat,
            fmt::format("this is XML whose root element is <{}>; <TrainingCenterDatabase> of TCX or <gpx> "
                        "of GPX was expected",
                        root_),
            {},
            rootByte_,
            {}};
    }

private:
    bool choose(std::string_view localName) {
        if (localName == "TrainingCenterDatabase") {
            inner_ = std::make_unique<xml::TcxSink>(collector_);
            format_ = Format::Tcx;
        } else if (localName == "gpx") {
            inner_ = std::make_unique<xml::GpxSink>(collector_);
            format_ = Format::Gpx;
        }
        return inner_ != nullptr;
    }

    xml::XmlCollector& collector_;
    std::unique_ptr<XmlSink> inner_;
    Format format_ = Format::Tcx;
    std::string root_;
    std::size_t rootByte_ = 0;
};

xml::XmlText textOf(const text::DecodedText& decoded, std::span<const std::byte> bytes) {
    const std::string_view all = decoded.view();
    const std::string_view text = all.substr(0, all.find_last_not_of(blanks) + 1);
    if (!decoded.isConverted) return {text, bytes.size() - all.size(), 1};
    const bool hasMark = bytes[0] == std::byte{0xFF} || bytes[0] == std::byte{0xFE};
    return {text, hasMark ? std::size_t{2} : std::size_t{0}, 2};
}

Fault noRoot(const xml::XmlWalk& walk) {
    constexpr std::string_view expected = "<TrainingCenterDatabase> of TCX or <gpx> of GPX was expected";
    if (walk.damage)
        return {FaultCode::Damaged,
                fmt::format("the XML holds {} before its first element; {}", walk.damage->what, expected),
                {},
                walk.damage->byte,
                {}};
    return {FaultCode::UnknownFormat, fmt::format("the XML holds no element; {}", expected), {}, 0, {}};
}

void warnOfDamage(Recording& recording, const xml::XmlWalk& walk) {
    if (walk.zeroBytes > 0)
        recording.warnings.push_back(fmt::format("{} bytes are 0 and were read as blanks (first at byte {})",
                                                 walk.zeroBytes, walk.firstZeroByte));
    if (walk.damage)
        recording.warnings.push_back(
            fmt::format("the XML is damaged at byte {}: {}; what stands before it was read",
                        walk.damage->byte, walk.damage->what));
}

}  // namespace

bool looksLikeXml(std::span<const std::byte> bytes) {
    const auto decoded = text::decodeText(bytes.first(std::min<std::size_t>(bytes.size(), 4096)));
    const std::string_view start = decoded.view();
    const std::size_t first = start.find_first_not_of(blanks);
    return first != std::string_view::npos && start[first] == '<';
}

Result<Recording> readXml(std::span<const std::byte> bytes, const ReadOptions& options,
                          const RunControl& run) {
    const auto zone = text::zoneAsked(options.zone);
    if (!zone) return zone.fault();
    const text::DecodedText decoded = text::decodeText(bytes);
    xml::XmlCollector collector{*zone};
    RootSink sink{collector};
    const auto walk = xml::walkXml(textOf(decoded, bytes), sink, run);
    if (walk.cancelled) return cancelled();
    if (walk.refused) return sink.unknownRoot();
    if (!sink.isChosen()) return noRoot(walk);
    Recording recording = collector.finish(sink.format());
    warnOfDamage(recording, walk);
    if (decoded.isConverted) recording.guessed.emplace_back("encoding", decoded.encoding);
    run.progress(1.0);
    return recording;
}

}  // namespace beatwitness::recording
