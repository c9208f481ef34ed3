#include "tests/fuzz/targets.h"

#include <algorithm>
#include <bit>
#include <cstdlib>
#include <cstring>

#include "core/library/column_codec.h"
#include "core/recording/fit_recording.h"
#include "core/recording/hrm_recording.h"
#include "core/recording/json_recording.h"
#include "core/recording/read_recording.h"
#include "core/recording/rr_recording.h"
#include "core/recording/text_recording.h"
#include "core/recording/xml_recording.h"
#include "core/recording/xml_walk.h"
#include "tests/support/sound_recording.h"

namespace beatwitness::tests {
namespace {

using Bytes = std::span<const std::byte>;

std::string fit(Bytes bytes) {
    static_cast<void>(recording::looksLikeFit(bytes));
    return unsoundness(recording::readFit(bytes));
}

std::string text(Bytes bytes) {
    return unsoundness(recording::readText(bytes));
}

std::string rr(Bytes bytes) {
    static_cast<void>(recording::looksLikeHrm(bytes));
    const std::string sections = unsoundness(recording::readHrm(bytes));
    return sections.empty() ? unsoundness(recording::readRr(bytes)) : sections;
}

std::string json(Bytes bytes) {
    static_cast<void>(recording::looksLikeJson(bytes));
    return unsoundness(recording::readJson(bytes));
}

std::string anyRecording(Bytes bytes) {
    return unsoundness(recording::readRecording(bytes));
}

/// Writes down what it is told of.
class EventLog final : public recording::xml::XmlSink {
public:
    bool enter(std::string_view name, pugi::xml_node element, std::size_t byte) override {
        told += "+" + std::string{name} + element.first_attribute().value() + std::to_string(byte);
        return true;
    }
    void leave(std::string_view name) override { told += "-" + std::string{name}; }
    void take(std::string_view name, pugi::xml_node element, std::size_t byte) override {
        told += "=" + std::string{name} + std::to_string(byte) + element.first_child().child_value();
    }

    std::string told;
};

/// Where the blocks are cut must not show.
std::string blocksDiffer(std::string_view document) {
    EventLog whole, cut;
    const auto one = recording::xml::walkXml({document}, whole, {});
    const auto many = recording::xml::walkXml({document}, cut, {}, 40);
    const bool isSame = one.damage.has_value() == many.damage.has_value() && whole.told == cut.told &&
                        (one.damage || one.zeroBytes == many.zeroBytes);
    return isSame ? "" : "blocks are read otherwise than the whole";
}

std::string xml(Bytes bytes) {
    const std::string unsound = unsoundness(recording::readXml(bytes));
    if (!unsound.empty()) return unsound;
    return blocksDiffer({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}

/// Columns that claim more rows than this and hold none of their bytes are sound, but take their time.
constexpr std::uint64_t mostRowsTried = 1'000'000;

std::uint64_t claimedRows(Bytes column) {
    std::uint64_t rows = 0;
    if (column.size() >= 9) std::memcpy(&rows, &column[1], 8);
    return rows;
}

/// The decoder on bytes as a damaged library would hold them: as a frame, and as what a frame holds.
std::string column(Bytes bytes) {
    library::ColumnEncoder encoder;
    library::ColumnDecoder decoder;
    static_cast<void>(decoder.times(bytes));
    static_cast<void>(decoder.values(bytes));
    if (claimedRows(bytes) <= mostRowsTried) {
        const auto frame = library::FramePacker{}.pack(bytes, 1);
        static_cast<void>(decoder.times(frame));
        static_cast<void>(decoder.values(frame));
    }
    std::vector<double> values(bytes.size() / 8);
    if (!values.empty()) std::memcpy(values.data(), bytes.data(), values.size() * 8);
    const auto again = decoder.values(encoder.encode(values));
    const bool isSame = again && again->size() == values.size() &&
                        std::ranges::equal(
                            *again, values, {}, [](double v) { return std::bit_cast<std::uint64_t>(v); },
                            [](double v) { return std::bit_cast<std::uint64_t>(v); });
    return isSame ? "" : "values come back other than they went in";
}

}  // namespace

const std::vector<FuzzTarget>& fuzzTargets() {
    static const std::vector<FuzzTarget> all{{"fit", fit},      {"text", text}, {"xml", xml},
                                             {"rr", rr},        {"json", json}, {"recording", anyRecording},
                                             {"column", column}};
    return all;
}

const FuzzTarget& fuzzTarget(std::string_view name) {
    const auto found = std::ranges::find(fuzzTargets(), name, &FuzzTarget::name);
    if (found == fuzzTargets().end()) std::abort();
    return *found;
}

}  // namespace beatwitness::tests
